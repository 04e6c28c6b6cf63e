/** How alike two bars of a piece are: by their tune, their chords, or all their notes where nobody has the tune. */
import type { MelodyNote } from '../../model/readings/readings.ts';
import { groupedBy } from '../../model/grouped.ts';
import { barIndexAt, type Bar } from '../../model/music/timeline.ts';
import type { WrittenStage } from '../../model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';

/** Places in a bar are told apart to this part of a quarter, so that a triplet has its own. */
const PLACES_IN_QUARTER = 24;
/** What the tune counts beside the chords under it (ours; set by reading the folders for tuning). */
const TUNE_WEIGHT = 0.65;

interface Signature {
  readonly lengthQuarters: number;
  /** Sorted, once each: place and pitch of the tune; place and pitch class of everything. */
  readonly tune: readonly number[];
  readonly all: readonly number[];
  /** Root and quality by quarter; '' where there is none. */
  readonly chords: readonly string[];
}

function sortedOnce(tokens: readonly number[]): number[] {
  return [...new Set(tokens)].sort((a, b) => a - b);
}

/** Dice's coefficient of two sorted lists, 0..1. */
function shared(one: readonly number[], other: readonly number[]): number {
  let same = 0;
  let at = 0;
  for (const token of one) {
    while (at < other.length && (other[at] as number) < token) at++;
    if (other[at] === token) same++;
  }
  return one.length + other.length === 0 ? 0 : (2 * same) / (one.length + other.length);
}

/** Bars by how they are told apart, parallel to those of the timeline. */
export function signaturesOf(
  bars: readonly Bar[],
  melody: readonly MelodyNote[],
  written: WrittenStage,
): readonly Signature[] {
  const placeIn = (quarters: number, bar: Bar | undefined): number =>
    Math.round((quarters - (bar?.startQuarters ?? 0)) * PLACES_IN_QUARTER);
  const tunes = groupedBy(melody, ({ startQuarters }) => barIndexAt(bars, startQuarters));
  const all = new Map<number, number[]>();
  for (const { notes } of written.parts) {
    for (const { start, midi } of notes) {
      const quarters = start / DIVISIONS_PER_QUARTER;
      const index = barIndexAt(bars, quarters);
      const tokens = all.get(index) ?? [];
      tokens.push(placeIn(quarters, bars[index]) * 12 + (midi % 12));
      all.set(index, tokens);
    }
  }
  let chord = 0;
  return bars.map((bar, index): Signature => {
    const chords = Array.from({ length: Math.max(1, Math.round(bar.lengthQuarters)) }, (_, quarter) => {
      const at = (bar.startQuarters + quarter + 0.5) * DIVISIONS_PER_QUARTER;
      while (chord < written.chords.length && endOf(written.chords[chord]) <= at) chord++;
      const here = written.chords[chord];
      return here === undefined || here.start > at ? '' : `${String(here.tones[0])} ${here.quality}`;
    });
    return {
      lengthQuarters: bar.lengthQuarters,
      tune: sortedOnce(
        (tunes.get(index) ?? []).map(({ startQuarters, midi }) => placeIn(startQuarters, bar) * 128 + midi),
      ),
      all: sortedOnce(all.get(index) ?? []),
      chords,
    };
  });
}

function endOf(chord: WrittenStage['chords'][number] | undefined): number {
  return chord === undefined ? Infinity : chord.start + chord.length;
}

/** 0..1; 0 for bars of different length, and where one of them is silent. */
export function likenessOf(one: Signature, other: Signature): number {
  if (Math.abs(one.lengthQuarters - other.lengthQuarters) > 1e-6) return 0;
  if (one.all.length === 0 || other.all.length === 0) return 0;
  const known = one.chords.filter((chord, index) => chord !== '' || other.chords[index] !== '').length;
  const same = one.chords.filter((chord, index) => chord !== '' && chord === other.chords[index]).length;
  const notes = one.tune.length + other.tune.length === 0 ? shared(one.all, other.all) : shared(one.tune, other.tune);
  return known === 0 ? notes : TUNE_WEIGHT * notes + ((1 - TUNE_WEIGHT) * same) / known;
}

export type BarSignature = Signature;
