/** Bars that only the later stage has, and the tempo that is another in them than beside them. */
import type { Stage } from '../../../model/music/arrangement.ts';
import { pulseQuarters, type Bar } from '../../../model/music/timeline.ts';
import { barSpanText, runsOf } from '../../../model/words/plain-words.ts';
import type { StageChange } from '../../../model/readings/readings.ts';

const SAME_TEMPO = 0.01;

export interface FreshTempo {
  /** Of the later stage. */
  readonly bars: readonly number[];
  /** `slower from bar 20, beat 3, on: quarter = 80 instead of 92`. */
  readonly text: string;
}

interface Place {
  readonly bar: Bar;
  readonly beat: number;
  /** Quarters a minute. */
  readonly tempo: number;
}

/** Tempos nearer to one another than this share are one. */
export function areOneTempo(one: number, other: number): boolean {
  return Math.abs(one / other - 1) < SAME_TEMPO;
}

/** Where another tempo begins in some bars, and the tempo before that. */
function changesIn({ timeline }: Stage, bars: readonly Bar[], before: number): readonly Place[] {
  let last = before;
  const found: Place[] = [];
  for (const bar of bars) {
    const end = bar.startQuarters + bar.lengthQuarters;
    const own = timeline.tempo.filter(({ startQuarters: at }) => at > bar.startQuarters + 1e-6 && at < end - 1e-6);
    const starts = [
      { at: bar.startQuarters, tempo: bar.tempo },
      ...own.map(({ startQuarters: at, secondsPerQuarter }) => ({ at, tempo: 60 / secondsPerQuarter })),
    ];
    for (const { at, tempo } of starts) {
      if (areOneTempo(tempo, last)) continue;
      last = tempo;
      found.push({ bar, beat: 1 + (at - bar.startQuarters) / pulseQuarters(bar.meter), tempo });
    }
  }
  return found;
}

/** What a metronome mark counts, by its quarters. */
export function unitText(pulse: number): string {
  return pulse === 1.5 ? 'dotted quarter' : pulse === 1 ? 'quarter' : `${String(pulse)} quarters`;
}

function beatsText(tempo: number, bar: Bar): string {
  return String(Math.round(tempo / pulseQuarters(bar.meter)));
}

function placeText({ bar, beat }: Place): string {
  const place = Math.round(10 * beat) / 10;
  return place === 1 ? `bar ${String(bar.number)} on` : `bar ${String(bar.number)}, beat ${String(place)}, on`;
}

/** Tempos of bars that are new, told against the bar before them, or of bars before all others against the bar behind them. */
export function freshTempos({ barOrder }: StageChange, stage: Stage): readonly FreshTempo[] {
  const { bars } = stage.timeline;
  return runsOf([...barOrder.inserted, ...barOrder.appended]).flatMap(({ from, to }): FreshTempo[] => {
    const run = bars.filter(({ number }) => number >= from && number <= to);
    const [first] = run;
    const next = bars[bars.findIndex(({ number }) => number === to) + 1];
    const place = bars.findIndex(({ number }) => number === from);
    const previous = bars[place - 1];
    if (first === undefined) return [];
    const before =
      previous === undefined
        ? first.tempo
        : (changesIn(stage, [previous], previous.tempo).at(-1)?.tempo ?? previous.tempo);
    const numbers = run.map(({ number }) => number);
    if (previous === undefined && next !== undefined && !areOneTempo(first.tempo, next.tempo)) {
      const way = first.tempo < next.tempo ? 'slower' : 'faster';
      return [
        {
          bars: numbers,
          text: `${way} in ${barSpanText(from, to)} than in what follows: ${unitText(pulseQuarters(first.meter))} = ${beatsText(first.tempo, first)} and then ${beatsText(next.tempo, next)}`,
        },
      ];
    }
    const changes = changesIn(stage, run, before);
    const [one] = changes;
    const last = changes.at(-1);
    if (one === undefined || last === undefined) return [];
    const way = last.tempo < before ? 'slower' : 'faster';
    const little = changes.length === 1 ? '' : ' little by little';
    const values = `${unitText(pulseQuarters(one.bar.meter))} = ${beatsText(last.tempo, last.bar)} ${changes.length === 1 ? 'instead of' : 'in the end, from'} ${beatsText(before, one.bar)}`;
    if (areOneTempo(last.tempo, before))
      return [
        { bars: numbers, text: `another in ${barSpanText(one.bar.number, last.bar.number)} and then that of before` },
      ];
    return [{ bars: numbers, text: `${way}${little} from ${placeText(one)}: ${values}` }];
  });
}
