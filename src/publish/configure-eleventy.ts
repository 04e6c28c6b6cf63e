/**
 * How Eleventy turns sheets into pages. Used by the build, which renders in memory, and by `.eleventy.js`, so that
 * Eleventy run by hand gives the same pages.
 */
import type { EleventyConfig } from '@11ty/eleventy';
import { withoutDirectionMarks } from '../read/clean-text.ts';
import type { DossierInput } from './dossier-input.ts';
import { preparePages, type PreparePagesOptions } from './prepare-pages.ts';
import { withoutForbiddenCharacters } from './trusted-markup.ts';

/** Registers data and options; `supply` is asked once for each run. */
export function configureEleventy(
  config: EleventyConfig,
  supply: () => DossierInput | Promise<DossierInput>,
  options: PreparePagesOptions,
): void {
  // The templates are part of the package, wherever it is installed; what the user's version control ignores is no concern here.
  config.setUseGitIgnore(false);
  config.ignores.delete('**/node_modules/**');
  config.setTemplateFormats(['njk']);
  config.setNunjucksEnvironmentOptions({ throwOnUndefined: true, autoescape: true });
  config.addGlobalData('dossier', async () => preparePages(await supply(), options));
  config.addTransform('forbidden-characters', (content) =>
    typeof content === 'string' ? withoutDirectionMarks(withoutForbiddenCharacters(content)) : content,
  );
}
