/** Puts damaged files of an archive right where their bytes are at hand, and says what was found. */
import { join } from 'node:path';
import type { Effects } from '../../model/effects.ts';
import { counted, listText } from '../../model/words/plain-words.ts';
import type { Problem } from '../../problems/problem.ts';
import { OBJECTS } from '../../read/archive/archive-layout.ts';
import { archiveRemark, objectText, type Archive } from '../../read/archive/read-archive.ts';
import { putFile } from './put-file.ts';

const MOST_NAMED = 4;

function sentence(archive: Archive, hashes: readonly string[], outcome: string): string {
  const named = listText(
    hashes.map((hash) => `${objectText(archive, hash)}, which ${archive.damage.get(hash) ?? 'was damaged'}`),
    MOST_NAMED,
  );
  return `${counted(hashes.length, 'file')} of the archive “${archive.folder}” ${hashes.length === 1 ? 'is' : 'are'} not what ${hashes.length === 1 ? 'it was' : 'they were'} when kept (${named}): ${outcome}`;
}

/** Writes what `bytesAtHand` knows; a sentence for what was mended and one for what was not. */
export async function mendObjects(
  archive: Archive,
  bytesAtHand: (sha256: string) => Uint8Array | undefined,
  effects: Pick<Effects, 'disk' | 'runs'>,
): Promise<readonly Problem[]> {
  const mended: string[] = [];
  const left: string[] = [];
  for (const sha256 of archive.damage.keys()) {
    const bytes = bytesAtHand(sha256) ?? archive.spare.get(sha256);
    if (bytes === undefined) left.push(sha256);
    else {
      await putFile(join(archive.folder, OBJECTS, sha256), bytes, effects);
      mended.push(sha256);
    }
  }
  return [
    ...(mended.length === 0
      ? []
      : [archiveRemark('archive-mended', sentence(archive, mended, 'mended, as the same bytes were at hand.'))]),
    ...(left.length === 0
      ? []
      : [
          archiveRemark(
            'archive-file-damaged',
            sentence(
              archive,
              left,
              `the same bytes are nowhere at hand: restore ${left.length === 1 ? 'it' : 'them'} from a copy, if there is one; what is an export is mended as well once it is back in the folder.`,
            ),
          ),
        ]),
  ];
}
