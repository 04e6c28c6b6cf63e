/** Bars in which the chords are others and the rhythm is not: what several parts have there instead of other notes each. */
import type { ChordChange, PartEdit } from '../../../model/readings/readings.ts';
import type { Bar } from '../../../model/music/timeline.ts';
import { DIVISIONS_PER_QUARTER, type ChordSpan } from '../../../model/music/written.ts';
import { numbersIn, runsOf } from '../../../model/words/plain-words.ts';
import type { BarNote } from '../bars/bar-notes.ts';
import type { PartFate } from './passages.ts';

/** Fewer parts than this share of those that have pitch and play there do not change the harmony. */
const LEAST_SHARE = 0.5;
const LEAST_PARTS = 2;
/** A part alone does where it has chords of so many tones, which begin together: fewer may be two voices. */
const FEWEST_IN_CHORD = 3;
/** Share of the places at which notes begin in a bar that must be those of before. */
const SAME_RHYTHM = 0.75;
/** A place is a thirty-second: nearer ones are one. */
const PLACE_DIVISIONS = DIVISIONS_PER_QUARTER / 8;

export interface ChordSide {
  readonly chords: readonly ChordSpan[];
  readonly bars: readonly Bar[];
}

/** Names of the chords in a bar, by index, in their order; '' where there is none. */
function chordsIn({ chords, bars }: ChordSide, index: number): string {
  const bar = bars[index];
  if (bar === undefined) return '';
  const from = bar.startQuarters * DIVISIONS_PER_QUARTER;
  const to = from + bar.lengthQuarters * DIVISIONS_PER_QUARTER;
  return inOrder(chords.filter((chord) => isWithin(chord, from, to)).map(({ symbol }) => symbol));
}

/** True where a chord sounds between two places, in divisions. */
function isWithin({ start, length }: ChordSpan, from: number, to: number): boolean {
  return start < to && start + length > from;
}

/** Names one after another, each once on end. */
function inOrder(names: readonly string[]): string {
  return names.filter((name, place) => name !== names[place - 1]).join(' ');
}

/** The same of the earlier stage, where the same chord is named otherwise in a stretch in which every note stands as before: there it counts as named now. */
function chordsBefore(
  before: ChordSide,
  index: number,
  after: ChordSide,
  indexAfter: number,
  others: Differing,
): string {
  const [bar, later] = [before.bars[index], after.bars[indexAfter]];
  if (bar === undefined || later === undefined) return chordsIn(before, index);
  const by = (later.startQuarters - bar.startQuarters) * DIVISIONS_PER_QUARTER;
  const from = later.startQuarters * DIVISIONS_PER_QUARTER;
  const to = from + later.lengthQuarters * DIVISIONS_PER_QUARTER;
  const own = before.chords.filter((chord) => isWithin(chord, from - by, to - by));
  return inOrder(
    own.map(({ start, length, symbol }) => {
      const [first, end] = [Math.max(start + by, from), Math.min(start + by + length, to)];
      const [only, another] = after.chords.filter((chord) => isWithin(chord, first, end));
      return only !== undefined && another === undefined && !others(first, end) ? only.symbol : symbol;
    }),
  );
}

/** True where a note that came or went sounds between two places, in divisions. */
type Differing = (from: number, to: number) => boolean;

function differingIn(fates: readonly PartFate[]): Differing {
  return (from, to) => fates.some(({ lost, gained }) => [lost, gained].some((notes) => haveSounding(notes, from, to)));
}

/** True where one of the notes has a pitch and sounds between two places. */
function haveSounding(notes: readonly BarNote[], from: number, to: number): boolean {
  return notes.some(
    ({ part, start, length }) =>
      start < to - PLACE_DIVISIONS && start + length > from + PLACE_DIVISIONS && !part.unpitched,
  );
}

function placesOf(notes: readonly BarNote[]): ReadonlySet<number> {
  return new Set(notes.map(({ onset }) => Math.round(onset / PLACE_DIVISIONS)));
}

function hasSameRhythm(before: readonly BarNote[], after: readonly BarNote[]): boolean {
  const [was, is] = [placesOf(before), placesOf(after)];
  const kept = [...was].filter((place) => is.has(place)).length;
  return kept >= SAME_RHYTHM * Math.max(was.size, is.size);
}

/** True where a part has chords: so many notes that begin together, at every place where it begins some in the bar. */
function hasChords(notes: readonly BarNote[]): boolean {
  const counts = new Map<number, number>();
  for (const { onset } of notes) {
    const place = Math.round(onset / PLACE_DIVISIONS);
    counts.set(place, (counts.get(place) ?? 0) + 1);
  }
  return counts.size > 0 && [...counts.values()].every((count) => count >= FEWEST_IN_CHORD);
}

/** Names of the chords of a bar in both stages, and who has other notes there, all of them in the rhythm of before or not. */
interface OtherChords {
  readonly isSame: boolean;
  readonly was: string;
  readonly is: string;
  readonly who: string;
}

/** Takes bars beside those that were found, where the same parts have other chords too: it was done in one go, if not in one rhythm. */
function takeNeighbours(found: Map<number, OtherChords>, others: Map<number, OtherChords>): void {
  const isNext = ([number, { who }]: readonly [number, OtherChords]): boolean =>
    [number - 1, number + 1].some((beside) => found.get(beside)?.who === who);
  for (let next = [...others].filter(isNext); next.length > 0; next = [...others].filter(isNext)) {
    for (const [number, chords] of next) {
      found.set(number, chords);
      others.delete(number);
    }
  }
}

/** A passage of one part that was rewritten has bars in the rhythm of before by chance: it has other chords where all its neighbouring bars are such. */
function withoutChance(
  alone: ReadonlyMap<number, OtherChords>,
  rewritten: readonly PartEdit[],
): ReadonlyMap<number, OtherChords> {
  const isOf = (bar: number, who: string): boolean => alone.get(bar)?.who === who;
  const whole = rewritten.flatMap(({ partId, bars }) =>
    runsOf(bars).flatMap((run) => {
      const own = numbersIn(run);
      return own.every((bar) => isOf(bar, partId)) ? own : [];
    }),
  );
  return new Map([...alone].filter(([bar]) => whole.includes(bar)));
}

/**
 * Finds bars in which at least two parts, and half of those that have pitch and play there, or one that has chords, have other notes in the rhythm
 * of before, and whose chords have other names, with bars beside them in which the same parts have other chords in another rhythm; and parts the edits of those bars from the others. `beforeOf`: indices of bars of the earlier stage.
 */
export function chordChanges(
  edits: readonly PartEdit[],
  fates: readonly PartFate[],
  before: ChordSide,
  after: ChordSide,
  beforeOf: readonly number[],
): { readonly chords: readonly ChordChange[]; readonly edits: readonly PartEdit[] } {
  const rewritten = edits.filter(
    ({ kind, how, toldWith }) => kind === 'rewritten' && how !== 'revoiced' && toldWith === undefined,
  );
  if (rewritten.length === 0) return { chords: [], edits };
  const fateOf = new Map(fates.map((fate) => [fate.newId, fate]));
  const indexOf = new Map(after.bars.map(({ number }, index) => [number, index]));
  const isDiffering = differingIn(fates);
  const found = new Map<number, OtherChords>();
  const inOtherRhythm = new Map<number, OtherChords>();
  const alone = new Map<number, OtherChords>();
  for (const number of new Set(rewritten.flatMap(({ bars }) => bars))) {
    const index = indexOf.get(number) ?? -1;
    const then = chordsBefore(before, beforeOf[index] ?? -1, after, index, isDiffering);
    const now = chordsIn(after, index);
    if (then === '' || now === '' || then === now) continue;
    const own = rewritten.flatMap(({ partId, bars }) => (bars.includes(number) ? (fateOf.get(partId) ?? []) : []));
    const alike = own.filter(({ before: old, after: fresh }) => {
      const [was, is] = [old.byBar().in(index), fresh.byBar().in(index)];
      return is[0]?.part.unpitched !== true && hasSameRhythm(was, is);
    });
    const sounding = fates.filter((fate) => {
      const [first] = fate.after.byBar().in(index);
      return first !== undefined && !first.part.unpitched;
    }).length;
    const isSame = alike.length === own.length;
    const isPartAlone =
      own.length === 1 &&
      alike.some(({ before: old, after: fresh }) => [old, fresh].every((notes) => hasChords(notes.byBar().in(index))));
    const isInRhythm = alike.length >= Math.max(LEAST_PARTS, LEAST_SHARE * sounding);
    const who = own.map(({ newId = '' }) => newId).join(' ');
    (isPartAlone ? alone : isInRhythm ? found : inOtherRhythm).set(number, { isSame, was: then, is: now, who });
  }
  takeNeighbours(found, inOtherRhythm);
  for (const [number, chords] of withoutChance(alone, rewritten)) found.set(number, chords);
  if (found.size === 0) return { chords: [], edits };
  const bars = [...found.keys()].sort((a, b) => a - b);
  const chords = runsOf(bars).map(({ from, to }): ChordChange => {
    const own = bars.filter((bar) => bar >= from && bar <= to);
    return {
      bars: own,
      before: own.map((bar) => found.get(bar)?.was ?? ''),
      after: own.map((bar) => found.get(bar)?.is ?? ''),
      isSameRhythm: own.every((bar) => found.get(bar)?.isSame === true),
    };
  });
  const parted = edits.flatMap((edit): readonly PartEdit[] => {
    if (!rewritten.includes(edit)) return [edit];
    const own = edit.bars.filter((bar) => found.has(bar));
    const others = edit.bars.filter((bar) => !own.includes(bar));
    return [
      ...(others.length === 0 ? [] : [{ ...edit, bars: others }]),
      ...(own.length === 0 ? [] : [{ ...edit, bars: own, toldWith: 'chords' as const }]),
    ];
  });
  return { chords, edits: parted };
}
