/**
 * The templates of the package, ready to render. They are read through the disk like everything else, and every one is compiled before the
 * first page is made: a template that fails to compile while a page is rendered would leave a hole in that page, without an error.
 */
import { join } from 'node:path';
import nunjucks from 'nunjucks';
import type { Effects } from '../../model/effects.ts';

/** How templates are rendered: an undefined value stops the build, and text is escaped. */
export const ENGINE_OPTIONS = { throwOnUndefined: true, autoescape: true } as const;

type Reading = Pick<Effects, 'disk' | 'packageRoot'>;

/** Texts of all templates that others include, by the names under which they do. */
async function readTemplates({ disk, packageRoot }: Reading): Promise<ReadonlyMap<string, string>> {
  const texts = new Map<string, string>();
  const walk = async (below: readonly string[]): Promise<void> => {
    const folder = join(packageRoot, 'templates', '_includes', ...below);
    for (const { name, kind } of await disk.list(folder)) {
      if (kind === 'directory') await walk([...below, name]);
      else texts.set([...below, name].join('/'), new TextDecoder().decode(await disk.read(join(folder, name))));
    }
  };
  await walk([]);
  return texts;
}

/** The engine with all templates compiled. Throws the error of the disk, or what the engine says of a template. */
export async function templateEngine(effects: Reading): Promise<nunjucks.Environment> {
  const texts = await readTemplates(effects);
  const loader: nunjucks.ILoader = {
    getSource: (name) => {
      const src = texts.get(name);
      // The engine then says that there is no such template; its types do not know that it may be told so.
      return src === undefined ? (null as unknown as nunjucks.LoaderSource) : { src, path: name, noCache: false };
    },
  };
  const engine = new nunjucks.Environment(loader, ENGINE_OPTIONS);
  for (const name of texts.keys()) engine.getTemplate(name, true);
  return engine;
}
