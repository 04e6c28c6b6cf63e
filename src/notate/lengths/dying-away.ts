/** Notes that die away however long the key is down: what is struck and plucked. */
import type { Part } from '../../model/music/arrangement.ts';

export const STRUCK_FAMILIES: ReadonlySet<Part['family']> = new Set<Part['family']>(['percussion', 'plucked']);
/** Words of a track whose notes are struck or plucked, whatever the instrument. */
export const STRUCK_WORDS = /pizz|col legno|battuto/;

/** Whether the notes of each track die away by themselves. */
export function struckTracks({ family, tracks }: Part): readonly boolean[] {
  return tracks.map(({ articulation }) => STRUCK_FAMILIES.has(family) || STRUCK_WORDS.test(articulation));
}
