/** What the audio of a stage is called in the dossier. */
import { playedKind, type PlayedKind, type AudioKind } from '../../model/recordings/audio-kinds.ts';

/** Media types (IANA; `audio/mp4` by RFC 4337, `audio/ogg` by RFC 5334, `audio/flac` by RFC 9639). */
export const MEDIA_TYPES: Readonly<Record<PlayedKind, string>> = {
  mp3: 'audio/mpeg',
  m4a: 'audio/mp4',
  ogg: 'audio/ogg',
  flac: 'audio/flac',
};

/** Path of a stage's audio in the output folder. */
export function audioPath(stageId: string, kind: AudioKind): string {
  return `audio/${stageId}.${playedKind(kind)}`;
}
