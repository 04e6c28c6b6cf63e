/** `shelf --join`: one index over the shares of a shelf, and their dossiers in one place. What others wrote is copied, never believed. */
import { join, resolve } from 'node:path';
import type { Effects } from '../../model/effects.ts';
import type { OnProgress } from '../../model/progress.ts';
import { withDiskFailuresTold } from '../../problems/disk-failure.ts';
import { usageError } from '../../problems/problem.ts';
import { inspectPlace } from '../../publish/output/output-place.ts';
import { inOrder, SHELF_FORMAT, shareText, type Shelf, type ShelfEntry } from '../../publish/shelf/shelf-entry.ts';
import { beginShelf, readShelf, SHELF_NAMES, writeShelf } from '../../publish/shelf/shelf-files.ts';
import { PIECES } from '../../publish/shelf/shelf-page.ts';
import { checkOutputFolder, writeFolder, type AnyFile } from '../../publish/write-folder.ts';

interface ShareFound {
  readonly folder: string;
  readonly shelf: Shelf;
  readonly share: NonNullable<Shelf['share']>;
}

async function shareIn(folder: string, effects: Effects): Promise<ShareFound> {
  const shelf = await readShelf(folder, effects);
  if (shelf === undefined)
    throw usageError('no-share', `“${folder}” holds no share of a shelf: give the folders that “shelf --share” wrote.`);
  if (shelf.isUnfinished === true)
    throw usageError(
      'unfinished-share',
      `The share in “${folder}” is not finished: run its “shelf --share” once more, it goes on where it stopped.`,
    );
  if (shelf.share === undefined)
    throw usageError('no-share', `“${folder}” holds a whole shelf and no share of one: there is nothing to join.`);
  return { folder, shelf, share: shelf.share };
}

/** Throws an InputError unless these are different shares of one shelf, with nothing twice. */
function checkTogether(shares: readonly ShareFound[]): void {
  const numbers = new Map<number, string>();
  const ids = new Set<string>();
  const of = shares[0]?.share.of;
  for (const { folder, shelf, share } of shares) {
    if (share.of !== of || share.number > share.of)
      throw usageError(
        'other-shelf',
        `“${folder}” holds ${shareText(share)}, which does not belong to a shelf of ${String(of)}: join shares of one shelf.`,
      );
    const before = numbers.get(share.number);
    if (before !== undefined)
      throw usageError(
        'share-twice',
        `“${before}” and “${folder}” both hold share ${String(share.number)}: give each share once.`,
      );
    numbers.set(share.number, folder);
    for (const { id, path } of shelf.entries) {
      if (ids.has(id))
        throw usageError(
          'piece-twice',
          `“${path}” is in two of the shares: they were made of folders that differ; make all of them again.`,
        );
      ids.add(id);
    }
  }
}

/** The files of a dossier, no link among them. Throws an InputError where it is not there. */
async function filesOf(folder: string, { disk }: Pick<Effects, 'disk'>): Promise<readonly AnyFile[]> {
  const place = (await disk.realPath(folder)) ?? folder;
  const { marker, ours } = await inspectPlace(disk, place);
  if (marker === undefined)
    throw usageError('no-dossier', `The dossier “${folder}” that the share names is not there: make the share again.`);
  const files: AnyFile[] = [];
  for (const path of [...ours].sort()) {
    const file = join(place, path);
    if ((await disk.realPath(file)) !== file)
      throw usageError('link-in-share', `“${file}” is a link, and no dossier has one: make the share again.`);
    const bytes = await disk.read(file);
    files.push({ path, content: () => bytes });
  }
  return files;
}

export interface JoinOptions {
  /** Folders of shares. */
  readonly shares: readonly string[];
  readonly out: string;
  /** Called before each share. */
  readonly onProgress?: OnProgress;
}

export interface JoinOutcome {
  /** Absolute. */
  readonly folder: string;
  readonly entries: readonly ShelfEntry[];
  /** Numbers of the shares that were not given. */
  readonly missing: readonly number[];
}

/** Copies the dossiers of all shares into one folder and writes the index over them: byte for byte what one run writes. Throws an InputError where it cannot. */
export async function joinShelf({ shares, out, onProgress }: JoinOptions, effects: Effects): Promise<JoinOutcome> {
  return withDiskFailuresTold(async () => {
    const folder = resolve(out);
    const found: ShareFound[] = [];
    for (const share of shares) found.push(await shareIn(resolve(share), effects));
    checkTogether(found);
    await checkOutputFolder(folder, effects, SHELF_NAMES);
    const given = new Set(found.map(({ share }) => share.number));
    const of = found[0]?.share.of ?? 0;
    const missing = Array.from({ length: of }, (_, index) => index + 1).filter((number) => !given.has(number));
    const shelf: Shelf = { format: SHELF_FORMAT, ...(missing.length === 0 ? {} : { missing }), entries: [] };
    await beginShelf(shelf, folder, effects);
    for (const [index, share] of found.entries()) {
      onProgress?.(`share ${String(index + 1)} of ${String(found.length)}`, index / found.length);
      for (const { kind, id } of share.shelf.entries) {
        if (kind === 'failed') continue;
        await writeFolder(await filesOf(join(share.folder, PIECES, id), effects), join(folder, PIECES, id), effects);
      }
    }
    const entries = found.flatMap((share) => share.shelf.entries).sort(inOrder);
    await writeShelf({ ...shelf, entries }, folder, effects);
    return { folder, entries, missing };
  });
}
