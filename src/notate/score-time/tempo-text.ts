/**
 * Tempo marks from the map: a metronome mark where a tempo stands that is new, words where it gives way (`rit.`, `accel.`), comes back
 * (`a tempo`; `Tempo I` after another) or never stands (`rubato`); not a mark at every point of a ramp. Words as in E. Gould, Behind Bars, on tempo (from memory).
 */
import type { Bar, Meter, TempoSegment, Timeline } from '../../model/music/timeline.ts';
import { isCompound, pulseQuarters } from '../../model/music/timeline.ts';

/** Shares by which a tempo is another, by which a bar goes on in a ramp, and which a ramp must make in all to be named. */
const REAL_CHANGE = 0.04;
const RAMP_STEP = 0.01;
const REAL_RAMP = 0.08;
const LASTING_BARS = 2;
/** A change so near to a bar line is at the bar line, in quarters. */
const NEAR_BAR_LINE = 0.25;
/** More words than one in so many bars are no directions but a way of playing. */
const BARS_A_WORD = 4;
const FEWEST_WORDS = 4;

type TempoBar = Pick<Bar, 'tempo' | 'meter'> & Partial<Pick<Bar, 'startQuarters'>>;

interface MetronomeBeat {
  readonly sign: string;
  readonly value: 'eighth' | 'quarter' | 'half';
  readonly isDotted: boolean;
  readonly quarters: number;
}

const QUARTER: MetronomeBeat = { sign: '♩', value: 'quarter', isDotted: false, quarters: 1 };
const BEATS: readonly MetronomeBeat[] = [
  { sign: '♪', value: 'eighth', isDotted: false, quarters: 0.5 },
  { sign: '♪.', value: 'eighth', isDotted: true, quarters: 0.75 },
  { sign: '♩.', value: 'quarter', isDotted: true, quarters: 1.5 },
  { sign: '𝅗𝅥', value: 'half', isDotted: false, quarters: 2 },
];

/** The felt beat of a meter, as metronome marks have it; the quarter where it is another. */
export function metronomeBeat(meter: Meter): MetronomeBeat {
  return BEATS.find(({ quarters }) => quarters === pulseQuarters(meter)) ?? QUARTER;
}

/** e.g. `♩ = 72`, `♩. = 54` in compound meters, `𝅗𝅥 = 58` in 2/2. */
export function tempoMark(quartersPerMinute: number, meter: Meter): string {
  const { sign, quarters } = metronomeBeat(meter);
  return `${sign} = ${String(Math.round(quartersPerMinute / quarters))}`;
}

function differs(a: number, b: number): boolean {
  return Math.abs(a - b) / b > REAL_CHANGE;
}

/** What stands over a bar; either may be there alone. */
export interface TempoDirection {
  readonly mark?: string;
  readonly words?: string;
  /** Quarters from the bar line to where the words stand; absent at the bar line. */
  readonly at?: number;
}

/** Whether the tempo of a bar stands: the next bars keep it. The last bars of a piece stand where at least two are alike. */
function stands(bars: readonly TempoBar[], index: number): boolean {
  const tempo = bars[index]?.tempo ?? 0;
  const next = bars.slice(index + 1, index + 1 + LASTING_BARS);
  const before = bars[index - 1];
  if (next.length === 0) return before === undefined || !differs(tempo, before.tempo);
  return next.every((bar) => !differs(bar.tempo, tempo));
}

function directionOf(from: number, to: number): -1 | 0 | 1 {
  const share = (to - from) / from;
  return share > RAMP_STEP ? 1 : share < -RAMP_STEP ? -1 : 0;
}

/** Last bar of the ramp that leads through a bar in one direction, and its first. */
function rampAround(bars: readonly TempoBar[], index: number, direction: -1 | 1): { first: number; last: number } {
  const goes = (at: number): boolean => directionOf(bars[at - 1]?.tempo ?? 0, bars[at]?.tempo ?? 0) === direction;
  let first = index;
  while (first > 1 && goes(first - 1)) first--;
  let last = index;
  while (last + 1 < bars.length && goes(last + 1)) last++;
  return { first, last };
}

/** Quarters into a bar at which the map leaves its tempo in a direction and does not turn back before the next bar; undefined where it keeps it. */
function leavesAt(
  bars: readonly TempoBar[],
  index: number,
  direction: -1 | 1,
  map: readonly TempoSegment[],
): number | undefined {
  const [start = 0, end = 0] = [bars[index]?.startQuarters, bars[index + 1]?.startQuarters];
  let tempo = bars[index]?.tempo ?? 0;
  let at: number | undefined;
  for (const { startQuarters, secondsPerQuarter } of map) {
    if (startQuarters <= start + NEAR_BAR_LINE || startQuarters >= end - NEAR_BAR_LINE) continue;
    if (directionOf(tempo, 60 / secondsPerQuarter) !== direction) return undefined;
    tempo = 60 / secondsPerQuarter;
    at ??= startQuarters - start;
  }
  return at;
}

/** Of each bar, read by its first tempo; by the map of tempos, words stand where within a bar it begins to give way. Undefined where nothing is printed. */
export function tempoDirections(
  bars: readonly TempoBar[],
  map: readonly TempoSegment[] = [],
): (TempoDirection | undefined)[] {
  const found: (TempoDirection | undefined)[] = bars.map(() => undefined);
  let shown: { tempo: number; compound: boolean } | undefined;
  let moving = false;
  let until = -1;
  const show = (bar: TempoBar, index: number): void => {
    const first = bars[0];
    // Where the first tempo stood until now, a little beside it is a new one and no return.
    const wasAway = first !== undefined && shown !== undefined && differs(shown.tempo, first.tempo);
    const isFirst = wasAway && !differs(bar.tempo, first.tempo);
    const isSameBeat = first !== undefined && isCompound(first.meter) === isCompound(bar.meter);
    shown = { tempo: bar.tempo, compound: isCompound(bar.meter) };
    moving = false;
    found[index] = isFirst && isSameBeat ? { words: 'Tempo I' } : { mark: tempoMark(bar.tempo, bar.meter) };
  };
  for (const [index, bar] of bars.entries()) {
    if (shown?.compound !== isCompound(bar.meter)) {
      show(bar, index);
      continue;
    }
    if (!differs(bar.tempo, shown.tempo)) {
      if (moving && index > until) {
        found[index] = { words: 'a tempo' };
        moving = false;
      }
      continue;
    }
    if (index < until || (index === until && !stands(bars, index))) continue;
    if (stands(bars, index)) {
      show(bar, index);
      continue;
    }
    const before = bars[index - 1]?.tempo ?? bar.tempo;
    const direction = directionOf(before, bar.tempo);
    if (direction === 0) continue;
    const { first, last } = rampAround(bars, index, direction);
    const start = bars[first - 1]?.tempo ?? before;
    if (Math.abs((bars[last]?.tempo ?? start) - start) / start < REAL_RAMP) continue;
    // A return over a bar or two is no direction of its own.
    if (moving && !differs(bars[last]?.tempo ?? start, shown.tempo)) continue;
    const word = direction > 0 ? 'accel.' : 'rit.';
    const at = leavesAt(bars, first - 1, direction, map);
    if (at !== undefined && found[first] === undefined && found[first - 1] === undefined) {
      found[first - 1] = { words: word, at };
    } else found[first] ??= { words: word };
    moving = true;
    until = last;
  }
  const words = found.filter((one) => one?.words !== undefined).length;
  if (words < FEWEST_WORDS || words * BARS_A_WORD <= bars.length) return found;
  return found.map((one, index) => {
    if (index === 0) return { ...one, words: 'rubato' };
    return one?.mark === undefined ? undefined : { mark: one.mark };
  });
}

/** What is printed over a bar, and quarters from the bar line to it. */
export interface TempoText {
  readonly text: string;
  readonly at: number;
}

/** Of each bar of a timeline; undefined where none is printed. */
export function tempoTexts({
  bars,
  tempo,
}: Pick<Timeline, 'tempo'> & { readonly bars: readonly TempoBar[] }): (TempoText | undefined)[] {
  return tempoDirections(bars, tempo).map(
    (one) => one && { text: [one.mark, one.words].filter((part) => part !== undefined).join(' '), at: one.at ?? 0 },
  );
}
