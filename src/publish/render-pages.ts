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
const STYLES = ['base.css', 'score.css', 'charts.css', 'changes.css', 'print.css'];

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
  const templates = join(effects.packageRoot, 'templates');
  // Rendering in memory never touches this folder; Eleventy only puts it before the names it reports.
  const output = join(templates, 'output');
  // Not before it is needed: it is half of what the program loads, and most commands write no pages.
  const { default: Eleventy } = await import('@11ty/eleventy');
  const eleventy = new Eleventy(templates, output, {
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
  const rendered = await eleventy.toJSON();
  return rendered.map((page) => ({
    fileName: page.url === '/' ? 'index.html' : page.url.replace(/^\//, ''),
    html: page.content,
  }));
}
