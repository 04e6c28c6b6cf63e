/** Order of names as people number them: `2 Strings` before `10 Strings`. The same on every system: no locale is asked. */

/** Digits and what stands between them, in turn. */
function pieces(name: string): readonly string[] {
  return (
    name
      .normalize('NFC')
      .toLowerCase()
      .match(/\d+|\D+/g) ?? []
  );
}

function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

/** Numbers of any length by value, without turning them into floating point. */
function compareDigits(a: string, b: string): number {
  const left = a.replace(/^0+(?=\d)/, '');
  const right = b.replace(/^0+(?=\d)/, '');
  return left.length - right.length || compareText(left, right);
}

/** For `sort`: numbers in names count by value, letters without regard to case; names that differ at all never tie. */
export function compareNaturally(a: string, b: string): number {
  const left = pieces(a);
  const right = pieces(b);
  for (let index = 0; index < Math.min(left.length, right.length); index++) {
    const one = left[index] ?? '';
    const other = right[index] ?? '';
    const bothNumbers = /^\d/.test(one) && /^\d/.test(other);
    const order = bothNumbers ? compareDigits(one, other) : compareText(one, other);
    if (order !== 0) return order;
  }
  return left.length - right.length || compareText(a, b);
}
