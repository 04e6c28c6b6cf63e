/**
 * Notes that are the same though they were played in anew more loosely than a thirty-second or 50 ms: how loosely, the part itself says.
 * The same written bar played twice is not rewritten, wherever the reading puts single notes of either take.
 */
import { matchNotes, type KeptNote, type NoteMatch } from './match-notes.ts';
import { isPlayedAnew, middleOf, spreadOf } from './played-timing.ts';

/** Fewer notes do not tell how loosely a part is played. */
const FEWEST_NOTES = 8;
/** So many times the scatter between two takes is not told from it: one normal number in 15,000 lies beyond. */
const SCATTERS = 4;
/** However loosely: about half a beat of a slow pulse is another rhythm. */
const MOST_SECONDS = 0.25;
/** By less than an eighth a note is held longer or shorter from take to take. */
const LEAST_QUARTERS = 0.5;
/** The spread of the notes found so far is too small while the widest are missing: it is asked again with those found by it. */
const ROUNDS = 2;

function laterOf(kept: readonly KeptNote[]): readonly number[] {
  return kept.flatMap(({ laterSeconds }) => laterSeconds ?? []);
}

/** Logarithm of how much longer a note is held than before; undefined where one of the two has no performance. */
function longerOf({ before, after }: KeptNote): number | undefined {
  const [one, other] = [before.playedLength ?? 0, after.playedLength ?? 0];
  return one > 0 && other > 0 ? Math.log(other / one) : undefined;
}

/** Lengths that scatter from note to note are the player's: only one that differs by far more than the others was written otherwise. */
function withinTouch(kept: readonly KeptNote[], known: readonly KeptNote[]): readonly KeptNote[] {
  if (!kept.some(({ isLengthened }) => isLengthened)) return kept;
  const most = SCATTERS * spreadOf(known.flatMap((note) => longerOf(note) ?? []));
  return kept.map((note) => {
    if (!note.isLengthened) return note;
    const quarters = Math.abs((note.after.playedLength ?? 0) - (note.before.playedLength ?? 0));
    const isTouch = quarters < LEAST_QUARTERS || Math.abs(longerOf(note) ?? Infinity) <= most;
    return isTouch ? { ...note, isLengthened: false } : note;
  });
}

/**
 * Matches the rest of the notes of a part that may have been played in anew. `all` are the notes kept in all parts: they tell where the
 * part has too few. `secondsPerQuarter` is asked by the later stage's bar.
 */
export function matchTakes(
  plain: NoteMatch,
  all: () => readonly KeptNote[],
  secondsPerQuarter: (bar: number) => number,
): NoteMatch {
  const known = plain.kept.length < FEWEST_NOTES ? all() : plain.kept;
  if (known.length < FEWEST_NOTES || !isPlayedAnew(known)) return plain;
  let match = plain;
  for (let round = 0; round < ROUNDS && match.lost.length > 0 && match.gained.length > 0; round++) {
    const later = laterOf(match.kept.length < FEWEST_NOTES ? all() : match.kept);
    const tolerance = Math.min(MOST_SECONDS, SCATTERS * spreadOf(later));
    const found = matchNotes(match.lost, match.gained, secondsPerQuarter, { tolerance, middle: middleOf(later) });
    if (found.kept.length === 0) break;
    match = { kept: [...match.kept, ...found.kept], lost: found.lost, gained: found.gained };
  }
  return { ...match, kept: withinTouch(match.kept, known) };
}
