/**
 * Music that swings: pairs of equal written values played long and short. One search over the bars (Viterbi) sets, bar by bar, what the
 * playing costs as it stands against what it costs under a swing of every ratio; swing must pay for being announced. Measured ratios run from
 * nearly even at fast tempi to about 3.5:1 at slow ones (A. Friberg, A. Sundström, Music Perception 19(3), 2002, from memory).
 */
import type { Section } from '../../model/music/arrangement.ts';
import type { SwingSpan } from '../../model/music/written.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import type { Figure, Swing } from './swing-figures.ts';
import { canSwing, figuresOf, plainCost, swingCosts } from './swing-figures.ts';

/** A direction at the start of the piece, and one that comes later, in nats. */
const ANNOUNCED = 9;
const CHANGED = 20;
const IMPOSSIBLE = 1e6;
const LEAST_RATIO = 1.2;
const MOST_RATIO = 3.2;
/** From here on long and short are a dotted rhythm, unless the section is called swing: 2.6 : 1. */
const DOTTED_SHARE = 0.722;
/** Fewer pairs than this announce nothing. */
const FEWEST_PAIRS = 8;
const STRETCH_BARS = 8;
const MOST_ARE_PAIRS = 0.5;
/** Where the short note of a pair can begin, as a share of the pair. */
const EARLIEST = 0.535;
const LATEST = 0.8;
const SHARES = [0.55, 0.565, 0.58, 0.595, 0.61, 0.625, 0.64, 0.655, 0.67, 0.685, 0.7, 0.715] as const;
const DOTTED_SHARES = [0.73, 0.745, 0.76] as const;
const UNITS = ['eighth', '16th'] as const;

const SWING_WORDS = /\b(swing|swings|swung|shuffle)\b/i;
const STRAIGHT_WORDS = /\b(straight|even (eighths|8ths|sixteenths|16ths))\b/i;

/** Where the short notes of pairs begin in a figure that has nothing else, as shares of a pair; empty for any other figure. */
function pairPhases({ phases }: Figure, unit: Swing['unit']): number[] {
  const shares =
    unit === 'eighth'
      ? phases.filter((phase) => phase > 0.15)
      : phases.map((phase) => 2 * (phase >= 0.45 ? phase - 0.5 : phase)).filter((share) => share > 0.2);
  const most = unit === 'eighth' ? 1 : 2;
  return shares.length <= most && shares.every((share) => share > EARLIEST && share < LATEST) ? shares : [];
}

/** What is worth a search: stretches of bars in which most of what divides a quarter divides it long and short, often enough. */
function unitsToSearch(figures: readonly Figure[], bars: number): readonly Swing['unit'][] {
  return UNITS.filter((unit) => {
    const pairs = new Float64Array(bars);
    const divided = new Float64Array(bars);
    for (const figure of figures) {
      const { barIndex, phases } = figure;
      if (!phases.some((phase) => phase > 0.15)) continue;
      divided[barIndex] = (divided[barIndex] ?? 0) + 1;
      if (pairPhases(figure, unit).length > 0) pairs[barIndex] = (pairs[barIndex] ?? 0) + 1;
    }
    let long = 0;
    let all = 0;
    for (let bar = 0; bar < bars; bar++) {
      long += (pairs[bar] ?? 0) - (pairs[bar - STRETCH_BARS] ?? 0);
      all += (divided[bar] ?? 0) - (divided[bar - STRETCH_BARS] ?? 0);
      if (long >= FEWEST_PAIRS && long >= MOST_ARE_PAIRS * all) return true;
    }
    return false;
  });
}

/** Players of one figure at one time are not as many independent witnesses. */
function weightsOf(figures: readonly Figure[]): Map<number, number> {
  const counts = new Map<number, number>();
  for (const { start, phases } of figures) {
    if (phases.some((phase) => phase > 0.15)) counts.set(start, (counts.get(start) ?? 0) + 1);
  }
  return new Map([...counts].map(([start, count]) => [start, 1 / Math.sqrt(count)]));
}

type Named = 'swing' | 'straight' | undefined;

function namedBars(sections: readonly Section[], time: ScoreTime): Named[] {
  return time.bars.map(({ number }) => {
    const name = sections.find(({ from, to }) => number >= from && number <= to)?.name ?? '';
    return STRAIGHT_WORDS.test(name) ? 'straight' : SWING_WORDS.test(name) ? 'swing' : undefined;
  });
}

/** Index into `swings` of every bar, -1 where it is written as played. */
function searchBars(
  figures: readonly Figure[],
  time: ScoreTime,
  named: readonly Named[],
  swings: readonly Swing[],
): number[] {
  const bars = time.bars.length;
  const weights = weightsOf(figures);
  // Costs against the plain reading; row by swing, column by bar.
  const gains = swings.map(() => new Float64Array(bars));
  const costs = swings.map(swingCosts);
  for (const figure of figures) {
    if (!figure.phases.some((phase) => phase > 0.15)) continue;
    const plain = plainCost(figure);
    const weight = weights.get(figure.start) ?? 1;
    for (const [index, cost] of costs.entries()) {
      const row = gains[index] as Float64Array;
      row[figure.barIndex] = (row[figure.barIndex] as number) + weight * (cost(figure) - plain);
    }
  }
  const states = swings.length + 1;
  let reached = new Float64Array(states).fill(ANNOUNCED);
  reached[0] = 0;
  const back: Int32Array[] = [];
  for (const [bar, { meter }] of time.bars.entries()) {
    const isNamed = named[bar] === 'swing';
    const changed = isNamed && named[bar - 1] !== 'swing' ? ANNOUNCED / 2 : CHANGED;
    let cheapest = 0;
    for (let state = 1; state < states; state++) {
      if ((reached[state] as number) < (reached[cheapest] as number)) cheapest = state;
    }
    const from = new Int32Array(states);
    const next = new Float64Array(states);
    for (let state = 0; state < states; state++) {
      const leaving = (reached[cheapest] as number) + changed;
      const stays = (reached[state] as number) <= leaving || bar === 0;
      from[state] = stays ? state : cheapest;
      const cost = stays ? (reached[state] as number) : leaving;
      if (state === 0) next[state] = cost;
      else {
        const { share } = swings[state - 1] as Swing;
        const isOpen = canSwing(meter.denominator) && named[bar] !== 'straight' && (share <= DOTTED_SHARE || isNamed);
        next[state] = cost + (isOpen ? (gains[state - 1]?.[bar] ?? 0) : IMPOSSIBLE);
      }
    }
    back.push(from);
    reached = next;
  }
  let state = reached.indexOf(Math.min(...reached));
  const path: number[] = [];
  for (let bar = bars - 1; bar >= 0; bar--) {
    path[bar] = state - 1;
    state = back[bar]?.[state] ?? state;
  }
  return path;
}

function middle(numbers: readonly number[]): number {
  const sorted = [...numbers].sort((a, b) => a - b);
  return sorted[sorted.length >> 1] ?? 0;
}

/** Bars of `path` from `from` to `to` (excluded) with the ratio as measured; undefined where it comes to nothing. */
function measured(
  figures: readonly Figure[],
  time: ScoreTime,
  swing: Swing,
  from: number,
  to: number,
  isNamed: boolean,
): SwingSpan | undefined {
  const own = figures.filter(({ barIndex }) => barIndex >= from && barIndex < to);
  const pairs = own.flatMap((figure) => pairPhases(figure, swing.unit));
  const near = pairs.filter((share) => Math.abs(share - swing.share) < 0.1);
  const onBeats = own.flatMap(({ phases }) => phases.filter((phase) => Math.abs(phase) < 0.1));
  const size = swing.unit === 'eighth' ? 1 : 2;
  const share = middle(near) - size * middle(onBeats);
  const ratio = Math.round((10 * share) / (1 - share)) / 10;
  if (near.length < FEWEST_PAIRS || ratio < LEAST_RATIO || ratio > MOST_RATIO) return undefined;
  if (share > DOTTED_SHARE && !isNamed) return undefined;
  return {
    from: time.bars[from]?.number ?? 1,
    to: time.bars[to - 1]?.number ?? 1,
    unit: swing.unit,
    ratio,
  };
}

/**
 * The spans of a stage that swing. `places` are the played onsets of each part in divisions, lateness taken out. A section whose name says that it
 * swings, or is straight, is believed.
 */
export function findSwing(
  places: readonly (readonly number[])[],
  time: ScoreTime,
  sections: readonly Section[],
): readonly SwingSpan[] {
  const figures = figuresOf(places, time);
  const named = namedBars(sections, time);
  const shares = named.includes('swing') ? [...SHARES, ...DOTTED_SHARES] : SHARES;
  const swings = unitsToSearch(figures, time.bars.length).flatMap((unit) => shares.map((share) => ({ unit, share })));
  if (swings.length === 0) return [];
  const path = searchBars(figures, time, named, swings);
  const spans: SwingSpan[] = [];
  for (let from = 0; from < path.length;) {
    let to = from + 1;
    while (to < path.length && path[to] === path[from]) to++;
    const swing = swings[path[from] ?? -1];
    const span = swing === undefined ? undefined : measured(figures, time, swing, from, to, named[from] === 'swing');
    if (span !== undefined) spans.push(span);
    from = to;
  }
  return spans;
}
