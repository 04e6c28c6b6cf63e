/** Notes of the earlier stage at their places in the later one; bars in which nothing differs are set apart, so that nobody looks at them again. */
import type { Bar } from '../../../model/music/timeline.ts';
import { hasCurves, isSetUpAlike, shapedAlike } from './balance-edits.ts';
import {
  countedBars,
  listedOnce,
  notesAmong,
  notesByBar,
  placedIn,
  type BarNote,
  type NotesByBar,
} from '../bars/bar-notes.ts';
import type { BarPart, PartNotes } from '../bars/bar-parts.ts';
import { WORDS } from '../bars/key-sets.ts';
import {
  ALIKE,
  areWrittenAlike,
  FIELDS,
  LENGTH,
  likenessOf,
  PLAYED_ALIKE,
  UNLIKE,
  VELOCITY,
  type NoteColumns,
} from '../bars/note-columns.ts';
import type { RestruckNotes, SameNotes } from '../matches/match-notes.ts';
import { lastBarUnder } from '../matches/part-sides.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';

/**
 * A part in bars that both stages have, parted into bars that are the same in the part of that id in the later stage, or written and played the
 * same, and the rest.
 */
export interface PartedNotes extends SameNotes {
  /** The notes of all other bars, in either stage. */
  readonly before: readonly BarNote[];
  readonly after: readonly BarNote[];
  /** The earlier notes in a bar of which all are played as before, at their places in the later stage. */
  readonly earlierIn: (bar: number) => readonly BarNote[];
  /** How many of these are in bars that have the same pitches at the same places in either stage. */
  readonly writtenCount: number;
  /** The rest of them, the earlier ones first; listed where somebody asks. */
  readonly rewritten: () => readonly [readonly BarNote[], readonly BarNote[]];
}

/** The notes of a part of the earlier stage at their places in the later one, in bars that both have; the very list where nothing differs. */
export interface PlacedNotes extends PartNotes {
  /** Where the bars follow one another alike in both stages and the later one has a part of the same id that is set up alike. */
  readonly parted?: PartedNotes;
}

/** Which bar of one stage is which of the other, by index; less than 0 where there is none. */
export interface BarPlaces {
  readonly afterOf: readonly number[];
  readonly beforeOf: readonly number[];
}

/** True where no bar was moved: those that both stages have follow one another alike. */
export function keepsOrder({ afterOf }: BarPlaces): boolean {
  let last = -1;
  for (let bar = 0; bar < afterOf.length; bar++) {
    const place = afterOf[bar] ?? -1;
    if (place < 0) continue;
    if (place < last) return false;
    last = place;
  }
  return true;
}

function haveCurves(item: BarPart, later: BarPart): boolean {
  return hasCurves(item.part) || hasCurves(later.part);
}

/** How alike so many notes of two parts are written, played and set, from a place on in either. */
function likenessTest(item: BarPart, later: BarPart): (from: number, fromLater: number, count: number) => number {
  const [own, models] = [item.columns, later.columns];
  const isShapedAlike = haveCurves(item, later) ? shapedAlike() : undefined;
  const [notes, others] = isShapedAlike === undefined ? [[], []] : [item.notes(), later.notes()];
  return (from, fromLater, count) => {
    if (own === models && from === fromLater) return ALIKE;
    const likeness = likenessOf(own, from, models, fromLater, count);
    for (let at = 0; at < count && isShapedAlike !== undefined && likeness === ALIKE; at++) {
      const one = notes[from + at];
      const other = others[fromLater + at];
      if (one === undefined || other === undefined || !isShapedAlike(one, other)) return PLAYED_ALIKE;
    }
    return likeness;
  };
}

/** Notes that stand together in a bar of the later stage, from a place on in the list of either. */
interface Stretch {
  readonly bar: number;
  /** Its bar in the earlier stage. */
  readonly ownBar: number;
  readonly from: number;
  readonly fromLater: number;
  readonly count: number;
}

/** Adds notes to a list at their places in a bar of the later stage. */
function addPlaced(notes: readonly BarNote[], bar: number, place: Bar, list: BarNote[]): void {
  for (let at = 0; at < notes.length; at++) {
    const note = notes[at];
    if (note !== undefined) list.push(placedIn(note, bar, place));
  }
}

function addAll(notes: readonly BarNote[], list: BarNote[]): void {
  for (let at = 0; at < notes.length; at++) {
    const note = notes[at];
    if (note !== undefined) list.push(note);
  }
}

/** The earlier notes in bars of the later stage, by index, each made once; `ownBarOf`: where they stand in the earlier one. */
function placedBars(
  item: BarPart,
  bars: readonly Bar[],
  ownBarOf: readonly number[],
): (bar: number) => readonly BarNote[] {
  const made: (readonly BarNote[] | undefined)[] = [];
  const notesIn = (bar: number): readonly BarNote[] => {
    const placed: BarNote[] = [];
    const place = bars[bar];
    if (place !== undefined) addPlaced(item.byBar().in(ownBarOf[bar] ?? -1), bar, place, placed);
    return placed;
  };
  return (bar) => (made[bar] ??= notesIn(bar));
}

/** The notes of some stretches of two parts, in bars of the later stage. */
function restruckNotes(
  item: BarPart,
  later: BarPart,
  stretches: readonly Stretch[],
  earlierIn: (bar: number) => readonly BarNote[],
): RestruckNotes {
  let listed: readonly [readonly BarNote[], readonly BarNote[]] | undefined;
  const list = (): readonly [readonly BarNote[], readonly BarNote[]] => {
    const before: BarNote[] = [];
    const after: BarNote[] = [];
    for (const { bar } of stretches) {
      addAll(earlierIn(bar), before);
      addAll(later.byBar().in(bar), after);
    }
    return [before, after];
  };
  return {
    count: stretches.reduce((sum, { count }) => sum + count, 0),
    pairs: () => (listed ??= list()),
    haveCurves: haveCurves(item, later),
    struckBars: (among) => struckBars(item.columns, later, stretches, among),
  };
}

/** 1 at each bar under a note of the later part that is struck otherwise than the one at its place. */
function struckBars(
  { fields: olds }: NoteColumns,
  later: BarPart,
  stretches: readonly Stretch[],
  bars: readonly Bar[],
): Uint8Array {
  const { fields, places } = later.columns;
  const found = new Uint8Array(bars.length);
  for (const { bar, from, fromLater, count } of stretches) {
    const end = (bars[bar + 1]?.startQuarters ?? Infinity) * DIVISIONS_PER_QUARTER;
    for (let at = 0; at < count; at++) {
      const field = FIELDS * (fromLater + at);
      if (fields[field + VELOCITY] === olds[FIELDS * (from + at) + VELOCITY]) continue;
      found[bar] = 1;
      const start = places[fromLater + at] ?? 0;
      const length = fields[field + LENGTH] ?? 0;
      if (start + length > end) found.fill(1, bar, lastBarUnder(bars, { bar, start, length }) + 1);
    }
  }
  return found;
}

/** Bars of a part of the later stage. */
const SAME = 1;
const RESTRUCK = 2;

/** Parts the notes bar by bar; `kinds` tells of the later stage's bars which are `SAME` or `RESTRUCK`, `counts` how many notes each has. */
function parted(
  item: BarPart,
  later: BarPart,
  bars: readonly Bar[],
  beforeOf: readonly number[],
  kinds: Uint8Array,
  counts: Uint32Array,
): PartedNotes {
  const [own, models] = [item.columns, later.columns];
  const likenessAt = likenessTest(item, later);
  const stretches: Stretch[] = [];
  const before: BarNote[] = [];
  const after: BarNote[] = [];
  let sameCount = 0;
  let writtenCount = 0;
  const writtenBars = new Uint8Array(bars.length);
  const earlierIn = placedBars(item, bars, beforeOf);
  for (let bar = 0; bar < bars.length; bar++) {
    const ownBar = beforeOf[bar] ?? -1;
    const place = bars[bar];
    if (ownBar < 0 || place === undefined) continue;
    const from = own.starts[ownBar] ?? own.midi.length;
    const end = own.starts[ownBar + 1] ?? own.midi.length;
    const fromLater = models.starts[bar] ?? models.midi.length;
    const endLater = models.starts[bar + 1] ?? models.midi.length;
    const count = end - from;
    counts[bar] = count;
    if (count === endLater - fromLater) {
      if (count === 0) continue;
      const likeness = likenessAt(from, fromLater, count);
      if (likeness === ALIKE) {
        sameCount += count;
        kinds[bar] = SAME;
      } else if (likeness === PLAYED_ALIKE) {
        stretches.push({ bar, ownBar, from, fromLater, count });
        kinds[bar] = RESTRUCK;
      }
      if (likeness !== UNLIKE) continue;
      if (areWrittenAlike(own, from, models, fromLater, count)) {
        writtenCount += count;
        writtenBars[bar] = 1;
      }
    }
    addPlaced(item.byBar().in(ownBar), bar, place, before);
    addAll(later.byBar().in(bar), after);
  }
  return {
    sameCount,
    same: () => bars.flatMap((_, bar) => (kinds[bar] === SAME ? later.byBar().in(bar) : [])),
    restruck: restruckNotes(item, later, stretches, earlierIn),
    earlierIn,
    before,
    after,
    writtenCount,
    rewritten: () =>
      writtenCount === 0 ? [before, after] : [notesUnmarked(before, writtenBars), notesUnmarked(after, writtenBars)],
  };
}

/** The notes of all bars but those that are marked with 1. */
function notesUnmarked(notes: readonly BarNote[], marks: Uint8Array): readonly BarNote[] {
  const found: BarNote[] = [];
  for (let at = 0; at < notes.length; at++) {
    const note = notes[at];
    if (note !== undefined && marks[note.bar] !== 1) found.push(note);
  }
  return found;
}

/** The notes of the earlier stage by bars of the later one: of bars that are played alike the later ones tell where they stand. */
function byBarsOf(
  item: BarPart,
  later: BarPart,
  parted: PartedNotes,
  beforeOf: readonly number[],
  kinds: Uint8Array,
  counts: Uint32Array,
): NotesByBar {
  const models = later.byBar();
  return {
    in: (bar) => {
      if (kinds[bar] === SAME) return models.in(bar);
      return kinds[bar] === RESTRUCK ? parted.earlierIn(bar) : notesByBar(parted.before).in(bar);
    },
    counts,
    countPitches: (bar, into) => {
      const ownBar = beforeOf[bar] ?? -1;
      if (ownBar >= 0) item.byBar().countPitches(ownBar, into);
    },
    keySets: () => {
      const own = item.byBar().keySets();
      const sets = new Int32Array(WORDS * counts.length);
      for (let bar = 0; bar < counts.length; bar++) {
        const ownBar = beforeOf[bar] ?? -1;
        if (ownBar >= 0) sets.set(own.subarray(WORDS * ownBar, WORDS * (ownBar + 1)), WORDS * bar);
      }
      return sets;
    },
    bars: () => countedBars(counts),
    heldOver: (bars) => [
      ...models.heldOver(bars).filter(({ bar }) => kinds[bar] !== 0),
      ...notesByBar(parted.before).heldOver(bars),
    ],
  };
}

function isSameList(some: readonly BarNote[], others: readonly BarNote[]): boolean {
  return some.length === others.length && some.every((note, at) => note === others[at]);
}

/**
 * The notes of a part at their places among the bars of the later stage. Bars of `later`, the part of the same id, that hold the same
 * notes, played and set the same, are taken from there. `laterNotes`: its notes in bars that both stages have.
 */
export function notesLike(
  item: BarPart,
  later: BarPart | undefined,
  laterNotes: PartNotes | undefined,
  bars: readonly Bar[],
  { afterOf, beforeOf }: BarPlaces,
  isInOrder: boolean,
): PlacedNotes {
  const placeOf = (bar: number): number => afterOf[bar] ?? -1;
  if (later === undefined || laterNotes === undefined || !isInOrder || !isSetUpAlike(item.part, later.part))
    return { ...listedOnce(() => notesAmong(item.notes(), bars, placeOf)), part: item.part };
  const kinds = new Uint8Array(bars.length);
  const counts = new Uint32Array(bars.length);
  const found = parted(item, later, bars, beforeOf, kinds, counts);
  const all = (): readonly BarNote[] => {
    if (found.before.length === 0 && found.after.length === 0 && found.restruck.count === 0) return laterNotes.notes();
    const [restruck] = found.restruck.pairs();
    const placed: BarNote[] = [];
    let at = 0;
    let atRestruck = 0;
    for (let bar = 0; bar < bars.length; bar++) {
      if (kinds[bar] === SAME) addAll(later.byBar().in(bar), placed);
      for (let note = restruck[atRestruck]; note?.bar === bar; note = restruck[++atRestruck]) placed.push(note);
      for (let note = found.before[at]; note?.bar === bar; note = found.before[++at]) placed.push(note);
    }
    return isSameList(placed, item.notes()) ? item.notes() : placed;
  };
  let byBar: NotesByBar | undefined;
  const lazy = listedOnce(
    all,
    () => (byBar ??= byBarsOf(item, later, found, beforeOf, kinds, counts)),
    () => found.sameCount + found.restruck.count + found.before.length,
  );
  return { ...lazy, part: item.part, parted: found };
}
