/**
 * The whole dossier in one HTML file, made from the very pages of the folder: each page's article is taken over, the
 * ids of all but the first get the page's name in front, and links between pages become links inside the file.
 */
import type { RenderedPage } from './render-pages.ts';
import { withShortPaths } from './short-paths.ts';

/** Attributes that hold ids, with `#` (href) or as a list of names. */
const ID_LISTS = new Set(['aria-labelledby', 'aria-describedby', 'aria-controls', 'for', 'headers']);

/** Matches a start tag with its attributes; attribute texts are quoted in everything we write. */
const TAG = /<[a-zA-Z][^<>"]*(?:"[^"]*"[^<>"]*)*>/g;
const ATTRIBUTE = /(\s)([a-zA-Z][\w:-]*)="([^"]*)"/g;

interface PageParts {
  readonly fileName: string;
  /** Put before every id of the page; '' for the first page, whose links are used from outside. */
  readonly prefix: string;
  readonly article: string;
  readonly ids: ReadonlySet<string>;
}

function between(text: string, start: string, end: string): string {
  const from = text.indexOf(start);
  const to = text.lastIndexOf(end);
  if (from < 0 || to < from) throw new Error(`a page has no ${start}`);
  return text.slice(from + start.length, to);
}

function idsOf(markup: string): ReadonlySet<string> {
  const ids = new Set<string>();
  for (const tag of markup.matchAll(TAG)) {
    for (const attribute of tag[0].matchAll(ATTRIBUTE)) if (attribute[2] === 'id') ids.add(attribute[3] ?? '');
  }
  return ids;
}

function pageParts(page: RenderedPage, index: number): PageParts {
  const article = between(page.html, '<main>', '</main>');
  // An underscore never stands in an id of ours, so the names cannot meet.
  const prefix = index === 0 ? '' : `${page.fileName.replace(/\.html$/, '')}__`;
  return { fileName: page.fileName, prefix, article, ids: idsOf(article) };
}

/** Where links lead: to pages that are in the file, and to what is packed into it, by name. */
interface Targets {
  readonly byFile: ReadonlyMap<string, PageParts>;
  readonly packed: ReadonlyMap<string, string>;
}

/** Headings below the first page's: one level deeper, so that the file has one main heading. */
function deeper(markup: string): string {
  return markup.replace(
    /<(\/?)h([1-5])(?=[\s>])/g,
    (_, slash: string, level: string) => `<${slash}h${String(Number(level) + 1)}`,
  );
}

function rewritten(markup: string, page: PageParts, { byFile, packed }: Targets): string {
  const own = (id: string): string => (page.ids.has(id) ? page.prefix + id : id);
  const linked = (address: string): string => {
    if (address.startsWith('#')) return `#${own(address.slice(1))}`;
    const [file = '', anchor = ''] = address.split('#');
    const target = byFile.get(file);
    if (target === undefined) return packed.get(address) ?? address;
    return `#${target.prefix}${anchor === '' ? 'top' : anchor}`;
  };
  return markup.replace(TAG, (tag) =>
    tag.replace(ATTRIBUTE, (whole, space: string, name: string, content: string) => {
      if (name === 'id') return `${space}id="${own(content)}"`;
      if (name === 'href' || name === 'xlink:href') return `${space}${name}="${linked(content)}"`;
      if (ID_LISTS.has(name)) return `${space}${name}="${content.split(' ').map(own).join(' ')}"`;
      const references = content.replace(/url\(#([^)]+)\)/g, (_, id: string) => `url(#${own(id)})`);
      return references === content ? whole : `${space}${name}="${references}"`;
    }),
  );
}

/**
 * One file from all pages. `glyphs` is the one set of glyph outlines for all scores; every page's own is left out. `packed` has the links that
 * hold the files of the dossier, by the names under which the pages link to them.
 */
export function joinPages(
  pages: readonly RenderedPage[],
  glyphs: string,
  packed: ReadonlyMap<string, string> = new Map(),
): string {
  const parts = pages.map(pageParts);
  const [first] = pages;
  const [firstParts] = parts;
  if (first === undefined || firstParts === undefined) throw new Error('there is no page to join');
  const targets: Targets = { byFile: new Map(parts.map((page) => [page.fileName, page])), packed };
  const headEnd = first.html.indexOf('<main>');
  const tail = first.html.slice(first.html.lastIndexOf('</main>'));
  const head = withGlyphs(first.html.slice(0, headEnd), glyphs);
  const articles = parts.map((page, index) => {
    const article = rewritten(page.article, page, targets);
    return index === 0 ? article : deeper(article);
  });
  return `${rewritten(head, firstParts, targets)}<main>${withShortPaths(articles.join('\n'))}${tail}`;
}

const GLYPHS_START = '<!--glyphs-->';
const GLYPHS_END = '<!--/glyphs-->';

function withGlyphs(head: string, glyphs: string): string {
  const from = head.indexOf(GLYPHS_START);
  const to = head.indexOf(GLYPHS_END);
  if (from < 0 || to < 0) throw new Error('a page has no place for glyphs');
  return head.slice(0, from) + glyphs + head.slice(to + GLYPHS_END.length);
}
