// Eleventy by hand: `npx @11ty/eleventy` builds the pages of the sample arrangement into `_site`. The command line does the
// same in memory, with the same templates and data, and adds the data files.
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { compile } from './src/launch.mjs';

/** @param {import('@11ty/eleventy').EleventyConfig} config */
export default async function configure(config) {
  await compile();
  const { configureEleventy, dataFiles, nodeEffects, prepareSample, readStyles } = await import('./dist/library.js');
  const effects = nodeEffects();
  const input = await prepareSample();
  configureEleventy(config, () => input, {
    style: await readStyles(effects),
    script: effects.clientScript,
    singleFile: false,
  });
  config.on('eleventy.after', async ({ dir }) => {
    for (const file of dataFiles(input)) {
      const path = join(dir.output, file.path);
      mkdirSync(dirname(path), { recursive: true });
      writeFileSync(path, file.content);
    }
  });
  return { dir: { input: 'templates', output: '_site' } };
}
