/** What kind of file a browser is given of audio. */
import type { AudioKind } from '../music/arrangement.ts';

/** Kinds that a browser is given. */
export type PlayedKind = Exclude<AudioKind, 'wav' | 'aiff'>;

/** Files of plain samples are large, and AIFF is played by no browser: both become MP3. */
export function playedKind(kind: AudioKind): PlayedKind {
  return kind === 'wav' || kind === 'aiff' ? 'mp3' : kind;
}
