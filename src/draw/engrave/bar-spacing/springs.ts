/**
 * Horizontal spacing. Every moment of a bar is a column; from one to the next there is a spring whose length grows with the
 * written time and that cannot be pressed under the width of what stands there. One force stretches all springs of a line,
 * so that equal notes have equal room in all its bars.
 */

export interface Gap {
  /** What the ink needs, in pixels. */
  readonly least: number;
  /** What the time asks for at force 1, in pixels. */
  readonly ideal: number;
}

/** Widths of a quarter at force 1: 3.8 staff spaces; a half has 1.46 times the room (Gould advises about 1.4, from memory). */
const QUARTER_PX = 38;
const GROWTH = 0.55;

/**
 * Room for a stretch of time in which the shortest note that sounds has the length `shortest`; both in quarters. A part of a
 * longer note gets its share of that note's room.
 */
export function idealPx(quarters: number, shortest: number): number {
  const whole = Math.max(shortest, quarters);
  return (QUARTER_PX * whole ** GROWTH * quarters) / whole;
}

export function leastWidth(gaps: readonly Gap[]): number {
  return gaps.reduce((sum, gap) => sum + gap.least, 0);
}

export function widthAt(gaps: readonly Gap[], force: number): number {
  return gaps.reduce((sum, gap) => sum + Math.max(gap.least, force * gap.ideal), 0);
}

/** The force at which the gaps fill `widthPx`; 0 where even their least widths are too much. */
export function forceFor(gaps: readonly Gap[], widthPx: number): number {
  const sorted = [...gaps].filter((gap) => gap.ideal > 0).sort((a, b) => a.least / a.ideal - b.least / b.ideal);
  let rigid = leastWidth(gaps);
  if (rigid >= widthPx || sorted.length === 0) return 0;
  let soft = 0;
  for (let index = 0; index < sorted.length; index++) {
    const gap = sorted[index];
    if (gap === undefined) break;
    soft += gap.ideal;
    rigid -= gap.least;
    const force = (widthPx - rigid) / soft;
    const next = sorted[index + 1];
    if (next === undefined || force <= next.least / next.ideal) return force;
  }
  return 0;
}
