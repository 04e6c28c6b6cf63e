/** Words that are sung: one syllable, and its place in the word (MusicXML `syllabic`). */
export interface Syllable {
  /** Untrusted text on one line, without control characters, never empty. */
  readonly text: string;
  readonly place: 'single' | 'begin' | 'middle' | 'end';
}

/** The syllable that a note of a part begins with. */
export interface SungSyllable extends Syllable {
  /** Index into the part's `notes`. */
  readonly note: number;
}
