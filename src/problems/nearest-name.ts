/** The valid name that someone may have meant. */

const MOST_CHARACTERS = 80;

/**
 * The name nearest to a word, case and accents aside; undefined where none is near enough to be meant (more than
 * `farthestShare` of the letters differ, and neither begins with the other). The first of equally near ones wins.
 * Distance: edits by insertion, deletion, change and swap of neighbours (optimal string alignment).
 */
export function nearestName(word: string, names: readonly string[], farthestShare = 0.4): string | undefined {
  const wanted = fold(word);
  if (wanted === '') return undefined;
  let nearest: string | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const name of names) {
    const other = fold(name);
    const distance = editDistance(wanted, other);
    const isPrefix = wanted.length >= 3 && other !== '' && (other.startsWith(wanted) || wanted.startsWith(other));
    const farthest = Math.max(1, Math.floor(farthestShare * Math.max(wanted.length, other.length)));
    if ((distance <= farthest || isPrefix) && distance < least) {
      least = distance;
      nearest = name;
    }
  }
  return nearest;
}

function fold(text: string): string {
  return text.normalize('NFD').replaceAll(/\p{M}/gu, '').toLowerCase().trim().slice(0, MOST_CHARACTERS);
}

function editDistance(a: string, b: string): number {
  let beforeLast: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, index) => index);
  for (let row = 1; row <= a.length; row++) {
    const current = [row];
    for (let column = 1; column <= b.length; column++) {
      const cost = a[row - 1] === b[column - 1] ? 0 : 1;
      let least = Math.min((last[column] ?? 0) + 1, (current[column - 1] ?? 0) + 1, (last[column - 1] ?? 0) + cost);
      const isSwap = row > 1 && column > 1 && a[row - 1] === b[column - 2] && a[row - 2] === b[column - 1];
      if (isSwap) least = Math.min(least, (beforeLast[column - 2] ?? 0) + 1);
      current.push(least);
    }
    beforeLast = last;
    last = current;
  }
  return last[b.length] ?? 0;
}
