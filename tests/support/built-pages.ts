/** Dossiers as the program itself builds them, page by page, for tests in a browser. */
import { existsSync, mkdtempSync, readdirSync, renameSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { runCli, temporaryFolder } from './run-cli.ts';
import { runFolder } from './run-folder.ts';
import { sampleFolders } from './sample.ts';

/** Addresses of the pages of a dossier by file name. */
export type BuiltPages = ReadonlyMap<string, string>;

async function build(folder: string, out: string, options: readonly string[]): Promise<void> {
  const { code, err, out: said } = await runCli(['build', folder, '--out', out, ...options]);
  if (code !== 0 || /\n\s+at /.test(err + said))
    throw new Error(`${folder} was not built (${String(code)}): ${err}${said}`);
}

function pagesIn(out: string): BuiltPages {
  const names = readdirSync(out).filter((name) => name.endsWith('.html'));
  return new Map(names.map((name) => [name, pathToFileURL(join(out, name)).href]));
}

/** The pages of a folder. Throws where the build says no, or tells of a fault. */
export async function builtPages(folder: string, ...options: readonly string[]): Promise<BuiltPages> {
  const out = temporaryFolder();
  await build(folder, out, options);
  return pagesIn(out);
}

/**
 * The first sample's dossier: built once a run, by the file of tests that comes first; whoever is second takes what the first has put there. What
 * is worked out for one form is kept for the other.
 */
export async function sampleDossier(form: 'folder' | 'single'): Promise<string> {
  const place = join(runFolder(), `sample-${form}`);
  if (existsSync(place)) return place;
  const [sample = ''] = sampleFolders();
  const partial = mkdtempSync(join(runFolder(), 'building-'));
  const kept = ['--kept', join(runFolder(), 'kept')];
  await build(sample, partial, form === 'single' ? ['--single-file', ...kept] : kept);
  try {
    renameSync(partial, place);
  } catch {
    rmSync(partial, { recursive: true, force: true });
  }
  return place;
}

/** The pages of the first sample's dossier. */
export async function samplePages(form: 'folder' | 'single'): Promise<BuiltPages> {
  return pagesIn(await sampleDossier(form));
}
