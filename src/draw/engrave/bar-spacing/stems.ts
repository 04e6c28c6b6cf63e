/** How long stems are, and where beams lie (E. Gould, Behind Bars, from memory). y from the top line, downwards. */
import { STROKES_PX, requiredGlyph } from '../ink/glyph-table.ts';
import type { NoteShape } from './moment.ts';

const STEM_LENGTH_PX = 35;
const SHORTEST_STEM_PX = 25;
const MIDDLE_LINE_Y = 20;
export const BEAM_PX = STROKES_PX.beam;
export const BEAM_STEP_PX = 7.5;

function outerY(shape: NoteShape): number {
  const ys = shape.heads.map(({ y }) => y);
  return shape.up ? Math.min(...ys) : Math.max(...ys);
}

/** Flags of 32nds and 64ths are deeper, and strokes of a tremolo need room. */
function lengthFor({ event }: NoteShape): number {
  const { base } = event.figure;
  return STEM_LENGTH_PX + (base >= 64 ? 10 : base === 32 ? 5 : 0) + (event.ornament?.sign === 'tremolo' ? 7 : 0);
}

/**
 * y of the end of a stem that stands alone: an octave from the head; to the middle line from ledger lines; shorter where it
 * points out of the staff, down to two and a half spaces, but not beside the flag of another voice.
 */
export function stemTip(shape: NoteShape): number {
  const y = outerY(shape);
  const outside = shape.up ? MIDDLE_LINE_Y - y : y - MIDDLE_LINE_Y;
  const full = lengthFor(shape);
  const length =
    outside <= 0 || shape.keepsLength
      ? full
      : Math.max(full - STEM_LENGTH_PX + SHORTEST_STEM_PX, full - outside * 0.34);
  return shape.up ? Math.min(MIDDLE_LINE_Y, y - length) : Math.max(MIDDLE_LINE_Y, y + length);
}

/** A note under a beam: its stem, its outer head, how many beams it has. */
export interface BeamedNote {
  readonly stemX: number;
  readonly outerY: number;
  readonly beams: number;
  /** Accidentals that the beam must clear: middle and edge towards the beam. */
  readonly signs: readonly { readonly x: number; readonly y: number }[];
}

/** The outer edge of a beam. */
export interface BeamLine {
  readonly fromX: number;
  readonly fromY: number;
  readonly slope: number;
}

export function beamedNote(shape: NoteShape, columnX: number): BeamedNote {
  return {
    stemX: columnX + (shape.stemX ?? 0),
    outerY: outerY(shape),
    beams: Math.round(Math.log2(shape.event.figure.base / 4)),
    signs: shape.accidentals.map(({ glyph, x, y }) => {
      const { left, right, top, bottom } = requiredGlyph(glyph).record;
      return { x: columnX + x + (left + right) / 2, y: y + (shape.up ? top : bottom) };
    }),
  };
}

const SIGN_CLEAR_PX = 2;
const HALF_HEAD_PX = 5;
const LEAST_LENGTHS: readonly number[] = [0, 32.5, 32.5, 37.5, 45];
/** Rise of a beam by the interval of its outer notes in steps: a second, a third ... */
const RISES: readonly number[] = [0, 2.5, 5, 7.5, 10, 10, 12.5];

function riseOf(notes: readonly BeamedNote[]): number {
  const [first, last] = [notes[0], notes.at(-1)];
  if (first === undefined || last === undefined) return 0;
  const steps = Math.round((last.outerY - first.outerY) / 5);
  const nearest = Math.min(first.outerY, last.outerY);
  // An inner note nearer to the beam than both ends makes it level.
  if (steps === 0 || notes.some((note) => note.outerY < nearest)) return 0;
  const widest = Math.max(2.5, Math.floor(((last.stemX - first.stemX) * 0.25) / 2.5) * 2.5);
  return Math.sign(steps) * Math.min(widest, RISES[Math.abs(steps)] ?? 12.5);
}

/** Middle of the outer beam against the staff lines: hanging, straddling or sitting, no wedge of white between (Ross, The Art of Music Engraving, from memory). */
function sitsWell(middleY: number, beams: number): boolean {
  if (middleY < -2.5 || middleY > 42.5) return true;
  const place = ((middleY % 10) + 10) % 10;
  return place === 0 || place === 2.5 || (beams === 1 && place === 7.5);
}

/**
 * Where the beam over these notes lies: it follows the outer notes, gently, keeps the stems long enough, reaches the middle
 * line, and meets the staff lines well. `up`: stems up. `others`: heads of the other voice, which it does not strike through.
 */
export function layBeam(
  notes: readonly BeamedNote[],
  up: boolean,
  others: readonly { readonly x: number; readonly y: number }[] = [],
): BeamLine {
  // Stems down are stems up with the staff turned over.
  const turned = up
    ? notes
    : notes.map((note) => ({
        ...note,
        outerY: 40 - note.outerY,
        signs: note.signs.map(({ x, y }) => ({ x, y: 40 - y })),
      }));
  const first = turned[0];
  const last = turned.at(-1);
  if (first === undefined || last === undefined) return { fromX: 0, fromY: 0, slope: 0 };
  const width = Math.max(1, last.stemX - first.stemX);
  const rise = riseOf(turned);
  const slope = rise / width;
  const most = Math.max(...turned.map(({ beams }) => beams));
  let fromY = Infinity;
  turned.forEach(({ signs, beams }, index) => {
    const before = turned[index - 1];
    if (before === undefined) return;
    // Left of its note an accidental stands under the beams that both notes have.
    const depth = BEAM_PX + (Math.min(beams, before.beams) - 1) * BEAM_STEP_PX + SIGN_CLEAR_PX;
    for (const { x, y } of signs) fromY = Math.min(fromY, y - depth - slope * (x - first.stemX));
  });
  for (const { stemX, outerY: y, beams } of turned) {
    const outside = MIDDLE_LINE_Y - y;
    const least = (LEAST_LENGTHS[beams] ?? 45) - (outside > 0 ? Math.min(5, outside * 0.2) : 0);
    fromY = Math.min(fromY, Math.min(y - least, MIDDLE_LINE_Y + 2.5) - slope * (stemX - first.stemX));
  }
  const depth = BEAM_PX + (most - 1) * BEAM_STEP_PX;
  for (const other of others) {
    if (other.x < first.stemX || other.x > last.stemX) continue;
    const headY = up ? other.y : 40 - other.y;
    const edge = fromY + slope * (other.x - first.stemX);
    const meets = edge < headY + HALF_HEAD_PX && edge + depth > headY - HALF_HEAD_PX;
    if (meets) fromY -= edge + depth - (headY - HALF_HEAD_PX - SIGN_CLEAR_PX);
  }
  let middle = Math.floor((fromY + BEAM_PX / 2) / 2.5) * 2.5;
  for (let tries = 0; tries < 4; tries++) {
    if (sitsWell(middle, most) && (rise === 0 || sitsWell(middle + rise, most))) break;
    middle -= 2.5;
  }
  const edge = middle - BEAM_PX / 2;
  return up ? { fromX: first.stemX, fromY: edge, slope } : { fromX: first.stemX, fromY: 40 - edge, slope: -slope };
}

export function beamYAt(line: BeamLine, x: number): number {
  return line.fromY + line.slope * (x - line.fromX);
}
