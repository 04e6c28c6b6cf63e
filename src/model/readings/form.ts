/** The form of a piece: its sections, and which of them come again. */
export interface FormPart {
  /** Of the section; else a letter, with a stroke where it comes again changed, or verse and chorus where words tell. */
  readonly name: string;
  /** Bar numbers, both included. */
  readonly from: number;
  readonly to: number;
  /** The earlier bars that it repeats, and its own bars that differ from them. */
  readonly as?: { readonly from: number; readonly to: number; readonly but: readonly number[] };
}

export interface FormReading {
  /** Sections as somebody gave them, or proposed by what returns. */
  readonly by: 'sections' | 'estimate';
  readonly parts: readonly FormPart[];
}
