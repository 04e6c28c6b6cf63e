/** Renders all pages in memory; nothing is written here. */
import { join } from 'node:path';
import { familyStyles } from '../../draw/chart/family-colours/family-colours.ts';
import type { Effects } from '../../model/effects.ts';
import type { Memory } from '../../model/memory.ts';
import { NO_MEMORY } from '../../model/memory.ts';
import { causesOf, withDiskFailuresTold } from '../../problems/disk-failure.ts';
import { InputError } from '../../problems/problem.ts';
import { configureEleventy } from './configure-eleventy.ts';
import type { DossierInput } from '../dossier-input.ts';
import { preparePages, type PreparedPages } from './prepare-pages.ts';
import { templateEngine } from './template-engine.ts';

export interface RenderedPage {
  /** Name of the file in the output folder. */
  readonly fileName: string;
  readonly html: string;
}

/** Style sheets in the order in which they are joined. */
const STYLES = [
  'base.css',
  'score.css',
  'charts.css',
  'marks.css',
  'piece.css',
  'first-screen.css',
  'finding.css',
  'stay.css',
  'changes.css',
  'listen.css',
  'answers.css',
  'print.css',
];

/** All style sheets as one text, the colours of the families first. */
export async function readStyles(effects: Pick<Effects, 'disk' | 'packageRoot'>): Promise<string> {
  const texts = await Promise.all(
    STYLES.map(async (name) => {
      const path = join(effects.packageRoot, 'templates', 'styles', name);
      return new TextDecoder().decode(await effects.disk.read(path));
    }),
  );
  return [familyStyles(), ...texts].join('\n');
}

/** An error of ours in one line: what the library says about it, from the outermost error to the one that caused it. */
function renderingFault(error: unknown): Error {
  const said = [...causesOf(error)].map(({ message }) => message.replaceAll(/\s+/g, ' ').trim());
  return new Error(`a page could not be made: ${[...new Set(said)].join(': ')}`, { cause: error });
}

/** Throws an Error unless there is a whole document for every sheet. */
function checkWhole(pages: readonly RenderedPage[], { sheets }: PreparedPages): void {
  const made = new Map(pages.map(({ fileName, html }) => [fileName, html]));
  for (const { fileName } of sheets) {
    const html = made.get(fileName);
    if (html === undefined) throw new Error(`no page ${fileName} came out of the templates`);
    if (!html.startsWith('<!DOCTYPE html>') || !html.trimEnd().endsWith('</html>'))
      throw new Error(`the page ${fileName} that came out of the templates is not whole`);
  }
  if (pages.length !== sheets.length) throw new Error('more pages than sheets came out of the templates');
}

/** Not before it is needed: it is half of what the program loads, and most commands write no pages. */
function eleventyIn({ standingIn, packageRoot }: Effects) {
  return standingIn(packageRoot, () => import('@11ty/eleventy'));
}

/** Begins to load what renders pages, where this thread waits for another; where that fails it is told when pages are rendered. */
export function loadRenderer(effects: Effects): void {
  eleventyIn(effects).catch(() => undefined);
}

async function render(pages: PreparedPages, effects: Effects, memory: Memory): Promise<readonly RenderedPage[]> {
  const engine = await templateEngine(effects, memory);
  // Eleventy takes its paths for patterns, in which a folder of the installation may mean something else, and reads the `package.json` of
  // the working directory, which may be the user's and broken: so it works inside the package, with plain names.
  const rendered = await effects.standingIn(effects.packageRoot, async () => {
    const { default: Eleventy } = await eleventyIn(effects);
    // Rendering in memory never touches the second folder; Eleventy only puts it before the names it reports.
    const eleventy = new Eleventy('templates', 'templates/output', {
      quietMode: true,
      source: 'script',
      // Otherwise an `.eleventy.js` in the user's working directory would be loaded and run.
      configPath: false,
      config: (config) => {
        config.setQuietMode(true);
        // The quiet mode does not reach the groups that exist by now; on a busy machine they would print how long they took.
        for (const group of Object.values(config.benchmarkManager.getAll())) group.setIsVerbose(false);
        configureEleventy(config, pages, engine, memory);
      },
    });
    // It prints its errors whatever the mode, before it throws them.
    eleventy.disableLogger();
    return eleventy.toJSON();
  });
  return rendered.map(({ url, content }) => ({
    fileName: url === '/' ? 'index.html' : url.replace(/^\//, ''),
    html: content,
  }));
}

/**
 * All pages of the dossier, in the order of the sheets: each of them whole, or an error. Throws an InputError where the disk fails to give
 * what the program itself is made of.
 */
export async function renderPages(
  input: DossierInput,
  options: { readonly singleFile: boolean },
  effects: Effects,
  memory: Memory = NO_MEMORY,
): Promise<readonly RenderedPage[]> {
  const work = async (): Promise<readonly RenderedPage[]> => {
    const prepared = preparePages(input, {
      ...options,
      style: await readStyles(effects),
      script: effects.clientScript,
      memory,
    });
    const pages = await render(prepared, effects, memory);
    checkWhole(pages, prepared);
    return pages;
  };
  try {
    return await withDiskFailuresTold(
      work,
      (code) =>
        `The program’s own files in “${effects.packageRoot}” cannot be read (${code}), so no pages were written: try again, and install the program anew if that does not help.`,
    );
  } catch (error) {
    throw error instanceof InputError ? error : renderingFault(error);
  }
}
