/** What `.eleventy.js`, the benchmarks and the tests use of the compiled program. */
import { join } from 'node:path';
import { adviseStage } from './advise/advise-stage.ts';
import { analyseStage } from './analyse/analyse-stage.ts';
import { compareStages } from './analyse/compare-stages.ts';
import { assemble } from './assemble/assemble.ts';
import { dossierInputOf, drawStage, prepareFolder } from './build.ts';
import { notateStage, notesOf } from './notate/notate-stage.ts';
import { nodeEffects } from './node-effects.ts';
import type { DossierInput } from './publish/dossier-input.ts';
import { publishDossier } from './publish/publish-dossier.ts';
import { readFolder } from './read/read-folder.ts';

export { run } from './cli.ts';
export { nodeEffects } from './node-effects.ts';
export { configureEleventy } from './publish/render/configure-eleventy.ts';
export { preparePages } from './publish/render/prepare-pages.ts';
export { dataFiles } from './publish/publish-dossier.ts';
export { readStyles } from './publish/render/render-pages.ts';

/** The steps one by one, for measuring them. */
export const flow = {
  readFolder,
  assemble,
  notateStage,
  notesOf,
  analyseStage,
  adviseStage,
  drawStage,
  compareStages,
  dossierInputOf,
  publishDossier,
};

/** The sample arrangement that the repository ships, prepared for publishing. */
export async function prepareSample(): Promise<DossierInput> {
  const effects = nodeEffects();
  const samples = await effects.disk.list(join(effects.packageRoot, 'sample-input'));
  const folder = samples
    .filter((entry) => entry.kind === 'directory')
    .map((entry) => entry.name)
    .sort()[0];
  if (folder === undefined) throw new Error('the sample folder is missing');
  return prepareFolder({ folder: join(effects.packageRoot, 'sample-input', folder), singleFile: false }, effects);
}
