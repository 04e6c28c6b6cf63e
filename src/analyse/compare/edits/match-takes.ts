/**
 * Notes that are the same though they were played in anew more loosely than a thirty-second or 50 ms: how loosely, the part itself says.
 * The same written bar played twice is not rewritten, wherever the reading puts single notes of either take.
 */
import { countOf, joinedNotes, matchNotes, type KeptNotes, type NoteMatch } from '../matches/match-notes.ts';
import { ascending, firstFrom, isPlayedAnew, middleOf, sortedLater, spreadOf } from './played-timing.ts';

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

/** By how much notes are played later, ascending, those too that are the very same; those without a performance are left out. */
function laterOf(kept: KeptNotes): Float64Array {
  const others = sortedLater(kept);
  const stillCount = kept.sameCount + kept.restruck.count;
  const later = new Float64Array(stillCount + others.length);
  const earlierCount = firstFrom(others, 0);
  later.set(others.subarray(0, earlierCount));
  later.set(others.subarray(earlierCount), earlierCount + stillCount);
  return later;
}

/** Logarithm of how much longer a note is held than before; NaN where one of the two has no performance. */
function longerAt({ before, after }: Pick<KeptNotes, 'before' | 'after'>, place: number): number {
  const one = before[place]?.playedLength ?? 0;
  const other = after[place]?.playedLength ?? 0;
  return one > 0 && other > 0 ? Math.log(other / one) : Number.NaN;
}

/** Lengths that scatter from note to note are the player's: only one that differs by far more than the others was written otherwise. */
function withinTouch(kept: KeptNotes, known: KeptNotes): KeptNotes {
  if (kept.lengthened.length === 0) return kept;
  const [before, after] = known.restruck.pairs();
  const longer = [
    ...known.same().flatMap(({ playedLength = 0 }) => (playedLength > 0 ? [0] : [])),
    ...[known, { before, after }].flatMap((pairs) =>
      pairs.after.map((_, place) => longerAt(pairs, place)).filter((ratio) => !Number.isNaN(ratio)),
    ),
  ];
  const most = SCATTERS * spreadOf(ascending(longer));
  const lengthened = kept.lengthened.filter((place) => {
    const ratio = longerAt(kept, place);
    const quarters = Math.abs((kept.after[place]?.playedLength ?? 0) - (kept.before[place]?.playedLength ?? 0));
    return quarters >= LEAST_QUARTERS && (Number.isNaN(ratio) || Math.abs(ratio) > most);
  });
  return { ...kept, lengthened };
}

/**
 * Matches the rest of the notes of a part that may have been played in anew. `all` are the notes kept in all parts: they tell where the
 * part has too few. `secondsPerQuarter` is asked by the later stage's bar.
 */
export function matchTakes(
  plain: NoteMatch,
  all: () => KeptNotes,
  secondsPerQuarter: (bar: number) => number,
): NoteMatch {
  const known = countOf(plain.kept) < FEWEST_NOTES ? all() : plain.kept;
  if (countOf(known) < FEWEST_NOTES || !isPlayedAnew(known)) return plain;
  let match = plain;
  for (let round = 0; round < ROUNDS && match.lost.length > 0 && match.gained.length > 0; round++) {
    const later = laterOf(countOf(match.kept) < FEWEST_NOTES ? all() : match.kept);
    const tolerance = Math.min(MOST_SECONDS, SCATTERS * spreadOf(later));
    const found = matchNotes(match.lost, match.gained, secondsPerQuarter, { tolerance, middle: middleOf(later) });
    if (countOf(found.kept) === 0) break;
    match = { ...match, kept: joinedNotes([match.kept, found.kept]), lost: found.lost, gained: found.gained };
  }
  return { ...match, kept: withinTouch(match.kept, known) };
}
