/** How the notes of a bar differ, where that is plain: some were put to those of before, some fell out, the same are struck again and again, or held. */
import type { NotesWay } from '../../../model/readings/readings.ts';
import { startingWithin } from '../../../model/sorted-search.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import type { BarNote } from '../bars/bar-notes.ts';

/** Both begin their notes within a thirty-second. */
const SAME_PLACE_DIVISIONS = DIVISIONS_PER_QUARTER / 8;
/** Lengths that are less apart are the same, as two takes hold a note. */
const SAME_LENGTH_RATIO = 1.35;

/** How much longer a note is held than another: as played, as a note before a rest reads longer or shorter by what stands in the rest. */
function heldRatio(one: BarNote, other: BarNote): number {
  const [length, others] = [one.playedLength ?? 0, other.playedLength ?? 0];
  const isKnown = length > 0 && others > 0;
  return isKnown ? length / others : one.length / Math.max(1, other.length);
}

/** True where both are held alike. */
export function areHeldAlike(one: BarNote, other: BarNote): boolean {
  const ratio = heldRatio(one, other);
  return Math.max(ratio, 1 / ratio) <= SAME_LENGTH_RATIO;
}

/** True where some notes are others at their places, most of them held longer and none shorter. */
function areHeldLonger(few: readonly BarNote[], many: readonly BarNote[]): boolean {
  if (few.length >= many.length) return false;
  let longer = 0;
  for (const note of few) {
    const own = many.find(
      ({ midi, start }) => midi === note.midi && Math.abs(start - note.start) <= SAME_PLACE_DIVISIONS,
    );
    const ratio = own === undefined ? 0 : heldRatio(note, own);
    if (ratio < 1 / SAME_LENGTH_RATIO) return false;
    if (ratio > SAME_LENGTH_RATIO) longer++;
  }
  return 2 * longer >= few.length;
}

/** The pitch classes of the notes that begin together, one group after the other, with where each begins. */
function classesOf(notes: readonly BarNote[]): readonly { readonly start: number; readonly tones: number }[] {
  const groups: { start: number; tones: number }[] = [];
  for (const { start, midi } of [...notes].sort((a, b) => a.start - b.start)) {
    const last = groups.at(-1);
    const tone = 1 << (((midi % 12) + 12) % 12);
    if (last === undefined || start - last.start > SAME_PLACE_DIVISIONS) groups.push({ start, tones: tone });
    else last.tones |= tone;
  }
  return groups;
}

/** True where chords, or grips of two tones, have the same tones at the same places, in other octaves. */
function areRevoiced(before: readonly BarNote[], after: readonly BarNote[]): boolean {
  if (after.some(({ part }) => part.unpitched)) return false;
  const [olds, news] = [classesOf(before), classesOf(after)];
  return (
    olds.length === news.length &&
    [olds, news].every((groups) => groups.some(({ tones }) => (tones & (tones - 1)) !== 0)) &&
    olds.every(({ start, tones }, at) => {
      const other = news[at];
      return other?.tones === tones && Math.abs(other.start - start) <= SAME_PLACE_DIVISIONS;
    })
  );
}

/** True where a note stands among others as it is: pitch, place and length. */
function stands(note: BarNote, others: readonly BarNote[]): boolean {
  return others.some(
    (other) =>
      other.midi === note.midi &&
      Math.abs(other.start - note.start) <= SAME_PLACE_DIVISIONS &&
      areHeldAlike(note, other),
  );
}

/** Where a key is struck, in quarters from the start of a bar. */
interface Stroke {
  readonly onset: number;
  readonly midi: number;
}

/** A stroke may begin so much before its bar, in quarters. */
const EARLY = 0.06;

/** The strokes of a part in a bar of so many quarters, at the pitch of its notes; undefined where nobody knows them. */
function strokesUnder(notes: readonly BarNote[], barQuarters: number): readonly Stroke[] | undefined {
  const [first] = notes;
  const known = notes.find(({ playedOnset }) => playedOnset !== undefined);
  if (first === undefined || known?.playedOnset === undefined) return undefined;
  if (notes.some(({ part }) => part !== first.part)) return undefined;
  const own = known.part.notes[known.played];
  if (own === undefined) return undefined;
  const from = own.startQuarters - known.playedOnset;
  const raised = known.midi - own.midi;
  const under = startingWithin(first.part.notes, from - EARLY, from + barQuarters - EARLY);
  return under.map(({ startQuarters, midi }): Stroke => ({ onset: startQuarters - from, midi: midi + raised }));
}

/** So near in quarters two strokes begin together. */
const TOGETHER = 0.13;

/** True where some strokes are others, each in its place, and these struck again before the next of them is due. */
function areRepeated(few: readonly Stroke[], many: readonly Stroke[]): boolean {
  if (few.length === 0 || many.length <= few.length) return false;
  const places = [...new Set(few.map(({ onset }) => onset))].sort((a, b) => a - b);
  const isThere = (one: Stroke): boolean =>
    many.some((other) => other.midi === one.midi && Math.abs(other.onset - one.onset) <= TOGETHER);
  /** Of the last place before it, or of one that it comes a little before. */
  const isOfIts = (one: Stroke): boolean => {
    const near = [one.onset, one.onset + TOGETHER].map((at) => places.findLast((place) => place <= at) ?? Infinity);
    return few.some(
      ({ midi, onset }) => midi === one.midi && near.some((place) => Math.abs(place - onset) <= TOGETHER),
    );
  };
  return few.every(isThere) && many.every(isOfIts);
}

/** Strokes on one key that follow in less than so many quarters are a tremolo: values shorter than a sixteenth. */
const TREMOLO_QUARTERS = 0.2;

function areTremolo(strokes: readonly Stroke[]): boolean {
  const last = new Map<number, number>();
  const gaps = strokes.flatMap(({ onset, midi }) => {
    const before = last.get(midi);
    last.set(midi, onset);
    return before === undefined ? [] : [onset - before];
  });
  const short = gaps.filter((gap) => gap <= TREMOLO_QUARTERS).length;
  return gaps.length > 0 && short >= 0.75 * gaps.length;
}

/** How the notes of a bar came of those that it had; undefined where they are others. */
export function wayOfNotes(
  before: readonly BarNote[],
  after: readonly BarNote[],
  barQuarters: number,
): NotesWay | undefined {
  // Where nothing begins a note of the bar before sounds on, and nothing was added to that.
  if (before.length === 0 || after.length === 0) return undefined;
  if (after.length > before.length && before.every((note) => stands(note, after))) return 'filled';
  if (before.length > after.length && after.every((note) => stands(note, before))) return 'thinned';
  const [olds, news] = [strokesUnder(before, barQuarters), strokesUnder(after, barQuarters)];
  if (olds !== undefined && news !== undefined) {
    if (areRepeated(olds, news)) return areTremolo(news) ? 'tremolo' : 'repeated';
    if (areRepeated(news, olds)) return 'sustained';
  }
  if (areHeldLonger(after, before)) return 'thinnedLonger';
  if (areHeldLonger(before, after)) return 'filledShorter';
  return areRevoiced(before, after) ? 'revoiced' : undefined;
}

/** Ways of neighbouring bars that are one where the first of them is there: a figure that is thinned out and held has bars in which it repeated a tone. */
const ONE_OF: readonly (readonly [NotesWay, ...NotesWay[]])[] = [
  ['thinnedLonger', 'thinned', 'sustained'],
  ['filledShorter', 'filled', 'repeated'],
];

/** The way of all of some neighbouring bars; undefined where they have none in common. */
export function commonWay(ways: readonly (NotesWay | undefined)[]): NotesWay | undefined {
  const [first] = ways;
  if (ways.every((way) => way === first)) return first;
  const all = ONE_OF.find(
    (some) => ways.includes(some[0]) && ways.every((way) => way !== undefined && some.includes(way)),
  );
  return all?.[0];
}
