/** The input folder, read: stages, settings, notes, and every problem met on the way. Nothing in it is changed. */
import type { Disk } from '../model/effects.ts';
import type { Memory } from '../model/memory.ts';
import { NO_MEMORY } from '../model/memory.ts';
import { usageError } from '../problems/problem.ts';
import type { Problem } from '../problems/problem.ts';
import { quoted } from './clean-text.ts';
import { withAudio } from './audio/stage-audio.ts';
import { surveyFolder, withoutExtension } from './folder-survey.ts';
import type { FoundFile } from './folder-survey.ts';
import { load, refused } from './load-file.ts';
import type { Reading } from './load-file.ts';
import { MOST_FILE_BYTES } from './midi/midi-limits.ts';
import { compareNaturally } from './natural-order.ts';
import { readStems } from './audio/stems.ts';
import type { RawFolder, RawMemo, RawMidiFile, RawSettings, RawStage } from './raw.ts';
import { readMemos } from './user-notes/read-memos.ts';
import { readMidi } from './midi/read-midi.ts';
import { NO_SETTINGS, readSettings } from './settings/read-settings.ts';

/** A note of this size is some hundred pages. */
const MOST_TEXT_BYTES = 200_000;
const MOST_NOTES_BYTES = 600_000;

/** Over all files of the folder: a large piece has some 100 000 notes a stage. */
const MOST_NOTES = 1_500_000;
const MOST_EVENTS = 6_000_000;
const MOST_MIDI_FILES = 500;

export interface ReadOptions {
  /** Absolute paths that are not input, e.g. the output folder. */
  readonly ignore: readonly string[];
  /** Called before each recording. */
  readonly onProgress?: (text: string) => void;
  readonly memory?: Memory;
}

/** Reads the MIDI files; gives each that could be read, by its place. */
async function readMidiFiles(
  files: readonly FoundFile[],
  reading: Reading,
): Promise<ReadonlyMap<FoundFile, RawMidiFile>> {
  const read = new Map<FoundFile, RawMidiFile>();
  let notes = 0;
  let events = 0;
  let count = 0;
  for (const found of files) {
    if (++count > MOST_MIDI_FILES || notes > MOST_NOTES || events > MOST_EVENTS) {
      reading.problems.push(
        refused(
          found.path,
          'too-much',
          'The files before this one already hold as much as can be read at once: move older stages to another folder.',
        ),
      );
      reading.records.push({ path: found.path, sha256: '', use: 'not used' });
      continue;
    }
    const { bytes, record } = await load(found, MOST_FILE_BYTES, reading);
    if (bytes === undefined) {
      reading.records.push(record);
      continue;
    }
    const { file, problems } = reading.memory.recall(
      'midi file',
      () => [found.path, record.sha256],
      () => readMidi(bytes, found.path),
    );
    reading.problems.push(...problems);
    reading.records.push({ ...record, use: file === undefined ? 'not used' : 'stage' });
    if (file === undefined) continue;
    for (const track of file.tracks) {
      notes += track.notes.length;
      events += track.controllers.length;
    }
    read.set(found, file);
  }
  return read;
}

function holdsNotes(file: RawMidiFile): boolean {
  return file.tracks.some(({ notes }) => notes.length > 0);
}

/** One stage a file at the top, one a subfolder; a stage without any note is refused. */
function stagesOf(read: ReadonlyMap<FoundFile, RawMidiFile>, reading: Reading): readonly RawStage[] {
  const stages: { readonly stage: RawStage; readonly path: string }[] = [];
  const folders = new Map<string, RawMidiFile[]>();
  for (const [found, file] of read) {
    if (found.subfolder !== undefined) {
      const members = folders.get(found.subfolder) ?? [];
      members.push(file);
      folders.set(found.subfolder, members);
    } else if (holdsNotes(file)) {
      stages.push({ stage: { name: withoutExtension(found.name), isFolder: false, files: [file] }, path: found.path });
    } else if (!reading.problems.some((problem) => problem.kind === 'refused' && problem.file === found.path)) {
      reading.problems.push(
        refused(found.path, 'no-notes', 'The file holds no notes: export it again with its tracks.'),
      );
    }
  }
  for (const [name, files] of folders) {
    if (files.some(holdsNotes)) {
      stages.push({ stage: { name, isFolder: true, files }, path: name });
    } else {
      reading.problems.push(
        refused(
          name,
          'no-notes',
          'None of the MIDI files in this folder holds a note: export them again with their tracks.',
        ),
      );
    }
  }
  stages.sort((a, b) => compareNaturally(a.stage.name, b.stage.name) || compareNaturally(a.path, b.path));
  return stages.map(({ stage }) => stage);
}

/** Says what was looked for where no stage came out, and what each other file is not. */
function nothingFound(files: readonly FoundFile[]): readonly Problem[] {
  const problems: Problem[] = [
    refused(
      '',
      'nothing-found',
      'Nothing to build from was found: a MIDI file (.mid, .midi or .smf) with notes in it, or a subfolder of such files, was looked for.',
    ),
  ];
  const others = files.filter(({ use }) => use === 'other' || use === 'audio');
  for (const { path, name } of others.slice(0, 20)) {
    const extension = /\.[^.]+$/.exec(name)?.[0];
    const what = extension === undefined ? 'A file without an extension' : `A file that ends in ${quoted(extension)}`;
    problems.push({
      kind: 'remark',
      code: 'not-used',
      file: path,
      message: `${what} is not read: export the sketch as a Standard MIDI File.`,
    });
  }
  if (others.length > 20) {
    problems.push({
      kind: 'remark',
      code: 'not-used',
      file: '',
      message: `${others.length - 20} more files that are not MIDI were passed over.`,
    });
  }
  return problems;
}

async function readSettingsFile(files: readonly FoundFile[], reading: Reading): Promise<RawSettings> {
  const [found, second] = files.filter(({ use }) => use === 'settings');
  if (found === undefined) return NO_SETTINGS;
  if (second !== undefined) {
    const message = `There are two files of settings, ${quoted(found.name)} and ${quoted(second.name)}: keep one of them.`;
    reading.problems.push({ kind: 'settings', code: 'two-settings', file: second.path, message });
    reading.records.push({ path: second.path, sha256: '', use: 'not used' });
  }
  const { bytes, record } = await load(found, MOST_TEXT_BYTES, reading);
  reading.records.push({ ...record, use: bytes === undefined ? 'not used' : 'settings' });
  if (bytes === undefined) return NO_SETTINGS;
  const { settings, problems } = readSettings(bytes, found.path);
  reading.problems.push(...problems);
  return settings;
}

async function readNotes(
  files: readonly FoundFile[],
  stageFolders: ReadonlySet<string>,
  reading: Reading,
): Promise<readonly RawMemo[]> {
  const memos: RawMemo[] = [];
  let left = MOST_NOTES_BYTES;
  for (const found of files.filter(({ use }) => use === 'notes')) {
    const { bytes, record } = await load(found, Math.min(MOST_TEXT_BYTES, left), reading);
    reading.records.push({ ...record, use: bytes === undefined ? 'not used' : 'notes' });
    if (bytes === undefined) continue;
    left -= bytes.length;
    const { subfolder } = found;
    const stage = subfolder !== undefined && stageFolders.has(subfolder) ? subfolder : undefined;
    const notes = readMemos(bytes, found.path, stage);
    memos.push(...notes.memos);
    reading.problems.push(...notes.problems);
  }
  return memos;
}

/** Codes of the operating system for what somebody may not read (POSIX errno names as Node gives them). */
const DENIED: readonly string[] = ['EACCES', 'EPERM'];

/** True where the system lets nobody of these rights look into the folder. */
async function isDenied(folder: string, disk: Disk): Promise<boolean> {
  try {
    await disk.list(folder);
    return false;
  } catch (error) {
    return error instanceof Error && 'code' in error && DENIED.includes(String(error.code));
  }
}

/** Throws the sentence why there is no folder to read. */
async function checkFolder(folder: string, disk: Disk): Promise<void> {
  const status = await disk.status(folder);
  const name = quoted(folder, 120);
  if (await isDenied(folder, disk))
    throw usageError('folder-denied', `${name} cannot be read because permission was denied: check who may read it.`);
  if (status === undefined) throw usageError('no-folder', `There is no folder ${name}: check the path.`);
  if (status.kind !== 'directory')
    throw usageError('not-a-folder', `${name} is not a folder: give the folder that holds the MIDI files.`);
}

/**
 * Reads an input folder (absolute path). Bad files give problems and never an error; a folder that is not there throws
 * an InputError of kind `usage`. `stages` is empty where nothing was usable; then the problems say what was looked for.
 */
export async function readFolder(folder: string, disk: Disk, options: ReadOptions): Promise<RawFolder> {
  await checkFolder(folder, disk);
  const ignore = new Set(options.ignore);
  for (const path of options.ignore) ignore.add((await disk.realPath(path)) ?? path);
  const survey = await surveyFolder(folder, disk, ignore);
  const reading: Reading = {
    disk,
    problems: [...survey.problems],
    records: survey.notFollowed.map((path) => ({ path, sha256: '', use: 'not used' as const })),
    progress: options.onProgress ?? (() => undefined),
    memory: options.memory ?? NO_MEMORY,
  };
  const { files } = survey;
  const settings = await readSettingsFile(files, reading);
  const read = await readMidiFiles(
    files.filter(({ use }) => use === 'midi'),
    reading,
  );
  const stages = await withAudio(stagesOf(read, reading), files, reading);
  const stageFolders = new Set(stages.filter(({ isFolder }) => isFolder).map(({ name }) => name));
  const memos = await readNotes(files, stageFolders, reading);
  for (const { path, use } of files) if (use === 'other') reading.records.push({ path, sha256: '', use: 'not used' });
  // What no stage plays and nobody has told of.
  const told = new Set(reading.records.map(({ path }) => path));
  const stems = await readStems(
    files.filter(({ path, use }) => use === 'audio' && !told.has(path)),
    reading,
  );
  if (stages.length === 0) reading.problems.push(...nothingFound(files));
  reading.records.sort((a, b) => compareNaturally(a.path, b.path));
  return { stages, settings, memos, stems, files: reading.records, problems: reading.problems };
}
