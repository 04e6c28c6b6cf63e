/** Notes of the earlier stage at their places in the later one; bars in which nothing differs are set apart, so that nobody looks at them again. */
import type { Bar } from '../../../model/music/timeline.ts';
import { hasCurves, isSetUpAlike, shapedAlike } from './balance-edits.ts';
import {
  listedOnce,
  notesAmong,
  notesByBar,
  placedIn,
  type BarNote,
  type BarPart,
  type LazyNotes,
  type NotesByBar,
} from '../bars/bar-notes.ts';
import { ALIKE, areWrittenAlike, columnsOf, likenessOf, PLAYED_ALIKE, UNLIKE } from '../bars/note-columns.ts';
import type { RestruckNotes, SameNotes } from '../matches/match-notes.ts';

/**
 * A part in bars that both stages have, parted into bars that are the same in the part of that id in the later stage, or written and played the
 * same, and the rest.
 */
export interface PartedNotes extends SameNotes {
  /** The notes of all other bars, in either stage. */
  readonly before: readonly BarNote[];
  readonly after: readonly BarNote[];
  /** How many of these are in bars that have the same pitches at the same places in either stage. */
  readonly writtenCount: number;
  /** The rest of them, the earlier ones first; listed where somebody asks. */
  readonly rewritten: () => readonly [readonly BarNote[], readonly BarNote[]];
}

/** The notes of a part of the earlier stage at their places in the later one, in bars that both have; the very list where nothing differs. */
export interface PlacedNotes extends LazyNotes {
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

/** How alike so many notes of two parts are written, played and set, from a place on in either. */
function likenessTest(item: BarPart, later: BarPart): (from: number, fromLater: number, count: number) => number {
  const [own, models] = [columnsOf(item.notes), columnsOf(later.notes)];
  const isShapedAlike = hasCurves(item.part) || hasCurves(later.part) ? shapedAlike() : undefined;
  return (from, fromLater, count) => {
    if (item.notes === later.notes && from === fromLater) return ALIKE;
    const likeness = likenessOf(own, from, models, fromLater, count);
    for (let at = 0; at < count && isShapedAlike !== undefined && likeness === ALIKE; at++) {
      const one = item.notes[from + at];
      const other = later.notes[fromLater + at];
      if (one === undefined || other === undefined || !isShapedAlike(one, other)) return PLAYED_ALIKE;
    }
    return likeness;
  };
}

/** Notes that stand together in a bar of the later stage, from a place on in the list of either. */
interface Stretch {
  readonly bar: number;
  readonly from: number;
  readonly fromLater: number;
  readonly count: number;
}

/** The notes of some stretches of two parts, in bars of the later stage. */
function restruckNotes(
  { notes }: BarPart,
  later: BarPart,
  stretches: readonly Stretch[],
  bars: readonly Bar[],
): RestruckNotes {
  let listed: readonly [readonly BarNote[], readonly BarNote[]] | undefined;
  const list = (): readonly [readonly BarNote[], readonly BarNote[]] => {
    const before: BarNote[] = [];
    const after: BarNote[] = [];
    for (const { bar, from, fromLater, count } of stretches) {
      const place = bars[bar];
      for (let at = 0; at < count; at++) {
        const one = notes[from + at];
        const other = later.notes[fromLater + at];
        if (place === undefined || one === undefined || other === undefined) continue;
        before.push(placedIn(one, bar, place));
        after.push(other);
      }
    }
    return [before, after];
  };
  return {
    count: stretches.reduce((sum, { count }) => sum + count, 0),
    pairs: () => (listed ??= list()),
    failing: (test) => {
      const failing: BarNote[] = [];
      for (const { from, fromLater, count } of stretches) {
        for (let at = 0; at < count; at++) {
          const one = notes[from + at];
          const other = later.notes[fromLater + at];
          if (one !== undefined && other !== undefined && !test(one, other)) failing.push(other);
        }
      }
      return failing;
    },
  };
}

/** Bars of a part of the later stage. */
const SAME = 1;
const RESTRUCK = 2;

/** Parts the notes bar by bar; `bars` tells of the later stage's which are `SAME` or `RESTRUCK`. */
function parted(
  item: BarPart,
  later: BarPart,
  bars: readonly Bar[],
  beforeOf: readonly number[],
  kinds: Uint8Array,
): PartedNotes {
  const [own, models] = [columnsOf(item.notes), columnsOf(later.notes)];
  const likenessAt = likenessTest(item, later);
  const stretches: Stretch[] = [];
  const before: BarNote[] = [];
  const after: BarNote[] = [];
  let sameCount = 0;
  let writtenCount = 0;
  const writtenBars = new Uint8Array(bars.length);
  for (let bar = 0; bar < bars.length; bar++) {
    const ownBar = beforeOf[bar] ?? -1;
    const place = bars[bar];
    if (ownBar < 0 || place === undefined) continue;
    const from = own.starts[ownBar] ?? item.notes.length;
    const end = own.starts[ownBar + 1] ?? item.notes.length;
    const fromLater = models.starts[bar] ?? later.notes.length;
    const endLater = models.starts[bar + 1] ?? later.notes.length;
    const count = end - from;
    if (count === endLater - fromLater) {
      if (count === 0) continue;
      const likeness = likenessAt(from, fromLater, count);
      if (likeness === ALIKE) {
        sameCount += count;
        kinds[bar] = SAME;
      } else if (likeness === PLAYED_ALIKE) {
        stretches.push({ bar, from, fromLater, count });
        kinds[bar] = RESTRUCK;
      }
      if (likeness !== UNLIKE) continue;
      if (areWrittenAlike(own, from, models, fromLater, count)) {
        writtenCount += count;
        writtenBars[bar] = 1;
      }
    }
    for (let at = from; at < end; at++) {
      const note = item.notes[at];
      if (note !== undefined) before.push(placedIn(note, bar, place));
    }
    for (let at = fromLater; at < endLater; at++) {
      const note = later.notes[at];
      if (note !== undefined) after.push(note);
    }
  }
  return {
    sameCount,
    same: () => notesIn(later.notes, kinds, SAME),
    restruck: restruckNotes(item, later, stretches, bars),
    before,
    after,
    writtenCount,
    rewritten: () => [notesIn(before, writtenBars, 0), notesIn(after, writtenBars, 0)],
  };
}

/** The notes in the bars that are marked so. */
function notesIn(notes: readonly BarNote[], marks: Uint8Array, mark: number): readonly BarNote[] {
  const found: BarNote[] = [];
  for (let at = 0; at < notes.length; at++) {
    const note = notes[at];
    if (note !== undefined && marks[note.bar] === mark) found.push(note);
  }
  return found;
}

/** The notes of the earlier stage by bars of the later one: of bars that are played alike the later ones tell where they stand. */
function byBarsOf(parted: PartedNotes, later: BarPart, kinds: Uint8Array): NotesByBar {
  const rest = notesByBar(parted.before);
  const models = notesByBar(later.notes);
  const countIn = (bar: number): number => ((kinds[bar] ?? 0) === 0 ? rest : models).countIn(bar);
  return {
    countIn,
    in: (bar) => {
      if (kinds[bar] === SAME) return models.in(bar);
      return (kinds[bar] === RESTRUCK ? notesByBar(parted.restruck.pairs()[0]) : rest).in(bar);
    },
    get bars() {
      return Array.from(kinds.keys()).filter((bar) => countIn(bar) > 0);
    },
    heldOver: (bars) => [...models.heldOver(bars).filter(({ bar }) => (kinds[bar] ?? 0) !== 0), ...rest.heldOver(bars)],
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
  laterNotes: readonly BarNote[] | undefined,
  bars: readonly Bar[],
  { afterOf, beforeOf }: BarPlaces,
  isInOrder: boolean,
): PlacedNotes {
  const placeOf = (bar: number): number => afterOf[bar] ?? -1;
  if (later === undefined || laterNotes === undefined || !isInOrder || !isSetUpAlike(item.part, later.part))
    return listedOnce(() => notesAmong(item, bars, placeOf));
  const kinds = new Uint8Array(bars.length);
  const found = parted(item, later, bars, beforeOf, kinds);
  const all = (): readonly BarNote[] => {
    if (found.before.length === 0 && found.after.length === 0 && found.restruck.count === 0) return laterNotes;
    const [restruck] = found.restruck.pairs();
    const placed: BarNote[] = [];
    let at = 0;
    let atRestruck = 0;
    let atLater = 0;
    for (let bar = 0; bar < bars.length; bar++) {
      while ((laterNotes[atLater]?.bar ?? bar) < bar) atLater++;
      if (kinds[bar] === SAME)
        for (let note = laterNotes[atLater]; note?.bar === bar; note = laterNotes[++atLater]) placed.push(note);
      for (let note = restruck[atRestruck]; note?.bar === bar; note = restruck[++atRestruck]) placed.push(note);
      for (let note = found.before[at]; note?.bar === bar; note = found.before[++at]) placed.push(note);
    }
    return isSameList(placed, item.notes) ? item.notes : placed;
  };
  let byBar: NotesByBar | undefined;
  return { ...listedOnce(all, () => (byBar ??= byBarsOf(found, later, kinds))), parted: found };
}
