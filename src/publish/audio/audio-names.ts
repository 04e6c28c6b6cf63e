/** What the audio of a stage is called in the dossier, and what kind of file it is there. */
import type { AudioKind } from '../../model/music/arrangement.ts';

/** Kinds that a browser is given. */
export type PlayedKind = Exclude<AudioKind, 'wav' | 'aiff'>;

/** Media types (IANA; `audio/mp4` by RFC 4337, `audio/ogg` by RFC 5334, `audio/flac` by RFC 9639). */
export const MEDIA_TYPES: Readonly<Record<PlayedKind, string>> = {
  mp3: 'audio/mpeg',
  m4a: 'audio/mp4',
  ogg: 'audio/ogg',
  flac: 'audio/flac',
};

/** Files of plain samples are large, and AIFF is played by no browser: both become MP3. */
export function playedKind(kind: AudioKind): PlayedKind {
  return kind === 'wav' || kind === 'aiff' ? 'mp3' : kind;
}

/** Path of a stage's audio in the output folder. */
export function audioPath(stageId: string, kind: AudioKind): string {
  return `audio/${stageId}.${playedKind(kind)}`;
}
