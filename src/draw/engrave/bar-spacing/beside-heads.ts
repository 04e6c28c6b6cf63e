/** Accidentals left of the heads of a moment and dots right of them. */
import { requiredGlyph } from '../ink/glyph-table.ts';
import type { EventPlan, HeadShape, PlacedGlyph } from './moment.ts';
import { DOT, STEM_PX, flagGlyph } from './moment.ts';

/** The heads of one voice where they are placed. */
interface PlacedHeads {
  readonly plan: EventPlan;
  readonly headPx: number;
  readonly heads: readonly HeadShape[];
  readonly ledgers: readonly (readonly [number, number, number])[];
}

interface Box {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

const HEAD_GAP_PX = 2.6;
const SIGN_GAP_PX = 1.2;

function overVertically(a: Box, b: Box): boolean {
  return a.top < b.bottom && b.top < a.bottom;
}

function boxOf(glyph: string, x: number, y: number): Box {
  const { record } = requiredGlyph(glyph);
  return { left: x + record.left, right: x + record.right, top: y + record.top, bottom: y + record.bottom };
}

/** Highest, lowest, second highest, second lowest ... */
function zigzag<Item>(items: readonly Item[]): Item[] {
  const order: Item[] = [];
  for (let from = 0, to = items.length - 1; from <= to; from++, to--) {
    const [first, last] = [items[from], items[to]];
    if (first !== undefined) order.push(first);
    if (last !== undefined && to > from) order.push(last);
  }
  return order;
}

/**
 * Accidentals as near to their heads as they fit, the highest first, then the lowest, and so on inwards; those an octave
 * apart come to stand under one another (E. Gould, Behind Bars, from memory). By voice.
 */
export function placeAccidentals(voices: readonly PlacedHeads[]): readonly (readonly PlacedGlyph[])[] {
  const none: readonly PlacedGlyph[] = [];
  if (voices.every(({ plan }) => plan.accidentals.every((glyph) => glyph === undefined))) return voices.map(() => none);
  const signs = voices
    .flatMap(({ plan, heads }, voice) =>
      heads.flatMap(({ x, y }, index) => {
        const glyph = plan.accidentals[index];
        return glyph === undefined ? [] : [{ glyph, x, y, voice }];
      }),
    )
    .sort((a, b) => a.y - b.y);
  const result: PlacedGlyph[][] = voices.map(() => []);
  const obstacles: Box[] = voices.flatMap(({ heads, headPx, ledgers }) => [
    ...heads.map(({ x, y }) => ({ left: x, right: x + headPx, top: y - 5, bottom: y + 5 })),
    ...ledgers.map(([left, right, y]) => ({ left: left + 1.5, right, top: y - 1, bottom: y + 1 })),
  ]);
  const placed: Box[] = [];
  for (const { glyph, x, y, voice } of zigzag(signs)) {
    const still = boxOf(glyph, 0, y);
    let right = x - HEAD_GAP_PX;
    for (const obstacle of obstacles) {
      if (overVertically(still, obstacle)) right = Math.min(right, obstacle.left - HEAD_GAP_PX);
    }
    const width = still.right - still.left;
    for (let moved = true; moved;) {
      moved = false;
      for (const other of placed) {
        if (!overVertically(still, other)) continue;
        if (right > other.left - SIGN_GAP_PX && right - width < other.right + SIGN_GAP_PX) {
          right = other.left - SIGN_GAP_PX;
          moved = true;
        }
      }
    }
    placed.push({ ...still, left: right - width, right });
    result[voice]?.push({ glyph, x: right - still.right, y });
  }
  return result;
}

const DOT_GAP_PX = 3.2;
const DOT_STEP_PX = 6;

/**
 * Dots in the spaces: beside a head on a line the dot stands in the space above, in a lower voice below, and where that
 * is taken in the other one (E. Gould, Behind Bars, from memory). A dot keeps clear of the flag. By voice.
 */
export function placeDots(voices: readonly PlacedHeads[]): readonly (readonly PlacedGlyph[])[] {
  const none: readonly PlacedGlyph[] = [];
  if (voices.every(({ plan }) => plan.event.figure.dots === 0)) return voices.map(() => none);
  const taken = new Set<number>();
  // Two voices on one head have one dot.
  const dotted = new Set<string>();
  return voices.map(({ plan, heads, headPx }) => {
    const { dots } = plan.event.figure;
    if (dots === 0) return [];
    const down = plan.inTwo && !plan.up;
    const ys: number[] = [];
    for (const { line, x } of [...heads].reverse()) {
      const name = `${String(line)}/${String(Math.round(x))}`;
      if (dotted.has(name)) continue;
      dotted.add(name);
      const onLine = Number.isInteger(line);
      const first = onLine ? line + (down ? -0.5 : 0.5) : line;
      const other = onLine ? line + (down ? 0.5 : -0.5) : line;
      const space = taken.has(first) ? other : first;
      if (taken.has(space)) continue;
      taken.add(space);
      ys.push(50 - space * 10);
    }
    if (ys.length === 0) return [];
    let x = Math.max(...heads.map((head) => head.x + headPx));
    for (const other of voices) {
      for (const head of other.heads) {
        if (ys.some((y) => Math.abs(y - head.y) < 8)) x = Math.max(x, head.x + other.headPx);
      }
    }
    x += DOT_GAP_PX;
    if (plan.flagged && plan.up) {
      const flag = requiredGlyph(flagGlyph(plan.event.figure.base, true)).record;
      const tip = Math.min(...heads.map(({ y }) => y)) - 35;
      const stemX = Math.min(...heads.map((head) => head.x)) + headPx - STEM_PX / 2;
      if (ys.some((y) => y - 2 < tip + flag.bottom)) x = Math.max(x, stemX + flag.right + 2);
    }
    return ys.flatMap((y) => Array.from({ length: dots }, (_, dot) => ({ glyph: DOT, x: x + dot * DOT_STEP_PX, y })));
  });
}
