/** Bars of a piece, and how loud it is where. */

export interface PieceBar {
  readonly number: number;
  /** In quarters from the start of bar 1; a pickup is negative. */
  readonly start: number;
  readonly length: number;
  readonly numerator: number;
  readonly denominator: 2 | 4 | 8;
}

export interface MeterFrom {
  readonly fromBar: number;
  readonly numerator: number;
  readonly denominator: 2 | 4 | 8;
}

/** Bars up to the last; `pickup` in quarters makes a bar 0 of that length. The first meter holds from the beginning. */
export function barsOf(lastBar: number, meters: readonly MeterFrom[], pickup = 0): PieceBar[] {
  const bars: PieceBar[] = [];
  let start = -pickup;
  for (let number = pickup > 0 ? 0 : 1; number <= lastBar; number++) {
    const meter = meters.findLast((each) => each.fromBar <= number) ?? meters[0];
    if (meter === undefined) throw new Error('a piece needs a meter');
    const { numerator, denominator } = meter;
    const length = number === 0 ? pickup : (numerator * 4) / denominator;
    bars.push({ number, start, length, numerator, denominator });
    start += length;
  }
  return bars;
}

export function barNumbered(bars: readonly PieceBar[], number: number): PieceBar {
  const bar = bars.find((each) => each.number === number);
  if (bar === undefined) throw new Error(`the piece has no bar ${number}`);
  return bar;
}

export function endOf(bars: readonly PieceBar[]): number {
  const last = bars.at(-1);
  return last === undefined ? 0 : last.start + last.length;
}

/** Marks as strengths from 0 to 1: even steps, mezzo forte a little above the middle. */
const MARKS: Readonly<Record<string, number>> = {
  ppp: 0.05,
  pp: 0.17,
  p: 0.3,
  mp: 0.43,
  mf: 0.56,
  f: 0.7,
  ff: 0.85,
  fff: 1,
};

/**
 * Strength over the piece from words such as `1:p 5:mf> 9:f 12.5:pp`: bar (with a fraction of it) and mark; `>` after a mark grows or
 * falls evenly to the next one, without it a mark holds until the next.
 */
export function strengthFrom(bars: readonly PieceBar[], words: string): (quarters: number) => number {
  const points = words
    .trim()
    .split(/\s+/)
    .map((word) => {
      const match = /^(\d+(?:\.\d+)?):([a-z]+)(>?)$/.exec(word);
      const [, place = '', mark = '', arrow = ''] = match ?? [];
      const strength = MARKS[mark];
      if (strength === undefined) throw new Error(`not a dynamic: ${word}`);
      const bar = barNumbered(bars, Math.floor(Number(place)));
      return { quarters: bar.start + (Number(place) % 1) * bar.length, strength, moves: arrow === '>' };
    });
  return (quarters) => {
    const at = points.findLastIndex((point) => point.quarters <= quarters + 1e-6);
    const here = points[Math.max(0, at)];
    const next = points[Math.max(0, at) + 1];
    if (here === undefined) return 0.5;
    if (!here.moves || next === undefined || at < 0) return here.strength;
    const share = (quarters - here.quarters) / (next.quarters - here.quarters);
    return here.strength + share * (next.strength - here.strength);
  };
}
