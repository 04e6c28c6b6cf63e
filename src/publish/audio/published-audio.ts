/** The audio of the stages as the dossier has it: copied, or turned into what a browser plays. */
import { join } from 'node:path';
import type { StageAudio } from '../../model/music/arrangement.ts';
import type { Disk } from '../../model/effects.ts';
import type { Memory } from '../../model/memory.ts';
import { InputError, type Problem } from '../../problems/problem.ts';
import { openAiff } from '../../read/audio/aiff.ts';
import { fileSource } from '../../read/audio/byte-source.ts';
import { openWav } from '../../read/audio/wav.ts';
import { playedKind } from '../../model/recordings/audio-kinds.ts';
import { audioPath, MEDIA_TYPES } from './audio-names.ts';
import { mp3Of, type Mp3 } from './mp3.ts';

/** Bytes of audio that a single file takes along, the current stage first: about eight minutes at 128 kbit/s, within what most post takes. */
export const MOST_IN_SINGLE_FILE_BYTES = 8_000_000;

export interface PublishedAudio {
  readonly stageId: string;
  /** In the output folder. */
  readonly path: string;
  readonly mediaType: string;
  readonly bytes: number;
  readonly content: () => Promise<Uint8Array>;
  /** What the user's file is to the stage. */
  readonly original: StageAudio;
  /** Of the sound in what is played after that in the original. */
  readonly delaySeconds: number;
  /** What was made of it: `as it is`. */
  readonly form: string;
  /** True where the pages of a single file hold it; those of a folder always play it from beside them. */
  readonly fitsSingleFile: boolean;
}

/** The dossier's audio, and what was met while it was made. */
export interface AudioOfStages {
  readonly audio: readonly PublishedAudio[];
  readonly problems: readonly Problem[];
}

export interface AudioSource {
  /** Absolute path of the input folder. */
  readonly folder: string;
  readonly disk: Pick<Disk, 'read' | 'readPart'>;
  readonly memory: Memory;
  readonly onProgress: (text: string) => void;
}

/** What a browser is given of a file. */
type Played = Pick<PublishedAudio, 'bytes' | 'content' | 'delaySeconds' | 'form'>;

async function mp3From({ file, kind, bytes }: StageAudio, path: string, source: AudioSource): Promise<Mp3> {
  source.onProgress(`making MP3 of ${file}`);
  const open = kind === 'aiff' ? openAiff : openWav;
  return mp3Of(await open(file, fileSource(path, bytes, source.disk)));
}

/** Throws an InputError where the file is not what it says. */
async function madeInto(original: StageAudio, source: AudioSource): Promise<Played> {
  const { file, kind, bytes, sha256 } = original;
  const path = join(source.folder, file);
  if (playedKind(kind) === kind)
    return { bytes, content: () => source.disk.read(path), delaySeconds: 0, form: 'as it is' };
  const mp3 = await source.memory.recallLater(
    'audio',
    () => [file, sha256],
    () => mp3From(original, path, source),
  );
  return { ...mp3, bytes: mp3.bytes.length, content: () => Promise.resolve(mp3.bytes) };
}

/** The audio of stages, in their order; a file that cannot be made into anything gives its one sentence and is left out. */
export async function audioOfStages(originals: readonly StageAudio[], source: AudioSource): Promise<AudioOfStages> {
  const audio: PublishedAudio[] = [];
  const problems: Problem[] = [];
  let left = MOST_IN_SINGLE_FILE_BYTES;
  for (const original of originals.toReversed()) {
    try {
      const played = await madeInto(original, source);
      const fitsSingleFile = played.bytes <= left;
      if (fitsSingleFile) left -= played.bytes;
      const { stageId } = original;
      const path = audioPath(stageId, original.kind);
      const mediaType = MEDIA_TYPES[playedKind(original.kind)];
      audio.unshift({ stageId, path, mediaType, original, ...played, fitsSingleFile });
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      problems.push(...error.problems);
    }
  }
  return { audio, problems };
}
