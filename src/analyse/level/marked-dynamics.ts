/** How loudly each part is marked to play in each bar, as a copyist would write it: not what its instrument makes of it. */
import type { Bar } from '../../model/music/timeline.ts';
import { barIndexAt } from '../../model/music/timeline.ts';
import type { PlacedPart } from '../placed-notes/placed-notes.ts';
import type { LevelModel } from './level-model.ts';
import { loudnessAt } from './level-model.ts';

/** One of the six grades from pp to ff on the scale 0..1, and about how many dB it is (the convention of the project). */
export const GRADE = 1 / 6;
export const GRADE_DB = 7;

/** Decibels on the scale of the marks. */
export function markOfDb(db: number): number {
  return (db / GRADE_DB) * GRADE;
}

/** By bar index the dynamic 0..1 of each part that sounds there, by part id: gains of volume and expression counted by grades, longer notes more. */
export function markedDynamics(
  parts: readonly (PlacedPart & { readonly model: LevelModel })[],
  bars: readonly Bar[],
): readonly ReadonlyMap<string, number>[] {
  const byBar = bars.map(() => new Map<string, number>());
  for (const { part, notes, model } of parts) {
    const sums = bars.map(() => ({ weighted: 0, quarters: 0 }));
    for (const note of notes) {
      const track = model.tracks[note.played.trackIndex];
      if (track === undefined) continue;
      const last = barIndexAt(bars, note.endQuarters - 1e-4);
      for (let index = barIndexAt(bars, note.startQuarters); index >= 0 && index <= last; index++) {
        const bar = bars[index];
        const sum = sums[index];
        if (bar === undefined || sum === undefined) continue;
        const from = Math.max(note.startQuarters, bar.startQuarters);
        const quarters = Math.min(note.endQuarters, bar.startQuarters + bar.lengthQuarters) - from;
        if (quarters <= 0) continue;
        const { dynamic, gainDb } = loudnessAt(track, note.played.velocity, from + quarters / 2 + note.shiftQuarters);
        if (!Number.isFinite(gainDb)) continue;
        sum.weighted += quarters * (dynamic + markOfDb(gainDb));
        sum.quarters += quarters;
      }
    }
    sums.forEach(({ weighted, quarters }, index) => {
      if (quarters > 0) byBar[index]?.set(part.id, weighted / quarters);
    });
  }
  return byBar;
}
