/** Who enters and leaves where: `+Hn`, `-Fl`. An entry follows a whole silent bar or the start, an exit precedes a whole silent bar. */
import type { Part } from '../model/arrangement.ts';
import type { WrittenPart } from '../model/written.ts';
import type { ScoreTime } from './score-time.ts';
import { barIndexAtDivision } from './score-time.ts';

export interface Cue {
  readonly start: number;
  readonly text: string;
  readonly kind: 'entry' | 'exit';
}

interface Presence {
  readonly label: string;
  /** Bar indices of the first and last sounding bar. */
  readonly from: number;
  readonly to: number;
  /** Divisions of the first onset and of the last end. */
  readonly start: number;
  readonly end: number;
}

/** Spans in which a part sounds without a whole silent bar, by its written notes. */
function presenceOf(part: Part, written: WrittenPart, time: ScoreTime): Presence[] {
  const spans: { label: string; from: number; to: number; start: number; end: number }[] = [];
  for (const note of written.notes) {
    const from = barIndexAtDivision(time, note.start);
    const end = note.start + note.length;
    const to = barIndexAtDivision(time, end - 1);
    const last = spans.at(-1);
    if (last !== undefined && from <= last.to + 1) {
      last.to = Math.max(last.to, to);
      last.end = Math.max(last.end, end);
    } else spans.push({ label: part.abbreviation, from, to, start: note.start, end });
  }
  return spans;
}

/** Labels of one place, short: `Vn 1, Vn 2` becomes `Vn 1, 2`. */
export function joinLabels(labels: readonly string[]): string {
  const texts: string[] = [];
  let stem = '';
  for (const label of [...new Set(labels)]) {
    const match = /^(.*\S)\s+(\d+)$/.exec(label);
    const [, name = '', number = ''] = match ?? [];
    if (match !== null && name === stem) texts.push(number);
    else texts.push(label);
    stem = match === null ? '' : name;
  }
  return texts.join(', ');
}

interface Event {
  readonly kind: 'entry' | 'exit';
  readonly bar: number;
  readonly place: number;
  readonly label: string;
}

/** Cues by bar index. No exit is given at the end of the piece. */
export function cuesOf(parts: readonly Part[], written: readonly WrittenPart[], time: ScoreTime): Cue[][] {
  const events: Event[] = [];
  const lastBar = time.bars.length - 1;
  for (const [index, part] of parts.entries()) {
    const own = written[index];
    if (own === undefined) continue;
    for (const span of presenceOf(part, own, time)) {
      events.push({ kind: 'entry', bar: span.from, place: span.start, label: span.label });
      if (span.to < lastBar) events.push({ kind: 'exit', bar: span.to, place: span.end, label: span.label });
    }
  }
  const bars: Cue[][] = time.bars.map(() => []);
  for (const kind of ['entry', 'exit'] as const) {
    const byBar = new Map<number, Event[]>();
    for (const event of events) {
      if (event.kind !== kind) continue;
      const known = byBar.get(event.bar);
      if (known === undefined) byBar.set(event.bar, [event]);
      else known.push(event);
    }
    for (const [bar, inBar] of byBar) bars[bar]?.push(...joinNear(inBar, kind, time, bar));
  }
  for (const cues of bars)
    cues.sort((a, b) => a.start - b.start || (a.kind === b.kind ? 0 : a.kind === 'exit' ? -1 : 1));
  return bars;
}

/** Events of one kind in one bar, those of one beat in one cue; inside a cue the parts stand in score order. */
function joinNear(events: readonly Event[], kind: 'entry' | 'exit', time: ScoreTime, barIndex: number): Cue[] {
  const bar = time.bars[barIndex];
  if (bar === undefined) return [];
  const cues: Cue[] = [];
  const byCell = new Map<number, Event[]>();
  for (const event of events) {
    const place = Math.min(event.place, bar.start + bar.length - 1);
    const cell = bar.cells.findLastIndex((item) => item.start <= place);
    const known = byCell.get(cell);
    if (known === undefined) byCell.set(cell, [event]);
    else known.push(event);
  }
  for (const group of byCell.values()) {
    const first = Math.min(...group.map((event) => event.place));
    const start = Math.min(first, bar.start + bar.length - 60);
    const sign = kind === 'entry' ? '+' : '-';
    cues.push({ start: Math.max(bar.start, start), text: sign + joinLabels(group.map((event) => event.label)), kind });
  }
  return cues;
}
