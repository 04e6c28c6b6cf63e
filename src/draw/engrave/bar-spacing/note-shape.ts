/** What stands on a staff at one moment: heads, accidentals, dots, ledger lines and rests of one or two voices, placed clear of one another. */
import type { NoteHead } from '../../../model/music/written.ts';
import { placeBefore } from './before-notes.ts';
import { placeAccidentals, placeDots } from './beside-heads.ts';
import { requiredGlyph } from '../ink/glyph-table.ts';
import { placeVoices } from './voice-offsets.ts';
import { STEM_PX, DOT, flagGlyph } from './moment.ts';
import type { HeadShape, Ledger, NoteShape, RestShape, EventShape, EventPlan, MomentShape } from './moment.ts';
import { displacedHeads } from './voice-offsets.ts';

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
