/** Bars that were rewritten and set louder or softer by a controller at the same time: two deeds, and the first does not explain the second. */
import { median } from '../../../model/music/dynamics.ts';
import type { PartEdit } from '../../../model/readings/readings.ts';
import type { Bar } from '../../../model/music/timeline.ts';
import type { BarNote } from '../bars/bar-notes.ts';
import { CONTROLLERS_AT } from './balance-edits.ts';
import type { LevelByBar } from './line-edits.ts';
import type { PartFate } from './passages.ts';

/** Modulation, which many libraries take for loudness, volume and expression (General MIDI level 1, MMA 1991, from memory). */
const OF_LEVEL = [1, 7, 11];
/** So many steps of 127 are no unsteadiness of a hand, and so many decibels a dynamic grade about. Our conventions. */
const LEAST_STEPS = 24;
const LEAST_DB = 3;
/** Nearer amounts are one edit. */
const ALIKE_DB = 2;

export interface BothLevels {
  readonly bars: readonly Bar[];
  /** Indices of bars of the earlier stage; less than 0 where there is none. */
  readonly beforeOf: readonly number[];
  readonly levelBefore: LevelByBar;
  readonly levelAfter: LevelByBar;
}

/** Mean setting of a controller under some notes of one part; undefined where the part has no such controller. */
function meanSetting(notes: readonly BarNote[], controller: number): number | undefined {
  const settings = notes.flatMap(({ part, played }) => {
    const setting = CONTROLLERS_AT[controller]?.(part)(played);
    return typeof setting === 'number' ? [setting] : [];
  });
  return settings.length === 0 ? undefined : settings.reduce((sum, setting) => sum + setting, 0) / settings.length;
}

/** By how many steps the controllers that make a part loud stand higher in a bar: the most that one of them does. */
function stepsHigher(before: readonly BarNote[], after: readonly BarNote[]): number {
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
  return edits
    .flatMap((edit): readonly PartEdit[] => {
      if (edit.kind !== 'rewritten' || edit.toldWith === 'given' || edit.toldWith === 'doubling') return [edit];
      const fate = fates.find(({ oldId, newId }) => newId === edit.partId && oldId !== undefined);
      if (fate?.oldId === undefined) return [edit];
      const [was, is] = [levelBefore(fate.oldId), levelAfter(edit.partId)];
      const [olds, news] = [fate.before.byBar(), fate.after.byBar()];
      const changes = edit.bars.flatMap((number) => {
        const index = indexOf.get(number) ?? -1;
        const steps = stepsHigher(olds.in(index), news.in(index));
        const db = (is[index] ?? Infinity) - (was[beforeOf[index] ?? -1] ?? Infinity);
        const isSet = Math.abs(steps) >= LEAST_STEPS && Math.abs(db) >= LEAST_DB && db < Infinity && steps * db > 0;
        return isSet ? [{ number, db }] : [];
      });
      return [
        edit,
        ...[1, -1].flatMap((sign): readonly PartEdit[] => {
          const own = changes.filter(({ db }) => db * sign > 0);
          const db = median(own.map((change) => change.db));
          return db === undefined
            ? []
            : [{ partId: edit.partId, kind: 'balance', bars: own.map(({ number }) => number), db }];
        }),
      ];
    })
    .reduce(joinedWithAlike, []);
}

/** Adds an edit, to one of the same part and kind that is alike where there is one: the same gain in bars that were rewritten and in others. */
function joinedWithAlike(known: readonly PartEdit[], edit: PartEdit): readonly PartEdit[] {
  const alike = known.find(
    ({ partId, kind, db = 0 }) =>
      edit.kind === 'balance' &&
      kind === 'balance' &&
      partId === edit.partId &&
      Math.abs(db - (edit.db ?? 0)) < ALIKE_DB,
  );
  if (alike === undefined) return [...known, edit];
  const bars = [...new Set([...alike.bars, ...edit.bars])].sort((a, b) => a - b);
  return known.map((one) => (one === alike ? { ...alike, bars } : one));
}
