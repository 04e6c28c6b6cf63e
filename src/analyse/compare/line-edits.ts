/** What was done to a part, or to the parts that it was split into or joined from. */
import type { PartEdit } from '../../model/readings.ts';
import type { Bar } from '../../model/timeline.ts';
import { raised, type BarNote } from './bar-notes.ts';
import { matchNotes, shiftOf } from './match-notes.ts';
import type { PartLine } from './match-parts.ts';
import { barsUnder, partEdits } from './part-edits.ts';

/** A part was moved as a whole where this share of its notes stands at one interval from where it stood. */
const WHOLE_PART = 0.8;
/** The piece was moved where parts with this share of all notes were moved alike and none otherwise. */
const WHOLE_PIECE = 0.6;

export interface FollowedLine {
  readonly line: PartLine;
  /** Interval at which the whole part stands now; undefined where its notes do not agree on one. */
  readonly semitones: number | undefined;
  readonly isPitched: boolean;
  /** Notes of either stage in bars that both have. */
  readonly before: readonly BarNote[];
  readonly after: readonly BarNote[];
}

/** Estimated level of a part by bar index. */
export type LevelByBar = (partId: string, bar: number) => number | undefined;

/** Gathers the notes of a line and finds the interval by which it moved. */
export function followLine(
  line: PartLine,
  before: ReadonlyMap<string, readonly BarNote[]>,
  after: ReadonlyMap<string, readonly BarNote[]>,
): FollowedLine {
  const old = line.before.flatMap((id) => before.get(id) ?? []);
  const fresh = line.after.flatMap((id) => after.get(id) ?? []);
  const isPitched = ![...old, ...fresh].some((note) => note.part.unpitched);
  return {
    line,
    semitones: isPitched ? shiftOf(old, fresh, WHOLE_PART) : undefined,
    isPitched,
    before: old,
    after: fresh,
  };
}

/** The interval that the piece has moved by: no part moved otherwise. A single part that moved by octaves moved on its own. */
export function commonShift(lines: readonly FollowedLine[]): number {
  const pitched = lines.filter((line) => line.isPitched && line.before.length > 0 && line.after.length > 0);
  const moved = pitched.filter((line) => line.semitones !== undefined);
  const weight = (some: readonly FollowedLine[]): number => some.reduce((sum, line) => sum + line.after.length, 0);
  const semitones = moved[0]?.semitones ?? 0;
  if (moved.some((line) => line.semitones !== semitones) || weight(moved) < WHOLE_PIECE * weight(pitched)) return 0;
  return moved.length > 1 || semitones % 12 !== 0 ? semitones : 0;
}

export interface LineContext {
  /** Interval by which the whole piece moved. */
  readonly semitones: number;
  readonly barsAfter: readonly Bar[];
  readonly beforeOf: readonly number[];
  readonly levelBefore: LevelByBar;
  readonly levelAfter: LevelByBar;
  /** True where the levels of both stages were estimated. */
  readonly isMeasured: boolean;
}

function transposition(found: FollowedLine, context: LineContext): readonly PartEdit[] {
  const semitones = (found.semitones ?? context.semitones) - context.semitones;
  const partId = found.line.after[0];
  if (semitones === 0 || partId === undefined) return [];
  const bars = context.barsAfter;
  const touched = new Set(found.after.flatMap((note) => barsUnder(bars, note.start, note.start + note.length)));
  const numbers = [...touched].sort((a, b) => a - b).flatMap((bar) => bars[bar]?.number ?? []);
  return [{ partId, kind: 'transposed', semitones, bars: numbers }];
}

/** Edits of a line; those of several parts together stand under the first of the later stage. */
export function lineEdits(found: FollowedLine, context: LineContext): readonly PartEdit[] {
  const { line, after } = found;
  const bars = context.barsAfter;
  const [partId] = line.after;
  const [oldId] = line.before;
  if (partId === undefined || oldId === undefined) return [];
  const before = raised(found.before, found.semitones ?? context.semitones);
  const isOne = line.before.length === 1 && line.after.length === 1;
  const secondsPerQuarter = (bar: number): number => {
    const { lengthQuarters = 0, lengthSeconds = 0 } = bars[bar] ?? {};
    return lengthQuarters > 0 ? lengthSeconds / lengthQuarters : 0.5;
  };
  const edits = partEdits({
    partId,
    before,
    after,
    match: matchNotes(before, after, secondsPerQuarter),
    bars,
    isTransposed: (found.semitones ?? context.semitones) !== 0,
    secondsPerQuarter,
    isMeasured: isOne && context.isMeasured,
    levelBefore: (bar) => (isOne ? context.levelBefore(oldId, context.beforeOf[bar] ?? -1) : undefined),
    levelAfter: (bar) => (isOne ? context.levelAfter(partId, bar) : undefined),
  });
  return [...transposition(found, context), ...edits];
}
