/**
 * Notes are Markdown written by anybody: no HTML, no pictures, links to the web only. They are rendered here and never
 * pass through the template engine.
 */
import MarkdownIt from 'markdown-it';
import { escapeXml } from '../draw/svg.ts';
import { withoutDirectionMarks } from '../read/clean-text.ts';
import { trustedMarkup, type TrustedMarkup } from './trusted-markup.ts';

const markdown = MarkdownIt({ html: false, linkify: false, typographer: false });

markdown.validateLink = (address) => /^https?:\/\//i.test(address.trim());

const { rules } = markdown.renderer;
// A picture would be a request to somebody else's server when the dossier is opened: its description stands in.
rules['image'] = (tokens, index) => escapeXml(tokens[index]?.content ?? '');
// Headings of a note must not enter the outline of the page.
rules['heading_open'] = () => '<p class="note-heading">';
rules['heading_close'] = () => '</p>\n';
rules['link_open'] = (tokens, index, options, _environment, renderer) => {
  tokens[index]?.attrSet('rel', 'noopener noreferrer');
  return renderer.renderToken(tokens, index, options);
};
// Column alignment comes as a style attribute, which the page's policy forbids.
for (const name of ['th_open', 'td_open'] as const) {
  rules[name] = (tokens, index, options, _environment, renderer) => {
    const token = tokens[index];
    const alignment = /text-align:(left|right|center)/.exec(token?.attrGet('style') ?? '')?.[1];
    if (token !== undefined) {
      token.attrs = token.attrs?.filter(([attribute]) => attribute !== 'style') ?? null;
      if (alignment !== undefined) token.attrJoin('class', `align-${alignment}`);
      if (name === 'th_open') token.attrSet('scope', 'col');
    }
    return renderer.renderToken(tokens, index, options);
  };
}

/** A note as HTML text that is safe to place in a page. */
export function noteHtml(text: string): string {
  // Markdown makes characters of references such as `&#x202E;`.
  return withoutDirectionMarks(markdown.render(text));
}

/** The same as markup for the templates. */
export function renderNote(text: string): TrustedMarkup {
  return trustedMarkup(noteHtml(text));
}
