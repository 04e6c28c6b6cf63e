/** The map of the piece: section, clock, key, meter and tempo wherever one of them changes. */
import type { Stage } from '../../../model/music/arrangement.ts';
import { counted, minutesText } from '../../../model/words/plain-words.ts';
import { pulseQuarters, type Bar } from '../../../model/music/timeline.ts';
import type { KeySpan } from '../../../model/music/written.ts';
import { keyText, meterText, tempoText } from '../../numbers-and-names.ts';
import { barLink, cell, type LinkedTable, type Run } from '../page-frame/sheet.ts';

/** Tempo changes smaller than this, in a rubato, are no new row. */
const TEMPO_STEP = 0.12;
/** A tempo that is kept for so many bars is a new one from a smaller step on: about what is heard (2 to 5 %, from memory). */
const KEPT_BARS = 4;
const KEPT_STEP = 0.03;
const SAME_TEMPO = 0.01;
const MOST_ROWS = 60;

interface State {
  readonly section: string;
  readonly key: string;
  readonly meter: string;
  /** Quarters per minute. */
  readonly tempo: number;
}

function stateAt(bar: Bar, stage: Stage, keys: readonly KeySpan[]): State {
  const section = stage.sections.find(({ from, to }) => bar.number >= from && bar.number <= to);
  const key = keys.find(({ from, to }) => bar.number >= from && bar.number <= to);
  return {
    section: section?.name ?? '',
    key: key === undefined ? '' : keyText(key),
    meter: meterText(bar.meter),
    tempo: bar.tempo,
  };
}

function differs(before: State | undefined, now: State, isKept: boolean): boolean {
  if (before === undefined) return true;
  const { section, key, meter, tempo } = before;
  const step = isKept ? KEPT_STEP : TEMPO_STEP;
  return section !== now.section || key !== now.key || meter !== now.meter || Math.abs(now.tempo / tempo - 1) >= step;
}

/** Rows in order of bars; the tempo is that of the bar, in beats of its meter. */
export function mapTable(stage: Stage, keys: readonly KeySpan[]): LinkedTable {
  const rows: (readonly (readonly Run[])[])[] = [];
  let before: State | undefined;
  for (const [index, bar] of stage.timeline.bars.entries()) {
    const state = stateAt(bar, stage, keys);
    const next = stage.timeline.bars.slice(index, index + KEPT_BARS);
    const isKept = next.length === KEPT_BARS && next.every(({ tempo }) => Math.abs(tempo / bar.tempo - 1) < SAME_TEMPO);
    if (!differs(before, state, isKept)) continue;
    const fresh = (text: string, old: string | undefined): readonly Run[] =>
      cell(text === '' ? '–' : text === old ? '·' : text);
    rows.push([
      [barLink(bar.number)],
      cell(minutesText(bar.startSecond)),
      fresh(state.section, before?.section),
      fresh(state.key, before?.key),
      fresh(state.meter, before?.meter),
      cell(tempoText([bar])),
    ]);
    before = state;
  }
  const more = rows.length - MOST_ROWS;
  return {
    caption: 'Sections, keys, meters and tempos with the clock',
    columns: ['Bar', 'Clock', 'Section', 'Key', 'Meter', 'Tempo'].map((label, index) => ({
      label,
      isNumeric: index < 2,
    })),
    rows: rows.slice(0, MOST_ROWS),
    remark: `${more > 0 ? `${counted(more, 'more change')} not listed here. ` : ''}A dot: as before. Tempo changes of less than ${String(Math.round(100 * TEMPO_STEP))} % that do not last have no row of their own${stage.timeline.bars.some(({ meter }) => pulseQuarters(meter) !== 1) ? '; the beat is that of the meter' : ''}.`,
  };
}
