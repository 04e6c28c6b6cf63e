/** What stands on a staff at one moment, as it is planned and as it is placed. */
import type { GraceNote, NoteHead, WrittenEvent } from '../../../model/music/written.ts';
import { STROKES_PX } from '../ink/glyph-table.ts';

/** A sign from the left edge of its column and the top line of its staff. */
export interface PlacedGlyph {
  readonly glyph: string;
  readonly x: number;
  readonly y: number;
}

export interface HeadShape {
  readonly head: NoteHead;
  readonly glyph: string;
  readonly x: number;
  readonly y: number;
  readonly line: number;
}

/** A horizontal stroke: [from x, to x, y]. */
export type Ledger = readonly [number, number, number];

export interface NoteShape {
  readonly event: WrittenEvent;
  /** Stem direction (also of whole notes, for ties and dots). */
  readonly up: boolean;
  readonly headGlyph: string;
  readonly headPx: number;
  /** Low to high. */
  readonly heads: readonly HeadShape[];
  /** True where the other voice draws the lowest (highest) head too. */
  readonly sharesHead: boolean;
  /** True where the flag of the other voice begins beside it: the stem keeps its whole length. */
  readonly keepsLength: boolean;
  /** Middle of the stem; undefined where there is none. */
  readonly stemX: number | undefined;
  readonly accidentals: readonly PlacedGlyph[];
  readonly dots: readonly PlacedGlyph[];
  readonly ledgers: readonly Ledger[];
  /** Small notes and the line of a rolled chord; undefined where there are none. */
  readonly before: BeforeNotes | undefined;
  readonly rest: undefined;
}

export interface RestShape {
  readonly event: WrittenEvent;
  readonly rest: PlacedGlyph;
  readonly dots: readonly PlacedGlyph[];
  readonly widthPx: number;
}

export type EventShape = NoteShape | RestShape;

/** What the bar knows of an event before it is placed. */
export interface EventPlan {
  readonly event: WrittenEvent;
  readonly up: boolean;
  /** Lines of the heads, low to high, 1 = lowest line; of a rest its own. */
  readonly lines: readonly number[];
  /** Signs of the accidentals, by head; undefined for none. */
  readonly accidentals: readonly (string | undefined)[];
  /** A single note with a flag. */
  readonly flagged: boolean;
  /** Of two voices. */
  readonly inTwo: boolean;
  readonly headGlyph: string;
  readonly graces: readonly GracePlan[];
}

export interface MomentShape {
  readonly shapes: readonly EventShape[];
  /** Ink left of the column's edge and right of it, in pixels. */
  readonly leftPx: number;
  readonly rightPx: number;
}

export const STEM_PX = STROKES_PX.stem;

export const DOT = '\uE1E7';

/** Flags by base, up and down. */
export function flagGlyph(base: number, up: boolean): string {
  const index = Math.log2(base / 8);
  return String.fromCodePoint(0xe240 + 2 * index + (up ? 0 : 1));
}

/** A small note as it is to be placed. */
export interface GracePlan {
  readonly grace: GraceNote;
  readonly line: number;
  readonly accidental: string | undefined;
}

export interface PlacedGrace {
  readonly x: number;
  readonly y: number;
  readonly line: number;
  readonly accidental: PlacedGlyph | undefined;
}

export interface BeforeNotes {
  /** In the order played, left to right. */
  readonly graces: readonly PlacedGrace[];
  /** Middle of the wavy line; undefined where the chord is not rolled. */
  readonly rollX: number | undefined;
  /** Left edge of all. */
  readonly left: number;
}
