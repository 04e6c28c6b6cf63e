/** One recording, opened, decoded and measured in one pass. */
import { InputError, type Problem } from '../../problems/problem.ts';
import { soundMeter } from '../../sound/measure/sound-meter.ts';
import type { FoundFile } from '../folder-survey.ts';
import { loadHead, refused } from '../load-file.ts';
import type { LoadedHead, Reading } from '../load-file.ts';
import { openAiff } from './aiff.ts';
import { audioFault } from './audio-fault.ts';
import type { ByteSource } from './byte-source.ts';
import { fileSource } from './byte-source.ts';
import type { MeasuredSound } from './measured-sound.ts';
import { audioKindOf } from './audio-kind.ts';
import type { OpenSound } from './open-sound.ts';
import { openPacked } from './packed-sound.ts';
import { openWav } from './wav.ts';

/** Twice the largest that two hours of plain sound take at 48 kHz, 24 bits, two channels. */
const MOST_BYTES = 4_200_000_000;

/** The sound of a file, by what its first bytes say that it is. Throws an InputError with one sentence where it is not read. */
async function openSound(path: string, head: Uint8Array, source: ByteSource): Promise<OpenSound> {
  const kind = audioKindOf(head);
  switch (kind) {
    case 'wav':
      return openWav(path, source);
    case 'aiff':
      return openAiff(path, source);
    case 'm4a':
      throw audioFault(
        path,
        'audio-not-measured',
        'An M4A file can be played but not measured, as no free decoder is at hand: export it as WAV or FLAC.',
      );
    case undefined:
      throw audioFault(
        path,
        'not-audio',
        'What is in this file is no audio that is known here: export it again as WAV, AIFF, FLAC, MP3, Ogg or Opus.',
      );
    default:
      return openPacked(path, kind, source);
  }
}

export interface Measured {
  readonly sound?: MeasuredSound;
  /** What was odd about the file, or why nothing can be measured. */
  readonly problems: readonly Problem[];
}

/** What was measured of a recording whose head has been read; kept by what is in it. */
export async function measureLoaded(
  { path, absolutePath }: FoundFile,
  { head, size, sha256 }: LoadedHead,
  { disk, memory }: Reading,
): Promise<Measured> {
  try {
    const { sound, remarks } = await memory.recall(
      'sound',
      () => [path, sha256],
      async () => {
        const open = await openSound(path, head, fileSource(absolutePath, size, disk));
        const { form, rateHz, channelCount } = open;
        const meter = soundMeter(rateHz, channelCount);
        for await (const block of open.blocks()) meter.add(block);
        return { sound: { sha256, form, rateHz, channelCount, measure: meter.end() }, remarks: open.remarks };
      },
    );
    return { sound, problems: remarks };
  } catch (error) {
    return {
      problems:
        error instanceof InputError
          ? error.problems
          : [refused(path, 'unreadable-file', 'The file cannot be read: check who may read it.')],
    };
  }
}

/** What was measured of a recording; undefined, with a problem, where nothing can be. */
export async function measureFile(found: FoundFile, reading: Reading): Promise<MeasuredSound | undefined> {
  const loaded = await loadHead(found, MOST_BYTES, reading);
  if (loaded === undefined) return undefined;
  const { sound, problems } = await measureLoaded(found, loaded, reading);
  reading.problems.push(...problems);
  return sound;
}
