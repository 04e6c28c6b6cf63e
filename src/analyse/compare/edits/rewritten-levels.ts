/** Bars that were rewritten and set louder or softer by a controller at the same time: two deeds, and the first does not explain the second. */
import { groupedBy } from '../../../model/grouped.ts';
import { mean, median } from '../../../model/music/dynamics.ts';
import type { PartEdit, PartEditKind } from '../../../model/readings/readings.ts';
import type { Bar } from '../../../model/music/timeline.ts';
import type { BarNote } from '../bars/bar-notes.ts';
import { VOLUME_AT_RESET } from '../../level/level-model.ts';
import { CONTROLLERS_AT, hasCurves } from './balance-edits.ts';
import type { LevelByBar } from './line-edits.ts';
import type { PartFate } from './passages.ts';

/** Modulation, which many libraries take for loudness, volume and expression (General MIDI level 1, MMA 1991, from memory). */
const OF_LEVEL = [1, 7, 11];
/** So many steps of 127 are no unsteadiness of a hand, and so many decibels a dynamic grade about. Our conventions. */
const LEAST_STEPS = 24;
const LEAST_DB = 3;
/** Settings are the same where they differ by no more steps. */
const SAME_STEPS = 3;
/** Nearer amounts are one edit. */
const ALIKE_DB = 2;

/** Edits whose bars are not compared by level. */
const OF_OTHER_NOTES: ReadonlySet<PartEditKind> = new Set(['rewritten', 'rhythm', 'moved']);

export interface BothLevels {
  readonly bars: readonly Bar[];
  /** Indices of bars of the earlier stage; less than 0 where there is none. */
  readonly beforeOf: readonly number[];
  readonly levelBefore: LevelByBar;
  readonly levelAfter: LevelByBar;
}

/** What a channel has that says nothing (General MIDI level 1 and RP-015, from memory). */
const UNSAID: Readonly<Record<number, number>> = { 7: VOLUME_AT_RESET, 11: 127 };

/** Mean setting of a controller under some notes of one part; undefined where nobody knows it. */
function meanSetting(notes: readonly BarNote[], controller: number): number | undefined {
  const settings: number[] = [];
  for (const { part, played } of notes) {
    const said = CONTROLLERS_AT[controller]?.(part)(played);
    const setting = said === '' ? UNSAID[controller] : said;
    if (setting !== undefined) settings.push(setting);
  }
  return settings.length === 0 ? undefined : mean(settings);
}

/** True where a part of the notes has controllers that move. */
function areMoved(notes: readonly BarNote[]): boolean {
  return notes.some(({ part }, at) => part !== notes[at - 1]?.part && hasCurves(part));
}

/** By how many steps the controllers that make a part loud stand higher in a bar: the most that one of them does. */
function stepsHigher(before: readonly BarNote[], after: readonly BarNote[]): number {
  // A channel that says nothing stands where it stood.
  if (!areMoved(before) && !areMoved(after)) return 0;
  const steps = OF_LEVEL.map((controller) => {
    const [was, is] = [meanSetting(before, controller), meanSetting(after, controller)];
    return was === undefined || is === undefined ? 0 : is - was;
  });
  return steps.reduce((most, step) => (Math.abs(step) > Math.abs(most) ? step : most), 0);
}

/** Edits with those of the level in bars that were rewritten, where a controller tells that somebody set it. */
export function withRewrittenLevels(
  edits: readonly PartEdit[],
  fates: readonly PartFate[],
  { bars, beforeOf, levelBefore, levelAfter }: BothLevels,
): readonly PartEdit[] {
  const indexOf = new Map(bars.map(({ number }, index) => [number, index]));
  const levels = edits.filter(({ kind }) => kind === 'balance');
  const together = edits
    .flatMap((edit): readonly PartEdit[] => {
      if (!OF_OTHER_NOTES.has(edit.kind) || edit.toldWith === 'given' || edit.toldWith === 'doubling') return [edit];
      const fate = fates.find(({ oldId, newId }) => newId === edit.partId && oldId !== undefined);
      if (fate?.oldId === undefined) return [edit];
      const [was, is] = [levelBefore(fate.oldId), levelAfter(edit.partId)];
      const [olds, news] = [fate.before.byBar(), fate.after.byBar()];
      const stepsAt = (number: number): number => {
        const index = indexOf.get(number) ?? -1;
        return stepsHigher(olds.in(index), news.in(index));
      };
      const own = levels.filter(({ partId }) => partId === edit.partId);
      /** The amount of an edit in whose nearest bar the controllers were set by the same steps. */
      const sameSetting = (number: number, steps: number): number | undefined =>
        own.find(({ bars: set, db = 0 }) => {
          const [nearest] = [...set].sort((a, b) => Math.abs(a - number) - Math.abs(b - number));
          return steps * db > 0 && nearest !== undefined && Math.abs(stepsAt(nearest) - steps) <= SAME_STEPS;
        })?.db;
      const changes = edit.bars.flatMap((number) => {
        const index = indexOf.get(number) ?? -1;
        const db = (is[index] ?? Infinity) - (was[beforeOf[index] ?? -1] ?? Infinity);
        const isApart = Math.abs(db) >= LEAST_DB && db < Infinity;
        // Settings are looked up note by note: only where they may tell something.
        if (!isApart && own.length === 0) return [];
        const steps = stepsAt(number);
        const known = steps === 0 ? undefined : sameSetting(number, steps);
        if (known !== undefined) return [{ number, db: known }];
        return isApart && Math.abs(steps) >= LEAST_STEPS && steps * db > 0 ? [{ number, db }] : [];
      });
      return [
        edit,
        ...[
          ...groupedBy(changes, ({ db }) => (own.some((known) => known.db === db) ? db : Math.sign(db))).values(),
        ].map((alike): PartEdit => ({
          partId: edit.partId,
          kind: 'balance',
          bars: alike.map(({ number }) => number),
          db: median(alike.map(({ db }) => db)) ?? 0,
        })),
      ];
    })
    .reduce(joinedWithAlike, []);
  return inOrderOfBars(together);
}

/** The levels of each part in the order of their first bars, at the places where they are told. */
function inOrderOfBars(edits: readonly PartEdit[]): readonly PartEdit[] {
  const levels = groupedBy(
    edits.filter(({ kind }) => kind === 'balance'),
    ({ partId }) => partId,
  );
  const sorted = new Map(
    [...levels].map(([id, own]) => [id, own.toSorted((a, b) => (a.bars[0] ?? 0) - (b.bars[0] ?? 0))]),
  );
  return edits.map((edit) => (edit.kind === 'balance' ? (sorted.get(edit.partId)?.shift() ?? edit) : edit));
}

/** Adds an edit, to one of the same part and kind that is alike where there is one: the same gain in bars that were rewritten and in others. */
function joinedWithAlike(known: readonly PartEdit[], edit: PartEdit): readonly PartEdit[] {
  const apart = ({ db = 0 }: PartEdit): number => Math.abs(db - (edit.db ?? 0));
  const isAlike = (one: PartEdit): boolean =>
    edit.kind === 'balance' && one.kind === 'balance' && one.partId === edit.partId && apart(one) < ALIKE_DB;
  const [alike] = known.filter(isAlike).sort((a, b) => apart(a) - apart(b));
  if (alike === undefined) return [...known, edit];
  const bars = [...new Set([...alike.bars, ...edit.bars])].sort((a, b) => a - b);
  return known.map((one) => (one === alike ? { ...alike, bars } : one));
}
