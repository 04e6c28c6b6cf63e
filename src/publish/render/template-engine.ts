/**
 * The templates of the package, ready to render. They are read through the disk like everything else, and every one is compiled before the
 * first page is made: a template that fails to compile while a page is rendered would leave a hole in that page, without an error.
 */
import { join } from 'node:path';
import nunjucks from 'nunjucks';
import type { Effects } from '../../model/effects.ts';
import { NO_MEMORY, type Memory } from '../../model/memory.ts';

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

/** What the engine made of the text of a template; its types do not tell of it. */
interface CompiledTemplate {
  readonly rootRenderFunc: unknown;
  readonly blocks: Readonly<Record<string, unknown>>;
}

/** A template as a loader gives it: its text, or what was compiled of it (`nunjucks` takes both; its types know of the text alone). */
type Source = string | { readonly type: 'code'; readonly obj: Readonly<Record<string, unknown>> };

/** An engine of these templates, all of which it has compiled. */
function engineOf(sources: ReadonlyMap<string, Source>): nunjucks.Environment {
  const loader: nunjucks.ILoader = {
    getSource: (name) => {
      const src = sources.get(name);
      // The engine then says that there is no such template; its types do not know that it may be told so.
      return (src === undefined ? null : { src, path: name, noCache: false }) as unknown as nunjucks.LoaderSource;
    },
  };
  const engine = new nunjucks.Environment(loader, ENGINE_OPTIONS);
  for (const name of sources.keys()) engine.getTemplate(name, true);
  return engine;
}

/** Templates compiled; none of them holds the engine that did it. */
function compiled(texts: ReadonlyMap<string, string>): ReadonlyMap<string, Source> {
  const engine = engineOf(texts);
  return new Map(
    [...texts.keys()].map((name) => {
      const { rootRenderFunc, blocks } = engine.getTemplate(name) as unknown as CompiledTemplate;
      const named = Object.entries(blocks).map(([block, render]): [string, unknown] => [`b_${block}`, render]);
      return [name, { type: 'code', obj: { root: rootRenderFunc, ...Object.fromEntries(named) } }];
    }),
  );
}

/**
 * The engine with all templates compiled, anew where one of them is another than in the build before. Throws the error of the disk, or what the
 * engine says of a template.
 */
export async function templateEngine(effects: Reading, memory: Memory = NO_MEMORY): Promise<nunjucks.Environment> {
  const texts = await readTemplates(effects);
  // What renders pages changes an engine (filters, extensions): each build has its own.
  return engineOf(memory.renew('templates', '', [texts], () => compiled(texts)));
}
