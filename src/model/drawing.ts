/** What `draw` hands to `publish`: markup that is safe to place as it is, with the words and numbers that go with it. */

export interface TableColumn {
  /** Plain text (may be untrusted). */
  readonly label: string;
  readonly numeric: boolean;
}

/** The numbers of a chart as they are shown; all cells are plain text (may be untrusted). */
export interface DrawingTable {
  readonly caption: string;
  readonly columns: readonly TableColumn[];
  readonly rows: readonly (readonly string[])[];
}

/** The same numbers unrounded, for a CSV file; null where there is none. */
export interface DataTable {
  readonly columns: readonly string[];
  readonly rows: readonly (readonly (string | number | null)[])[];
}

/** One sign of a chart and what it means. The sign is also explained inside the chart where `inChart` is true. */
export interface LegendEntry {
  /** A small SVG (decorative, hidden from assistive technology); '' where words suffice. */
  readonly sign: string;
  /** Plain text. */
  readonly text: string;
}

export interface ChartDrawing {
  /** Unique in the page. */
  readonly id: string;
  readonly title: string;
  /** One sentence: what the chart shows about this piece. Plain text (may hold untrusted names). */
  readonly description: string;
  /**
   * Markup: one `<div class="chart-line">` for each line of bars, with a gutter and a plot as two SVGs, so that the gutter
   * can stay in sight while a narrow screen scrolls the plot. '' where there is nothing to draw.
   */
  readonly svg: string;
  readonly legend: readonly LegendEntry[];
  readonly table: DrawingTable;
  readonly csv: DataTable;
}

/** Where a bar of the score stands in its system, in pixels at the width the score was engraved for. */
export interface EngravedBar {
  readonly number: number;
  readonly xPx: number;
  readonly widthPx: number;
}

/** Where a staff of a system stands, from its top line to its bottom line, and who is written on it. */
export interface EngravedStaff {
  readonly topPx: number;
  readonly bottomPx: number;
  /** For each bar of the picture the ids of the parts that have notes on this staff. */
  readonly partIdsByBar: readonly (readonly string[])[];
}

/** One line of the score as a picture. */
export interface EngravedPicture {
  /** Markup: one `<svg class="sn">` with a viewBox and no size of its own; it draws glyphs that `glyphDefs` defines. */
  readonly svg: string;
  /** What the picture shows, for those who do not see it: bars, sections and chords. Plain text (may hold untrusted names). */
  readonly label: string;
  readonly bars: readonly EngravedBar[];
  readonly staves: readonly EngravedStaff[];
  /** Size of the picture at the width that was asked for. */
  readonly widthPx: number;
  readonly heightPx: number;
}

/** One line of the score, and the same bars in the lines of a narrow screen. */
export interface EngravedSystem extends EngravedPicture {
  /** Empty where no narrow engraving was asked for. */
  readonly narrow: readonly EngravedPicture[];
  /** Bar numbers, both included; a pickup is 0. */
  readonly fromBar: number;
  readonly toBar: number;
  /** What the reduction collapsed and left out in these bars, each said once, in order. Plain text (may hold untrusted names). */
  readonly doublings: readonly string[];
  readonly leftOut: readonly string[];
}

export interface EngravedScore {
  readonly systems: readonly EngravedSystem[];
  /** Ids of the glyphs that the systems use, sorted. */
  readonly glyphs: readonly string[];
  /** True where it is drawn for sheets of paper that lie on their long side. */
  readonly isLandscape?: boolean;
}

/** The music, or the balance, of the bars that a finding is about. */
export interface FindingPicture {
  /** Index into the findings of the stage. */
  readonly finding: number;
  /** Markup: one `<svg>` with a size of its own; it draws glyphs that `glyphDefs` defines. */
  readonly svg: string;
  /** One sentence: bars, parts, what is marked. Plain text (may hold untrusted names). */
  readonly text: string;
  /** Ids of the glyphs that it uses, sorted. */
  readonly glyphs: readonly string[];
}
