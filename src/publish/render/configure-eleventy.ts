/**
 * How Eleventy turns sheets into pages. Used by the build, which renders in memory, and by `.eleventy.js`, so that
 * Eleventy run by hand gives the same pages.
 */
import type { EleventyConfig } from '@11ty/eleventy';
import type { Environment } from 'nunjucks';
import { NO_MEMORY, type Memory } from '../../model/memory.ts';
import type { Sheet, SheetSection } from '../page-data/page-frame/sheet.ts';
import type { PreparedPages } from './prepare-pages.ts';
import { ENGINE_OPTIONS } from './template-engine.ts';
import { trustedMarkup, withoutForbiddenCharacters, type TrustedMarkup } from '../trusted-markup.ts';

/** What a filter of the engine is called on. */
interface Filtering {
  readonly env: Environment;
}

/** Registers data and options. `memory`: what is known of the sections of an earlier build. `engine`: renders the templates; without one Eleventy makes its own, which follows changes in them. */
export function configureEleventy(
  config: EleventyConfig,
  pages: PreparedPages,
  engine?: Environment,
  memory: Memory = NO_MEMORY,
): void {
  // The templates are part of the package, wherever it is installed; what the user's version control ignores is no concern here.
  config.setUseGitIgnore(false);
  config.ignores.delete('**/node_modules/**');
  config.setTemplateFormats(['njk']);
  if (engine === undefined) config.setNunjucksEnvironmentOptions(ENGINE_OPTIONS);
  else config.setLibrary('njk', engine);
  config.addGlobalData('dossier', () => pages);
  // A section goes by what it is given here and by nothing else.
  const shownOn = function (this: Filtering, section: SheetSection, sheet: Sheet): TrustedMarkup {
    const given = { section, kicker: sheet.kicker };
    const show = (): TrustedMarkup => trustedMarkup(this.env.render(`sections/${section.partial}`, given));
    return memory.renew('shown section', `${sheet.fileName}#${section.id}`, [given], show);
  };
  // What Eleventy hands on loses the cause of an error.
  if (engine === undefined) config.addNunjucksFilter('shownOn', shownOn);
  else engine.addFilter('shownOn', shownOn);
  config.addTransform('forbidden-characters', function (content) {
    if (typeof content !== 'string') return content;
    return memory.renew('page text', this.page.url, [content], () => withoutForbiddenCharacters(content));
  });
}
