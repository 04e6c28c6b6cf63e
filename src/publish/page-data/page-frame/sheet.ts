/**
 * What a template is given. Templates hold no logic beyond loops and ifs, and an undefined value stops the build, so
 * every key is always there: '' or an empty list where there is nothing.
 */
import type { TrustedMarkup } from '../../trusted-markup.ts';

export interface Link {
  readonly href: string;
  readonly label: string;
}

export interface NavigationLink extends Link {
  readonly isCurrent: boolean;
}

/** A piece of text in a cell or sentence, with a link where `href` is not empty. */
export interface Run {
  readonly text: string;
  readonly href: string;
}

/** A table whose cells may hold links; the first cell of a row is its header. */
export interface LinkedTable {
  readonly caption: string;
  readonly columns: readonly { readonly label: string; readonly isNumeric: boolean }[];
  readonly rows: readonly (readonly (readonly Run[])[])[];
  /** Said under the table, e.g. that it was cut; '' for none. */
  readonly remark: string;
}

/** A table that stands on a page of numbers, with what is said before it. */
export interface NumberTable {
  /** Unique in its section. */
  readonly id: string;
  readonly intro: readonly string[];
  readonly points: readonly string[];
  readonly table: LinkedTable;
}

/** One section of a page: `partial` is the template under `sections/` that shows `body`. */
export interface SheetSection {
  readonly id: string;
  readonly heading: string;
  /** The heading in a slim bar, where it is too long for one. */
  readonly shortHeading?: string;
  readonly partial: string;
  /** CSV files of this section; empty in a single file, which travels alone. */
  readonly downloads: readonly Link[];
  readonly body: object;
  /** Tables behind this section; they stand on the page of numbers, to which the section links. */
  readonly numbers?: readonly NumberTable[];
}

/** Audio of a stage that a page can play. */
export interface PageAudio {
  readonly stageId: string;
  readonly href: string;
  /** Second of the file at which the stage's first bar begins. */
  readonly firstBarSecond: number;
}

/** Packed sketches of stages, and the audio of these stages; `isCut` where there are more than a page can hold. */
export interface PageSketches {
  readonly audio: readonly PageAudio[];
  readonly texts: readonly string[];
  readonly isCut: boolean;
}

/** One page. */
export interface Sheet {
  readonly fileName: string;
  readonly kind: 'stage' | 'score' | 'numbers' | 'client' | 'changes' | 'judged' | 'files';
  /** True for a score that is drawn for sheets of paper on their long side. */
  readonly isLandscape: boolean;
  /** At the head of printed sheets: the piece, with the stage where the page is about one. */
  readonly running: string;
  /** Of the browser's window. */
  readonly windowTitle: string;
  /** Above the title of the piece: `Stage 4 of 4: Full score`. */
  readonly kicker: string;
  readonly heading: string;
  readonly subheading: string;
  readonly bylines: readonly string[];
  readonly navigation: readonly NavigationLink[];
  readonly sections: readonly SheetSection[];
  /** Id of the stage that the page is about; '' for none. */
  readonly stageId: string;
  /** Hash of its music; '' for none. */
  readonly music: string;
  /** What the page can play. */
  readonly sketches: PageSketches;
  /** Ids of the glyphs that the scores of this page use. */
  readonly glyphs: readonly string[];
}

/** What the layout needs besides the page itself; the same in every page. */
export interface SheetFrame {
  /** Title of the piece, at the head of printed sheets that are about no stage. */
  readonly piece: string;
  readonly policy: string;
  /** What all pages were made of and by what, for their foot. */
  readonly imprint: string;
  /** Hash of the folder, which answers name. */
  readonly folder: string;
  readonly style: TrustedMarkup;
  /** Rules that mark places without a script. */
  readonly marks: TrustedMarkup;
  readonly script: TrustedMarkup;
}

/** A run without a link. */
export function plain(text: string): Run {
  return { text, href: '' };
}

/** A column of a table; that of numbers is `isNumeric`. */
export function column(label: string, isNumeric = false): LinkedTable['columns'][number] {
  return { label, isNumeric };
}

/** A cell of plain text. */
export function cell(text: string): readonly Run[] {
  return [plain(text)];
}

/** A cell or sentence part that leads to a bar of the same page. */
export function barLink(bar: number, text = String(bar)): Run {
  return { text, href: `#bar-${String(bar)}` };
}

/** Most rows of a table that a page shows; more are in the CSV file and the page says so. */
const MOST_ROWS = 2000;

/** The first rows of a long table and a sentence that says what was left out; the sentence is '' where nothing was. */
export function firstRows<Row>(
  rows: readonly Row[],
  whole: string,
): { readonly rows: readonly Row[]; readonly remark: string } {
  if (rows.length <= MOST_ROWS) return { rows, remark: '' };
  return {
    rows: rows.slice(0, MOST_ROWS),
    remark: `The first ${String(MOST_ROWS)} of ${String(rows.length)} rows are shown here; all of them are in ${whole}.`,
  };
}
