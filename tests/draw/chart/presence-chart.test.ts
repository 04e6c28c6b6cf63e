import { describe, expect, it } from 'vitest';
import { drawPresence } from '../../../src/draw/chart/entries-and-exits/entry-map-chart.ts';
import { drawSpan, piecesOf } from '../../../src/draw/chart/entries-and-exits/entry-map-band.ts';
import { thicknessOf, thicknessScaleOf } from '../../../src/draw/chart/entries-and-exits/entry-map-scale.ts';
import { rulerOf, boxOf } from '../../../src/draw/ruler/ruler.ts';
import type { EntryKind, ExitKind } from '../../../src/model/readings/pacing.ts';
import { partOf, stageOf, timelineOf } from '../../support/arrangement.ts';
import { ensembleOf, fullReadings, numbersIn, pageOf, readingsOf, spanOf } from './small-stage.ts';

const timeline = timelineOf(16);
const solo = partOf('violin', '', timeline, { id: 'solo', name: 'Solo', role: 'foreground' });
const viola = partOf('viola', '', timeline, { id: 'viola', name: 'Viola' });
const stage = stageOf([viola, solo], timeline);

function rowWith(entry: EntryKind, exit: ExitKind): Element {
  const presence = [spanOf(timeline, 'solo', 1, 16), spanOf(timeline, 'viola', 5, 8, { entry, exit })];
  return pageOf(drawPresence(stage, readingsOf({ presence })).svg).querySelector('[data-part="viola"]')!;
}

/** Height of a band's outline at the middle of a bar, in user units. */
function heightAt(path: string, x: number): number {
  const numbers = numbersIn(path);
  const corners = numbers.flatMap((number, index) => (index % 2 === 0 ? [{ x: number, y: numbers[index + 1]! }] : []));
  const ys = corners.filter((corner) => Math.abs(corner.x - x) < 0.11).map((corner) => corner.y);
  return Math.max(...ys) - Math.min(...ys);
}

describe('the thickness of a band', () => {
  it('grows with the estimated level, bar by bar, and never shrinks', () => {
    const readings = readingsOf({
      presence: [spanOf(timeline, 'viola', 1, 16)],
      balance: timeline.bars.map((bar) => ({ bar: bar.number, partsDb: { viola: 60 + 2 * bar.number } })),
    });
    const path = pageOf(drawPresence(stage, readings).svg)
      .querySelector('[data-part="viola"] .band')!
      .getAttribute('d')!;
    const line = rulerOf(stage).lines[0]!;
    const heights = timeline.bars.map((bar) => {
      const box = boxOf(line, bar.number)!;
      return heightAt(path, box.x + box.width / 2);
    });
    heights.slice(1).forEach((height, index) => {
      expect(height).toBeGreaterThan(heights[index]!);
    });
  });

  it('is in proportion to decibels between the softest and the loudest level of the stage', () => {
    const scale = thicknessScaleOf(readingsOf({ balance: [{ bar: 1, partsDb: { a: 70, b: 90 } }] }), 10);
    expect(thicknessOf(scale, 90)).toBeCloseTo(10);
    expect(thicknessOf(scale, 80)).toBeCloseTo((thicknessOf(scale, 70) + thicknessOf(scale, 90)) / 2);
    expect(thicknessOf(scale, 20)).toBe(thicknessOf(scale, 70));
  });

  it('is the least where no level is known, and never nothing', () => {
    const scale = thicknessScaleOf(readingsOf({ balance: [{ bar: 1, partsDb: { a: Number.NEGATIVE_INFINITY } }] }), 10);
    expect(scale.loudestDb).toBeUndefined();
    expect(thicknessOf(scale, undefined)).toBeGreaterThan(0);
    expect(thicknessOf(scale, Number.NEGATIVE_INFINITY)).toBe(thicknessOf(scale, undefined));
  });
});

describe('signs of entries and exits', () => {
  const kinds = ['from-nothing', 'at-once', 'under-sounding-note'] as const;
  const signature = (row: Element): string =>
    ['.sign-solid', '.sign-dotted', '.sign-open']
      .map((name) => (row.querySelector(name) === null ? '-' : 'x'))
      .join('') + String(numbersIn(row.querySelector('.sign-open')?.getAttribute('d')).length);

  it('differ for each kind of entry, in shape and not in colour', () => {
    const exits = {
      'from-nothing': 'to-nothing',
      'at-once': 'at-once',
      'under-sounding-note': 'under-sounding-note',
    } as const;
    const seen = kinds.map((kind) => signature(rowWith(kind, exits[kind])));
    expect(new Set(seen).size).toBe(3);
  });

  it('stand where the part enters and leaves', () => {
    const box = boxOf(rulerOf(stage).lines[0]!, 5)!;
    const row = rowWith('under-sounding-note', 'at-once');
    expect(numbersIn(row.querySelector('.sign-dotted')!.getAttribute('d'))[0]).toBeCloseTo(box.x, 0);
  });

  it('let a band from nothing grow from a point, and one at once start at its full height', () => {
    const box = boxOf(rulerOf(stage).lines[0]!, 5)!;
    const start = (entry: EntryKind): number =>
      heightAt(rowWith(entry, 'at-once').querySelector('.band')!.getAttribute('d')!, box.x);
    expect(start('from-nothing')).toBeLessThan(0.6);
    expect(start('at-once')).toBeGreaterThan(1.5);
  });

  it('are explained, those that occur and no others', () => {
    const presence = [spanOf(timeline, 'viola', 1, 2), spanOf(timeline, 'viola', 5, 8, { entry: 'from-nothing' })];
    const words = drawPresence(stage, readingsOf({ presence }))
      .legend.map((entry) => entry.text)
      .join(' ');
    expect(words).toContain('dal niente');
    expect(words).toContain('direct');
    expect(words).not.toContain('overlapped');
  });

  it('are not drawn where a span only runs on into the next line', () => {
    const long = ensembleOf(1, 100);
    const rows = pageOf(drawPresence(long, fullReadings(long)).svg).querySelectorAll('[data-part="p0"] .sign-solid');
    expect(rows).toHaveLength(2);
    for (const row of rows) expect(row.getAttribute('d')!.match(/M/g)).toHaveLength(1);
  });
});

describe('the foreground in the map', () => {
  const page = pageOf(drawPresence(stage, fullReadings(stage)).svg);

  it('is told apart without colour: solid instead of hatched, between two rules, its name in bold', () => {
    const front = page.querySelector('[data-part="solo"]')!;
    const back = page.querySelector('[data-part="viola"]')!;
    expect(front.querySelector('.front-solid')).not.toBeNull();
    expect(front.querySelector('.front-rule')).not.toBeNull();
    expect(back.querySelector('.front-solid, .front-rule')).toBeNull();
    expect(back.querySelector('.band')!.getAttribute('fill')).toMatch(/^url\(#/);
    const names = [...page.querySelectorAll('.chart-gutter .label')];
    expect(names.map((node) => [node.textContent, node.classList.contains('strong')])).toEqual([
      ['Viola', false],
      ['Solo', true],
    ]);
  });

  it('changes within a span where a player comes to the front', () => {
    const pieces = piecesOf(spanOf(timeline, 'viola', 3, 12, { entry: 'from-nothing' }), (bar) => bar >= 6 && bar <= 9);
    expect(pieces.map((piece) => [piece.from, piece.to, piece.isFront, piece.entry])).toEqual([
      [3, 5, false, 'from-nothing'],
      [6, 9, true, 'at-once'],
      [10, 12, false, 'at-once'],
    ]);
    const line = rulerOf(stage).lines[0]!;
    const drawn = drawSpan(pieces[1]!, line, 50, () => 4)!;
    expect(drawn.startX).toBeCloseTo(boxOf(line, 6)!.x, 6);
    expect(drawn.endX).toBeCloseTo(boxOf(line, 10)!.x, 6);
  });
});

describe('the table of entries and exits', () => {
  it('gives every span with its bars, its kinds and the median and highest of its levels', () => {
    const presence = [spanOf(timeline, 'viola', 2, 4, { exit: 'to-nothing' })];
    const balance = [70, 74, 81].map((db, index) => ({ bar: index + 2, partsDb: { viola: db } }));
    const drawing = drawPresence(stage, readingsOf({ presence, balance }));
    expect(drawing.table.rows).toEqual([['Viola', 'background', '2', '4', 'direct', 'al niente', '74.0', '81.0']]);
    expect(drawing.csv.rows).toEqual([['viola', 'Viola', 2, 4, 'at-once', 'to-nothing', 4, 16, 74, 81]]);
    expect(drawing.table.columns).toHaveLength(8);
  });

  it('says when the foreground is alone and when the ensemble is fullest', () => {
    const presence = [spanOf(timeline, 'solo', 1, 16), spanOf(timeline, 'viola', 5, 8)];
    expect(drawPresence(stage, readingsOf({ presence })).description).toBe(
      'All 2 parts sound in bars 5–8; Solo is alone in bars 1–4 and 9–16; 2 entries, all direct.',
    );
  });
});
