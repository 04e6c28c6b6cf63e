/** What each part plays in each quarter of a bar, and what it costs to read that as written or as swung. */
import type { ScoreTime } from '../score-time/score-time.ts';

/** The onsets of one part in one quarter. */
export interface Figure {
  readonly barIndex: number;
  readonly partIndex: number;
  /** Start of the quarter in divisions. */
  readonly start: number;
  readonly quarterMs: number;
  /** Places of the onsets in quarters from its start, in order; slightly negative where the first was played early. */
  readonly phases: readonly number[];
}

/** `unit` is what is swung, `share` the part of a pair that its long value takes (2/3 for a ratio of 2). */
export interface Swing {
  readonly unit: 'eighth' | '16th';
  readonly share: number;
}

const QUARTER = 480;
/** An onset this little before a quarter belongs to it, in divisions. */
const EARLY = 48;
/** Closer than this is one chord. */
const TOGETHER_MS = 30;

/** Whether bars of this meter can swing: those that are counted in quarters or halves. */
export function canSwing(denominator: number): boolean {
  return denominator === 2 || denominator === 4;
}

/** Figures of all parts, sorted by part and time; `places` are played onsets in divisions by part, lateness taken out. */
export function figuresOf(places: readonly (readonly number[])[], time: ScoreTime): Figure[] {
  const figures: Figure[] = [];
  for (const [partIndex, list] of places.entries()) {
    const sorted = [...list].sort((a, b) => a - b);
    let barIndex = 0;
    let open: { barIndex: number; start: number; phases: number[] } | undefined;
    for (const place of sorted) {
      while (barIndex + 1 < time.bars.length && (time.bars[barIndex + 1]?.start ?? 0) <= place + EARLY) barIndex++;
      const bar = time.bars[barIndex];
      if (bar === undefined || !canSwing(bar.meter.denominator)) continue;
      // The quarters of a pickup are counted from its end.
      const origin = bar.number === 0 ? bar.start + bar.length : bar.start;
      const start = origin + QUARTER * Math.floor((place + EARLY - origin) / QUARTER);
      const phase = (place - start) / QUARTER;
      const quarterMs = bar.millisecondsPerDivision * QUARTER;
      if (open?.start !== start) {
        open = { barIndex, start, phases: [] };
        figures.push({ barIndex, partIndex, start, quarterMs, phases: open.phases });
      }
      const last = open.phases.at(-1);
      if (last === undefined || (phase - last) * quarterMs >= TOGETHER_MS) open.phases.push(phase);
    }
  }
  return figures;
}

/** Onsets played to a click spread about so far (methods: 10 to 20 ms), and one slip costs at most this, in nats. */
const SPREAD_MS = 20;
const WORST_FIT = 6;
/** Two onsets that would be written at one place. */
const COLLAPSED = 3;

/** Cost in nats of playing `phases` for the places `slots`. */
function fitCost(phases: readonly number[], slots: readonly number[], quarterMs: number): number {
  const scale = (quarterMs * quarterMs) / (2 * SPREAD_MS * SPREAD_MS);
  let cost = 0;
  let before = -1;
  for (const phase of phases) {
    let nearest = 0;
    for (let slot = 1; slot < slots.length; slot++) {
      if (Math.abs((slots[slot] ?? 0) - phase) < Math.abs((slots[nearest] ?? 0) - phase)) nearest = slot;
    }
    const off = phase - (slots[nearest] ?? 0);
    cost += Math.min(WORST_FIT, off * off * scale) + (nearest === before ? COLLAPSED : 0);
    before = nearest;
  }
  return cost;
}

/** Places of a figure and what its notation costs beside a plain quarter, in nats: beams, dots and brackets that have to be read. */
type Reading = readonly [slots: readonly number[], cost: number];

const BEAT: Reading = [[0], 0];
const TRIPLET = [0, 1 / 3, 2 / 3];
const SIXTEENTHS = [0, 0.25, 0.5, 0.75];
const EIGHTHS_COST = 0.7;
const SIXTEENTHS_COST = 1.9;
const DOTTED_COST = 0.9;
const TRIPLET_COST = 1.5;
/** Triplets are rarer in music that swings: where they are many, the short-long-short of the beat is itself a triplet. */
const TRIPLET_IN_SWING = 2.9;
/** Sixteenths within swung eighths, as even halves of the long and the short one. */
const SIXTEENTHS_IN_SWING = 4;
const SEXTUPLET_COST = 4;

const AS_PLAYED: readonly Reading[] = [
  BEAT,
  [[0, 0.5], EIGHTHS_COST],
  [[0, 0.75], DOTTED_COST],
  [SIXTEENTHS, SIXTEENTHS_COST],
  [TRIPLET, TRIPLET_COST],
  [[0, 1 / 6, 1 / 3, 0.5, 2 / 3, 5 / 6], SEXTUPLET_COST],
];

function bestOf(figure: Figure, readings: readonly Reading[]): number {
  let least = Infinity;
  for (const [slots, cost] of readings) {
    if (cost < least) least = Math.min(least, cost + fitCost(figure.phases, slots, figure.quarterMs));
  }
  return least;
}

/** Cost of a figure that is written as it was played. */
export function plainCost(figure: Figure): number {
  return bestOf(figure, AS_PLAYED);
}

/** Ways in which a figure of swung music is written with the places that the swing gives it. */
function swungReadings({ unit, share }: Swing): readonly Reading[] {
  const half = share / 2;
  if (unit === '16th') {
    return [BEAT, [[0, 0.5], EIGHTHS_COST], [[0, half, 0.5, 0.5 + half], SIXTEENTHS_COST]];
  }
  return [BEAT, [[0, share], EIGHTHS_COST], [[0, half, share, (1 + share) / 2], SIXTEENTHS_IN_SWING]];
}

/** Ways in which it keeps the places that were played. */
const UNSWUNG: readonly Reading[] = [
  [TRIPLET, TRIPLET_IN_SWING],
  [SIXTEENTHS, SIXTEENTHS_COST + 0.6],
];

/** Costs of a figure under a swing. */
export function swingCosts(swing: Swing): (figure: Figure) => number {
  const readings = [...swungReadings(swing), ...UNSWUNG];
  return (figure) => bestOf(figure, readings);
}

/** Whether a figure of swung music keeps the places that were played: a true triplet, or sixteenths that do not swing. */
export function staysUnswung(figure: Figure, swing: Swing): boolean {
  return figure.phases.length > 2 && bestOf(figure, UNSWUNG) < bestOf(figure, swungReadings(swing));
}
