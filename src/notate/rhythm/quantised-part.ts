/** What is known of a part once its onsets stand on the beat grid. */
import type { PartOrnaments } from '../ornaments/ornaments.ts';
import type { Subdivision } from './subdivisions.ts';

export interface PartGrid {
  /** Written onset of each of the part's notes, in divisions. */
  readonly onsets: readonly number[];
  /** Played place of each note in divisions, lateness taken out. */
  readonly places: readonly number[];
  /** Staff of each note, 1 or 2. */
  readonly staves: readonly number[];
  /** Chosen subdivision by staff (first staff first) and cell index; cells without an onset are absent. */
  readonly chosen: readonly ReadonlyMap<number, Subdivision>[];
  /** Their onsets are those of the note they belong to. */
  readonly ornaments: PartOrnaments;
  /** Share of notes written further than 0.15 quarter from where they were played. */
  readonly doubtfulShare: number;
}
