/** What stands before a chord and its accidentals: the wavy line of a rolled chord, and small notes. */
import { requiredGlyph } from '../ink/glyph-table.ts';
import type { PlacedGlyph } from './moment.ts';
import type { GracePlan, PlacedGrace, BeforeNotes } from './moment.ts';

/** Small notes are about two thirds of the others (E. Gould, Behind Bars, from memory). */
export const SMALL = 0.66;
const SMALL_HEAD_PX = 7.8;
const SMALL_GAP_PX = 4.5;
const SMALL_SIGN_GAP_PX = 1.4;
const BEFORE_MAIN_PX = 6;
const ROLL_PX = 5;
const ROLL_GAP_PX = 4;

/** Places small notes and the wavy line left of `edge`, the left edge of the chord with its accidentals. */
export function placeBefore(graces: readonly GracePlan[], rolled: boolean, edge: number): BeforeNotes {
  let left = edge;
  let rollX: number | undefined;
  if (rolled) {
    rollX = left - ROLL_GAP_PX - ROLL_PX / 2;
    left -= ROLL_GAP_PX + ROLL_PX;
  }
  const placed: PlacedGrace[] = [];
  [...graces].reverse().forEach(({ line, accidental }, index) => {
    const y = 50 - line * 10;
    // The first one from the right has a flag or a beam to clear as well.
    const x = left - (index === 0 ? BEFORE_MAIN_PX : SMALL_GAP_PX) - SMALL_HEAD_PX;
    left = x;
    let sign: PlacedGlyph | undefined;
    if (accidental !== undefined) {
      const { record } = requiredGlyph(accidental);
      sign = { glyph: accidental, x: x - SMALL_SIGN_GAP_PX - record.right * SMALL, y };
      left = sign.x;
    }
    placed.push({ x, y, line, accidental: sign });
  });
  return { graces: placed.reverse(), rollX, left };
}
