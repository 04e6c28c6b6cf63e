/** `watch`: builds, then builds again whenever the folder has changed, and lets the pages that are open know. */
import { join, resolve } from 'node:path';
import { buildDossier, outputFolder } from '../build.ts';
import type { BuildOutcome } from '../build.ts';
import type { Effects } from '../model/effects.ts';
import type { Memory } from '../model/memory.ts';
import type { Problem } from '../problems/problem.ts';
import { InputError } from '../problems/problem.ts';
import type { RawFolder } from '../read/raw.ts';
import type { WholeExports } from './broken-off.ts';
import { NONE_WHOLE, refuseBrokenOff, wholeExports } from './broken-off.ts';
import type { WorkBeside } from '../stage-work.ts';
import { foldersIn, folderState } from './folder-state.ts';
import { roundMemory } from './round-memory.ts';
import { answerRequest } from './watch-site.ts';
import type { OpenSite, WatchEffects } from './watch-effects.ts';

/** How often the folder is looked at; sooner where the system tells of a change, but not at once again after a look that found nothing. */
const LOOK_MS = 200;
const LEAST_LOOK_MS = 40;
/** A large folder is looked at less often, so that looking takes no noticeable part of the time. */
const LOOK_MS_LARGE = 1000;
const LARGE_FILES = 300;
/** An export is taken for finished when the folder has not changed for this long: programs write a file in several steps. */
const SETTLE_MS = 120;
/** After so many looks a folder that never comes to rest is built all the same. */
const MOST_SETTLING = 50;
/** While the finished dossier is swapped in, its files are away for a moment. */
const SWAP_MS = 100;

export interface WatchOptions {
  readonly folder: string;
  readonly out?: string;
  readonly stage?: string;
  /** 0 for any port that is free. */
  readonly port: number;
  /** What is known from earlier builds, by this program or another. */
  readonly memory?: Memory;
  /** Without it all is done in this thread. */
  readonly beside?: WorkBeside;
}

export type WatchNews =
  /** `milliseconds` from the beginning of the build to the finished dossier. */
  | { readonly kind: 'built'; readonly outcome: BuildOutcome; readonly milliseconds: number; readonly address: string }
  /** The last good dossier stands. */
  | { readonly kind: 'refused'; readonly problems: readonly Problem[] }
  | { readonly kind: 'fault'; readonly error: unknown };

/** What was read may be half of an export: the folder was not at rest. */
class NotAtRest extends Error {}

/**
 * Runs until the user wants the end. `tell` is called after every build. Throws an InputError where it cannot begin: the folder is
 * not there, the port is taken, the output may not be written.
 */
export async function watchFolder(
  options: WatchOptions,
  effects: Effects,
  watch: WatchEffects,
  tell: (news: WatchNews) => void,
): Promise<void> {
  const folder = resolve(options.folder);
  const out = outputFolder(options);
  const memory = roundMemory(options.memory);
  const { disk } = effects;
  const secret = watch.secret();
  let files: ReadonlySet<string> = new Set();
  let whole: WholeExports = NONE_WHOLE;
  let builds = 0;

  /** A page of ours, never what a link in its place leads to. */
  const readOwn = async (path: string): Promise<Uint8Array | undefined> => {
    const place = await disk.realPath(out);
    const page = place === undefined ? undefined : join(place, path);
    if (page === undefined || (await disk.realPath(page)) !== page) return undefined;
    return disk.read(page).catch(() => undefined);
  };
  const read = async (path: string): Promise<Uint8Array | undefined> => {
    const found = await readOwn(path);
    if (found !== undefined) return found;
    await watch.pause(SWAP_MS);
    return readOwn(path);
  };
  const state = (): Promise<string> => folderState(folder, disk, [out]);

  /** The state of the folder once it has come to rest. */
  const settled = async (first: string): Promise<string> => {
    let before = first;
    for (let looks = 0; looks < MOST_SETTLING && !watch.isEndWanted(); looks++) {
      await watch.pause(SETTLE_MS);
      const now = await state();
      if (now === before) break;
      before = now;
    }
    return before;
  };

  /** Whether the folder is as it was seen at this moment once it could have come to rest; looks once. */
  const restsAs = (seen: string, seenMs: number): (() => Promise<boolean>) => {
    const look = async (): Promise<boolean> => {
      await watch.pause(Math.max(0, SETTLE_MS - (watch.clockMs() - seenMs)));
      return (await state()) === seen;
    };
    let looked: Promise<boolean> | undefined;
    return () => (looked ??= look());
  };

  /** False where the folder was not at rest while it was read, and nothing came of it. */
  const build = async (site: OpenSite, isAtRest = (): Promise<boolean> => Promise.resolve(true)): Promise<boolean> => {
    const start = watch.clockMs();
    let reading: RawFolder | undefined;
    const onRead = (raw: RawFolder): void => {
      refuseBrokenOff(raw, whole);
      reading = raw;
    };
    const onAssembled = async (): Promise<void> => {
      if (!(await isAtRest())) throw new NotAtRest();
    };
    try {
      const outcome = await watch.interruptible(() =>
        buildDossier({ ...options, singleFile: false, memory, onRead, onAssembled }, effects),
      );
      if (reading !== undefined) whole = wholeExports(reading);
      memory.endRound();
      files = new Set(outcome.files);
      builds++;
      const milliseconds = watch.clockMs() - start;
      tell({ kind: 'built', outcome, milliseconds, address: `http://127.0.0.1:${String(site.port)}/${secret}/` });
      site.announce(builds);
    } catch (error) {
      if (watch.isEndWanted()) return true;
      // What could not be read may be whole by now.
      if (!(await isAtRest())) {
        memory.dropRound();
        return false;
      }
      if (!(error instanceof InputError)) tell({ kind: 'fault', error });
      else if (builds === 0 && error.problems.some((problem) => problem.kind === 'usage')) throw error;
      else tell({ kind: 'refused', problems: error.problems });
    }
    return true;
  };

  let port = options.port;
  const site = await watch.openSite(port, (request) => answerRequest(request, { port, secret, files, read }));
  port = site.port;
  try {
    let seen = await state();
    await build(site);
    while (!watch.isEndWanted()) {
      const pause = seen.split('\n').length > LARGE_FILES ? LOOK_MS_LARGE : LOOK_MS;
      await watch.change(foldersIn(folder, seen), pause);
      const lookedMs = watch.clockMs();
      const now = await state();
      if (watch.isEndWanted()) break;
      if (now === seen) {
        await watch.pause(LEAST_LOOK_MS);
        continue;
      }
      seen = now;
      // Reading begins while the folder comes to rest.
      if (await build(site, restsAs(now, lookedMs))) continue;
      seen = await settled(await state());
      if (!watch.isEndWanted()) await build(site);
    }
  } finally {
    await site.close();
  }
}
