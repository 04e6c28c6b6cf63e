/** What stands on a staff at one moment: heads, accidentals, dots, ledger lines and rests of one or two voices, placed clear of one another. */
import type { NoteHead, WrittenEvent } from '../../model/written.ts';
import type { BeforeNotes, GracePlan } from './before-notes.ts';
import { placeBefore } from './before-notes.ts';
import { placeAccidentals, placeDots } from './beside-heads.ts';
import { STROKES_PX, requiredGlyph } from './glyph-table.ts';
import { placeVoices } from './voice-offsets.ts';

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
type Ledger = readonly [number, number, number];

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

interface RestShape {
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
const STEM_HALF_PX = STEM_PX / 2;
const LEDGER_REACH_PX = 3.6;
/** SMuFL code points of rests by their base. */
const RESTS: Readonly<Record<number, string>> = {
  1: '\uE4E3',
  2: '\uE4E4',
  4: '\uE4E5',
  8: '\uE4E6',
  16: '\uE4E7',
  32: '\uE4E8',
  64: '\uE4E9',
};
export const DOT = '\uE1E7';

/** Flags by base, up and down. */
export function flagGlyph(base: number, up: boolean): string {
  const index = Math.log2(base / 8);
  return String.fromCodePoint(0xe240 + 2 * index + (up ? 0 : 1));
}

/** Head of a note of this base: whole, half, black. */
export function headGlyphOf(base: number): string {
  return base === 1 ? '\uE0A2' : base === 2 ? '\uE0A3' : '\uE0A4';
}

/** A head of the usual form, or of that of an unpitched sound (K. Stone, Music Notation in the Twentieth Century, from memory). */
function shapeOfHead({ place }: NoteHead, usual: string): string {
  if (place === undefined || place.head === 'normal') return usual;
  if (place.head === 'circle-x') return '\uE0B3';
  if (place.head === 'triangle') return '\uE0BE';
  return usual === headGlyphOf(1) ? '\uE0A7' : usual === headGlyphOf(2) ? '\uE0A8' : '\uE0A9';
}

/** y of a line (1 = lowest) or space from the top line. */
function yOfLine(line: number): number {
  return 50 - line * 10;
}

/**
 * Which heads of a chord change to the other side of the stem: of two notes a second apart the upper one stands right of it
 * (E. Gould, Behind Bars, from memory). `lines` low to high.
 */
export function displacedHeads(lines: readonly number[], up: boolean): readonly boolean[] {
  const displaced = lines.map(() => false);
  if (up) {
    for (let index = 1; index < lines.length; index++) {
      const apart = (lines[index] ?? 0) - (lines[index - 1] ?? 0);
      displaced[index] = apart <= 0.5 && displaced[index - 1] !== true;
    }
  } else {
    for (let index = lines.length - 2; index >= 0; index--) {
      const apart = (lines[index + 1] ?? 0) - (lines[index] ?? 0);
      displaced[index] = apart <= 0.5 && displaced[index + 1] !== true;
    }
  }
  return displaced;
}

function ledgersOf(heads: readonly HeadShape[], headPx: number): Ledger[] {
  const ledgers: Ledger[] = [];
  const add = (line: number, reaching: readonly HeadShape[]): void => {
    const xs = reaching.map(({ x }) => x);
    ledgers.push([Math.min(...xs) - LEDGER_REACH_PX, Math.max(...xs) + headPx + LEDGER_REACH_PX, yOfLine(line)]);
  };
  const highest = Math.max(...heads.map(({ line }) => line));
  const lowest = Math.min(...heads.map(({ line }) => line));
  for (let line = 6; line <= highest; line++) {
    add(
      line,
      heads.filter((head) => head.line >= line),
    );
  }
  for (let line = 0; line >= lowest; line--) {
    add(
      line,
      heads.filter((head) => head.line <= line),
    );
  }
  return ledgers;
}

function restShape({ event, lines: [line = 3] }: EventPlan): RestShape {
  const glyph = RESTS[event.figure.base] ?? '\uE4E5';
  const y = yOfLine(line);
  const width = requiredGlyph(glyph).record.advance;
  // The dot stands in the space above the middle of the rest.
  const dotY = event.figure.base === 1 ? y + 5 : y - 5;
  const dots = Array.from({ length: event.figure.dots }, (_, dot) => ({
    glyph: DOT,
    x: width + 3 + 6 * dot,
    y: dotY,
  }));
  return { event, rest: { glyph, x: 0, y }, dots, widthPx: width };
}

/** Two flagged notes within a second of one another: with shortened stems their flags would lie on each other. */
function flagsMeet([upper, lower]: readonly EventPlan[]): boolean {
  if (upper?.flagged !== true || lower?.flagged !== true) return false;
  return Math.abs((upper.lines[0] ?? 0) - (lower.lines.at(-1) ?? 0)) < 1;
}

/** Places everything that a staff has at one moment. */
export function shapeMoment(plans: readonly EventPlan[]): MomentShape {
  const notes = plans.filter((plan) => plan.event.kind === 'notes');
  const offsets = placeVoices(notes);
  const keepsLength = flagsMeet(notes);
  const placed = notes.map((plan, index) => {
    const headPx = requiredGlyph(plan.headGlyph).record.advance;
    const shift = offsets[index]?.x ?? 0;
    const displaced = displacedHeads(plan.lines, plan.up);
    const aside = (headPx - STEM_PX) * (plan.up ? 1 : -1);
    const heads = plan.event.heads.map((head, headIndex): HeadShape => {
      const line = plan.lines[headIndex] ?? 3;
      return {
        head,
        glyph: shapeOfHead(head, plan.headGlyph),
        line,
        x: shift + (displaced[headIndex] === true ? aside : 0),
        y: yOfLine(line),
      };
    });
    return { plan, headPx, shift, heads, ledgers: ledgersOf(heads, headPx) };
  });
  const accidentals = placeAccidentals(placed);
  const dots = placeDots(placed);

  // What stands before one voice stands before all that the moment has.
  let edge = 0;
  for (const voice of accidentals) for (const { x } of voice) edge = Math.min(edge, x);
  for (const { heads } of placed) for (const { x } of heads) edge = Math.min(edge, x);
  let leftPx = 0;
  let rightPx = 0;
  const shapes = plans.map((plan): EventShape => {
    if (plan.event.kind === 'rest') {
      const shape = restShape(plan);
      rightPx = Math.max(rightPx, shape.widthPx, ...shape.dots.map(({ x }) => x + 4));
      return shape;
    }
    const index = notes.indexOf(plan);
    const { headPx, shift, heads, ledgers } = placed[index] ?? { headPx: 0, shift: 0, heads: [], ledgers: [] };
    const rolled = plan.event.ornament?.roll !== undefined;
    const before = rolled || plan.graces.length > 0 ? placeBefore(plan.graces, rolled, edge) : undefined;
    if (before !== undefined) leftPx = Math.max(leftPx, -before.left);
    const stemX = shift + (plan.up ? headPx - STEM_HALF_PX : STEM_HALF_PX);
    const shape: NoteShape = {
      event: plan.event,
      up: plan.up,
      headGlyph: plan.headGlyph,
      headPx,
      heads,
      sharesHead: offsets[index]?.shares ?? false,
      keepsLength,
      stemX: plan.event.figure.base === 1 || plan.event.stemless === true ? undefined : stemX,
      accidentals: accidentals[index] ?? [],
      dots: dots[index] ?? [],
      ledgers,
      before,
      rest: undefined,
    };
    for (const { x } of shape.heads) {
      leftPx = Math.max(leftPx, -x);
      rightPx = Math.max(rightPx, x + headPx);
    }
    // Ledger lines of neighbours must not run together.
    for (const [from, to] of ledgers) {
      leftPx = Math.max(leftPx, -from - 1.2);
      rightPx = Math.max(rightPx, to - 1.2);
    }
    for (const { x } of shape.accidentals) leftPx = Math.max(leftPx, -x);
    for (const { x } of shape.dots) rightPx = Math.max(rightPx, x + 4);
    if (plan.flagged) {
      const flag = requiredGlyph(flagGlyph(plan.event.figure.base, plan.up)).record;
      rightPx = Math.max(rightPx, stemX + flag.right);
    }
    return shape;
  });
  return { shapes, leftPx, rightPx };
}
