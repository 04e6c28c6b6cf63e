/**
 * Where a staff is black: highest and lowest ink in strips of 12 px, so that staves and words can be set clear of it. The
 * y axis points down; 0 is the top line of the staff.
 */
const STRIP_PX = 12;

export interface Ink {
  readonly tops: Float64Array;
  readonly bottoms: Float64Array;
}

export function blankInk(widthPx: number): Ink {
  const count = Math.max(1, Math.ceil(widthPx / STRIP_PX) + 2);
  return { tops: new Float64Array(count).fill(Infinity), bottoms: new Float64Array(count).fill(-Infinity) };
}

function stripsOf(ink: Ink, left: number, right: number): readonly [number, number] {
  const last = ink.tops.length - 1;
  const from = Math.min(last, Math.max(0, Math.floor(left / STRIP_PX)));
  return [from, Math.min(last, Math.max(from, Math.floor(right / STRIP_PX)))];
}

/** Blackens a box. */
export function addBox(ink: Ink, left: number, right: number, top: number, bottom: number): void {
  const [from, to] = stripsOf(ink, left, right);
  for (let strip = from; strip <= to; strip++) {
    if (top < (ink.tops[strip] ?? 0)) ink.tops[strip] = top;
    if (bottom > (ink.bottoms[strip] ?? 0)) ink.bottoms[strip] = bottom;
  }
}

/** Blackens a straight line, strip by strip, so that a slanted beam does not claim its whole box. */
export function addLine(ink: Ink, x1: number, y1: number, x2: number, y2: number): void {
  if (x2 < x1) {
    addLine(ink, x2, y2, x1, y1);
    return;
  }
  if (x2 - x1 <= STRIP_PX || y1 === y2) {
    addBox(ink, x1, x2, Math.min(y1, y2), Math.max(y1, y2));
    return;
  }
  const slope = (y2 - y1) / (x2 - x1);
  for (let left = x1; left < x2; left += STRIP_PX) {
    const right = Math.min(x2, left + STRIP_PX);
    const leftY = y1 + (left - x1) * slope;
    const rightY = y1 + (right - x1) * slope;
    addBox(ink, left, right, Math.min(leftY, rightY), Math.max(leftY, rightY));
  }
}

/** Smallest y of the ink between two x; Infinity where it is white. */
export function topOf(ink: Ink, left: number, right: number): number {
  const [from, to] = stripsOf(ink, left, right);
  let top = Infinity;
  for (let strip = from; strip <= to; strip++) top = Math.min(top, ink.tops[strip] ?? Infinity);
  return top;
}

/** Largest y of the ink between two x; -Infinity where it is white. */
export function bottomOf(ink: Ink, left: number, right: number): number {
  const [from, to] = stripsOf(ink, left, right);
  let bottom = -Infinity;
  for (let strip = from; strip <= to; strip++) bottom = Math.max(bottom, ink.bottoms[strip] ?? -Infinity);
  return bottom;
}

/** How far below the upper staff's origin the lower one must lie for `clearPx` of white between them everywhere. */
export function distanceFor(upper: Ink, lower: Ink, clearPx: number): number {
  let distance = -Infinity;
  for (let strip = 0; strip < upper.bottoms.length; strip++) {
    // A word may reach from its strip into the next, hence the neighbours.
    const bottom = Math.max(
      upper.bottoms[strip - 1] ?? -Infinity,
      upper.bottoms[strip] ?? -Infinity,
      upper.bottoms[strip + 1] ?? -Infinity,
    );
    distance = Math.max(distance, bottom - (lower.tops[strip] ?? Infinity) + clearPx);
  }
  return distance;
}
