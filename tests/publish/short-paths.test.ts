/** The paths of a single file are the paths of its pages in fewer characters. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { shortPath, withShortPaths } from '../../src/publish/render/short-paths.ts';

/** Points at which the steps of a path end and its curves bend, from the origin: what SVG 2, 9.3, says a path is. Letters and numbers as its grammar has them. */
function pointsOf(path: string): readonly string[] {
  const tokens = path.match(/[a-z]|[+-]?(?:\d*\.\d+|\d+\.?)/gi) ?? [];
  const points: string[] = [];
  let [x, y, startX, startY, letter] = [0, 0, 0, 0, ''];
  let at = 0;
  const take = (): number => Number(tokens[at++]);
  while (at < tokens.length) {
    if (/[a-z]/i.test(tokens[at] ?? '')) letter = tokens[at++] ?? '';
    const isRelative = letter === letter.toLowerCase();
    const [fromX, fromY] = isRelative ? [x, y] : [0, 0];
    const kind = letter.toLowerCase();
    if (kind === 'z') [x, y] = [startX, startY];
    else if (kind === 'h') x = fromX + take();
    else if (kind === 'v') y = fromY + take();
    else {
      for (let bend = 0; bend < (kind === 'c' ? 2 : 0); bend++)
        points.push(`bend ${(fromX + take()).toFixed(2)} ${(fromY + take()).toFixed(2)}`);
      [x, y] = [fromX + take(), fromY + take()];
    }
    if (kind === 'm') {
      [startX, startY] = [x, y];
      letter = isRelative ? 'l' : 'L';
    }
    points.push(`${kind === 'm' ? 'move' : 'line'} ${x.toFixed(2)} ${y.toFixed(2)}`.replaceAll('-0.00', '0.00'));
  }
  return points;
}

const number = fc.integer({ min: -20000, max: 20000 }).map((value) => value / 100);
const step = fc.oneof(
  fc.tuple(fc.constantFrom('M', 'm', 'L', 'l'), number, number),
  fc.tuple(fc.constantFrom('H', 'h', 'V', 'v'), number),
  fc.tuple(fc.constantFrom('C', 'c'), number, number, number, number, number, number),
  fc.constant(['z'] as const),
);

describe('a short path', () => {
  it('goes through the same points, to the hundredth, and is no longer', () => {
    fc.assert(
      fc.property(number, number, fc.array(step, { maxLength: 30 }), (x, y, steps) => {
        const path = `M${String(x)} ${String(y)}${steps.map(([letter, ...own]) => letter + own.join(' ')).join('')}`;
        expect(pointsOf(shortPath(path))).toEqual(pointsOf(path));
        expect(shortPath(path).length).toBeLessThanOrEqual(path.length);
      }),
      { numRuns: 300 },
    );
  });

  it('writes the lines of a staff from line to line', () => {
    expect(shortPath('M100 0H1199M100 10H1199M100 20H1199').length).toBeLessThan(36);
    expect(shortPath('M0.5 0.5L0.25 0.75')).toBe('M.5.5.25.75');
  });

  it('leaves arcs as they are, and markup around a path', () => {
    expect(shortPath('M0 0A5 5 0 0 1 10 10')).toBe('M0 0A5 5 0 0 1 10 10');
    const [before = '', path = '', after = ''] = withShortPaths(
      '<path class="grid" d="M10 0L10 200L10 300"/> <p id="M1">M10 0L10 20</p>',
    ).split(/ d="|"(?=\/>)/);
    expect([before, after]).toEqual(['<path class="grid"', '/> <p id="M1">M10 0L10 20</p>']);
    expect(pointsOf(path)).toEqual(['move 10.00 0.00', 'line 10.00 200.00', 'line 10.00 300.00']);
    expect(path.length).toBeLessThan('M10 0L10 200L10 300'.length);
  });
});
