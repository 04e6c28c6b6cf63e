/** `shelf`: the dossier of every piece below a root, one after the other in one process, and an index over them. */
import { join, resolve } from 'node:path';
import { buildDossier } from '../../build.ts';
import type { Effects } from '../../model/effects.ts';
import { NO_MEMORY, type Memory } from '../../model/memory.ts';
import type { OnProgress } from '../../model/progress.ts';
import { withDiskFailuresTold } from '../../problems/disk-failure.ts';
import { InputError, type Problem, usageError } from '../../problems/problem.ts';
import {
  builtEntry,
  SHELF_FORMAT,
  shareText,
  type FailedEntry,
  type Shelf,
  type ShelfEntry,
  type Share,
} from '../../publish/shelf/shelf-entry.ts';
import { beginShelf, readShelf, SHELF_NAMES, writeShelf } from '../../publish/shelf/shelf-files.ts';
import { PIECES } from '../../publish/shelf/shelf-page.ts';
import { checkOutputFolder } from '../../publish/write-folder.ts';
import type { WorkBeside } from '../../stage-work.ts';
import { faultText, problemLine } from '../../terminal-text.ts';
import { findPieces, type FoundPiece } from './find-pieces.ts';
import { shareOf } from './share-out.ts';

export interface ShelfOptions {
  readonly root: string;
  readonly out?: string;
  readonly share?: Share;
  readonly memory?: Memory;
  readonly beside?: WorkBeside;
  /** Called before each piece. */
  readonly onProgress?: OnProgress;
}

export interface ShelfOutcome {
  /** Absolute. */
  readonly folder: string;
  readonly entries: readonly ShelfEntry[];
  /** True where a piece has no dossier through a fault of ours. */
  readonly isFaulty: boolean;
  readonly problems: readonly Problem[];
}

/** Absolute path of the index. */
function shelfFolder({ root, out, share }: ShelfOptions): string {
  if (out !== undefined) return resolve(out);
  return resolve(root, share === undefined ? 'dossier' : `dossier-${String(share.number)}-of-${String(share.of)}`);
}

/** Of a piece that has none: why, in a sentence that names no place of this machine. */
function failedEntry({ id, path, folder }: FoundPiece, out: string, error: unknown): FailedEntry {
  const met = error instanceof InputError ? error.problems : [];
  const problem = met.find(({ kind }) => kind !== 'remark') ?? met[0];
  const said = problem === undefined ? faultText(error).trim() : problemLine(problem);
  const sentence = said.replaceAll(join(out, PIECES, id), `${PIECES}/${id}`).replaceAll(folder, path);
  return { kind: 'failed', id, path, sentence };
}

function differ(one: Share | undefined, other: Share | undefined): boolean {
  return one?.number !== other?.number || one?.of !== other?.of;
}

/** What is to be written must not take the place of another share. */
async function checkShare(folder: string, share: Share | undefined, effects: Effects): Promise<void> {
  const found = await readShelf(folder, effects);
  if (found === undefined || !differ(found.share, share)) return;
  const message = `“${folder}” holds ${found.share === undefined ? 'a whole shelf' : shareText(found.share)}: choose another place with --out.`;
  throw usageError('other-share', message);
}

/**
 * Builds what has changed, and the index. A piece that cannot be built is listed in it and stops nothing. Throws an InputError where there is no
 * piece or the place cannot be written.
 */
export async function buildShelf(options: ShelfOptions, effects: Effects): Promise<ShelfOutcome> {
  const { share, onProgress, memory = NO_MEMORY, beside } = options;
  const known = beside === undefined ? { memory } : { memory, beside };
  const root = resolve(options.root);
  const folder = shelfFolder(options);
  return withDiskFailuresTold(async () => {
    const found = await findPieces(root, effects.disk, [folder]);
    if (found.pieces.length === 0) {
      const message = `No folder below “${root}” holds MIDI files (.mid, .midi or .smf): give the folder that the pieces lie in.`;
      throw new InputError([...found.problems, { kind: 'refused', code: 'no-pieces', file: '', message }]);
    }
    const met = await checkOutputFolder(folder, effects, SHELF_NAMES);
    await checkShare(folder, share, effects);
    const shelf: Shelf = { format: SHELF_FORMAT, ...(share === undefined ? {} : { share }), entries: [] };
    await beginShelf(shelf, folder, effects);
    const own = share === undefined ? found.pieces : shareOf(found.pieces, share);
    const allBytes = Math.max(
      1,
      own.reduce((sum, piece) => sum + piece.bytes, 0),
    );
    const entries: ShelfEntry[] = [];
    let bytes = 0;
    let isFaulty = false;
    for (const [index, piece] of own.entries()) {
      onProgress?.(`folder ${String(index + 1)} of ${String(own.length)}: ${piece.path}`, bytes / allBytes);
      bytes += piece.bytes;
      try {
        const out = join(folder, PIECES, piece.id);
        const { input } = await buildDossier({ folder: piece.folder, out, singleFile: false, ...known }, effects);
        entries.push(builtEntry(piece, input));
      } catch (error) {
        entries.push(failedEntry(piece, folder, error));
        if (!(error instanceof InputError)) isFaulty = true;
      }
    }
    await writeShelf({ ...shelf, entries }, folder, effects);
    return { folder, entries, isFaulty, problems: [...met, ...found.problems] };
  });
}
