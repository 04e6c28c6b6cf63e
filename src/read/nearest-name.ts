/** The valid name that someone may have meant. */

/** Edits between two words: insert, delete, change, swap neighbours (optimal string alignment). */
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

const MOST_CHARACTERS = 80;

/**
 * The candidate nearest to a word, without regard to case; undefined where none is near enough to be meant (more than
 * two fifths of the letters differ and neither begins with the other). The first of equally near ones wins.
 */
export function nearestName(word: string, candidates: readonly string[]): string | undefined {
  const wanted = word.trim().toLowerCase().slice(0, MOST_CHARACTERS);
  if (wanted === '') return undefined;
  let nearest: string | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const candidate of candidates) {
    const other = candidate.toLowerCase().slice(0, MOST_CHARACTERS);
    const distance = editDistance(wanted, other);
    const isPrefix = wanted.length >= 3 && (other.startsWith(wanted) || wanted.startsWith(other));
    const isNear = distance <= Math.max(1, Math.floor(0.4 * Math.max(wanted.length, other.length))) || isPrefix;
    if (isNear && distance < least) {
      least = distance;
      nearest = candidate;
    }
  }
  return nearest;
}
