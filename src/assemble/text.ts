/** Small text tools: folding for comparison, slugs for ids, the nearest of some names. */

const LIGATURES: Readonly<Record<string, string>> = { œ: 'oe', æ: 'ae', ß: 'ss', ø: 'o', ł: 'l', đ: 'd', ı: 'i' };

/**
 * Lower case without accents, for comparing names. A flat or sharp sign stays, as `b` or `#`: B♭ must not become B.
 */
export function foldText(text: string): string {
  return text
    .replaceAll('♭', 'b')
    .replaceAll('♯', '#')
    .normalize('NFKD')
    .replaceAll(/\p{M}+/gu, '')
    .toLowerCase()
    .replaceAll(/[œæßøłđı]/g, (letter) => LIGATURES[letter] ?? letter);
}

/** Folded, with every run of other characters as one space: two names that differ only in punctuation compare equal. */
export function comparableName(text: string): string {
  return foldText(text)
    .replaceAll(/[^\p{L}\p{N}#]+/gu, ' ')
    .trim();
}

/** Letters `a-z`, digits and single hyphens, at most `longest` characters; '' where nothing is left. */
export function slugOf(text: string, longest = 40): string {
  return foldText(text)
    .replaceAll('#', ' sharp ')
    .replaceAll(/[^a-z0-9]+/g, '-')
    .slice(0, longest)
    .replaceAll(/^-+|-+$/g, '');
}

/** Fewest single-letter insertions, deletions, replacements and swaps of neighbours that make one text of the other. */
function editDistance(first: string, second: string): number {
  const a = first.slice(0, 64);
  const b = second.slice(0, 64);
  let beforeLast: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, index) => index);
  for (let row = 1; row <= a.length; row++) {
    const current = [row];
    for (let column = 1; column <= b.length; column++) {
      const differs = a[row - 1] === b[column - 1] ? 0 : 1;
      let least = Math.min((last[column] ?? 0) + 1, (current[column - 1] ?? 0) + 1, (last[column - 1] ?? 0) + differs);
      if (row > 1 && column > 1 && a[row - 1] === b[column - 2] && a[row - 2] === b[column - 1]) {
        least = Math.min(least, (beforeLast[column - 2] ?? 0) + 1);
      }
      current.push(least);
    }
    beforeLast = last;
    last = current;
  }
  return last[b.length] ?? 0;
}

/** The name closest to a word by edit distance (folded), the first of equals; undefined where there are no names. */
export function nearestName(word: string, names: readonly string[]): string | undefined {
  const wanted = comparableName(word);
  let best: string | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const name of names) {
    const distance = editDistance(wanted, comparableName(name));
    if (distance < least) {
      least = distance;
      best = name;
    }
  }
  return best;
}

/** `a, b and c`. */
export function listed(words: readonly string[]): string {
  if (words.length <= 1) return words.join('');
  return `${words.slice(0, -1).join(', ')} and ${words.at(-1) ?? ''}`;
}

/** `bar 3`, `bars 3 and 5`, `bars 3, 5, 9 and 12 more`. */
export function barsListed(bars: readonly number[]): string {
  if (bars.length === 1) return `bar ${String(bars[0])}`;
  const shown = bars.slice(0, 6).map(String);
  return `bars ${listed(bars.length > 6 ? [...shown, `${bars.length - 6} more`] : shown)}`;
}

/** A name as it may stand inside a sentence: one line, at most 60 characters, in quotes. */
export function quoted(name: string): string {
  const line = name.replaceAll(/\s+/g, ' ').trim();
  return `"${line.length > 60 ? `${line.slice(0, 59)}…` : line}"`;
}
