/** Rolled chords: keys that go down one after another in order of height, stay down together, and stand by themselves. */
import type { Part, PlayedNote } from '../../model/music/arrangement.ts';
import type { Roll } from './found-ornaments.ts';

const FEWEST = 3;
/** Between two keys of a roll (common practice, no source): slower is an arpeggio in rhythm. */
const LONGEST_GAP_MS = 110;
const LONGEST_ROLL_MS = 500;
const SHORTEST_MEAN_MS = 22;
/** A chord that is struck together scatters; a roll is wider by this many spreads a note. */
const SPREADS = 2;
/** Silence before and after, against the time the roll takes. */
const APART = 1.2;

function isRoll(notes: readonly PlayedNote[], before: PlayedNote | undefined, after: PlayedNote | undefined): boolean {
  const first = notes[0] as PlayedNote;
  const last = notes.at(-1) as PlayedNote;
  const wholeMs = (last.startSecond - first.startSecond) * 1000;
  if (wholeMs > LONGEST_ROLL_MS) return false;
  const firstEnd = Math.min(...notes.map((note) => note.endSecond));
  if ((firstEnd - last.startSecond) * 1000 < wholeMs) return false;
  const clear = (gapSeconds: number): boolean => gapSeconds * 1000 >= Math.max(LONGEST_GAP_MS, APART * wholeMs);
  return (
    (before === undefined || clear(first.startSecond - before.startSecond)) &&
    (after === undefined || clear(after.startSecond - last.startSecond))
  );
}

/** Rolled chords among the notes of a part that are not `taken`; `spreadMs` is how far its onsets scatter. */
export function findRolls(part: Part, taken: ReadonlySet<number>, spreadMs: number): Roll[] {
  const order = part.notes
    .map((_, index) => index)
    .filter((index) => !taken.has(index))
    .sort((a, b) => (part.notes[a]?.startSecond ?? 0) - (part.notes[b]?.startSecond ?? 0));
  const at = (place: number): PlayedNote | undefined => part.notes[order[place] ?? -1];
  const rolls: Roll[] = [];
  for (let from = 0; from + FEWEST <= order.length;) {
    const rises = (at(from + 1)?.midi ?? 0) > (at(from)?.midi ?? 0);
    let to = from + 1;
    for (; to < order.length; to++) {
      const here = at(to) as PlayedNote;
      const earlier = at(to - 1) as PlayedNote;
      const gapMs = (here.startSecond - earlier.startSecond) * 1000;
      if (gapMs > LONGEST_GAP_MS || here.midi === earlier.midi || here.midi > earlier.midi !== rises) break;
    }
    const indices = order.slice(from, to);
    const notes = indices.map((index) => part.notes[index] as PlayedNote);
    const wholeMs = ((notes.at(-1)?.startSecond ?? 0) - (notes[0]?.startSecond ?? 0)) * 1000;
    const wide = Math.max(SHORTEST_MEAN_MS, SPREADS * spreadMs) * (notes.length - 1);
    if (notes.length >= FEWEST && wholeMs >= wide && isRoll(notes, at(from - 1), at(to))) {
      rolls.push({ notes: indices, direction: rises ? 'up' : 'down' });
    }
    from = Math.max(from + 1, notes.length > 1 ? to - 1 : to);
  }
  return rolls;
}
