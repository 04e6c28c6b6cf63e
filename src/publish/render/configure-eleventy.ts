/**
 * How Eleventy turns sheets into pages. Used by the build, which renders in memory, and by `.eleventy.js`, so that
 * Eleventy run by hand gives the same pages.
 */
import type { EleventyConfig } from '@11ty/eleventy';
import type { Environment } from 'nunjucks';
import { withoutDirectionMarks } from '../../read/clean-text.ts';
import type { PreparedPages } from './prepare-pages.ts';
import { ENGINE_OPTIONS } from './template-engine.ts';
import { withoutForbiddenCharacters } from '../trusted-markup.ts';

/** Registers data and options. `engine`: renders the templates; without one Eleventy makes its own, which follows changes in them. */
export function configureEleventy(config: EleventyConfig, pages: PreparedPages, engine?: Environment): void {
  // The templates are part of the package, wherever it is installed; what the user's version control ignores is no concern here.
  config.setUseGitIgnore(false);
  config.ignores.delete('**/node_modules/**');
  config.setTemplateFormats(['njk']);
  if (engine === undefined) config.setNunjucksEnvironmentOptions(ENGINE_OPTIONS);
  else config.setLibrary('njk', engine);
  config.addGlobalData('dossier', () => pages);
  config.addTransform('forbidden-characters', (content) =>
    typeof content === 'string' ? withoutDirectionMarks(withoutForbiddenCharacters(content)) : content,
  );
}
