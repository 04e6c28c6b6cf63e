import { describe, expect, it } from 'vitest';
import { drawThumbnail } from '../../../src/draw/chart/whole-piece/whole-piece-thumbnail.ts';
import { drawWholePiece } from '../../../src/draw/chart/whole-piece/whole-piece.ts';
import type { Finding } from '../../../src/model/readings/readings.ts';
import { partOf, stageOf, timelineOf } from '../../support/arrangement.ts';
import { numbersIn, pageOf, readingsOf, spanOf } from './small-stage.ts';

function findingAt(from: number, to: number, changes: Partial<Finding> = {}): Finding {
  return {
    rule: 'outside-range',
    level: 'look',
    from,
    to,
    partIds: ['viola'],
    message: 'A note <lies> "low".',
    advice: '',
    source: '',
    ...changes,
  };
}

function pieceOf(bars: number, findings: readonly Finding[] = [], marginsDb: readonly number[] = []): Element[] {
  const timeline = timelineOf(bars);
  const solo = partOf('violin', '', timeline, { id: 'solo', name: 'Solo', role: 'foreground' });
  const viola = partOf('viola', '', timeline, { id: 'viola', name: 'Viola <b>', abbreviation: 'Va' });
  const stage = stageOf([solo, viola], timeline);
  const readings = readingsOf({
    presence: [spanOf(timeline, 'solo', 1, bars), spanOf(timeline, 'viola', 2, bars)],
    balance: timeline.bars.map(({ number }, index) => ({
      bar: number,
      foregroundDb: 70,
      ...(marginsDb[index] === undefined ? {} : { marginDb: marginsDb[index] }),
      partsDb: { solo: 70, viola: 60 },
    })),
  });
  return [...pageOf(drawWholePiece(stage, readings, findings).svg).querySelectorAll('svg')];
}

describe('the whole piece as one picture', () => {
  it.each([4, 48, 1000])('is one strip of %i bars, as wide as every other, for a page and for a telephone', (bars) => {
    const boxes = pieceOf(bars).map((svg) => numbersIn(svg.getAttribute('viewBox')));
    expect(boxes.map(([, , width]) => width)).toEqual([1000, 380]);
    for (const svg of pieceOf(bars)) {
      const width = numbersIn(svg.getAttribute('viewBox'))[2]!;
      const xs = [...svg.querySelectorAll('.piece-front, .piece-band')].flatMap((path) =>
        [...path.getAttribute('d')!.matchAll(/[MH](-?[\d.]+)/g)].map((match) => Number(match[1])),
      );
      expect(Math.min(...xs)).toBeGreaterThan(0);
      expect(Math.max(...xs)).toBeLessThanOrEqual(width);
      expect(svg.querySelectorAll('*').length).toBeLessThan(200);
    }
  });

  it('leads from each number to its finding, and leaves accepted ones out without counting anew', () => {
    const [wide] = pieceOf(8, [
      findingAt(1, 2, { level: 'fix' }),
      findingAt(3, 3, { accepted: 'meant' }),
      findingAt(5, 8),
    ]);
    const marks = [...wide!.querySelectorAll('.piece-mark')];
    expect(marks.map((mark) => [mark.getAttribute('href'), mark.querySelector('text')!.textContent])).toEqual([
      ['#finding-1', '1'],
      ['#finding-3', '3'],
    ]);
    expect(marks[0]!.classList.contains('level-fix')).toBe(true);
    expect(marks[0]!.querySelector('title')!.textContent).toContain('A note <lies> "low".');
  });

  it('shows how many a bar has where marks would lie on one another', () => {
    const many = Array.from({ length: 60 }, (_, index) => findingAt(1 + (index % 30), 1 + (index % 30)));
    const [wide] = pieceOf(40, many);
    expect(wide!.querySelectorAll('.piece-mark')).toHaveLength(0);
    expect(wide!.querySelectorAll('.piece-density')).toHaveLength(1);
  });

  it('marks, and the room in which they are hit, never lie on one another', () => {
    const crowd = Array.from({ length: 4 }, (_, index) => findingAt(3, 4 + index));
    for (const svg of pieceOf(16, crowd)) {
      const boxes = [...svg.querySelectorAll('.piece-mark > .reach')].map((rect) =>
        ['x', 'y', 'width', 'height'].map((name) => Number(rect.getAttribute(name))),
      );
      boxes.forEach(([x = 0, y = 0, width = 0, height = 0], index) => {
        for (const [otherX = 0, otherY = 0, otherWidth = 0, otherHeight = 0] of boxes.slice(index + 1))
          expect(
            x + width <= otherX || otherX + otherWidth <= x || y + height <= otherY || otherY + otherHeight <= y,
          ).toBe(true);
      });
    }
  });

  it('draws the foreground above the line where it is louder, the background below it where that is', () => {
    const [wide] = pieceOf(3, [], [10, -4]);
    const ys = (name: string): number[] =>
      [
        ...wide!
          .querySelector(name)!
          .getAttribute('d')!
          .matchAll(/V(-?[\d.]+)/g),
      ].map((m) => Number(m[1]));
    expect(Math.min(...ys('.piece-over'))).toBeLessThan(Math.min(...ys('.piece-under')));
    expect(ys('.piece-alone').length).toBeGreaterThan(0);
  });

  it('is drawn with names as text, never as markup, and is nothing without parts', () => {
    const [wide] = pieceOf(4);
    expect(wide!.textContent).toContain('Viola <b>');
    const timeline = timelineOf(4);
    expect(drawWholePiece(stageOf([], timeline), readingsOf({})).svg).toBe('');
  });
});

it('in the size of a stamp, lines between sections end with the band of the last part', () => {
  const timeline = timelineOf(8);
  const parts = ['solo', 'viola'].map((id) => partOf('viola', '', timeline, { id }));
  const sections = [
    { name: 'A', from: 1, to: 4 },
    { name: 'B', from: 5, to: 8 },
  ];
  const readings = readingsOf({ presence: parts.map(({ id }) => spanOf(timeline, id, 1, 8)) });
  const stamp = pageOf(drawThumbnail(stageOf(parts, timeline, { sections }), readings)).querySelector('svg')!;
  const bottoms = [...stamp.querySelectorAll('.piece-band')].map((path) => {
    const [, top, height] = /^M[-\d.]+ ([\d.]+)H[-\d.]+v([\d.]+)/.exec(path.getAttribute('d')!)!.map(Number);
    return top! + height!;
  });
  const [, foot] = /V([\d.]+)$/.exec(stamp.querySelector('.section-line')!.getAttribute('d')!)!.map(Number);
  const lowest = Math.max(...bottoms);
  expect(bottoms).toHaveLength(2);
  expect(foot).toBeGreaterThanOrEqual(lowest);
  expect(foot! - lowest).toBeLessThan(lowest / 4);
});
