/** How the first sample breathes: tempo, and how strongly it is played, bar by bar. */
import { BARS, TOTAL_EIGHTHS, barOf, barAt } from './notation.ts';
import type { PieceClock } from './perform.ts';

/** Quarter notes a minute, from a bar and an eighth in it on. */
export const TEMPI: readonly { readonly bar: number; readonly eighth: number; readonly tempo: number }[] = [
  { bar: 0, eighth: 0, tempo: 78 },
  { bar: 15, eighth: 3, tempo: 74 },
  { bar: 16, eighth: 0, tempo: 70 },
  { bar: 16, eighth: 3, tempo: 64 },
  { bar: 16, eighth: 6, tempo: 58 },
  { bar: 17, eighth: 0, tempo: 60 },
  { bar: 25, eighth: 0, tempo: 63 },
  { bar: 26, eighth: 0, tempo: 60 },
  { bar: 27, eighth: 0, tempo: 57 },
  { bar: 28, eighth: 0, tempo: 52 },
  { bar: 28, eighth: 4, tempo: 46 },
  { bar: 28, eighth: 7, tempo: 62 },
  { bar: 29, eighth: 0, tempo: 78 },
  { bar: 40, eighth: 0, tempo: 74 },
  { bar: 40, eighth: 6, tempo: 68 },
  { bar: 41, eighth: 0, tempo: 66 },
  { bar: 41, eighth: 3, tempo: 60 },
  { bar: 42, eighth: 0, tempo: 72 },
  { bar: 45, eighth: 0, tempo: 68 },
  { bar: 46, eighth: 0, tempo: 60 },
  { bar: 46, eighth: 3, tempo: 54 },
  { bar: 47, eighth: 0, tempo: 48 },
  { bar: 48, eighth: 0, tempo: 44 },
];

export function tempoAt(eighths: number): number {
  return TEMPI.findLast((point) => barOf(point.bar).start + point.eighth <= eighths + 1e-9)?.tempo ?? 78;
}

/** 0 softest to 1 loudest at the start of each bar, 0 to 48; straight lines between. */
const STRENGTHS: readonly number[] = [
  0.48, 0.55, 0.62, 0.6, 0.52, 0.56, 0.55, 0.6, 0.5, 0.55, 0.62, 0.68, 0.62, 0.6, 0.54, 0.5, 0.4, 0.4, 0.46, 0.5, 0.46,
  0.48, 0.46, 0.54, 0.62, 0.82, 0.76, 0.58, 0.46, 0.52, 0.58, 0.56, 0.5, 0.58, 0.6, 0.62, 0.5, 0.62, 0.74, 0.86, 0.74,
  0.54, 0.44, 0.42, 0.42, 0.38, 0.34, 0.28, 0.24,
];

export function strengthAt(eighths: number): number {
  const bar = barAt(eighths);
  const here = STRENGTHS[bar.number] ?? 0.4;
  const next = STRENGTHS[bar.number + 1] ?? 0.15;
  return here + ((next - here) * (eighths - bar.start)) / bar.length;
}

/** What a player of the first sample needs to know of bars, tempo and strength. */
export const CLOCK: PieceClock = { bars: BARS, totalEighths: TOTAL_EIGHTHS, tempoAt, strengthAt };
