/** What is printed above a bar or said about it beside the notes. */
import type { Stage } from '../../model/music/arrangement.ts';
import { WHOLE_PIECE } from '../../model/music/arrangement.ts';
import type { ChordSpan, ScoreBar, ScoreCue, WrittenPart } from '../../model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';
import { PRINTED_COVERAGE, printedSymbol } from '../chords/chords.ts';
import type { Line } from './lines.ts';
import type { GridBar, ScoreTime } from '../score-time/score-time.ts';
import type { TempoText } from '../score-time/tempo-text.ts';

/** Names the player who takes the tune where it passes from one to another, at the first note of the new one. */
export function leadCues(
  front: readonly ReadonlySet<string>[],
  time: ScoreTime,
  labels: ReadonlyMap<string, string>,
  lines: readonly (readonly Line[])[],
): ScoreCue[][] {
  const several = new Set(front.flatMap((ids) => [...ids])).size > 1;
  let leading: readonly string[] = [];
  return time.bars.map((bar, index) => {
    const before = front[index - 1];
    const all = [...(front[index] ?? [])];
    const joining = all.filter((id) => before?.has(id) !== true);
    // Where one of several goes on alone, it is named again, unless it was the last to be named.
    const named = joining.length > 0 ? joining : all.length < (before?.size ?? 0) ? all : [];
    if (!several || named.length === 0 || named.join() === leading.join()) return [];
    leading = named;
    const notes = (lines[index] ?? []).filter((line) => named.includes(line.partId)).flatMap((line) => line.notes);
    const first = notes.length === 0 ? 0 : Math.min(...notes.map((note) => note.from));
    const text = named.map((id) => labels.get(id) ?? id).join(', ');
    return [{ start: bar.start + first, text, kind: 'lead', staff: 0 }];
  });
}

/** Names to print by the bar where they begin; none for the one section of a piece that nobody divided. */
export function sectionMarks({ sections }: Stage): ReadonlyMap<number, string> {
  const isUndivided = sections.length === 1 && sections[0]?.name === WHOLE_PIECE;
  if (isUndivided) return new Map();
  return new Map(sections.filter(({ name }) => name !== '').map(({ from, name }) => [from, name]));
}

export function unpitchedNotes(stage: Stage, written: readonly WrittenPart[], time: ScoreTime): Map<number, string[]> {
  const byBar = new Map<number, string[]>();
  for (const [index, part] of stage.parts.entries()) {
    const first = written[index]?.notes[0];
    if (!part.unpitched || first === undefined) continue;
    const bar = time.bars.findLastIndex((item) => item.start <= first.start);
    byBar.set(bar, [...(byBar.get(bar) ?? []), `${part.abbreviation} (unpitched, left out throughout)`]);
  }
  return byBar;
}

export function chordTexts(
  chords: readonly ChordSpan[],
  time: ScoreTime,
): { readonly start: number; readonly text: string }[][] {
  const byNumber = new Map(time.bars.map((bar, index) => [bar.number, index]));
  const bars: { start: number; text: string }[][] = time.bars.map(() => []);
  let before = '';
  let until = -Infinity;
  for (const chord of chords) {
    if (chord.coverage < PRINTED_COVERAGE) continue;
    const text = printedSymbol(chord.symbol);
    const repeated = text === before && chord.start - until < 1920;
    before = text;
    until = chord.start + chord.length;
    if (!repeated) bars[byNumber.get(chord.bar) ?? 0]?.push({ start: chord.start, text });
  }
  return bars;
}

/** What stands at the head of a bar of any score: number, place, meter, signature, section and tempo, each shown where it changes. */
export function barHead(
  bars: readonly GridBar[],
  index: number,
  marks: { readonly sections: ReadonlyMap<number, string>; readonly tempi: readonly (TempoText | undefined)[] },
  fifths: number,
  fifthsBefore: number,
): Pick<
  ScoreBar,
  | 'number'
  | 'startDivisions'
  | 'lengthDivisions'
  | 'meter'
  | 'showMeter'
  | 'fifths'
  | 'changedFromFifths'
  | 'sectionName'
  | 'tempoText'
  | 'tempoAt'
> {
  const bar = bars[index];
  if (bar === undefined) throw new Error(`there is no bar at ${String(index)}`);
  const before = bars[index - 1];
  const sectionName = marks.sections.get(bar.number);
  const tempo = marks.tempi[index];
  return {
    number: bar.number,
    startDivisions: bar.start,
    lengthDivisions: bar.length,
    meter: bar.meter,
    showMeter: before?.meter.numerator !== bar.meter.numerator || before.meter.denominator !== bar.meter.denominator,
    fifths,
    ...(fifths === fifthsBefore ? {} : { changedFromFifths: fifthsBefore }),
    ...(sectionName === undefined ? {} : { sectionName }),
    ...(tempo === undefined ? {} : { tempoText: tempo.text }),
    ...(tempo === undefined || tempo.at === 0 ? {} : { tempoAt: Math.round(tempo.at * DIVISIONS_PER_QUARTER) }),
  };
}
