/** The second sample as a whole: *The Salt Stair* for clarinet, harp and string quartet. */
import type { SamplePiece } from './make-sample.ts';
import type { PieceClock } from './perform.ts';
import { STAIR_BARS, stairChords } from './stair-music.ts';
import { STAIR_STAGES } from './stair-stages.ts';
import { STAIR_TEXTS } from './stair-texts.ts';

/** Quarter notes a minute, from a bar and an eighth in it on. */
const TEMPI: SamplePiece['tempi'] = [
  { bar: 0, eighth: 0, tempo: 92 },
  { bar: 15, eighth: 4, tempo: 86 },
  { bar: 16, eighth: 0, tempo: 80 },
  { bar: 17, eighth: 0, tempo: 72 },
  { bar: 22, eighth: 4, tempo: 68 },
  { bar: 23, eighth: 4, tempo: 62 },
  { bar: 24, eighth: 0, tempo: 66 },
  { bar: 25, eighth: 0, tempo: 114 },
  { bar: 35, eighth: 3, tempo: 108 },
  { bar: 36, eighth: 0, tempo: 100 },
  { bar: 36, eighth: 3, tempo: 92 },
  { bar: 37, eighth: 0, tempo: 80 },
  { bar: 39, eighth: 0, tempo: 72 },
  { bar: 39, eighth: 4, tempo: 64 },
  { bar: 40, eighth: 0, tempo: 56 },
];

/** 0 softest to 1 loudest at the start of each bar, 0 to 40; straight lines between. */
const STRENGTHS: readonly number[] = [
  0.45, 0.5, 0.55, 0.55, 0.5, 0.58, 0.66, 0.6, 0.52, 0.52, 0.55, 0.62, 0.66, 0.72, 0.62, 0.52, 0.44, 0.42, 0.48, 0.46,
  0.52, 0.6, 0.68, 0.55, 0.42, 0.55, 0.56, 0.6, 0.58, 0.6, 0.66, 0.6, 0.56, 0.7, 0.68, 0.62, 0.52, 0.44, 0.4, 0.34,
  0.26,
];

function barAt(eighths: number): (typeof STAIR_BARS)[number] {
  const bar = STAIR_BARS.findLast((each) => each.start <= eighths + 1e-9) ?? STAIR_BARS[0];
  if (bar === undefined) throw new Error('the piece has no bars');
  return bar;
}

export const STAIR_CLOCK: PieceClock = {
  bars: STAIR_BARS,
  totalEighths: STAIR_BARS.reduce((sum, bar) => sum + bar.length, 0),
  tempoAt: (eighths) =>
    TEMPI.findLast((point) => (STAIR_BARS[point.bar]?.start ?? 0) + point.eighth <= eighths + 1e-9)?.tempo ?? 92,
  strengthAt: (eighths) => {
    const bar = barAt(eighths);
    const here = STRENGTHS[bar.number] ?? 0.4;
    const next = STRENGTHS[bar.number + 1] ?? 0.15;
    return here + ((next - here) * (eighths - bar.start)) / bar.length;
  },
};

export const STAIR: SamplePiece = {
  slug: 'salt-stair',
  clock: STAIR_CLOCK,
  tempi: TEMPI,
  keys: [
    { bar: 0, fifths: 2, minor: false },
    { bar: 17, fifths: 2, minor: true },
    { bar: 25, fifths: 2, minor: false },
  ],
  // The sections stand in the settings; no file has a marker.
  markers: [],
  chords: stairChords(),
  stages: STAIR_STAGES,
  texts: STAIR_TEXTS,
};
