/** Audio files that lie beside a stage under its name, measured as far as they can be. */
import { groupedBy } from '../../model/grouped.ts';
import { counted } from '../../model/words/plain-words.ts';
import { quoted } from '../clean-text.ts';
import type { FoundFile } from '../folder-survey.ts';
import { withoutExtension } from '../folder-survey.ts';
import { loadHead, refused, type Reading } from '../load-file.ts';
import type { RawAudio, RawStage } from '../raw.ts';
import { playedKind } from '../../model/recordings/audio-kinds.ts';
import { audioKindOf } from './audio-kind.ts';
import { measureLoaded } from './measure-file.ts';
import type { Measured } from './measure-file.ts';

/** Three quarters of an hour of 16-bit stereo at 48 kHz. */
const MOST_AUDIO_BYTES = 500_000_000;
/** What is played as it is comes before what has to be turned into something else. */
const TURNED = /\.(wav|aiff?)$/i;

/** No free decoder reads M4A: it is played, and nothing is known of it. */
const NOT_MEASURED: Measured = { problems: [] };

function comparable(name: string): string {
  return name.toLowerCase();
}

/** The stage of an audio file by name: at the top beside it, or inside its folder. */
function stageNameOf({ name, subfolder }: FoundFile): string | undefined {
  const own = comparable(withoutExtension(name));
  return subfolder === undefined || comparable(subfolder) === own ? own : undefined;
}

async function readAudio(found: FoundFile, reading: Reading): Promise<RawAudio | undefined> {
  const { path } = found;
  reading.progress(`reading ${path}`);
  const loaded = await loadHead(found, MOST_AUDIO_BYTES, reading);
  const kind = loaded && audioKindOf(loaded.head);
  if (loaded === undefined || kind === undefined) {
    reading.records.push({ path, sha256: '', use: 'not used' });
    const message =
      'What is in this file is no audio that is known here: export it again as WAV, AIFF, FLAC, MP3, M4A, Ogg or Opus.';
    if (loaded !== undefined) reading.problems.push(refused(path, 'not-audio', message));
    return undefined;
  }
  const { size: bytes, sha256 } = loaded;
  const { sound, problems } = kind === 'm4a' ? NOT_MEASURED : await measureLoaded(found, loaded, reading);
  // A browser may play what is not read here, but never what has to be turned into something else first.
  const isPlayed = sound !== undefined || playedKind(kind) === kind;
  reading.problems.push(...problems.map((problem) => (isPlayed ? { ...problem, kind: 'remark' as const } : problem)));
  reading.records.push({ path, sha256, use: isPlayed ? 'audio' : 'not used' });
  return isPlayed
    ? { path, sha256, kind, bytes, ...(sound === undefined ? {} : { measure: sound.measure }) }
    : undefined;
}

/** The first of several files that can be read; the others are named. */
async function firstReadable(files: readonly FoundFile[], reading: Reading): Promise<RawAudio | undefined> {
  const inOrder = files.toSorted((a, b) => Number(TURNED.test(a.name)) - Number(TURNED.test(b.name)));
  let chosen: RawAudio | undefined;
  for (const found of inOrder) {
    if (chosen === undefined) {
      chosen = await readAudio(found, reading);
      continue;
    }
    const message = `There are ${counted(files.length, 'audio file')} of this stage and ${quoted(chosen.path)} is played: take out the ones that are not meant.`;
    reading.problems.push({ kind: 'remark', code: 'two-audio', file: found.path, message });
    reading.records.push({ path: found.path, sha256: '', use: 'not used' });
  }
  return chosen;
}

/** The stages with the audio that lies beside them; what is named after no stage is told where it lies at the top. */
export async function withAudio(
  stages: readonly RawStage[],
  files: readonly FoundFile[],
  reading: Reading,
): Promise<readonly RawStage[]> {
  const named = groupedBy(
    files.filter((found) => found.use === 'audio'),
    (found) => stageNameOf(found) ?? '',
  );
  const audio = new Map<string, RawAudio>();
  const names = new Set(stages.map(({ name }) => comparable(name)));
  for (const [name, found] of named) {
    const chosen = names.has(name) ? await firstReadable(found, reading) : undefined;
    if (chosen !== undefined) audio.set(name, chosen);
    if (names.has(name)) continue;
    for (const { path, subfolder } of found) {
      // Recordings of parts lie in subfolders: they are measured instead.
      if (subfolder !== undefined && stages.length > 0) continue;
      reading.records.push({ path, sha256: '', use: 'not used' });
      if (stages.length === 0) continue;
      const message =
        'No stage has the name of this audio file, so it is not played: give it the name of its MIDI file.';
      reading.problems.push({ kind: 'remark', code: 'audio-without-stage', file: path, message });
    }
  }
  return stages.map((stage) => {
    const own = audio.get(comparable(stage.name));
    return own === undefined ? stage : { ...stage, audio: own };
  });
}
