/** Level of one part in every beat. */
import type { Timeline } from '../../model/music/timeline.ts';
import type { Beat } from '../../model/music/beats.ts';
import { beatIndexAt } from '../../model/music/beats.ts';
import type { PlacedPart } from '../placed-notes/placed-notes.ts';
import type { LevelModel } from './level-model.ts';
import type { RegisterUse } from './power/note-power.ts';
import { meanNotePower } from './power/note-power.ts';

/** What one note gives to one beat; `power` is set so that the contributions of a part to a beat add up to the part's power. */
interface Contribution {
  readonly beat: number;
  readonly midi: number;
  readonly power: number;
}

export interface PartLevels {
  /** Power of the part by beat; 0 where it is silent. */
  readonly power: Float64Array;
  readonly contributions: readonly Contribution[];
}

/** A touch shorter than this share of a beat counts as spread over it: a grace note does not fill a beat. */
const SHORTEST_SHARE = 0.25;

/**
 * Power of a part in every beat: the mean over the time in which it sounds in that beat. Notes that sound together add up;
 * where they share the players (winds, brass, bowed strings) the mean over them is taken instead.
 */
export function partLevels(
  placed: PlacedPart,
  model: LevelModel,
  beats: readonly Beat[],
  timeline: Timeline,
  register: RegisterUse = 'with-register',
): PartLevels {
  const noteQuarters = new Float64Array(beats.length);
  const unionQuarters = new Float64Array(beats.length);
  const raw: { beat: number; midi: number; energy: number }[] = [];
  let coveredTo = Number.NEGATIVE_INFINITY;
  for (const note of placed.notes) {
    const end = note.soundingEndQuarters;
    for (let index = beatIndexAt(beats, note.startQuarters); index >= 0 && index < beats.length; index++) {
      const beat = beats[index];
      if (beat === undefined || beat.startQuarters >= end) break;
      const from = Math.max(note.startQuarters, beat.startQuarters);
      const to = Math.min(end, beat.startQuarters + beat.lengthQuarters);
      if (to - from < 1e-9) continue;
      const power = meanNotePower(model, note, from, to, timeline, register);
      if (power === 0) continue;
      noteQuarters[index] = (noteQuarters[index] ?? 0) + to - from;
      unionQuarters[index] = (unionQuarters[index] ?? 0) + Math.max(0, to - Math.max(from, coveredTo));
      raw.push({ beat: index, midi: note.midi, energy: power * (to - from) });
    }
    coveredTo = Math.max(coveredTo, end);
  }
  const power = new Float64Array(beats.length);
  const contributions = raw.map(({ beat, midi, energy }): Contribution => {
    const union = Math.max(unionQuarters[beat] ?? 0, 1e-9);
    const shortest = (beats[beat]?.lengthQuarters ?? 1) * SHORTEST_SHARE;
    const soundingQuarters = (model.sharesPlayers ? (noteQuarters[beat] ?? 0) : union) * Math.max(1, shortest / union);
    const share = energy / soundingQuarters;
    power[beat] = (power[beat] ?? 0) + share;
    return { beat, midi, power: share };
  });
  return { power, contributions };
}
