/** Two voices on one staff at one moment: which of them moves aside. */
import { requiredGlyph } from '../ink/glyph-table.ts';
import type { EventPlan } from './moment.ts';
import { STEM_PX } from './moment.ts';

interface VoiceOffset {
  readonly x: number;
  /** The head that both voices have is drawn by the other one. */
  readonly shares: boolean;
}

const CLEAR_PX = 0.8;

interface Outline {
  readonly heads: readonly { readonly left: number; readonly right: number; readonly line: number }[];
  readonly stemX: number | undefined;
  readonly up: boolean;
  readonly flagged: boolean;
}

/** Flags of notes that cross would hang into one another. */
const FLAG_PX = 14;

function flagsHit(a: Outline, b: Outline): boolean {
  if (!a.flagged || !b.flagged || a.stemX === undefined || b.stemX === undefined) return false;
  const crossing = (a.heads[0]?.line ?? 0) < (b.heads.at(-1)?.line ?? 0);
  return crossing && Math.abs(a.stemX - b.stemX) < FLAG_PX;
}

function outlineOf(plan: EventPlan, x: number): Outline {
  const width = requiredGlyph(plan.headGlyph).record.advance;
  const displaced = displacedHeads(plan.lines, plan.up);
  return {
    up: plan.up,
    flagged: plan.flagged,
    heads: plan.lines.map((line, index) => {
      const left = x + (displaced[index] === true ? (width - STEM_PX) * (plan.up ? 1 : -1) : 0);
      return { line, left, right: left + width };
    }),
    stemX: plan.event.figure.base === 1 ? undefined : x + (plan.up ? width - STEM_PX / 2 : STEM_PX / 2),
  };
}

/** A stem runs from its far head on past the heads of the other voice. */
function stemHits(stem: Outline, other: Outline): boolean {
  const { stemX } = stem;
  if (stemX === undefined) return false;
  const lines = stem.heads.map(({ line }) => line);
  const from = stem.up ? Math.min(...lines) : Math.max(...lines);
  return other.heads.some(({ line, left, right }) => {
    const passed = stem.up ? line > from : line < from;
    return passed && stemX > left - STEM_PX && stemX < right + STEM_PX;
  });
}

function headsHit(a: Outline, b: Outline): boolean {
  return a.heads.some((one) =>
    b.heads.some(
      (two) =>
        Math.abs(one.line - two.line) < 1 &&
        Math.min(one.right, two.right) - Math.max(one.left, two.left) > -CLEAR_PX / 2,
    ),
  );
}

function clear(a: Outline, b: Outline): boolean {
  return !headsHit(a, b) && !stemHits(a, b) && !stemHits(b, a) && !flagsHit(a, b);
}

/** Both voices may stand on one head: alike in kind and dots, and nothing else of them meets. */
function mayShare(upper: EventPlan, lower: EventPlan): boolean {
  const top = lower.lines.at(-1);
  const [bottom, next] = upper.lines;
  const below = lower.lines.at(-2);
  if (top === undefined || bottom !== top) return false;
  const upperHead = upper.event.heads[0];
  const lowerHead = lower.event.heads.at(-1);
  return (
    upper.headGlyph === lower.headGlyph &&
    upper.event.figure.dots === lower.event.figure.dots &&
    upperHead?.pitch.alter === lowerHead?.pitch.alter &&
    (next === undefined || next - bottom > 0.5) &&
    (below === undefined || top - below > 0.5)
  );
}

/**
 * Offsets of one or two voices, the upper one first (E. Gould, Behind Bars, from memory): a third or more apart both stand
 * in line; a unison of like heads is one head with two stems; at the second the lower voice moves right, so that the two
 * stems stand back to back; where the voices cross, the upper one moves right, so that both stems are outside. Of a
 * unison that cannot be one head the dotted note stands right, beside its dot.
 */
export function placeVoices(plans: readonly EventPlan[]): readonly VoiceOffset[] {
  const [upper, lower] = plans;
  const still = { x: 0, shares: false };
  if (upper === undefined) return [];
  if (lower === undefined) return [still];
  if (upper.up && !lower.up && mayShare(upper, lower)) return [still, { x: 0, shares: true }];
  const upperPx = requiredGlyph(upper.headGlyph).record.advance + CLEAR_PX;
  const lowerPx = requiredGlyph(lower.headGlyph).record.advance + CLEAR_PX;
  const unison = lower.lines.at(-1) === upper.lines[0];
  const dottedUpper = unison && upper.event.figure.dots > 0 && lower.event.figure.dots === 0;
  const crossing = (lower.lines.at(-1) ?? 0) > (upper.lines[0] ?? 0);
  const tries: readonly (readonly [number, number])[] =
    dottedUpper || crossing
      ? [
          [0, 0],
          [lowerPx, 0],
          [0, upperPx],
        ]
      : [
          [0, 0],
          [0, upperPx],
          [lowerPx, 0],
        ];
  for (const [a, b] of [...tries, [0, 2 * upperPx] as const]) {
    if (clear(outlineOf(upper, a), outlineOf(lower, b))) {
      return [
        { x: a, shares: false },
        { x: b, shares: false },
      ];
    }
  }
  return [still, { x: 2 * upperPx + lowerPx, shares: false }];
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
