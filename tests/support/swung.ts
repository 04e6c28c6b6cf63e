/** Music in invented rhythms that is played long and short. */
import type { ScoreNote } from './musicxml-score.ts';
import { seeded } from './playing.ts';

/** Starts of one beat in beats, and how often they come. */
export type Rhythms = readonly (readonly number[])[];

/** A line of so many beats of `beatQuarters`, each with one of the rhythms. */
export function inventedLine(rhythms: Rhythms, beats: number, seed: number, beatQuarters = 1): ScoreNote[] {
  const next = seeded(seed);
  const starts = Array.from({ length: beats }, (_, beat) =>
    (rhythms[Math.floor(next() * rhythms.length)] ?? [0]).map((place) => (beat + place) * beatQuarters),
  ).flat();
  let midi = 67;
  return starts.map((start, index): ScoreNote => {
    midi = Math.min(81, Math.max(60, midi + Math.round(next() * 8 - 4)));
    const end = starts[index + 1] ?? beats * beatQuarters;
    const pitch = { step: 'C', alter: 0, octave: 4 } as const;
    return { midi, pitch, start, length: end - start, staff: 1, voice: '1' };
  });
}

function isTriplet(quarters: number): boolean {
  return Math.abs(((quarters * 3) % 1) - 0) < 1e-6 && Math.abs(quarters - Math.round(quarters)) > 1e-6;
}

/** Where a place is played when pairs of `pairQuarters` swing in the ratio long to short; true triplets keep their time. */
export function swungPlace(quarters: number, ratio: number, pairQuarters = 1): number {
  if (isTriplet(quarters)) return quarters;
  const share = ratio / (1 + ratio);
  const pair = Math.floor(quarters / pairQuarters + 1e-9);
  const within = quarters / pairQuarters - pair;
  const played = within <= 0.5 ? 2 * within * share : share + 2 * (within - 0.5) * (1 - share);
  return (pair + played) * pairQuarters;
}
