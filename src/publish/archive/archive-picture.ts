/** The whole piece as an archive keeps it: a picture that leads nowhere and that nobody has to trust. */
import { chartNamed } from '../data/chart-names.ts';
import type { PublishedStage } from '../dossier-input.ts';

/** Elements and attributes that a picture of ours may have: none that loads, links or runs anything. */
const TAG =
  /^<(?:\/(?:svg|g|path|rect|circle|ellipse|line|polygon|polyline|text|tspan|title|desc)|(?:svg|g|path|rect|circle|ellipse|line|polygon|polyline|text|tspan|title|desc)(?: [a-zA-Z-]+="[^"<>]*")*\/?)>$/;
const ACTIVE = /\s(?:on[a-z]*|href|xlink:href|style|src)=|url\(/i;

const MOST_CHARACTERS = 2_000_000;

/** True where a text is one such picture, whoever wrote it. */
export function isPicture(text: string): boolean {
  if (text.length > MOST_CHARACTERS || !text.startsWith('<svg ') || !text.endsWith('</svg>')) return false;
  const tags = text.match(/<[^>]*>?/g) ?? [];
  let depth = 0;
  for (const [index, tag] of tags.entries()) {
    if (!TAG.test(tag) || ACTIVE.test(tag)) return false;
    if (tag.startsWith('</')) depth--;
    else if (!tag.endsWith('/>')) depth++;
    if (depth < 1 && index < tags.length - 1) return false;
  }
  return depth === 0;
}

/** The picture of the first page without its links and ids; '' where there is none. */
export function pictureOf(published: PublishedStage | undefined): string {
  const drawing = published === undefined ? undefined : chartNamed(published, 'piece');
  const [wide = ''] = /<svg [\s\S]*?<\/svg>/.exec(drawing?.svg ?? '') ?? [];
  const picture = wide
    .replaceAll('<a ', '<g ')
    .replaceAll('</a>', '</g>')
    .replaceAll(/ (?:id|href|aria-labelledby|tabindex)="[^"]*"/g, '');
  return isPicture(picture) ? picture : '';
}
