/** Dynamics of the layers of a score as printed: one mark where the level changes, a hairpin where it moves steadily. */
import type { DynamicMark, WrittenNote, WrittenPart } from '../../model/music/written.ts';
import { DYNAMIC_LEVELS } from '../../model/music/written.ts';
import type { Part, Stage } from '../../model/music/arrangement.ts';
import { drawnHairpins } from './drawn-hairpins.ts';
import { dynamicPath } from './dynamic-path.ts';
import type { LayerSound } from './dynamic-places.ts';
import { layerSound, standOnNotes } from './dynamic-places.ts';
import { layerDynamics } from './played-dynamics.ts';
import type { LayerPart } from './played-dynamics.ts';
import { isAlike } from '../../model/alike.ts';
import { asPlayed } from '../known-parts.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import { barIndexAtDivision } from '../score-time/score-time.ts';

/** After so many silent bars the level is printed again, changed or not. */
const SILENT_BARS = 2;

interface Span {
  /** Cell indices, both included. */
  readonly from: number;
  readonly to: number;
}

/** Stretches of a curve without a whole bar of silence. */
function spansOf(curve: readonly (number | undefined)[], time: ScoreTime): Span[] {
  const spans: { from: number; to: number }[] = [];
  for (const [index, value] of curve.entries()) {
    if (value === undefined) continue;
    const last = spans.at(-1);
    const gap = last === undefined ? Infinity : barsBetween(last.to, index, time);
    if (last !== undefined && gap < 1) last.to = index;
    else spans.push({ from: index, to: index });
  }
  return spans;
}

/** Whole bars between two cells. */
function barsBetween(from: number, to: number, time: ScoreTime): number {
  return (time.cells[to]?.barIndex ?? 0) - (time.cells[from]?.barIndex ?? 0) - 1;
}

/** Where a hairpin from cell `from` arrives: on the bar line where that is one beat before (common practice, no source). */
function arrivalOf(cell: number, from: number, time: ScoreTime): number {
  const bar = time.bars[time.cells[cell]?.barIndex ?? 0];
  if (bar === undefined || bar.cells.length < 3) return cell;
  return cell === bar.firstCell + 1 && from < bar.firstCell ? bar.firstCell : cell;
}

/** Where so much of a change comes at once, over a breath or between two notes, it is a new mark and no hairpin (ours; for such as last four cells or more). */
const AT_ONCE = 0.45;
const FEWEST_CELLS = 4;

/** The cell at which most of a change from one cell to another comes at once; undefined where it is gradual. */
function jumpIn(curve: readonly (number | undefined)[], from: number, to: number): number | undefined {
  const heard = curve.slice(from, to + 1).flatMap((value, at) => (value === undefined ? [] : [{ value, at }]));
  const change = (heard.at(-1)?.value ?? 0) - (heard[0]?.value ?? 0);
  if (to - from < FEWEST_CELLS || change === 0) return undefined;
  const steps = heard.slice(1).map(({ value, at }, index) => ({ by: value - (heard[index]?.value ?? 0), at }));
  const jump = steps.find(({ by }) => by / change > AT_ONCE);
  return jump === undefined ? undefined : from + jump.at;
}

/** Where a mark stands that came at once: at the jump where that is on a bar line, else at the bar line before the place where it was reached. */
function jumpPlace(jump: number, from: number, arrival: number, time: ScoreTime): number {
  const barOf = (cell: number): number => time.bars[time.cells[cell]?.barIndex ?? 0]?.firstCell ?? cell;
  if (barOf(jump) === jump) return jump;
  return barOf(arrival) > from ? barOf(arrival) : arrival;
}

/** Marks of one layer under one staff, in order. */
function marksOfLayer(
  curve: readonly (number | undefined)[],
  sound: LayerSound,
  staff: number,
  time: ScoreTime,
  canSwell: boolean,
): DynamicMark[] {
  const marks: DynamicMark[] = [];
  const points = curve.map((value, index) => {
    const { length = 0, barIndex = 0 } = time.cells[index] ?? {};
    return { value, bars: length / (time.bars[barIndex]?.length ?? 1) };
  });
  const startOf = (cell: number): number => time.cells[cell]?.start ?? 0;
  let shown = -1;
  let until = -1;
  for (const { from, to } of spansOf(curve, time)) {
    const own: DynamicMark[] = [];
    const print = (level: number, cell: number): void => {
      shown = level;
      const name = DYNAMIC_LEVELS[level];
      if (name !== undefined) own.push({ kind: 'level', staff, start: startOf(cell), level: name });
    };
    for (const step of dynamicPath(points.slice(from, to + 1), DYNAMIC_LEVELS.length)) {
      const cell = from + step.cell;
      const isReturn = step.cell === 0 && (until < 0 || barsBetween(until, from, time) >= SILENT_BARS);
      if (step.kind === 'mark') {
        if (step.level !== shown || isReturn) print(step.level, cell);
        continue;
      }
      const arrival = arrivalOf(cell, from + step.from, time);
      const jump = jumpIn(curve, from + step.from, cell);
      if (jump !== undefined) {
        print(step.level, jumpPlace(jump, from + step.from, arrival, time));
        continue;
      }
      const direction = step.level > step.levelBefore ? 'crescendo' : 'diminuendo';
      own.push({ kind: 'hairpin', staff, start: startOf(from + step.from), end: startOf(arrival), direction });
      print(step.level, arrival);
    }
    const end = startOf(to) + (time.cells[to]?.length ?? 0);
    const placed = standOnNotes(own, sound, end, time);
    // A level that no note is left to bear has not been said.
    if (placed.filter(isLevel).at(-1)?.level !== own.filter(isLevel).at(-1)?.level) shown = -1;
    marks.push(...placed);
    until = to;
  }
  return drawnHairpins(marks, sound, canSwell, time);
}

/** Whether notes of a layer are shaped while they sound. */
function swells(parts: readonly LayerPart[]): boolean {
  return parts.some(({ part }) => part.dynamics !== 'velocity');
}

function isLevel(mark: DynamicMark): mark is DynamicMark & { readonly kind: 'level' } {
  return mark.kind === 'level';
}

interface KnownMarks {
  readonly part: Part;
  readonly time: ScoreTime;
  readonly marks: readonly DynamicMark[];
}

/** By the notes: the scores on the page and in a file have the same marks. */
const known = new WeakMap<readonly WrittenNote[], KnownMarks>();

/** Marks of a part alone, under its first staff. */
export function partDynamics(part: Part, notes: readonly WrittenNote[], time: ScoreTime): readonly DynamicMark[] {
  if (part.unpitched) return [];
  const before = known.get(notes);
  if (before?.time === time && isAlike(asPlayed(before.part), asPlayed(part))) return before.marks;
  const marks = marksOfPart(part, notes, time);
  known.set(notes, { part, time, marks });
  return marks;
}

function marksOfPart(part: Part, notes: readonly WrittenNote[], time: ScoreTime): readonly DynamicMark[] {
  const hasTwoHands = notes.some((note) => note.staff === 2);
  const written = { partId: part.id, notes, doubtfulShare: 0 };
  const own: LayerPart = { part, written, counts: (note) => !hasTwoHands || isTune(note) };
  return marksOfLayer(layerDynamics([own], time), layerSound(notesOf([own])), 0, time, swells([own]));
}

/** The upper voice of the upper staff: what speaks for both hands of a keyboard. */
function isTune(note: WrittenNote): boolean {
  return note.staff === 1 && note.voice === 1;
}

export interface DynamicLayer {
  readonly staff: number;
  readonly isFront: boolean;
  /** Who belongs to it. */
  readonly has: (partId: string) => boolean;
}

interface DynamicsInput {
  readonly stage: Stage;
  readonly written: readonly WrittenPart[];
  readonly time: ScoreTime;
  /** Ids of the parts in front, by bar index. */
  readonly front: readonly ReadonlySet<string>[];
  /** Staves under which marks stand: of those in front, of the background or of a choir of it. */
  readonly layers: readonly DynamicLayer[];
}

function notesOf(parts: readonly LayerPart[]): readonly WrittenNote[] {
  return parts.flatMap(({ written, counts }) => (written?.notes ?? []).filter(counts));
}

/** Marks of all layers by bar index, sorted by staff, then start. */
export function dynamicMarks({ stage, written, time, front, layers }: DynamicsInput): DynamicMark[][] {
  const bars = time.bars.map((): DynamicMark[] => []);
  const isInFront = (partId: string, division: number): boolean =>
    front[barIndexAtDivision(time, division)]?.has(partId) === true;
  for (const { staff, isFront, has } of layers) {
    const parts = stage.parts.flatMap((part, index): LayerPart[] => {
      if (part.unpitched || !has(part.id)) return [];
      const own = written[index];
      const hasTwoHands = own?.notes.some((note) => note.staff === 2) === true;
      return [
        {
          part,
          written: own,
          counts: (note) =>
            isFront
              ? isInFront(part.id, note.start) && (!hasTwoHands || isTune(note))
              : !isInFront(part.id, note.start),
        },
      ];
    });
    const curve = layerDynamics(parts, time);
    for (const mark of marksOfLayer(curve, layerSound(notesOf(parts)), staff, time, swells(parts))) {
      bars[barIndexAtDivision(time, mark.start)]?.push(mark);
    }
  }
  for (const marks of bars) marks.sort((a, b) => a.staff - b.staff || a.start - b.start);
  return bars;
}
