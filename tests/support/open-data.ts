/**
 * Open data that the tests check against: the whole of it lies in a folder beside the repository, or in the one that the environment variable
 * DOSSIER_OPEN_DATA names; a few small files of it are part of the repository (tests/data, with their licences), so that a clone alone checks
 * against the outside too. No other file of the tests knows where the data are.
 */
import { existsSync, readdirSync } from 'node:fs';
import { join, resolve } from 'node:path';

const WHOLE = resolve(process.env['DOSSIER_OPEN_DATA'] ?? '../shared/data');
const SHIPPED = resolve('tests/data');

/** Whether the whole open data are at hand, not only what the repository ships. */
export const hasWholeData = existsSync(WHOLE);

/** Surroundings of a process that is to see only what the repository ships. */
export function withShippedDataOnly(): NodeJS.ProcessEnv {
  return { ...process.env, DOSSIER_OPEN_DATA: resolve('tests/no-open-data') };
}

/** Why a check is skipped, for its name: empty where it is not. */
export const unlessWhole = hasWholeData ? '' : ' (skipped: wants the whole open data, which are not here)';

/** The folder of all open data at hand. */
export const openDataFolder = hasWholeData ? WHOLE : SHIPPED;

/** Names of the files of one set in order, of those with this ending. */
export function openFiles(set: string, ending = '.mxl'): readonly string[] {
  return readdirSync(join(openDataFolder, set))
    .filter((name) => name.endsWith(ending))
    .sort();
}

/** Path of a file of one set. */
export function openFile(set: string, name: string): string {
  return join(openDataFolder, set, name);
}
