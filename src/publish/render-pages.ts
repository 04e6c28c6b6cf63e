/** Renders all pages in memory; nothing is written here. */
import { join } from 'node:path';
import type { Effects } from '../model/effects.ts';
import { configureEleventy } from './configure-eleventy.ts';
import type { DossierInput } from './dossier-input.ts';

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
  'piece.css',
  'finding.css',
  'changes.css',
  'listen.css',
  'print.css',
];

/** All style sheets as one text. */
export async function readStyles(effects: Pick<Effects, 'disk' | 'packageRoot'>): Promise<string> {
  const texts = await Promise.all(
    STYLES.map(async (name) => {
      const path = join(effects.packageRoot, 'templates', 'styles', name);
      return new TextDecoder().decode(await effects.disk.read(path));
    }),
  );
  return texts.join('\n');
}

/** All pages of the dossier, in the order of the sheets. */
export async function renderPages(
  input: DossierInput,
  options: { readonly singleFile: boolean },
  effects: Effects,
): Promise<readonly RenderedPage[]> {
  const style = await readStyles(effects);
  // Not before it is needed: it is half of what the program loads, and most commands write no pages.
  const { default: Eleventy } = await import('@11ty/eleventy');
  // Eleventy takes its paths for patterns, in which a folder of the installation may mean something else, and reads the `package.json` of
  // the working directory, which may be the user's and broken: so it works inside the package, with plain names.
  const rendered = await effects.standingIn(effects.packageRoot, () => {
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
        configureEleventy(config, () => input, { style, script: effects.clientScript, singleFile: options.singleFile });
      },
    });
    return eleventy.toJSON();
  });
  if (rendered.length === 0) throw new Error('no page came out of the templates');
  return rendered.map((page) => ({
    fileName: page.url === '/' ? 'index.html' : page.url.replace(/^\//, ''),
    html: page.content,
  }));
}
