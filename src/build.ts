/**
 * The whole flow on one screen: read, assemble, then for every stage notate, analyse, advise and draw, then publish.
 * Everything between reading and publishing is pure.
 */
import { basename, join, resolve } from 'node:path';
import { RULES } from './advise/all-rules.ts';
import { analyseStage } from './analyse/analyse-stage.ts';
import { movedSince } from './analyse/misplaced/moved-since.ts';
import { compareStages } from './analyse/compare-stages.ts';
import { carryAnswers } from './analyse/compare/matches/carry-answers.ts';
import { distantPairs } from './analyse/compare/distant-pairs.ts';
import { assemble } from './assemble/assemble.ts';
import { drawCharts } from './draw/chart/draw-charts.ts';
import { drawHarmony } from './draw/chart/harmony/harmony-chart.ts';
import { drawWholePiece } from './draw/chart/whole-piece/whole-piece.ts';
import { placeMarks } from './draw/finding-marks/place-marks.ts';
import type { Arrangement, Stage } from './model/music/arrangement.ts';
import type { Effects } from './model/effects.ts';
import type { OnProgress } from './model/progress.ts';
import { memosOfStage } from './model/readings/memos-of-stage.ts';
import type { Memory } from './model/memory.ts';
import type { WrittenNotes } from './model/music/written.ts';
import { NO_MEMORY } from './model/memory.ts';
import type { Finding, StageChange } from './model/readings/readings.ts';
import { onceEach } from './model/once-each.ts';
import { sha256Of } from './model/hashes.ts';
import type { KnownParts } from './notate/known-parts.ts';
import { knownParts } from './notate/known-parts.ts';
import { notesOf, withoutLeaders } from './notate/notate-stage.ts';
import type { Problem } from './problems/problem.ts';
import {
  beginWork,
  engraveStage,
  judgeStage,
  publishedStage,
  type Engravings,
  type JudgedStage,
  type Judging,
  type StageUnderWay,
  type WorkBeside,
} from './stage-work.ts';
import { withDiskFailuresTold } from './problems/disk-failure.ts';
import { InputError, usageError } from './problems/problem.ts';
import { nearestName } from './problems/nearest-name.ts';
import type { DossierInput, PublishedStage } from './publish/dossier-input.ts';
import { checkNamesOfStages, commonNames } from './publish/dossier-names.ts';
import { audioOfStages } from './publish/audio/published-audio.ts';
import { publishDossier, type PublishTarget } from './publish/publish-dossier.ts';
import { checkArchivePlace } from './publish/archive/archive-place.ts';
import { doneSince } from './publish/archive/done-since.ts';
import { historyOf, keepBuild } from './publish/archive/keep-build.ts';
import { pictureOf } from './publish/archive/archive-picture.ts';
import { newestDay } from './publish/archive/newest-day.ts';
import { KEPT_FOLDER, otherDossier } from './publish/archive/restored.ts';
import { loadRenderer, readStyles } from './publish/render/render-pages.ts';
import { readKeptBuild } from './read/archive/kept-build.ts';
import { checkOutputFolder } from './publish/write-folder.ts';
import { dossierJson } from './publish/data/dossier-json.ts';
import { readWithArchive, type FolderWithArchive } from './read/archive/read-with-archive.ts';
import type { RawFolder } from './read/raw.ts';
import { readFolder, type ReadOptions } from './read/read-folder.ts';

/** How much of a build is done before each kind of step, as measured at 64 bars, 12 parts, 5 stages. */
const DONE = { reading: 0, assembling: 0.03, judging: 0.05, drawing: 0.45, writing: 0.8 } as const;

export interface BuildOptions {
  readonly folder: string;
  readonly out?: string;
  readonly singleFile: boolean;
  readonly stage?: string;
  /** Keep this build beside the dossier, and show stages that only earlier builds had. */
  readonly archive?: boolean;
  /** Restore this build of the archive beside the dossier, instead of building one from the folder. */
  readonly fromArchive?: number;
  /** Called before each longer step. */
  readonly onProgress?: OnProgress;
  /** Called with what was read; may throw an InputError where nothing is to be made of it. */
  readonly onRead?: (raw: RawFolder) => void;
  /** Waited for once the parts are put together and before anything long is done with them; may throw. */
  readonly onAssembled?: () => Promise<void>;
  /** What is known from earlier builds; without it everything is made anew. */
  readonly memory?: Memory;
  /** Without it all is done in this thread. */
  readonly beside?: WorkBeside;
}

export interface BuildOutcome {
  readonly folder: string;
  readonly files: readonly string[];
  readonly bytes: number;
  readonly input: DossierInput;
  /** What was met in the output folder and the archive: about this build and no part of the dossier. */
  readonly remarks: readonly Problem[];
}

export interface CheckedStage {
  readonly stage: Stage;
  readonly findings: readonly Finding[];
  readonly written: Pick<WrittenNotes, 'onGrid' | 'steadyBeat'>;
}

export interface CheckOutcome {
  readonly arrangement: Arrangement;
  /** The current stage, or the one that was asked for. */
  readonly checked: CheckedStage;
  readonly problems: readonly Problem[];
}

/** Absolute path of the finished dossier. */
export function outputFolder(options: Pick<BuildOptions, 'folder' | 'out'>): string {
  return options.out === undefined ? resolve(options.folder, 'dossier') : resolve(options.out);
}

function publishTarget(options: BuildOptions): PublishTarget {
  return { folder: outputFolder(options), singleFile: options.singleFile };
}

/** Beside the dossier, under its name. */
function archiveFolder(options: Pick<BuildOptions, 'folder' | 'out'>): string {
  return `${outputFolder(options)}-archive`;
}

/** The stage named on the command line, by title, id, number or file name. Throws an InputError where there is none. */
function stagesUpTo(arrangement: Arrangement, name: string | undefined): Arrangement {
  if (name === undefined) return arrangement;
  const wanted = name.trim().toLowerCase();
  const namesOf = (stage: Stage): string[] => {
    const files = stage.parts.flatMap((part) => part.tracks.map((track) => track.file));
    const plain = files.flatMap((file) => [file, file.replace(/\.[^./]+$/, ''), file.split('/')[0] ?? file]);
    return [stage.title, stage.id, String(stage.order), ...plain];
  };
  const index = arrangement.stages.findIndex((stage) =>
    namesOf(stage).some((candidate) => candidate.toLowerCase() === wanted),
  );
  if (index < 0) {
    const titles = arrangement.stages.map((stage) => stage.title);
    const nearest = nearestName(name, titles);
    const message =
      nearest === undefined
        ? `There is no stage “${name}”; the stages are “${titles.join('”, “')}”.`
        : `There is no stage “${name}”: did you mean “${nearest}”?`;
    throw usageError('unknown-stage', message);
  }
  const stages = arrangement.stages.slice(0, index + 1);
  const kept = new Set(stages.map((stage) => stage.id));
  return {
    ...arrangement,
    stages,
    memos: arrangement.memos.filter((memo) => memo.stageId === undefined || kept.has(memo.stageId)),
    ...(arrangement.audio === undefined ? {} : { audio: arrangement.audio.filter(({ stageId }) => kept.has(stageId)) }),
  };
}

type ReadingOptions = Pick<BuildOptions, 'folder' | 'out' | 'stage' | 'onProgress' | 'onRead' | 'memory'>;

function readOptions(options: ReadingOptions): ReadOptions {
  options.onProgress?.('reading the folder', DONE.reading);
  const { memory = NO_MEMORY, onProgress } = options;
  return {
    ignore: [outputFolder(options), archiveFolder(options)],
    memory,
    onProgress: (text) => onProgress?.(text, DONE.reading),
  };
}

function arrangementOf(raw: RawFolder, options: ReadingOptions): Arrangement {
  // Wrong settings would be wrong throughout the dossier: nothing is built until they are mended.
  if (raw.problems.some((problem) => problem.kind === 'settings')) throw new InputError(raw.problems);
  options.onRead?.(raw);
  const { memory = NO_MEMORY } = options;
  options.onProgress?.('putting the parts together', DONE.assembling);
  return stagesUpTo(assemble(raw, { folderName: basename(resolve(options.folder)), memory }), options.stage);
}

/** The arrangement of a folder, up to the stage that was asked for. Throws an InputError where there is none. */
export async function readArrangement(options: ReadingOptions, effects: Effects): Promise<Arrangement> {
  const raw = await readFolder(resolve(options.folder), effects.disk, readOptions(options));
  return arrangementOf(raw, options);
}

/** What the charts of a stage take from the arrangement: limits, and the notes whose places they mark. */
type Drawing = Pick<Arrangement, 'limits'> & Partial<Pick<Arrangement, 'memos'>>;

/** The hash of everything in a stage. */
const hashOfStage = onceEach((stage: Stage) => sha256Of(JSON.stringify(stage)));

/** The hash of what is played in it, whoever leads. */
const hashOfPlayed = onceEach((stage: Stage) => sha256Of(JSON.stringify(withoutLeaders(stage))));

/** What a judged stage is known by. */
function judgedKeys(stage: Stage, judging: Judging): readonly unknown[] {
  return [hashOfStage(stage), JSON.stringify(judging)];
}

/** What the judgement of a stage takes from the others of an arrangement. */
function judgingOf({ stages, limits, accepted }: Arrangement, stage: Stage): Judging {
  const before = stages[stages.indexOf(stage) - 1];
  return { limits, accepted, moved: before === undefined ? [] : movedSince(before, stage) };
}

/** What of a stage goes by its notes alone: it stays where another stage changes who is taken for the leader of this one. */
interface KnownByNotes {
  readonly notes: (known: KnownParts) => WrittenNotes;
  readonly fullScores: Engravings['fullScores'] | undefined;
  readonly keepFullScores: (made: Engravings['fullScores']) => void;
}

/** Looks for it at once, whether it is needed or not: what nobody asks for is forgotten after a build. */
function knownByNotes(stage: Stage, isCurrent: boolean, memory: Memory): KnownByNotes {
  const keys = (): readonly unknown[] => [hashOfPlayed(stage)];
  // Only this function keeps anything for these purposes.
  let notes = memory.find('notes', keys) as WrittenNotes | undefined;
  const scoreKeys = (): readonly unknown[] => [notes, isCurrent];
  const fullScores = notes && (memory.find('full scores', scoreKeys) as Engravings['fullScores'] | undefined);
  return {
    fullScores,
    notes: (known) => (notes ??= memory.recall('notes', keys, () => notesOf(stage, undefined, known))),
    keepFullScores: (made) => {
      if (notes !== undefined && fullScores === undefined) memory.keep('full scores', scoreKeys, made);
    },
  };
}

/** Notates, analyses and judges one stage: all that `check` needs. */
function judge(stage: Stage, judging: Judging, memory: Memory = NO_MEMORY): JudgedStage {
  return memory.recall(
    'judged',
    () => judgedKeys(stage, judging),
    () => judgeStage({ stage, written: notesOf(stage) }, judging),
  );
}

/** Draws the charts of one judged stage. `isCurrent`: it is the last one of the arrangement. */
function chartsOf(judged: JudgedStage, { memos = [], limits }: Drawing, isCurrent: boolean): PublishedStage['charts'] {
  const { stage, written, readings, findings } = judged;
  const marks = placeMarks(findings, memosOfStage(memos, stage.id, isCurrent));
  return [
    ...drawCharts(stage, readings, marks, limits),
    drawHarmony(stage, written, readings, { marks }),
    drawWholePiece(stage, readings, findings),
  ];
}

/** A judged stage with all its drawings. */
export function drawStage(judged: JudgedStage, arrangement: Drawing, isCurrent = true): PublishedStage {
  return publishedStage(judged, engraveStage(judged, isCurrent), chartsOf(judged, arrangement, isCurrent));
}

/** What changed between some pairs of stages, given by their places. */
function comparedStages(
  stages: readonly JudgedStage[],
  pairs: readonly (readonly [number, number])[],
  memory: Memory,
): readonly StageChange[] {
  return pairs.flatMap(([one, other]) => {
    const [before, after] = [stages[one], stages[other]];
    if (before === undefined || after === undefined) return [];
    return memory.recall(
      'comparison',
      () => [before, after],
      () => compareStages(before, after),
    );
  });
}

/** What changed from each stage to the next. */
function changesBetween(stages: readonly JudgedStage[], memory: Memory): readonly StageChange[] {
  const pairs = stages.slice(1).map((_, index) => [index, index + 1] as const);
  return comparedStages(stages, pairs, memory);
}

/** What changed between stages that do not follow one another. */
function distantChanges(stages: readonly JudgedStage[], memory: Memory): readonly StageChange[] {
  return comparedStages(stages, distantPairs(stages.length), memory);
}

/** Stages, and what changed between each and the others, as the pages are made from them. */
export function dossierInputOf(arrangement: Arrangement, stages: readonly PublishedStage[]): DossierInput {
  const [changes, comparisons] = [changesBetween(stages, NO_MEMORY), distantChanges(stages, NO_MEMORY)];
  return { arrangement, stages, changes, comparisons, rules: RULES };
}

function notesIn(stages: readonly Stage[]): number {
  return stages.reduce((sum, { parts }) => parts.reduce((count, { notes }) => count + notes.length, sum), 0);
}

/** How much of all notes stands in the stages before this one. */
function shareBefore(stage: Stage, stages: readonly Stage[]): number {
  return notesIn(stages.slice(0, stages.indexOf(stage))) / Math.max(1, notesIn(stages));
}

/**
 * Another thread holds all that it works on a second time: with more notes than this, memory is worth more. 64 bars, 12 parts, 5 stages have
 * 6,000 and take 310 MB instead of 240.
 */
const MOST_NOTES_BESIDE = 40_000;

/** Of one stage nothing could be done meanwhile. */
function isWorthAnother(stages: readonly Stage[]): boolean {
  return stages.length > 1 && notesIn(stages) <= MOST_NOTES_BESIDE;
}

/** Tells of a step of one stage, the one at this place of all. */
function tellStep(step: 'judging' | 'drawing', index: number, stages: readonly Stage[], onProgress?: OnProgress): void {
  const stage = stages[index];
  if (stage === undefined) return;
  const next = step === 'judging' ? DONE.drawing : DONE.writing;
  const share = DONE[step] + (next - DONE[step]) * shareBefore(stage, stages);
  onProgress?.(`${step} stage ${stage.order} of ${stages.length}: ${stage.title}`, share);
}

/** Judged stages compared each with the next, and every answer where it stands by now, which is drawn. Pure. */
function settle(
  arrangement: Arrangement,
  judged: readonly JudgedStage[],
  memory: Memory = NO_MEMORY,
): { readonly settled: Arrangement; readonly changes: readonly StageChange[] } {
  const changes = changesBetween(judged, memory);
  const memos = carryAnswers(arrangement.memos, arrangement.stages, changes);
  return { settled: { ...arrangement, memos }, changes };
}

type Working = Pick<BuildOptions, 'memory' | 'onProgress' | 'beside'>;

/** A stage that is being worked on, or known from before. */
interface StageBegun {
  readonly judged: Promise<JudgedStage>;
  readonly engravings: () => Promise<Engravings>;
  readonly underWay: StageUnderWay | undefined;
}

/** Notates a stage at once, and begins what follows: beside this thread where that can be, else here when all are notated. */
function beginStage(
  stage: Stage,
  arrangement: Arrangement,
  { memory = NO_MEMORY, onProgress, beside }: Working,
  known: KnownParts,
): StageBegun {
  const { stages, title, arranger } = arrangement;
  const index = stages.indexOf(stage);
  const isCurrent = index === stages.length - 1;
  const credits = arranger === undefined ? { title } : { title, arranger };
  tellStep('judging', index, stages, onProgress);
  const byNotes = knownByNotes(stage, isCurrent, memory);
  const judging = judgingOf(arrangement, stage);
  let underWay: StageUnderWay | undefined;
  const judged = memory.recallLater(
    'judged',
    () => judgedKeys(stage, judging),
    () => {
      const send = beside?.();
      const written = byNotes.notes(known);
      const order = { stage, written, isCurrent, judging, credits };
      underWay = beginWork(order, send, byNotes.fullScores);
      return underWay.judged();
    },
  );
  const engravings = async (): Promise<Engravings> => {
    const one = await judged;
    tellStep('drawing', index, stages, onProgress);
    const made = await memory.recallLater(
      'engraving',
      () => [one, isCurrent],
      async () => (await underWay?.engravings()) ?? engraveStage(one, isCurrent),
    );
    byNotes.keepFullScores(made.fullScores);
    return made;
  };
  // Known by now: what is not remembered is notated before this line.
  return { judged, engravings, underWay };
}

/** Everything the pages show, from an arrangement. */
async function prepareDossier(
  arrangement: Arrangement,
  { beside, ...options }: Working,
  effects: Effects,
): Promise<DossierInput> {
  const { memory = NO_MEMORY } = options;
  const working = beside !== undefined && isWorthAnother(arrangement.stages) ? { ...options, beside } : options;
  const known = knownParts(memory);
  const begun = arrangement.stages.map((stage) => beginStage(stage, arrangement, working, known));
  // All that is not remembered is notated by now.
  known.forget();
  // Another thread begins with the first of them, and this one with the last.
  const fromTheLast = begun.flatMap(({ underWay }) => underWay ?? []).reverse();
  for (const stage of fromTheLast) stage.takeOverJudging();
  // While another thread works there is time for it here.
  if (fromTheLast.some(({ texts }) => texts !== undefined)) loadRenderer(effects);
  const judged = await Promise.all(begun.map((stage) => stage.judged));
  const { settled, changes } = settle(arrangement, judged, memory);
  const comparisons = distantChanges(judged, memory);
  const charts = judged.map((one, index) => {
    const isCurrent = index === judged.length - 1;
    const memos = memosOfStage(settled.memos, one.stage.id, isCurrent);
    return memory.recall(
      'charts',
      () => [one, JSON.stringify({ memos, isCurrent })],
      () => chartsOf(one, { limits: settled.limits, memos }, isCurrent),
    );
  });
  for (const stage of fromTheLast) stage.takeOverDrawing();
  const stages: PublishedStage[] = [];
  for (const [index, one] of judged.entries()) {
    const engravings = await begun[index]?.engravings();
    const drawn = charts[index];
    if (engravings === undefined || drawn === undefined) throw new Error('a stage was judged that nobody began');
    stages.push(
      memory.recall(
        'stage',
        () => [one, engravings, drawn],
        () => publishedStage(one, engravings, drawn),
      ),
    );
  }
  const texts = Promise.all(begun.map(async ({ underWay }) => await underWay?.texts));
  return { arrangement: settled, stages, changes, comparisons, rules: RULES, texts };
}

/** Reads a folder and prepares its dossier without writing anything. Throws an InputError where nothing can be given. */
export async function prepareFolder(options: BuildOptions, effects: Effects): Promise<DossierInput> {
  return prepareDossier(await readArrangement(options, effects), options, effects);
}

/** The dossier with the audio of its stages, as it is played. */
async function withAudio(
  input: DossierInput,
  { folder, memory = NO_MEMORY, onProgress }: BuildOptions,
  { disk }: Effects,
): Promise<DossierInput> {
  const { arrangement } = input;
  const { audio, problems } = await audioOfStages(arrangement.audio ?? [], {
    folder: resolve(folder),
    disk,
    memory,
    onProgress: (text) => {
      onProgress?.(text, DONE.writing);
    },
  });
  return { ...input, arrangement: { ...arrangement, problems: [...arrangement.problems, ...problems] }, audio };
}

async function publish(input: DossierInput, options: BuildOptions, effects: Effects): Promise<BuildOutcome> {
  const target = publishTarget(options);
  const whole = await withAudio(input, options, effects);
  options.onProgress?.('writing the pages', DONE.writing);
  const { files, bytes } = await publishDossier(whole, target, effects, options.memory);
  return { folder: target.folder, files, bytes, input: whole, remarks: [] };
}

/** With the `dossier.json` that the last build wrote, where the archive may need it to be mended. */
async function withWrittenDossier(
  source: FolderWithArchive,
  options: BuildOptions,
  { disk }: Effects,
): Promise<FolderWithArchive> {
  if (source.archive.damage.size === 0) return source;
  const bytes = await disk.read(join(outputFolder(options), 'dossier.json')).catch(() => undefined);
  if (bytes === undefined) return source;
  const sha256 = sha256Of(bytes);
  return { ...source, contents: new Map([...source.contents, [sha256, bytes]]) };
}

async function buildWithoutArchive(options: BuildOptions, effects: Effects): Promise<BuildOutcome> {
  const arrangement = await readArrangement(options, effects);
  await options.onAssembled?.();
  await checkNamesOfStages(arrangement, publishTarget(options), effects);
  return publish(await prepareDossier(arrangement, options, effects), options, effects);
}

/** What was done to the music since the last build that the archive has, read again from there; undefined where that cannot be. */
async function doneSinceLast(
  { archive }: FolderWithArchive,
  { stages }: DossierInput,
  options: BuildOptions,
  { disk }: Effects,
): Promise<readonly string[] | undefined> {
  const [last, another] = archive.tips;
  const after = stages.at(-1);
  if (last === undefined || another !== undefined || after === undefined) return undefined;
  try {
    const kept = await readKeptBuild(resolve(options.folder), archive.folder, last.number, disk);
    const stage = assemble(kept.raw, { folderName: basename(resolve(options.folder)) }).stages.at(-1);
    if (stage === undefined) return undefined;
    const written = notesOf(stage);
    const before = { stage, written, readings: analyseStage(stage, written) };
    return doneSince({ change: compareStages(before, after), before, after });
  } catch (error) {
    // What is damaged there is told where the archive is read; a build is kept without these sentences then.
    if (error instanceof InputError) return undefined;
    throw error;
  }
}

/** The same with an archive: what it has is read first, and the build is kept once the dossier is written. */
async function buildWithArchive(options: BuildOptions, effects: Effects): Promise<BuildOutcome> {
  const source = await readWithArchive(
    resolve(options.folder),
    archiveFolder(options),
    effects.disk,
    readOptions(options),
  );
  await checkArchivePlace(archiveFolder(options), outputFolder(options), effects);
  const arrangement = arrangementOf(source.raw, options);
  await options.onAssembled?.();
  await checkNamesOfStages(arrangement, publishTarget(options), effects);
  const prepared = await prepareDossier(arrangement, options, effects);
  const history = historyOf(source, prepared);
  const bytesAtHand = await withWrittenDossier(source, options, effects);
  const outcome = await publish({ ...prepared, history }, options, effects);
  const folder = resolve(options.folder);
  const extras = {
    dossierJson: () => dossierJson(outcome.input),
    picture: pictureOf(prepared.stages.at(-1)),
    done:
      history.length === source.archive.builds.length
        ? undefined
        : await doneSinceLast(source, prepared, options, effects),
    newest: await newestDay(
      source.files.map(({ path }) => join(folder, path)),
      effects,
    ),
    style: () => readStyles(effects),
  };
  const remarks = await keepBuild(bytesAtHand, history, extras, effects);
  return { ...outcome, remarks };
}

/** The dossier that a build of the archive was, and the files it was made from, in a folder of their own beside the dossier. */
async function restoreBuild(options: BuildOptions, number: number, effects: Effects): Promise<BuildOutcome> {
  const target = { ...publishTarget(options), folder: `${outputFolder(options)}-build-${String(number)}` };
  options.onProgress?.('reading the archive', DONE.reading);
  const source = await readKeptBuild(resolve(options.folder), archiveFolder(options), number, effects.disk);
  const met = await checkOutputFolder(target.folder, effects, commonNames(options.singleFile));
  const arrangement = arrangementOf(source.raw, options);
  await checkNamesOfStages(arrangement, target, effects);
  const prepared = await prepareDossier(arrangement, options, effects);
  const input = { ...prepared, history: historyOf(source, prepared) };
  const others = [...source.keptFiles].map(([path, bytes]) => ({
    path: `${KEPT_FOLDER}/${path}`,
    content: () => bytes,
  }));
  options.onProgress?.('writing the pages', DONE.writing);
  const { files, bytes } = await publishDossier(input, target, effects, NO_MEMORY, others);
  const isSame = sha256Of(dossierJson(input)) === source.build.dossier;
  const remarks = isSame ? [] : [otherDossier(source, archiveFolder(options))];
  return { folder: target.folder, files, bytes, input, remarks: [...met, ...remarks] };
}

/** Reads the folder and writes the dossier. Throws an InputError where it cannot, which says what was written all the same. */
export async function buildDossier(options: BuildOptions, effects: Effects): Promise<BuildOutcome> {
  const { fromArchive } = options;
  if (fromArchive !== undefined) return withDiskFailuresTold(() => restoreBuild(options, fromArchive, effects));
  return withDiskFailuresTold(async () => {
    // Where there is no folder to read, the default output folder would lie nowhere: reading says what is wrong.
    const isThere = (await effects.disk.status(resolve(options.folder)))?.kind === 'directory';
    const met = isThere ? await checkOutputFolder(outputFolder(options), effects, commonNames(options.singleFile)) : [];
    const outcome = await (options.archive === true ? buildWithArchive : buildWithoutArchive)(options, effects);
    return { ...outcome, remarks: [...met, ...outcome.remarks] };
  });
}

/** Reads the folder and judges one stage. Throws an InputError where nothing can be given. */
export async function checkFolder(
  options: Pick<BuildOptions, 'folder' | 'stage' | 'onProgress' | 'memory'>,
  effects: Effects,
): Promise<CheckOutcome> {
  const arrangement = await readArrangement(options, effects);
  const stage = arrangement.stages.at(-1);
  if (stage === undefined) throw new Error('an arrangement without stages came out of assemble');
  options.onProgress?.(`judging ${stage.title}`, DONE.judging);
  return {
    arrangement,
    checked: judge(stage, judgingOf(arrangement, stage), options.memory),
    problems: arrangement.problems,
  };
}

export interface SettledFolder {
  /** With every answer where it stands by now. */
  readonly arrangement: Arrangement;
  /** The current stage, or the one that was asked for. */
  readonly current: JudgedStage;
}

/** The current stage of an arrangement judged, and its answers where they stand by now. Pure. */
export function settledFolder(
  arrangement: Arrangement,
  options: Pick<BuildOptions, 'memory' | 'onProgress'> = {},
): SettledFolder {
  const { memory, onProgress } = options;
  const judged = arrangement.stages.map((stage, index) => {
    tellStep('judging', index, arrangement.stages, onProgress);
    return judge(stage, judgingOf(arrangement, stage), memory);
  });
  const { settled } = settle(arrangement, judged, memory);
  const current = judged.at(-1);
  if (current === undefined) throw new Error('an arrangement without stages came out of assemble');
  return { arrangement: settled, current };
}
