/** How the texture is spread between high and low: families, octaves, open spaces, narrow intervals in the depth. */
import type { Part } from '../../model/music/arrangement.ts';
import { groupedBy } from '../../model/grouped.ts';
import type { MelodyNote, RegisterReading } from '../../model/readings/readings.ts';
import type { LowInterval, OctaveCrowding, OpenSpace, SpacingReading } from '../../model/readings/spacing.ts';
import type { Bar } from '../../model/music/timeline.ts';
import { bandwidthsApart, underLowLimit } from '../harmony/low-interval-limits.ts';
import type { Slice, SoundingNote } from '../placed-notes/slices.ts';
import { familyEnvelopes } from './family-envelope.ts';
import { tuneSpans } from './tune-spans.ts';

function quartersOf({ startQuarters, endQuarters }: Slice): number {
  return endQuarters - startQuarters;
}

/** Pairs of neighbours from low to high, unisons left out. */
function neighbours(sounding: readonly SoundingNote[]): readonly (readonly [SoundingNote, SoundingNote])[] {
  return sounding.flatMap((high, index) => {
    const low = sounding[index - 1];
    return low === undefined || low.note.midi === high.note.midi ? [] : [[low, high] as const];
  });
}

function octavesOf(bar: Bar, slices: readonly Slice[]): readonly OctaveCrowding[] {
  const quarters = new Map<number, number>();
  for (const slice of slices) {
    for (const { note } of slice.sounding) {
      const octave = Math.floor(note.midi / 12) - 1;
      quarters.set(octave, (quarters.get(octave) ?? 0) + quartersOf(slice));
    }
  }
  return [...quarters]
    .sort(([one], [other]) => one - other)
    .map(([octave, sum]) => ({ bar: bar.number, octave, notes: sum / bar.lengthQuarters }));
}

function spaceOf(bar: Bar, slices: readonly Slice[]): readonly OpenSpace[] {
  const widest = slices.flatMap((slice) => {
    const [first, ...others] = neighbours(slice.sounding);
    if (first === undefined) return [];
    const size = ([low, high]: readonly [SoundingNote, SoundingNote]): number => high.note.midi - low.note.midi;
    const [low, high] = others.reduce((most, pair) => (size(pair) > size(most) ? pair : most), first);
    return [{ low: low.note.midi, high: high.note.midi, quarters: quartersOf(slice) }];
  });
  widest.sort((a, b) => a.high - a.low - (b.high - b.low));
  const half = widest.reduce((sum, { quarters }) => sum + quarters, 0) / 2;
  let reached = 0;
  const median = widest.find(({ quarters }) => (reached += quarters) >= half - 1e-9);
  return median === undefined ? [] : [{ bar: bar.number, low: median.low, high: median.high }];
}

function lowIntervalOf(bar: Bar, slices: readonly Slice[], parts: readonly Part[]): readonly LowInterval[] {
  // Drums have few pitches to choose from and are heard as strokes.
  const isPitch = ({ partIndex }: SoundingNote): boolean => parts[partIndex]?.family !== 'percussion';
  let quarters = 0;
  let worst: { readonly low: SoundingNote; readonly high: SoundingNote; readonly under: number } | undefined;
  for (const slice of slices) {
    let isLow = false;
    for (const [low, high] of neighbours(slice.sounding.filter(isPitch))) {
      const under = underLowLimit(low.note.midi, high.note.midi);
      if (under === 0) continue;
      isLow = true;
      if (worst === undefined || under > worst.under) worst = { low, high, under };
    }
    if (isLow) quarters += quartersOf(slice);
  }
  if (worst === undefined) return [];
  const [low, high] = [worst.low.note.midi, worst.high.note.midi];
  const ids = [worst.low, worst.high].flatMap(({ partIndex }) => parts[partIndex]?.id ?? []);
  return [
    {
      bar: bar.number,
      low,
      high,
      partIds: [...new Set(ids)],
      under: worst.under,
      bandwidths: bandwidthsApart(low, high),
      quarters,
    },
  ];
}

/** Spread of a stage; `slices` name parts by their index in `parts`, `front` is by bar index, `melody` the foreground's top line. */
export function spacingOf(
  parts: readonly Part[],
  bars: readonly Bar[],
  slices: readonly Slice[],
  register: readonly RegisterReading[],
  front: readonly ReadonlySet<string>[],
  melody: readonly MelodyNote[],
): SpacingReading {
  const byBar = groupedBy(slices, ({ barIndex }) => barIndex);
  const inBars = <T>(read: (bar: Bar, inBar: readonly Slice[]) => readonly T[]): readonly T[] =>
    bars.flatMap((bar, index) => read(bar, byBar.get(index) ?? []));
  return {
    families: familyEnvelopes(
      register,
      parts,
      front,
      bars[0]?.number ?? 1,
      tuneSpans(parts, bars, byBar, front, melody),
    ),
    octaves: inBars(octavesOf),
    spaces: inBars(spaceOf),
    lowIntervals: inBars((bar, inBar) => lowIntervalOf(bar, inBar, parts)),
  };
}
