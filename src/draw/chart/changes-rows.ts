/** The rows of a strip for one step from stage to stage: each part with what was done to it, and the same as a table and a sentence. */
import type { Part, Stage } from '../../model/arrangement.ts';
import { barsText } from '../../model/plain-words.ts';
import type { PartEdit, StageChange, StageReadings } from '../../model/readings.ts';
import type { Bar } from '../../model/timeline.ts';
import { editText, type CellKind } from './changes-cells.ts';
import { tableName } from './front.ts';

/** Larger ensembles show only the parts that something was done to. */
const MOST_UNTOUCHED_PARTS = 24;

/** A stage with what the strip needs of it. */
export interface StripStage {
  readonly stage: Stage;
  readonly readings: StageReadings;
}

/** Columns of the common ruler and where the bars of each stage stand among them. */
export interface StripColumns {
  readonly columns: readonly Bar[];
  readonly columnOf: (stageId: string, bar: number) => number | undefined;
}

export interface StripRow {
  readonly part: Part;
  /** What there is to see, by column; later kinds lie above earlier ones. */
  readonly cells: readonly { readonly kind: CellKind; readonly columns: ReadonlySet<number>; readonly up: boolean }[];
  readonly isTouched: boolean;
}

export function columnsOf(common: StripColumns, stageId: string, bars: Iterable<number>): ReadonlySet<number> {
  return new Set([...bars].flatMap((bar) => common.columnOf(stageId, bar) ?? []));
}

function soundingBars({ readings }: StripStage, partId: string): number[] {
  return readings.presence.flatMap((span) =>
    span.partId === partId ? Array.from({ length: span.to - span.from + 1 }, (_, index) => span.from + index) : [],
  );
}

/** Bars in which a part stands higher or lower because all that sounds does. */
function movedWithAll(
  { semitones, shifted, parts }: StageChange,
  part: Part,
  sounding: readonly number[],
): readonly { readonly bars: readonly number[]; readonly isUp: boolean }[] {
  if (part.unpitched || parts.added.includes(part.id)) return [];
  const whole = semitones === 0 ? [] : [{ from: -Infinity, to: Infinity, semitones }];
  return [...whole, ...shifted].map((item) => ({
    bars: sounding.filter((bar) => bar >= item.from && bar <= item.to),
    isUp: item.semitones > 0,
  }));
}

export function rowsOf(before: StripStage, after: StripStage, change: StageChange, common: StripColumns): StripRow[] {
  const { removed, added } = change.parts;
  const cell = (kind: CellKind, side: StripStage, bars: Iterable<number>, up = false): StripRow['cells'][number] => ({
    kind,
    columns: columnsOf(common, side.stage.id, bars),
    up,
  });
  const own = (edit: PartEdit): StripRow['cells'][number] =>
    cell(edit.kind, after, edit.bars, (edit.semitones ?? edit.db ?? 0) > 0);
  const there = after.stage.parts.map((part): StripRow => {
    const edits = change.edits.filter((edit) => edit.partId === part.id);
    const isTouched = added.includes(part.id) || edits.some((edit) => edit.kind !== 'timing');
    const moved = movedWithAll(change, part, soundingBars(after, part.id)).map(({ bars, isUp }) =>
      cell('transposed', after, bars, isUp),
    );
    const sounding = cell(added.includes(part.id) ? 'new' : 'same', after, soundingBars(after, part.id));
    return { part, cells: [sounding, ...moved, ...edits.map(own)], isTouched };
  });
  const gone = before.stage.parts
    .filter((part) => removed.includes(part.id))
    .map((part): StripRow => ({ part, cells: [cell('gone', before, soundingBars(before, part.id))], isTouched: true }));
  const rows = [...there, ...gone];
  return rows.length > MOST_UNTOUCHED_PARTS ? rows.filter((row) => row.isTouched) : rows;
}

/** True where something was done that leaves every bar the music it had: order, names, pitch of the whole, tempo, timing. */
function hasOtherChanges({ parts, barOrder, semitones, tempo, edits }: StageChange): boolean {
  const { added, removed, renamed, split, joined } = parts;
  const lists: readonly (readonly unknown[])[] = [added, removed, renamed, split, joined, tempo, edits];
  return (
    semitones !== 0 || barOrder.cut.length > 0 || barOrder.moved.length > 0 || lists.some((list) => list.length > 0)
  );
}

export function describe(change: StageChange, rows: readonly StripRow[]): string {
  const touched = rows.filter((row) => row.isTouched).length;
  if (change.bars.length === 0) {
    if (touched > 0)
      return `Something was done to ${touched} of ${rows.length} parts, in no bar that both stages have.`;
    return hasOtherChanges(change)
      ? 'Every bar has the music that it had; what was done to it is told below.'
      : 'Nothing in the music differs.';
  }
  const bars = barsText(change.bars, 6);
  if (touched === 0) return `What was done in ${bars} concerns all parts together.`;
  return `Something was done to ${touched} of ${rows.length} parts, in ${bars}.`;
}

export function tableRows(before: StripStage, after: StripStage, change: StageChange): string[][] {
  const row = (part: Part, what: string, bars: readonly number[]): string[] => [
    tableName(part),
    what,
    barsText(bars, 12),
  ];
  const there = after.stage.parts.flatMap((part) => {
    const edits = change.edits.filter((edit) => edit.partId === part.id);
    const isNew = change.parts.added.includes(part.id);
    return [
      ...(isNew ? [row(part, 'new', soundingBars(after, part.id))] : []),
      ...edits.map((edit) => row(part, editText(edit), edit.bars)),
    ];
  });
  const gone = before.stage.parts.filter((part) => change.parts.removed.includes(part.id));
  return [...there, ...gone.map((part) => row(part, 'gone', soundingBars(before, part.id)))];
}
