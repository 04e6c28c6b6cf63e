/** How alike two bars of a piece are: by their tune, their chords and the ground under them, or all their notes where nobody has the tune. */
import type { MelodyNote } from '../../model/readings/readings.ts';
import { groupedBy } from '../../model/grouped.ts';
import { distinct, overlap } from '../../model/sorted-sets.ts';
import { barIndexAt, type Bar } from '../../model/music/timeline.ts';
import type { WrittenNotes } from '../../model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';
import { chordAt } from '../harmony/chord-at.ts';

/** Places in a bar are told apart to this part of a quarter, so that a triplet has its own. */
const PLACES_IN_QUARTER = 24;
/** What the tune counts beside the chords under it (ours; set by reading the folders for tuning). */
const TUNE_WEIGHT = 0.65;

/** A bar over another ground by so many semitones differs, however like its tune and its chords are: its bass is gone, or has come. Our conventions. */
const OTHER_GROUND = 12;
const DIFFERENT = 0.8;

export interface BarSignature {
  readonly lengthQuarters: number;
  /** Sorted, once each: place and pitch of the tune; place and pitch class of everything. */
  readonly tune: readonly number[];
  readonly all: readonly number[];
  /** Key of the lowest note that sounds in the bar; undefined in silence, and where only drums play. */
  readonly lowest: number | undefined;
  /** Root and quality by quarter; '' where there is none. */
  readonly chords: readonly string[];
}

/** The lowest key that sounds in each bar. */
function lowestByBar(
  bars: readonly Bar[],
  { parts }: WrittenNotes,
  drumIds: ReadonlySet<string>,
): readonly (number | undefined)[] {
  const lowest = bars.map((): number | undefined => undefined);
  for (const { partId, notes } of parts) {
    if (drumIds.has(partId)) continue;
    for (const { start, length, midi } of notes) {
      const end = (start + length) / DIVISIONS_PER_QUARTER;
      for (let index = barIndexAt(bars, start / DIVISIONS_PER_QUARTER); index < bars.length; index++) {
        if ((bars[index]?.startQuarters ?? Infinity) >= end - 1e-4) break;
        lowest[index] = Math.min(lowest[index] ?? midi, midi);
      }
    }
  }
  return lowest;
}

/** Bars by how they are told apart, parallel to those of the timeline; `drumIds` are the parts without pitch. */
export function signaturesOf(
  bars: readonly Bar[],
  melody: readonly MelodyNote[],
  written: WrittenNotes,
  drumIds: ReadonlySet<string>,
): readonly BarSignature[] {
  const placeIn = (quarters: number, bar: Bar): number =>
    Math.round((quarters - bar.startQuarters) * PLACES_IN_QUARTER);
  const tunes = groupedBy(melody, ({ startQuarters }) => barIndexAt(bars, startQuarters));
  const all = groupedBy(
    written.parts.flatMap(({ notes }) => notes),
    ({ start }) => barIndexAt(bars, start / DIVISIONS_PER_QUARTER),
  );
  const lowest = lowestByBar(bars, written, drumIds);
  return bars.map((bar, index): BarSignature => {
    const chords = Array.from({ length: Math.max(1, Math.round(bar.lengthQuarters)) }, (_, quarter) => {
      const here = chordAt(written.chords, bar.startQuarters + quarter + 0.5);
      return here === undefined ? '' : `${String(here.tones[0])} ${here.quality}`;
    });
    return {
      lengthQuarters: bar.lengthQuarters,
      lowest: lowest[index],
      tune: distinct(
        (tunes.get(index) ?? []).map(({ startQuarters, midi }) => placeIn(startQuarters, bar) * 128 + midi),
      ),
      all: distinct(
        (all.get(index) ?? []).map(({ start, midi }) => placeIn(start / DIVISIONS_PER_QUARTER, bar) * 12 + (midi % 12)),
      ),
      chords,
    };
  });
}

/** 0..1; 0 for bars of different length, and where one of them is silent. */
export function likenessOf(one: BarSignature, other: BarSignature): number {
  if (Math.abs(one.lengthQuarters - other.lengthQuarters) > 1e-6) return 0;
  if (one.all.length === 0 || other.all.length === 0) return 0;
  const known = one.chords.filter((chord, index) => chord !== '' || other.chords[index] !== '').length;
  const same = one.chords.filter((chord, index) => chord !== '' && chord === other.chords[index]).length;
  const notes = one.tune.length + other.tune.length === 0 ? overlap(one.all, other.all) : overlap(one.tune, other.tune);
  const like = known === 0 ? notes : TUNE_WEIGHT * notes + ((1 - TUNE_WEIGHT) * same) / known;
  const apart = Math.abs((one.lowest ?? 0) - (other.lowest ?? 0));
  return apart >= OTHER_GROUND ? Math.min(like, DIFFERENT) : like;
}
