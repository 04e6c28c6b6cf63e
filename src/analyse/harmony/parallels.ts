/** Parallel fifths and octaves between two lines. */
import type { Doubling } from '../../model/readings/readings.ts';
import type { Timeline } from '../../model/music/timeline.ts';
import { barIndexAt } from '../../model/music/timeline.ts';
import type { PlacedNote, PlacedPart } from '../placed-notes/placed-notes.ts';
import { FULL_DOUBLINGS } from '../lines/doublings.ts';
import { topLineOf } from '../lines/top-line.ts';

export interface Parallel {
  readonly barIndex: number;
  readonly kind: 'fifths' | 'octaves';
  /** Indices of the two parts among the placed ones. */
  readonly parts: readonly [number, number];
  /** From the first pair of notes to the second. */
  readonly from: readonly [PlacedNote, PlacedNote];
  readonly to: readonly [PlacedNote, PlacedNote];
}

/** A rest longer than this between two notes breaks the motion, in quarters. */
const JOINED_QUARTERS = 0.25;
/** So many notes in a row at the octave are a doubling and no fault. */
const DOUBLING_RUN = 3;
/** Two voices of a choir have a part each: three notes at the octave are still a fault there. */
const DOUBLING_RUN_OF_VOICES = 4;

/** For every bar and part, the parts before it in the score that it doubles there at the unison or octave. */
function doubledByBar(
  doublings: readonly Doubling[],
  placed: readonly PlacedPart[],
  { bars }: Timeline,
): readonly ReadonlyMap<number, readonly number[]>[] {
  const indexOf = new Map(placed.map(({ part }, index) => [part.id, index]));
  const byBar = bars.map(() => new Map<number, number[]>());
  const firstBar = bars[0]?.number ?? 1;
  for (const { interval, partIds, from, to } of doublings) {
    if (!FULL_DOUBLINGS.includes(interval)) continue;
    const [one = 0, other = 0] = partIds.map((id) => indexOf.get(id) ?? 0).sort((a, b) => a - b);
    for (let index = Math.max(0, from - firstBar); index <= to - firstBar; index++) {
      byBar[index]?.set(other, [...(byBar[index]?.get(other) ?? []), one]);
    }
  }
  return byBar;
}

function joined(before: PlacedNote, after: PlacedNote): boolean {
  return after.startQuarters - before.endQuarters <= JOINED_QUARTERS;
}

type Pair = readonly [PlacedNote, PlacedNote];

/** Interval class counted upward from the lower of the two notes. */
function intervalOf([one, other]: Pair): number {
  return Math.abs(one.midi - other.midi) % 12;
}

/** The same perfect interval before and after, the same part above; whether the parts moved is another question. */
function keptInterval(from: Pair, to: Pair): Parallel['kind'] | undefined {
  if (!joined(from[0], to[0]) || !joined(from[1], to[1])) return undefined;
  if (from[0].midi >= from[1].midi !== to[0].midi >= to[1].midi) return undefined;
  const now = intervalOf(to);
  if (now !== intervalOf(from)) return undefined;
  if (now === 7) return 'fifths';
  return now === 0 ? 'octaves' : undefined;
}

function moveTogether(from: Pair, to: Pair): boolean {
  return (to[0].midi - from[0].midi) * (to[1].midi - from[1].midi) > 0;
}

function parallelsOfPair(
  lines: readonly [readonly PlacedNote[], readonly PlacedNote[]],
  parts: readonly [number, number],
  timeline: Timeline,
  doublingRun: number,
): readonly Parallel[] {
  const [one, other] = lines;
  const found: Parallel[] = [];
  // Steps from one octave to the next, repeated notes among them, and the parallels that they hold.
  let octaveSteps = 0;
  let octaves: Parallel[] = [];
  const endRun = (): void => {
    if (octaveSteps + 1 < doublingRun) found.push(...octaves);
    octaveSteps = 0;
    octaves = [];
  };
  let second = 0;
  for (let first = 1; first < one.length; first++) {
    const upper = one[first];
    const before = one[first - 1];
    if (upper === undefined || before === undefined) break;
    while ((other[second]?.startQuarters ?? Infinity) < upper.startQuarters) second++;
    const lower = other[second];
    const beneath = other[second - 1];
    const isShared = lower?.startQuarters === upper.startQuarters && beneath !== undefined;
    const from: Pair = [before, beneath ?? before];
    const to: Pair = [upper, lower ?? upper];
    const kind = isShared ? keptInterval(from, to) : undefined;
    if (kind !== 'octaves') endRun();
    if (kind === undefined) continue;
    if (kind === 'octaves') octaveSteps++;
    if (!moveTogether(from, to)) continue;
    const barIndex = barIndexAt(timeline.bars, upper.startQuarters);
    (kind === 'octaves' ? octaves : found).push({ barIndex, kind, parts, from, to });
  }
  endRun();
  return found;
}

/**
 * Parallel fifths and octaves between the top lines of pitched parts that `isPair` wants compared, where both move the same way at the same time from
 * one fifth (octave) to the next. A part that doubles another in that bar is left out where the other is compared with the
 * same partner, so that a fault is told once; and three notes in a row at the octave are a doubling.
 */
export function parallelsOf(
  placed: readonly PlacedPart[],
  doublings: readonly Doubling[],
  timeline: Timeline,
  isPair: (one: PlacedPart, other: PlacedPart) => boolean,
): readonly Parallel[] {
  const doubled = doubledByBar(doublings, placed, timeline);
  const lines = placed.map((part) => (part.part.unpitched ? [] : topLineOf(part)));
  const found = placed.flatMap((one, first) =>
    placed.slice(first + 1).flatMap((other, offset) => {
      const second = first + 1 + offset;
      if (!isPair(one, other)) return [];
      const areSung = one.part.family === 'voice' && other.part.family === 'voice';
      const run = areSung ? DOUBLING_RUN_OF_VOICES : DOUBLING_RUN;
      return parallelsOfPair([lines[first] ?? [], lines[second] ?? []], [first, second], timeline, run);
    }),
  );
  const places = new Set(
    found.flatMap(({ parts: [one, other], to }) => [
      `${String(one)}/${String(other)} ${String(to[0].startQuarters)}`,
      `${String(other)}/${String(one)} ${String(to[0].startQuarters)}`,
    ]),
  );
  const isToldElsewhere = (index: number, partner: number, { barIndex, to }: Parallel): boolean =>
    (doubled[barIndex]?.get(index) ?? []).some((model) => {
      // Whether two voices double one another, the run of their octaves tells.
      if (model === partner) return placed[model]?.part.family !== 'voice' || placed[index]?.part.family !== 'voice';
      // Who is doubled may have come from elsewhere.
      return places.has(`${String(model)}/${String(partner)} ${String(to[0].startQuarters)}`);
    });
  return found.filter((parallel) => {
    const [one, other] = parallel.parts;
    return !isToldElsewhere(one, other, parallel) && !isToldElsewhere(other, one, parallel);
  });
}
