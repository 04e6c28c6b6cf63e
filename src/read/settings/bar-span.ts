/** Bars as people write them, in settings and in headings. */
import type { BarSpan } from './settings.ts';

export const MOST_BAR = 99_999;

/** `9`, `9-12`, `9 – 12`, `9 to 12`. */
export const BAR_SPAN_PATTERN = /^\s*(\d{1,5})(?:\s*(?:-|–|—|to)\s*(\d{1,5}))?\s*$/;

/** Reads `9` or `9-12`; undefined where the text is neither. The first bar may come after the last: that is for the caller to refuse. */
export function parseBarSpan(text: string): BarSpan | undefined {
  const match = BAR_SPAN_PATTERN.exec(text);
  if (match === null) return undefined;
  const from = Number(match[1]);
  return { from, to: match[2] === undefined ? from : Number(match[2]) };
}

/** Words for bars in English, German, Italian, French, Spanish and Portuguese; abbreviations need their full stop, for `B4` is a pitch and `M7` a chord. */
export const BAR_WORD =
  '(?:bars?|measures?|takte?n?|battut[ae]|misur[ae]|mesures?|comp[aá]s(?:es)?|compassos?)\\.?|(?:mes|comp|batt?|mm?|bb?|tt?|cc?)\\.';

const HEADING_PATTERN = new RegExp(
  `^(?:${BAR_WORD})\\s*(\\d{1,5})(?:\\s*(?:-|–|—|to|bis|à|a)\\s*(\\d{1,5}))?(?![\\d/])\\s*(.*)$`,
  'isu',
);

export interface BarHeading {
  readonly span: BarSpan;
  /** Names after a comma ("Bar 5, strings and horns"), each with its offset in the heading. */
  readonly names: readonly { readonly name: string; readonly offset: number }[];
}

/** The bars that a heading begins with, and the parts it names after a comma; undefined where it begins otherwise. */
export function parseBarHeading(heading: string): BarHeading | undefined {
  const match = HEADING_PATTERN.exec(heading);
  if (match === null) return undefined;
  const from = Number(match[1]);
  const rest = match[3] ?? '';
  const restOffset = heading.length - rest.length;
  const names: { name: string; offset: number }[] = [];
  if (rest.startsWith(',')) {
    const listed = /^,([^:–—.;!?]*?)(?:\s-\s.*|[:–—.;!?].*)?$/s.exec(rest)?.[1] ?? '';
    let offset = restOffset + 1;
    for (const piece of listed.split(/(,|\s(?:and|und|e|et)\s|&|\+)/)) {
      const name = piece.trim();
      const isName = name !== '' && !/^(?:,|and|und|e|et|&|\+)$/.test(name);
      if (isName) names.push({ name, offset: offset + piece.indexOf(name) });
      offset += piece.length;
    }
  }
  return { span: { from, to: match[2] === undefined ? from : Number(match[2]) }, names };
}
