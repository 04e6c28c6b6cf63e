/**
 * What the package offers to other programs: to judge a folder and to build its dossier, without the command line. The types stand here whole,
 * for this file alone is described to those who import it.
 */
import { resolve } from 'node:path';
import { buildDossier, checkFolder as checkWith } from './build.ts';
import { nodeEffects, ownWorkingDirectory } from './node-effects.ts';
import { problemLine } from './terminal-text.ts';

/** A finding as the dossier has it. Bars are numbered as a musician counts, both ends included; a pickup is bar 0. */
export interface FolderFinding {
  readonly rule: string;
  readonly level: 'fix' | 'look' | 'note';
  readonly from: number;
  readonly to: number;
  /** Names of the parts concerned: untrusted text of the MIDI files. */
  readonly parts: readonly string[];
  readonly message: string;
  readonly advice: string;
  /** Source of the rule, or `common practice, no source`. */
  readonly source: string;
  /** The reason given in the settings where the finding was accepted. */
  readonly accepted?: string;
}

export interface CheckedFolder {
  readonly title: string;
  /** Title of the stage that was judged. */
  readonly stage: string;
  /** The gravest first. */
  readonly findings: readonly FolderFinding[];
  /** What was met while reading: a sentence each, with its file. */
  readonly problems: readonly string[];
}

/** At once, and from where the caller stands: several builds may go on side by side. */
function absolute(path: string): string {
  return resolve(ownWorkingDirectory(), path);
}

/**
 * Reads a folder of MIDI files and judges one stage: the last, or the one named by title, file name or number. Nothing is written. Throws an
 * Error named `InputError` whose message says what is wrong with the folder, where nothing can be judged.
 */
export async function checkFolder(folder: string, options: { readonly stage?: string } = {}): Promise<CheckedFolder> {
  const { arrangement, checked, problems } = await checkWith({ ...options, folder: absolute(folder) }, nodeEffects());
  const nameOf = new Map(checked.stage.parts.map((part) => [part.id, part.name]));
  return {
    title: arrangement.title,
    stage: checked.stage.title,
    findings: checked.findings.map(({ rule, level, from, to, partIds, message, advice, source, accepted }) => ({
      rule,
      level,
      from,
      to,
      parts: partIds.map((id) => nameOf.get(id) ?? id),
      message,
      advice,
      source,
      ...(accepted === undefined ? {} : { accepted }),
    })),
    problems: problems.map(problemLine),
  };
}

/**
 * Builds the dossier of a folder, by default into the folder `dossier` inside it. Returns where it is and the paths of its files, relative to
 * it. Throws as `checkFolder` does, also where the place cannot be written. While pages are rendered, the process stands in the folder of the
 * package: what else it does meanwhile takes absolute paths.
 */
export async function buildFolder(
  folder: string,
  options: { readonly out?: string; readonly singleFile?: boolean; readonly stage?: string } = {},
): Promise<{ readonly folder: string; readonly files: readonly string[] }> {
  const { singleFile = false, out, ...rest } = options;
  const place = out === undefined ? {} : { out: absolute(out) };
  const outcome = await buildDossier({ ...rest, ...place, folder: absolute(folder), singleFile }, nodeEffects());
  return { folder: outcome.folder, files: outcome.files };
}
