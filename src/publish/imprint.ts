/** What a dossier was made from and by what, in short form: the same for the same folder, wherever and whenever it is built. */
import packageFile from '../../package.json' with { type: 'json' };
import { shortHash } from '../model/hashes.ts';
import type { DossierInput } from './dossier-input.ts';

export interface Imprint {
  /** Hash over the names and hashes of the files in use. */
  readonly folder: string;
  readonly version: string;
  /** Hash over what the checks say of themselves and the limits in force. */
  readonly rules: string;
}

/** Short hash of a folder by the files that were used of it, in order of path. */
export function folderHash(
  files: readonly { readonly path: string; readonly sha256: string; readonly use: string }[],
): string {
  const used = files.filter(({ use, sha256 }) => use !== 'not used' && sha256 !== '');
  return shortHash(
    used.map(({ path, sha256 }) => [path, sha256]).sort(([one = ''], [other = '']) => (one < other ? -1 : 1)),
  );
}

/** Folder, version and rules of a dossier. */
export function imprintOf({ arrangement, rules }: Pick<DossierInput, 'arrangement' | 'rules'>): Imprint {
  const said = rules.map(({ name, level, looksAt, limits, source }) => [name, level, looksAt, limits, source]);
  return {
    folder: folderHash(arrangement.files),
    version: packageFile.version,
    rules: shortHash([said, arrangement.limits]),
  };
}

/** The line at the foot of each page. */
export function imprintText({ folder, version, rules }: Imprint): string {
  return `Made of folder ${folder} by version ${version} with checks ${rules} (the first digits of SHA-256 hashes); the same folder gives the same pages.`;
}
