// Eleventy by hand: `npx @11ty/eleventy` builds the pages of the sample arrangement into `dossier/`. The command line does
// the same in memory, with the same templates and data.
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { compile } from './src/launch.mjs';

/** @param {import('@11ty/eleventy').EleventyConfig} config */
export default async function configure(config) {
  await compile();
  const compiled = new URL('./dist/library.js', import.meta.url).href;
  /** @type {unknown} */
  const loaded = await import(compiled);
  const library = /** @type {typeof import('./src/library.ts')} */ (loaded);
  const effects = library.nodeEffects();
  const input = await library.prepareSample();
  const style = await library.readStyles(effects);
  const pages = library.preparePages(input, { style, script: effects.clientScript, singleFile: false });
  library.configureEleventy(config, pages);
  config.on('eleventy.after', ({ directories }) => {
    for (const file of library.dataFiles(input)) {
      const path = join(directories.output, file.path);
      mkdirSync(dirname(path), { recursive: true });
      writeFileSync(path, file.content());
    }
  });
  return { dir: { input: 'templates', output: 'dossier' } };
}
