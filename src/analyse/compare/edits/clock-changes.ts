/** Tempo and meter of the bars that both stages have. */
import { median } from '../../../model/music/dynamics.ts';
import type { MeterDifference, TempoChange } from '../../../model/readings/readings.ts';
import type { Bar } from '../../../model/music/timeline.ts';

/** A smaller difference comes from rounding in the files. */
const TEMPO_APART = 0.01;

export interface BarPair {
  readonly before: Bar;
  readonly after: Bar;
}

/** The bars that both stages have, in the order of the later one. */
export function barPairs(
  before: readonly Bar[],
  after: readonly Bar[],
  beforeOf: readonly number[],
): readonly BarPair[] {
  const pairs: BarPair[] = [];
  for (let index = 0; index < after.length; index++) {
    const [earlier, bar] = [before[beforeOf[index] ?? -1], after[index]];
    if (earlier !== undefined && bar !== undefined) pairs.push({ before: earlier, after: bar });
  }
  return pairs;
}

/** Quarter notes per minute through the whole bar. */
function meanTempo({ lengthQuarters, lengthSeconds, tempo }: Bar): number {
  return lengthSeconds > 0 && lengthQuarters > 0 ? (60 * lengthQuarters) / lengthSeconds : tempo;
}

/** Neighbouring pairs of one kind; pairs without a kind are left out. Bars that only one stage has do not part a run. */
function runsOf(pairs: readonly BarPair[], kindOf: (pair: BarPair) => string): readonly (readonly BarPair[])[] {
  const runs: BarPair[][] = [];
  let kind = '';
  for (const pair of pairs) {
    const own = kindOf(pair);
    if (own !== '' && own === kind) runs.at(-1)?.push(pair);
    else if (own !== '') runs.push([pair]);
    kind = own;
  }
  return runs;
}

function endsOf(run: readonly BarPair[]): { readonly from: number; readonly to: number } {
  return { from: run[0]?.after.number ?? 0, to: run.at(-1)?.after.number ?? 0 };
}

/** Runs of bars that are faster, or slower, than they were; medians of the bars' mean tempos. */
export function tempoChanges(pairs: readonly BarPair[]): readonly TempoChange[] {
  const kindOf = (pair: BarPair): string => {
    const ratio = meanTempo(pair.after) / meanTempo(pair.before);
    return ratio > 1 + TEMPO_APART ? 'faster' : ratio < 1 / (1 + TEMPO_APART) ? 'slower' : '';
  };
  return runsOf(pairs, kindOf).map((run) => ({
    ...endsOf(run),
    before: median(run.map((pair) => meanTempo(pair.before))) ?? 0,
    after: median(run.map((pair) => meanTempo(pair.after))) ?? 0,
  }));
}

/** Runs of bars with another meter. */
export function meterDifferences(pairs: readonly BarPair[]): readonly MeterDifference[] {
  const text = ({ meter }: Bar): string => `${meter.numerator}/${meter.denominator}`;
  const isSame = ({ before: { meter: one }, after: { meter: other } }: BarPair): boolean =>
    one === other || (one.numerator === other.numerator && one.denominator === other.denominator);
  const kindOf = (pair: BarPair): string => (isSame(pair) ? '' : `${text(pair.before)} ${text(pair.after)}`);
  return runsOf(pairs, kindOf).flatMap((run) => {
    const first = run[0];
    return first === undefined ? [] : [{ ...endsOf(run), before: first.before.meter, after: first.after.meter }];
  });
}
