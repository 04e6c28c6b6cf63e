/**
 * The name among `names` that is nearest to what was typed, for “did you mean”; undefined where none is near (more than
 * a third of the letters differ, at least two are allowed). Distance: Levenshtein with neighbouring letters swapped counted as one,
 * case and accents ignored.
 */
export function nearestName(typed: string, names: readonly string[]): string | undefined {
  const wanted = fold(typed.slice(0, 100));
  let best: string | undefined;
  let bestDistance = Math.max(2, Math.floor(wanted.length / 3)) + 1;
  for (const name of names) {
    const candidate = fold(name.slice(0, 100));
    const distance =
      candidate.startsWith(wanted) && wanted.length >= 3 ? 1 : editDistance(wanted, candidate, bestDistance);
    if (distance < bestDistance) {
      best = name;
      bestDistance = distance;
    }
  }
  return best;
}

function fold(text: string): string {
  return text.normalize('NFD').replaceAll(/\p{M}/gu, '').toLowerCase().trim();
}

function editDistance(a: string, b: string, limit: number): number {
  if (Math.abs(a.length - b.length) >= limit) return limit;
  let beforeLast: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, index) => index);
  for (let row = 1; row <= a.length; row++) {
    const current = [row];
    for (let column = 1; column <= b.length; column++) {
      const cost = a[row - 1] === b[column - 1] ? 0 : 1;
      let least = Math.min((last[column] ?? 0) + 1, (current[column - 1] ?? 0) + 1, (last[column - 1] ?? 0) + cost);
      if (row > 1 && column > 1 && a[row - 1] === b[column - 2] && a[row - 2] === b[column - 1]) {
        least = Math.min(least, (beforeLast[column - 2] ?? 0) + 1);
      }
      current.push(least);
    }
    beforeLast = last;
    last = current;
  }
  return last[b.length] ?? limit;
}
