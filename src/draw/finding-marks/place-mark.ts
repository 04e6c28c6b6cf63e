/** What is marked in scores and charts: the place of a finding or of a note, which leads back to it. */

export interface PlaceMark {
  /** `f3` for the third finding, `n1` for the first note: the class of everything that is marked for it. */
  readonly key: string;
  /** What the flag shows: `3`, `n1`. */
  readonly sign: string;
  /** Where the flag leads. */
  readonly href: string;
  /** Said to those who do not see the flag, and where the pointer rests; plain text (may hold untrusted names). */
  readonly title: string;
  /** `fix` is filled, `note` is in ink; accepted findings have a place but no flag. */
  readonly kind: 'fix' | 'look' | 'accepted' | 'note';
  /** Bar numbers, both included. */
  readonly from: number;
  readonly to: number;
  /** Empty where it is about all parts. */
  readonly partIds: readonly string[];
}
