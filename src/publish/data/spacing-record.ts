/** The spread between high and low in the data export, and the families as a CSV table. */
import type { SpacingReading } from '../../model/readings/spacing.ts';
import type { CsvTable } from './csv.ts';
import { rounded } from './rounding.ts';

/** `spacing` of a stage, null where it was not measured. */
export function spacingRecord(spacing: SpacingReading | undefined): object | null {
  if (spacing === undefined) return null;
  return {
    families: spacing.families.map(({ family, bar, low, high, centre, distance, isFromTune }) => ({
      family,
      bar,
      low,
      high,
      centre: rounded(centre, 2),
      distance: distance ?? null,
      isFromTune: isFromTune ?? false,
    })),
    octaves: spacing.octaves.map(({ bar, octave, notes }) => ({ bar, octave, notes: rounded(notes, 3) })),
    spaces: spacing.spaces.map(({ bar, low, high }) => ({ bar, low, high })),
    lowIntervals: spacing.lowIntervals.map(({ bar, low, high, partIds, under, bandwidths, quarters }) => ({
      bar,
      low,
      high,
      parts: partIds,
      under,
      bandwidths: rounded(bandwidths, 3),
      quarters: rounded(quarters),
    })),
  };
}

/** A row for every family of the background and bar; the distance is negative below the foreground, or below its tune where it plays chords. */
export const SPACING_TABLE: CsvTable = {
  name: 'spacing',
  columns: () => ['bar', 'family', 'lowMidi', 'highMidi', 'meanMidi', 'semitonesFromForeground'],
  rows: ({ readings }) =>
    (readings.spacing?.families ?? []).map(({ family, bar, low, high, centre, distance }) => [
      bar,
      family,
      low,
      high,
      rounded(centre, 2),
      distance,
    ]),
};
