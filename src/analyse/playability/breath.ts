/** Unbroken spans of a wind, brass or vocal part against what a breath lasts. */
import { instrumentById } from '../../model/music/catalogue.ts';
import type { Instrument } from '../../model/music/instrument.ts';
import type { Timeline } from '../../model/music/timeline.ts';
import { barIndexAt } from '../../model/music/timeline.ts';
import type { LevelModel } from '../level/level-model.ts';
import { loudnessAt } from '../level/level-model.ts';
import type { PlacedNote, PlacedPart } from '../placed-notes/placed-notes.ts';

/** A catch breath takes 0.3 to 0.5 s (from memory): a shorter pause is no place to breathe by itself. */
const CATCH_BREATH_SECONDS = 0.3;
/**
 * What a note can give up of itself for a catch breath without being missed: so that one of a second has a breath in it, and where the same pitch is
 * struck again, which is heard as a break in any case, one of three quarters (ours). A moment's lift before it is no breath.
 */
const GIVEN_UP = 0.3;
const GIVEN_UP_REPEATED = 0.4;

/**
 * A held note that is let go so long, and by so much of its way to the next, before that one begins was not played full, whatever is written: three and
 * a half beats of a whole note are a place to breathe. Shorter notes with such gaps are detached. Our conventions.
 */
const LET_GO_SECONDS = 0.15;
const LET_GO_SHARE = 0.1;
const HELD_SECONDS = 0.6;

/** Where the three marks of the catalogue stand on our scale of dynamics 0..1: the middles of `pp`, `mf` and `ff` of six. */
const PP_DYNAMIC = 1 / 12;
const MF_DYNAMIC = 7 / 12;
const FF_DYNAMIC = 11 / 12;

/** So many notes of a whole bar each, one on the other: nobody can tell where the breath is meant. Our convention. */
const ROW_NOTES = 12;

/** What has no written rest about a stretch is told beside it where it is so much longer. Our convention. */
export const MUCH_LONGER = 1.5;

export interface BreathSpan {
  readonly first: PlacedNote;
  readonly last: PlacedNote;
  readonly seconds: number;
  /** Whole bars held one on the other without a written rest: the player gets through, and no place for a breath is to be seen. */
  readonly isRow: boolean;
  /** The stretch about it without a pause or a written rest, in which a long note may give up its end for a breath: the span itself where it has rests about it. */
  readonly unbroken: { readonly first: PlacedNote; readonly last: PlacedNote; readonly seconds: number };
  /** What a breath lasts at the mean dynamic of the span: a planning value. */
  readonly breathSeconds: number;
}

function between(from: number, to: number, share: number): number {
  return from + (to - from) * Math.min(1, Math.max(0, share));
}

/** Seconds of one breath at a dynamic 0..1, on straight lines between the catalogue's pp, mf and ff; undefined for who needs none. */
function breathSecondsAt(instrument: Instrument | undefined, dynamic: number): number | undefined {
  const breath = instrument?.breathSeconds;
  if (breath === undefined) return undefined;
  return dynamic <= MF_DYNAMIC
    ? between(breath.pp, breath.mf, (dynamic - PP_DYNAMIC) / (MF_DYNAMIC - PP_DYNAMIC))
    : between(breath.mf, breath.ff, (dynamic - MF_DYNAMIC) / (FF_DYNAMIC - MF_DYNAMIC));
}

/** True where a held note was let go well before the next one begins. */
function isLetGo(endSecond: number, previous: PlacedNote, next: PlacedNote): boolean {
  const { startSecond } = previous.played;
  const [gap, step] = [next.played.startSecond - endSecond, next.played.startSecond - startSecond];
  return gap >= LET_GO_SECONDS && gap >= LET_GO_SHARE * step && endSecond - startSecond >= HELD_SECONDS;
}

/**
 * Places of the notes that go on a row of whole bars: each as long as its bar or longer, each where the one before ends and played up to it, all of one
 * length, twelve and more of them. The end of a phrase, a longer note or a shorter one, ends a row: there a player breathes.
 */
function rowOf(notes: readonly PlacedNote[], { bars }: Timeline): ReadonlySet<number> {
  const found = new Set<number>();
  const isWhole = ({ startQuarters, endQuarters }: PlacedNote): boolean =>
    endQuarters - startQuarters >= (bars[barIndexAt(bars, startQuarters)]?.lengthQuarters ?? Infinity) - EVEN;
  let from = 0;
  notes.forEach((note, index) => {
    const before = notes[index - 1];
    const goesOn =
      before !== undefined &&
      isWhole(note) &&
      isWhole(before) &&
      !isLetGo(before.played.endSecond, before, note) &&
      Math.abs(note.startQuarters - before.endQuarters) < EVEN &&
      Math.abs(note.endQuarters - note.startQuarters - before.endQuarters + before.startQuarters) < EVEN;
    if (!goesOn) from = index;
    const length = index - from + 1;
    if (length > ROW_NOTES) found.add(index);
    else if (length === ROW_NOTES) for (let place = from + 1; place <= index; place++) found.add(place);
  });
  return found;
}

/** Quarters by which written places may differ and be the same. */
const EVEN = 0.01;

interface OpenSpan {
  readonly first: PlacedNote;
  isRow: boolean;
  /** The note that began last. */
  previous: PlacedNote;
  last: PlacedNote;
  endSecond: number;
  weighted: number;
  weight: number;
}

/** Dynamic of a note at its middle, 0..1. */
function dynamicOf(note: PlacedNote, model: LevelModel): number {
  const track = model.tracks[note.played.trackIndex];
  const middle = (note.startQuarters + note.endQuarters) / 2 + note.shiftQuarters;
  return track === undefined ? 0.5 : loudnessAt(track, note.played.velocity, middle).dynamic;
}

/**
 * True where the player can breathe before `next`: a pause, or a written rest with what the note before it can give up. That a note is struck again,
 * detached, is neither.
 */
function canBreathe({ endSecond, previous }: OpenSpan, next: PlacedNote): boolean {
  if (next.played.startSecond - endSecond >= CATCH_BREATH_SECONDS) return true;
  const step = next.played.startSecond - previous.played.startSecond;
  const stepQuarters = next.startQuarters - previous.startQuarters;
  const rest = stepQuarters <= 0 ? 0 : Math.max(0, (next.startQuarters - previous.endQuarters) / stepQuarters);
  const givenUp = previous.midi === next.midi ? GIVEN_UP_REPEATED : GIVEN_UP;
  return step * (rest + givenUp * (1 - rest)) >= CATCH_BREATH_SECONDS;
}

/** True where one span follows another with neither a pause nor a written rest between them, nor a held note that was let go. */
function goesOn({ endSecond, previous }: OpenSpan, { first }: OpenSpan): boolean {
  const isPaused = first.played.startSecond - endSecond >= CATCH_BREATH_SECONDS;
  return !isPaused && !isLetGo(endSecond, previous, first) && first.startQuarters - previous.endQuarters < EVEN;
}

function unbrokenAbout(spans: readonly OpenSpan[], index: number): BreathSpan['unbroken'] {
  const pairAt = (at: number): boolean => {
    const [one, next] = [spans[at], spans[at + 1]];
    return one !== undefined && next !== undefined && goesOn(one, next);
  };
  let [from, to] = [index, index];
  while (pairAt(from - 1)) from--;
  while (pairAt(to)) to++;
  const [begin, end] = [spans[from], spans[to]] as [OpenSpan, OpenSpan];
  return { first: begin.first, last: end.last, seconds: end.endSecond - begin.first.played.startSecond };
}

/**
 * Spans of a part without a place to breathe, as performed: no pause of 0.3 s, the end of a note before a rest or of a long one counted in, unless it
 * is one of a row of whole bars. Empty for a part that needs no breath.
 */
export function breathSpansOf(
  { part, notes }: PlacedPart,
  model: LevelModel,
  timeline: Timeline,
): readonly BreathSpan[] {
  const instrument = instrumentById(part.instrument);
  if (instrument?.breathSeconds === undefined) return [];
  const spans: OpenSpan[] = [];
  const row = rowOf(notes, timeline);
  for (const [index, note] of notes.entries()) {
    const { startSecond, endSecond } = note.played;
    const weight = Math.max(endSecond - startSecond, 1e-3);
    const weighted = weight * dynamicOf(note, model);
    const open = spans.at(-1);
    const isPaused = open !== undefined && note.played.startSecond - open.endSecond >= CATCH_BREATH_SECONDS;
    const isInRow = row.has(index) && !isPaused;
    if (open !== undefined && (isInRow || !canBreathe(open, note))) {
      open.isRow ||= isInRow;
      if (endSecond > open.endSecond) open.last = note;
      open.endSecond = Math.max(open.endSecond, endSecond);
      open.previous = note;
      open.weight += weight;
      open.weighted += weighted;
    } else spans.push({ first: note, isRow: false, previous: note, last: note, endSecond, weight, weighted });
  }
  return spans.map(({ first, isRow, last, endSecond, weight, weighted }, index) => ({
    first,
    isRow,
    last,
    seconds: endSecond - first.played.startSecond,
    unbroken: unbrokenAbout(spans, index),
    breathSeconds: breathSecondsAt(instrument, weighted / weight) ?? Number.POSITIVE_INFINITY,
  }));
}
