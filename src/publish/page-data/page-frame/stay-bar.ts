/** The bar that stays in sight while a page is read: title, stage and the page's sections. */
import type { Link, Sheet } from './sheet.ts';

export interface StayBar {
  /** Of the piece and the stage: `Ferry Lights, stage 4: Complete`. */
  readonly title: string;
  /** For those who do not see it; unique in a single file. */
  readonly label: string;
  readonly links: readonly Link[];
}

/** Headings that are too long for a slim bar. */
const SHORT: ReadonlyMap<string, string> = new Map([
  ['at-a-glance', 'Piece'],
  ['score', 'Score'],
  ['entries', 'Entries'],
  ['reading', 'Reading'],
]);

/** The bar of a page. */
export function stayBar({ running, windowTitle, sections }: Sheet): StayBar {
  return {
    title: running,
    label: `Sections of ${windowTitle}`,
    links: sections.map(({ id, heading, shortHeading }) => ({
      href: `#${id}`,
      label: SHORT.get(id) ?? shortHeading ?? heading,
    })),
  };
}
