/** Recordings of single parts that lie in subfolders: measured here, and named after parts later. */
import type { FoundFile } from '../folder-survey.ts';
import { withoutExtension } from '../folder-survey.ts';
import type { Reading } from '../load-file.ts';
import type { RawStem } from '../raw.ts';
import { measureFile } from './measure-file.ts';

/** An orchestra has some fifty. */
const MOST_STEMS = 100;

/** Measures the recordings in subfolders. What cannot be measured gives a problem. */
export async function readStems(files: readonly FoundFile[], reading: Reading): Promise<readonly RawStem[]> {
  const stems: RawStem[] = [];
  for (const [index, found] of files.entries()) {
    const { path, name, subfolder } = found;
    if (subfolder === undefined) continue;
    if (index >= MOST_STEMS) {
      const message = `Only the first ${String(MOST_STEMS)} recordings of parts are measured.`;
      reading.problems.push({ kind: 'remark', code: 'too-many-stems', file: path, message });
      reading.records.push({ path, sha256: '', use: 'not used' });
      continue;
    }
    reading.progress(`measuring ${path}`);
    const sound = await measureFile(found, reading);
    reading.records.push({ path, sha256: sound?.sha256 ?? '', use: sound === undefined ? 'not used' : 'audio' });
    if (sound !== undefined) stems.push({ path, folder: subfolder, name: withoutExtension(name), ...sound });
  }
  return stems;
}
