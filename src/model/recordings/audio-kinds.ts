/** Kinds of audio files, and what a browser is given of each. */

/** `ogg` holds Vorbis or Opus. */
export type AudioKind = 'mp3' | 'm4a' | 'ogg' | 'flac' | 'wav' | 'aiff';

/** Kinds that a browser is given. */
export type PlayedKind = Exclude<AudioKind, 'wav' | 'aiff'>;

/** Files of plain samples are large, and AIFF is played by no browser: both become MP3. */
export function playedKind(kind: AudioKind): PlayedKind {
  return kind === 'wav' || kind === 'aiff' ? 'mp3' : kind;
}
