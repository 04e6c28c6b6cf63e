/** Phrases and fills that stand some beats or parts of a beat beside where they stood: to the note the same music, within its bars or over a bar line. */
import { groupedBy } from '../../../model/grouped.ts';
import type { MovedBy } from '../../../model/readings/readings.ts';
import { isCompound, pulseQuarters, type Bar } from '../../../model/music/timeline.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import type { BarNote, NotesByBar } from '../bars/bar-notes.ts';
import { KEYS } from '../bars/key-sets.ts';
import { TOLERANCE_DIVISIONS } from '../matches/match-notes.ts';
import { barsUnderNote } from '../matches/part-sides.ts';
import { areHeldAlike } from './note-ways.ts';

/** So many of the notes keep their lengths: the last one may be cut short by what follows. */
const HELD_ALIKE_SHARE = 0.75;
/** Fewer notes beside others that stayed are another rhythm of the whole. Our conventions. */
const LEAST_BESIDE_OTHERS = 3;
/** Within a passage that differs otherwise too, so many notes on so many pitches are no chance; longer passages in it are not looked for. */
const LEAST_WITHIN = 4;
const LEAST_PITCHES_WITHIN = 3;
const MOST_BARS_WITHIN = 8;

export interface MovedPhrase {
  /** By index. */
  readonly bars: readonly number[];
  readonly moved: MovedBy;
  /** True where other notes of the part stayed in those bars. */
  readonly isInPart: boolean;
}

const COUNTS = ['no', 'a', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten', 'eleven'];

function countWord(count: number): string {
  return COUNTS[count] ?? String(count);
}

/** `half a beat`, `a beat`, `a beat and a half`, `two and a half beats`. */
function halvesText(halves: number): string {
  const beats = Math.floor(halves / 2);
  if (halves === 1) return 'half a beat';
  if (halves % 2 === 0) return beats === 1 ? 'a beat' : `${countWord(beats)} beats`;
  return beats === 1 ? 'a beat and a half' : `${countWord(beats)} and a half beats`;
}

const VALUE_NAMES: ReadonlyMap<number, string> = new Map([
  [1, 'quarter'],
  [0.5, 'eighth'],
  [0.25, 'sixteenth'],
]);

/** Of a beat of three units: `a beat`, `two eighths`. */
function unitsText(units: number, unitQuarters: number): string | undefined {
  if (units % 3 === 0) return halvesText((2 * units) / 3);
  const value = VALUE_NAMES.get(unitQuarters);
  if (value === undefined) return undefined;
  return units === 1 ? `${value === 'eighth' ? 'an' : 'a'} ${value}` : `${countWord(units)} ${value}s`;
}

/** By how much each name moves the notes of a bar, in divisions, the nearest places first: halves of a beat, or the units of one that has three, and less than a bar. */
function movesIn({ meter, lengthQuarters }: Bar): readonly (readonly [MovedBy, number])[] {
  const isOfThree = isCompound(meter);
  const step = pulseQuarters(meter) / (isOfThree ? 3 : 2);
  const found: (readonly [MovedBy, number])[] = [];
  for (let count = 1; count * step < lengthQuarters - 1e-6; count++) {
    const name = isOfThree ? unitsText(count, step) : halvesText(count);
    if (name === undefined) continue;
    found.push([`${name} later`, count * step * DIVISIONS_PER_QUARTER]);
    found.push([`${name} earlier`, -count * step * DIVISIONS_PER_QUARTER]);
  }
  return found;
}

/** How many notes begin in some bars. */
export function countIn(run: readonly number[], { counts }: NotesByBar): number {
  let sum = 0;
  for (let at = 0; at < run.length; at++) sum += counts[run[at] ?? -1] ?? 0;
  return sum;
}

/** True where the notes of some bars have the same pitches as those of before, each as often: whatever was moved within them. */
function haveSamePitches(run: readonly number[], before: NotesByBar, after: NotesByBar): boolean {
  if (countIn(run, before) !== countIn(run, after)) return false;
  const apart = new Int32Array(KEYS);
  const news = new Int32Array(KEYS);
  for (const bar of run) {
    before.countPitches(bar, apart);
    after.countPitches(bar, news);
  }
  return apart.every((count, midi) => count === news[midi]);
}

/** Notes of one pitch by where they begin, each of which can be taken once. */
class Places {
  readonly #notes = new Map<number, BarNote[]>();

  constructor(notes: readonly BarNote[]) {
    for (const note of notes) {
      const own = this.#notes.get(note.midi);
      if (own === undefined) this.#notes.set(note.midi, [note]);
      else own.push(note);
    }
  }

  take(midi: number, start: number): BarNote | undefined {
    const own = this.#notes.get(midi) ?? [];
    const at = own.findIndex((note) => Math.abs(note.start - start) <= TOLERANCE_DIVISIONS);
    return at < 0 ? undefined : own.splice(at, 1)[0];
  }
}

/** A note of before, and the one that it is now. */
type Pair = readonly [was: BarNote, is: BarNote];

interface Sides {
  /** Notes of before and now that have no counterpart at their place. */
  readonly lost: readonly BarNote[];
  readonly gained: readonly BarNote[];
  readonly stayed: readonly Pair[];
}

function sidesOf(olds: readonly BarNote[], news: readonly BarNote[]): Sides {
  const places = new Places(news);
  const lost: BarNote[] = [];
  const stayed: Pair[] = [];
  for (const was of olds) {
    const is = places.take(was.midi, was.start);
    if (is === undefined) lost.push(was);
    else stayed.push([was, is]);
  }
  const known = new Set(stayed.map(([, is]) => is));
  return { lost, stayed, gained: news.filter((note) => !known.has(note)) };
}

/**
 * The notes that all stand so much beside, each with the one that it is now; undefined where a note came or went for another reason. What repeats a
 * pitch at that distance comes to stand where another of its notes stood.
 */
function pairsAt({ lost, gained, stayed }: Sides, by: number): readonly Pair[] | undefined {
  const free = new Places(gained);
  const nowOf = new Map(stayed);
  const between = new Places([...nowOf.keys()]);
  const pairs: Pair[] = [];
  for (const first of lost) {
    let was = first;
    for (;;) {
      const is = free.take(was.midi, was.start + by);
      if (is !== undefined) {
        pairs.push([was, is]);
        break;
      }
      const next = between.take(was.midi, was.start + by);
      const now = next === undefined ? undefined : nowOf.get(next);
      if (next === undefined || now === undefined) return undefined;
      pairs.push([was, now]);
      was = next;
    }
  }
  return pairs;
}

/** True where most are held as they were. */
function areMostlyHeldAlike(pairs: readonly Pair[]): boolean {
  return pairs.filter(([was, is]) => areHeldAlike(was, is)).length >= HELD_ALIKE_SHARE * pairs.length;
}

/** The notes that were moved, in groups that no note which stayed parts. */
function groupsBetween(moved: readonly BarNote[], stayed: readonly BarNote[]): readonly (readonly BarNote[])[] {
  const starts = stayed.map(({ start }) => start).sort((a, b) => a - b);
  return [...groupedBy(moved, ({ start }) => starts.findLastIndex((other) => other <= start)).values()];
}

/**
 * True where those that stayed are another voice or another drum, or where phrases of some notes were moved between them: strokes on a chord of which
 * one comes later are another rhythm, as is every other note of a line.
 */
function areApart(pairs: readonly Pair[], stayed: readonly BarNote[]): boolean {
  const moved = pairs.map(([was]) => was);
  if (moved[0]?.part.unpitched === true) return true;
  const pitches = moved.map(({ midi }) => midi);
  const [low, high] = [Math.min(...pitches), Math.max(...pitches)];
  if (stayed.every(({ midi }) => midi > high) || stayed.every(({ midi }) => midi < low)) return true;
  return groupsBetween(moved, stayed).every(
    (group) =>
      new Set(group.map(({ start }) => start)).size >= LEAST_BESIDE_OTHERS &&
      new Set(group.map(({ midi }) => midi)).size > 1,
  );
}

/** How all that differs in some bars was moved. */
function movedIn(
  run: readonly number[],
  before: NotesByBar,
  after: NotesByBar,
  bars: readonly Bar[],
  isWithin: boolean,
): MovedPhrase | undefined {
  const place = bars[run[0] ?? -1];
  if (place === undefined || !haveSamePitches(run, before, after)) return undefined;
  const olds = run.flatMap((bar) => before.in(bar));
  const sides = sidesOf(
    olds,
    run.flatMap((bar) => after.in(bar)),
  );
  if (sides.lost.length === 0) return undefined;
  let best: { readonly moved: MovedBy; readonly pairs: readonly Pair[] } | undefined;
  for (const [moved, by] of movesIn(place)) {
    const pairs = pairsAt(sides, by);
    if (pairs !== undefined && pairs.length > (best?.pairs.length ?? 0)) best = { moved, pairs };
  }
  if (best === undefined || !areMostlyHeldAlike(best.pairs)) return undefined;
  const { moved, pairs } = best;
  const isPitched = pairs[0]?.[0].part.unpitched !== true;
  const pitches = new Set(pairs.map(([{ midi }]) => midi)).size;
  if (isWithin && (pairs.length < LEAST_WITHIN || (isPitched && pitches < LEAST_PITCHES_WITHIN))) return undefined;
  const own = new Set(pairs.map(([was]) => was));
  const stayed = olds.filter((note) => !own.has(note));
  if (stayed.length > 0 && (pairs.length < LEAST_BESIDE_OTHERS || !areApart(pairs, stayed))) return undefined;
  const inRun = new Set(run);
  const under = new Set(pairs.flat().flatMap((note) => barsUnderNote(bars, note)));
  return { bars: [...under].filter((bar) => inRun.has(bar)), moved, isInPart: stayed.length > 0 };
}

/** What was moved by less than a bar, where nothing else was done in some neighbouring bars. */
export function phraseOfRun(
  run: readonly number[],
  before: NotesByBar,
  after: NotesByBar,
  bars: readonly Bar[],
): MovedPhrase | undefined {
  return movedIn(run, before, after, bars, false);
}

/** Stretches of neighbouring bars in which all was moved so, beside what was done otherwise; no bar is in two. */
export function phrasesWithin(
  run: readonly number[],
  before: NotesByBar,
  after: NotesByBar,
  bars: readonly Bar[],
): readonly MovedPhrase[] {
  const found: MovedPhrase[] = [];
  for (let from = 0; from < run.length; from++) {
    for (let to = Math.min(run.length, from + MOST_BARS_WITHIN); to > from; to--) {
      const own = movedIn(run.slice(from, to), before, after, bars, true);
      if (own === undefined) continue;
      found.push(own);
      from = to - 1;
      break;
    }
  }
  return found;
}
