/** Which parts of the background stand where their players read them, octaves away from their sound, and which as they sound. */
import type { Line, SoundsBy } from './lines.ts';

/**
 * In more than this share of its bars a part may not come to stand above what is written under its own octave: a bass that is read over the left hand of a
 * piano is no bass to the eye, and its notes and those of the hand are written into each other (of our own, set by reading scores).
 */
const MOST_CROSSED = 1 / 3;

function reachesOver(line: Line, by: number, other: Line): boolean {
  return line.notes.some((note) =>
    other.notes.some(({ midi, from, to }) => midi < note.midi - by && from < note.to && to > note.from),
  );
}

/** The same, but 0 for basses that would stand over another line of their staves for many bars. `background` are the lines behind by bar index, as they sound. */
export function withoutCrossed(
  soundsByPart: SoundsBy,
  background: readonly (readonly Line[])[],
  blockOf: (partId: string) => number,
): SoundsBy {
  const bars = new Map<string, { all: number; crossed: number }>();
  for (const inBar of background) {
    for (const line of inBar) {
      const by = soundsByPart(line.partId);
      if (by >= 0) continue;
      const count = bars.get(line.partId) ?? { all: 0, crossed: 0 };
      bars.set(line.partId, count);
      count.all++;
      const isUnder = (other: Line): boolean =>
        other.partId !== line.partId &&
        blockOf(other.partId) === blockOf(line.partId) &&
        soundsByPart(other.partId) === 0 &&
        reachesOver(line, by, other);
      if (inBar.some(isUnder)) count.crossed++;
    }
  }
  return (partId) => {
    const { all = 1, crossed = 0 } = bars.get(partId) ?? {};
    return crossed / all > MOST_CROSSED ? 0 : soundsByPart(partId);
  };
}
