/** `start`: writes a commented `dossier.yaml` into a folder that has none. */
import { basename, join, resolve } from 'node:path';
import { settledFolder } from '../build.ts';
import { assemble } from '../assemble/assemble.ts';
import { nameStages } from '../assemble/stage-order/stage-names.ts';
import type { Arrangement } from '../model/music/arrangement.ts';
import type { Disk, Effects } from '../model/effects.ts';
import { memosOfStage } from '../model/readings/memos-of-stage.ts';
import { notesOf } from '../notate/notate-stage.ts';
import type { Problem } from '../problems/problem.ts';
import { InputError, usageError } from '../problems/problem.ts';
import { offeredAcceptances, type OfferedAcceptance } from '../publish/answers/accepted-lines.ts';
import type { RawFolder } from '../read/raw.ts';
import { readFolder } from '../read/read-folder.ts';
import { readSettings } from '../read/settings/read-settings.ts';
import { settingsText } from './settings-text.ts';
import type { StartEntry } from './start-facts.ts';
import { startFacts } from './start-facts.ts';

const SETTINGS_FILE = 'dossier.yaml';

export interface StartOutcome {
  /** Absolute path of the file that was written. */
  readonly file: string;
  readonly text: string;
  /** Settings in force, and those that are there as comments because they are not sure. */
  readonly filledIn: number;
  readonly commentedOut: number;
  readonly problems: readonly Problem[];
}

/** Throws an InputError where the folder has settings already, under any spelling of the name. */
async function refuseExisting(folder: string, disk: Disk): Promise<void> {
  const entries = await disk.list(folder).catch(() => []);
  const existing = entries.find(({ name }) => /^dossier\.ya?ml$/i.test(name));
  if (existing === undefined) return;
  const message = `“${folder}” has settings already, in “${existing.name}”, and they are never overwritten: rename that file first if you want a new one.`;
  throw usageError('settings-exist', message);
}

/** Where each statement is from, and what is too long to compare and no setting of ours changes. */
const NOT_COMPARED: ReadonlySet<string> = new Set(['files', 'assumptions', 'recognisedBy', 'curves']);

/** How a folder was read, as text: two readings are the same where their texts are. */
function readingOf(arrangement: Arrangement): string {
  return JSON.stringify(arrangement, (key, content: unknown) => {
    if (NOT_COMPARED.has(key)) return undefined;
    return key === 'notes' && Array.isArray(content) ? content.length : content;
  });
}

/** The arrangement with these settings; undefined where they would be refused. */
function withSettings(raw: RawFolder, text: string, folderName: string): Arrangement | undefined {
  const { settings, problems } = readSettings(new TextEncoder().encode(text), SETTINGS_FILE);
  if (problems.length > 0) return undefined;
  try {
    return assemble({ ...raw, settings }, { folderName });
  } catch (error) {
    if (error instanceof InputError) return undefined;
    throw error;
  }
}

const CHANGES_THE_READING =
  'Commented out, because the same setting would hold for other tracks or stages too and change how they are read.';

/** The entries, those commented out with which the folder would be read otherwise than without settings. */
function withoutEffect(
  entries: readonly StartEntry[],
  isUnchanged: (entries: readonly StartEntry[]) => boolean,
): readonly StartEntry[] {
  if (isUnchanged(entries)) return entries;
  const off = (entry: StartEntry): StartEntry => ({ ...entry, unsure: entry.unsure ?? CHANGES_THE_READING });
  let chosen = entries.map(off);
  entries.forEach((entry, index) => {
    const tried = chosen.with(index, entry);
    if (entry.unsure === undefined && isUnchanged(tried)) chosen = tried;
  });
  return chosen;
}

/** What readers accepted; without such an answer nothing is judged. */
function acceptancesIn(arrangement: Arrangement): readonly OfferedAcceptance[] {
  if (!arrangement.memos.some(({ kind }) => kind === 'accepted')) return [];
  const { arrangement: settled, current } = settledFolder(arrangement);
  return offeredAcceptances(current.findings, memosOfStage(settled.memos, current.stage.id, true));
}

/** The text of a settings file with which the folder is read just as without it. Throws an InputError where nothing is usable. */
function startText(raw: RawFolder, folderName: string): { text: string; entries: readonly StartEntry[] } {
  const arrangement = assemble(raw, { folderName });
  const current = arrangement.stages.at(-1);
  if (current === undefined) throw new Error('an arrangement without stages came out of assemble');
  const sounding = raw.stages.filter(({ files }) =>
    files.some(({ tracks }) => tracks.some(({ notes }) => notes.length > 0)),
  );
  const stageNames = new Map(nameStages(sounding, {}).map((stage) => [stage.id, stage.raw.name]));
  const { keys, style } = notesOf(current);
  const facts = startFacts({ arrangement, stageNames, keys, style, acceptances: acceptancesIn(arrangement) });
  const wanted = readingOf(arrangement);
  const entries = withoutEffect(facts, (tried) => {
    const read = withSettings(raw, settingsText(tried), folderName);
    return read !== undefined && readingOf(read) === wanted;
  });
  return { text: settingsText(entries), entries };
}

/** Reads the folder and writes its settings file. Throws an InputError where one is there or nothing is usable. */
export async function startFolder(options: { readonly folder: string }, effects: Effects): Promise<StartOutcome> {
  const folder = resolve(options.folder);
  await refuseExisting(folder, effects.disk);
  const raw = await readFolder(folder, effects.disk, { ignore: [join(folder, 'dossier')] });
  const { text, entries } = startText(raw, basename(folder));
  const file = join(folder, SETTINGS_FILE);
  await effects.disk.create(file, text);
  const filledIn = entries.filter((entry) => entry.unsure === undefined).length;
  return { file, text, filledIn, commentedOut: entries.length - filledIn, problems: raw.problems };
}
