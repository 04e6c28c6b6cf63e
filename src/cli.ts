/** Arguments to exit code. */
import { relative } from 'node:path';
import { buildDossier, checkFolder } from './build.ts';
import type { Keeping, Request } from './command-line.ts';
import { keptMemory } from './commands/kept/kept-memory.ts';
import { openLines, openList } from './commands/open/open-list.ts';
import { progressLines } from './commands/progress-lines.ts';
import { buildShelf } from './commands/shelf/build-shelf.ts';
import { joinShelf } from './commands/shelf/join-shelf.ts';
import { startFolder } from './commands/start.ts';
import type { WatchNews } from './commands/watch.ts';
import { watchFolder } from './commands/watch.ts';
import { helpText, parseCommandLine } from './command-line.ts';
import type { Effects } from './model/effects.ts';
import { standingByLevel } from './model/readings/standing.ts';
import { agreeing, counted, listText } from './model/words/plain-words.ts';
import type { ShelfEntry } from './publish/shelf/shelf-entry.ts';
import { NO_MEMORY, type Memory } from './model/memory.ts';
import type { OnProgress } from './model/progress.ts';
import { nodeBeside } from './node-beside.ts';
import { nodeKeptStore, versionOfProgram } from './node-kept.ts';
import { nodeWatchEffects } from './node-watch.ts';
import type { Problem } from './problems/problem.ts';
import { InputError } from './problems/problem.ts';
import type { WorkBeside } from './stage-work.ts';
import { clockLines, faultText, findingLines, isAtLeast, plainLine, plainText, problemLine } from './terminal-text.ts';

const PROBLEMS_SHOWN = 20;

const IN_DOSSIER = ', listed in the dossier';

/** `elsewhere`: where all of them can be read, after a comma. */
function printProblems(problems: readonly Problem[], effects: Effects, elsewhere = ''): void {
  for (const problem of problems.slice(0, PROBLEMS_SHOWN)) effects.terminal.err(`${problemLine(problem)}\n`);
  if (problems.length > PROBLEMS_SHOWN) {
    effects.terminal.err(`… and ${problems.length - PROBLEMS_SHOWN} more${elsewhere}.\n`);
  }
}

/** Exit code for input that gave nothing (the contract in `--help`). */
function exitCodeOf(problems: readonly Problem[]): number {
  return problems.some((problem) => problem.kind === 'usage' || problem.kind === 'settings') ? 2 : 3;
}

function printClock(stages: Parameters<typeof clockLines>[0], effects: Effects): void {
  for (const line of clockLines(stages)) effects.terminal.err(`${line}\n`);
}

function printJson(outcome: unknown, effects: Effects): void {
  effects.terminal.out(`${JSON.stringify(outcome, undefined, 2)}\n`);
}

/** How the user wants the outcome. */
interface Asked {
  readonly quiet: boolean;
  readonly json: boolean;
}

interface Progress {
  readonly onProgress?: OnProgress;
}

/** Runs work whose progress is shown where it takes long and the user has not asked for quiet. */
async function withProgress<T>(
  { quiet, json }: Asked,
  { terminal }: Effects,
  work: (progress: Progress) => Promise<T>,
): Promise<T> {
  if (quiet || json) return work({});
  const { onProgress, end } = progressLines(terminal, () => performance.now());
  try {
    return await work({ onProgress });
  } finally {
    end();
  }
}

/** A name as a shell takes it whole; plain names stay as they are. */
function quoted(name: string): string {
  return /^[\p{L}\p{N}_.,/:@%+=~-]+$/u.test(name) && !name.startsWith('-')
    ? name
    : `"${name.replaceAll(/["\\$`]/g, '\\$&')}"`;
}

/** A path as it is shortest from the working directory. */
function shownPath(path: string): string {
  const shown = relative(process.cwd(), path);
  return shown === '' || shown.startsWith('..') ? path : shown;
}

/** Runs work with what is known from earlier builds, as far as the user wants that. */
async function withMemory<T>(request: Keeping, effects: Effects, work: (memory: Memory) => Promise<T>): Promise<T> {
  const store = request.anew ? undefined : await nodeKeptStore(request.kept, effects.runs);
  if (store === undefined) return work(NO_MEMORY);
  try {
    return await work(keptMemory(store, versionOfProgram(effects.packageRoot)));
  } finally {
    store.clearUp();
  }
}

/** Runs work with a second thread for what asks for one. */
async function withAnother<T>(work: (beside: WorkBeside) => Promise<T>): Promise<T> {
  const { beside, end } = nodeBeside();
  try {
    return await work(beside);
  } finally {
    end();
  }
}

/**
 * Runs long work with what is known from earlier builds and with its progress shown, both as far as the user wants that, and with a second thread
 * for the work that asks for one.
 */
async function worked<T>(
  request: Keeping & Asked,
  effects: Effects,
  work: (known: Progress & { readonly memory: Memory; readonly beside: WorkBeside }) => Promise<T>,
): Promise<T> {
  return withAnother((beside) =>
    withMemory(request, effects, (memory) =>
      withProgress(request, effects, (progress) => work({ ...progress, memory, beside })),
    ),
  );
}

async function runBuild(request: Request & { kind: 'build' }, effects: Effects): Promise<number> {
  const outcome = await worked(request, effects, (known) => buildDossier({ ...request, ...known }, effects));
  const { arrangement, stages } = outcome.input;
  const current = stages.at(-1);
  const counts = standingByLevel(current?.findings ?? []);
  if (request.json) {
    printJson(
      {
        folder: outcome.folder,
        files: outcome.files,
        bytes: outcome.bytes,
        stages: stages.map(({ stage, findings }) => ({
          id: stage.id,
          title: stage.title,
          findings: standingByLevel(findings),
        })),
        problems: [...arrangement.problems, ...outcome.remarks],
      },
      effects,
    );
    return 0;
  }
  printProblems(arrangement.problems, effects, IN_DOSSIER);
  printProblems(outcome.remarks, effects);
  printClock(stages, effects);
  if (request.quiet) return 0;
  const page = outcome.files.includes('index.html') ? 'index.html' : (outcome.files[0] ?? '');
  const folder = shownPath(outcome.folder);
  effects.terminal.out(
    plainText(
      `“${arrangement.title}”: ${counted(stages.length, 'stage')}, ` +
        `current stage “${current?.stage.title ?? ''}” with ${counts.fix} to fix, ${counts.look} to check, ${counts.note} for information.\n` +
        `Open ${folder}/${page} in a browser (${Math.ceil(outcome.bytes / 1024)} KB in all).\n`,
    ),
  );
  return 0;
}

async function runOpen(request: Request & { kind: 'check' }, effects: Effects): Promise<number> {
  const list = await worked(request, effects, (known) => openList({ ...request, ...known }, effects));
  if (request.json) {
    printJson(list, effects);
    return 0;
  }
  printProblems(list.problems, effects);
  if (!request.quiet) for (const line of openLines(list)) effects.terminal.out(`${plainLine(line)}\n`);
  return 0;
}

async function runCheck(request: Request & { kind: 'check' }, effects: Effects): Promise<number> {
  const outcome = await worked(request, effects, (known) => checkFolder({ ...request, ...known }, effects));
  const { stage, findings } = outcome.checked;
  const standing = findings.filter(
    (finding) => finding.accepted === undefined && isAtLeast(finding.level, request.level),
  );
  if (request.json) {
    printJson(
      {
        title: outcome.arrangement.title,
        stage: stage.id,
        level: request.level,
        standing: standing.length,
        findings,
        problems: outcome.problems,
      },
      effects,
    );
  } else {
    printProblems(outcome.problems, effects);
    printClock([outcome.checked], effects);
    if (!request.quiet) effects.terminal.out(`${findingLines(stage, findings).join('\n')}\n`);
  }
  return standing.length > 0 ? 1 : 0;
}

function printShelf(folder: string, entries: readonly ShelfEntry[], { quiet, json }: Asked, effects: Effects): void {
  const failed = entries.filter((entry) => entry.kind === 'failed');
  if (json) {
    printJson({ folder, pieces: entries.map(({ kind, id, path }) => ({ kind, id, path })), failed }, effects);
    return;
  }
  for (const { path, sentence } of failed) effects.terminal.err(`${plainLine(`${path}: ${sentence}`)}\n`);
  if (quiet) return;
  effects.terminal.out(
    plainText(
      `${counted(entries.length - failed.length, 'dossier')}, ${counted(failed.length, 'folder')} without one.\n` +
        `Open ${shownPath(folder)}/index.html in a browser.\n`,
    ),
  );
}

async function runShelf(request: Request & { kind: 'shelf' }, effects: Effects): Promise<number> {
  const outcome = await worked(request, effects, (known) => buildShelf({ ...request, ...known }, effects));
  const { folder, entries, isFaulty, problems } = outcome;
  if (!request.json) printProblems(problems, effects);
  printShelf(folder, entries, request, effects);
  if (isFaulty) return 70;
  return entries.length > 0 && entries.every(({ kind }) => kind === 'failed') ? 3 : 0;
}

async function runJoin(request: Request & { kind: 'join' }, effects: Effects): Promise<number> {
  const { folder, entries, missing } = await withProgress(request, effects, (progress) =>
    joinShelf({ ...request, ...progress }, effects),
  );
  if (missing.length > 0) {
    const shares = `${agreeing(missing.length, 'Share', 'Shares')} ${listText(missing.map(String))} ${agreeing(missing.length, 'was', 'were')}`;
    effects.terminal.err(`${shares} not given: what is in there is not in the index, which says so.\n`);
  }
  printShelf(folder, entries, request, effects);
  return 0;
}

async function runStart(request: Request & { kind: 'start' }, effects: Effects): Promise<number> {
  const outcome = await startFolder(request, effects);
  const { file, filledIn, commentedOut, problems } = outcome;
  if (request.json) {
    printJson({ file, filledIn, commentedOut, problems }, effects);
    return 0;
  }
  printProblems(problems, effects);
  if (request.quiet) return 0;
  effects.terminal.out(
    plainText(
      `Wrote ${shownPath(file)}: ${filledIn} ${filledIn === 1 ? 'setting is' : 'settings are'} filled in, ` +
        `${commentedOut} ${commentedOut === 1 ? 'is' : 'are'} commented out because the MIDI does not say for sure.\n` +
        `Look through it, then build the dossier with “build ${quoted(request.folder)}”.\n`,
    ),
  );
  return 0;
}

function printNews(news: WatchNews, quiet: boolean, effects: Effects): void {
  switch (news.kind) {
    case 'built': {
      const { arrangement, stages } = news.outcome.input;
      const counts = standingByLevel(stages.at(-1)?.findings ?? []);
      printProblems(arrangement.problems, effects, IN_DOSSIER);
      printProblems(news.outcome.remarks, effects);
      printClock(stages, effects);
      if (quiet) return;
      effects.terminal.out(
        `Built in ${(news.milliseconds / 1000).toFixed(2)} s: ${counts.fix} to fix, ${counts.look} to check, ` +
          `${counts.note} for information. ${news.address}\n`,
      );
      return;
    }
    case 'refused':
      printProblems(news.problems, effects);
      effects.terminal.err('What was built last stands. Waiting for the next change.\n');
      return;
    case 'fault':
      effects.terminal.err(faultText(news.error));
  }
}

async function runWatch(request: Request & { kind: 'watch' }, effects: Effects): Promise<number> {
  if (!request.quiet) {
    effects.terminal.out(
      plainText(`Watching ${request.folder}; every change is built, and open pages follow. Ctrl-C ends it.\n`),
    );
  }
  await withAnother((beside) =>
    withMemory(request, effects, (memory) =>
      watchFolder({ ...request, memory, beside }, effects, nodeWatchEffects(), (news) => {
        printNews(news, request.quiet, effects);
      }),
    ),
  );
  return 0;
}

/** Runs the program and gives its exit code. Never throws. */
export async function run(args: readonly string[], effects: Effects): Promise<number> {
  const wantsJson = args.includes('--json');
  try {
    const request = parseCommandLine(args);
    switch (request.kind) {
      case 'help':
        effects.terminal.out(helpText());
        return 0;
      case 'build':
        return await runBuild(request, effects);
      case 'check':
        return await (request.open ? runOpen : runCheck)(request, effects);
      case 'watch':
        return await runWatch(request, effects);
      case 'start':
        return await runStart(request, effects);
      case 'shelf':
        return await runShelf(request, effects);
      case 'join':
        return await runJoin(request, effects);
    }
  } catch (error) {
    if (error instanceof InputError) {
      if (wantsJson) printJson({ problems: error.problems }, effects);
      else printProblems(error.problems, effects);
      return exitCodeOf(error.problems);
    }
    effects.terminal.err(faultText(error));
    return 70;
  }
}
