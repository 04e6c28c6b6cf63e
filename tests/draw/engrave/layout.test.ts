import { describe, expect, it } from 'vitest';
import metadata from '@vexflow-fonts/sebastian/metadata.json' with { type: 'json' };
import { breakLines } from '../../../src/draw/engrave/line-breaks/break-lines.ts';
import { glyphOf } from '../../../src/draw/engrave/ink/glyph-table.ts';
import { forceFor, idealPx, leastWidth, widthAt } from '../../../src/draw/engrave/bar-spacing/springs.ts';
import { tenths } from '../../../src/draw/engrave/ink/tenths.ts';
import { GLYPH_EM_PX, requiredGlyph } from '../../../src/draw/engrave/ink/glyph-table.ts';
import { chordWords, plainWords, tempoWords } from '../../../src/draw/engrave/ink/words.ts';
import type { Words } from '../../../src/draw/engrave/ink/words.ts';

describe('glyph table', () => {
  // Names and code points: SMuFL 1.4 glyph tables; boxes in staff spaces: the font's own published metadata (of other signs it tells an older outline).
  it.each([
    ['noteheadBlack', 0xe0a4],
    ['noteheadHalf', 0xe0a3],
    ['gClef', 0xe050],
    ['fClef', 0xe062],
    ['accidentalSharp', 0xe262],
    ['accidentalNatural', 0xe261],
    ['restQuarter', 0xe4e5],
  ])('%s has the outline that the font says', (name, code) => {
    const { bBoxNE, bBoxSW } = (metadata.glyphBBoxes as Record<string, Record<string, number[]>>)[name]!;
    const { left, right, top, bottom } = glyphOf(String.fromCodePoint(code))!.record;
    const published = [bBoxSW![0]!, bBoxNE![0]!, -bBoxNE![1]!, -bBoxSW![1]!].map((spaces) => 10 * spaces);
    for (const [index, edge] of [left, right, top, bottom].entries()) expect(edge).toBeCloseTo(published[index]!, 0);
  });
});

describe('spacing', () => {
  const gaps = [
    { least: 20, ideal: 30 },
    { least: 60, ideal: 30 },
    { least: 10, ideal: 50 },
  ];

  it('one force fills the line exactly, and no gap is pressed under what its ink needs', () => {
    for (const width of [90, 95, 120, 150, 400]) expect(widthAt(gaps, forceFor(gaps, width))).toBeCloseTo(width, 6);
    expect(forceFor(gaps, leastWidth(gaps) - 1)).toBe(0);
  });

  it('two quarters under a half note have together the room of the half', () => {
    expect(idealPx(1, 2) * 2).toBeCloseTo(idealPx(2, 2), 6);
    expect(idealPx(1, 1) * 2).toBeGreaterThan(idealPx(2, 2));
  });
});

describe('line breaking', () => {
  const bar = { natural: 100, least: 60, asFirst: 0, asLast: 0 };

  it('spreads equal bars evenly rather than filling line after line', () => {
    const starts = breakLines(new Array<typeof bar>(9).fill(bar), () => 460);
    expect(starts).toEqual([0, 5]);
    expect(breakLines(new Array<typeof bar>(8).fill(bar), () => 410)).toEqual([0, 4]);
  });

  it('gives a bar that is too wide a line of its own', () => {
    const wide = { natural: 900, least: 900, asFirst: 0, asLast: 0 };
    expect(breakLines([bar, wide, bar], () => 300)).toEqual([0, 1, 2]);
  });

  it('finds what trying every set of breaks finds', () => {
    const widths = [120, 90, 200, 80, 150, 60, 110];
    const bars = widths.map((natural) => ({ natural, least: natural * 0.6, asFirst: 0, asLast: 0 }));
    const available = 300;
    const badness = (starts: readonly number[]): number =>
      starts.reduce((sum, start, line) => {
        const end = starts[line + 1] ?? widths.length;
        const natural = widths.slice(start, end).reduce((total, width) => total + width, 0);
        if (natural * 0.9 > available && end - start > 1) return Infinity;
        const slack = (available - natural) / available;
        const one = slack < 0 ? 4 * slack * slack : slack * slack;
        return sum + (end === widths.length && slack > 0 ? 0.3 * one : one);
      }, 0);
    let least = Infinity;
    for (let mask = 0; mask < 2 ** (widths.length - 1); mask++) {
      const starts = [0, ...widths.slice(1).flatMap((_, index) => ((mask >> index) & 1 ? [index + 1] : []))];
      least = Math.min(least, badness(starts));
    }
    expect(badness(breakLines(bars, () => available))).toBeCloseTo(least, 9);
  });
});

describe('words', () => {
  const spelled = (words: Words): string =>
    words.runs
      .map((run) => (run.kind === 'text' ? run.text : ({ '\uE260': '♭', '\uE262': '♯' }[run.character] ?? '*')))
      .join('');

  it.each([
    ['Bb7#11/Ab', 'B♭7♯11/A♭'],
    ['F#m7b5', 'F♯m7♭5'],
    ['Bbb', 'B♭♭'],
    ['C7(b9)', 'C7(♭9)'],
    ['Dbsus4', 'D♭sus4'],
    ['Gm', 'Gm'],
    ['Abadd9', 'A♭add9'],
    ['B♭maj7', 'B♭maj7'],
    ['sub', 'sub'],
  ])('the chord symbol %s is printed %s', (ascii, printed) => {
    expect(spelled(chordWords(ascii))).toBe(printed);
  });

  // Common practice, no source: a sign set against a letter of its own size has white beside it as a letter has.
  it.each(['Bb', 'F#7', 'C7(b9)', 'F#m7b5', 'Bbb'])('no sign in %s lies on the letter or figure beside it', (ascii) => {
    for (const run of chordWords(ascii).runs) {
      if (run.kind !== 'glyph') continue;
      const { record } = requiredGlyph(run.character);
      const scale = run.sizePx / GLYPH_EM_PX;
      expect(run.leadPx + record.left * scale).toBeGreaterThanOrEqual(1);
      expect(run.widthPx - run.leadPx - record.right * scale).toBeGreaterThanOrEqual(1);
    }
  });

  it('a tempo mark has its note drawn as a music sign', () => {
    expect(spelled(tempoWords('♩. = 66'))).toBe('**= 66');
    expect(spelled(tempoWords('Andante'))).toBe('Andante');
  });

  it('words too long for their room end in an ellipsis and fit', () => {
    const words = plainWords('An exceedingly long name of a section', 'section', 100);
    expect(words.widthPx).toBeLessThanOrEqual(100);
    expect(spelled(words)).toMatch(/^An .*…$/);
  });

  it('a coordinate has at most one decimal and no minus zero', () => {
    expect([1, 1.25, -0.04, -0.05, -12.34, 1e21, NaN].map(tenths)).toEqual(['1', '1.3', '0', '0', '-12.3', '0', '0']);
    for (let value = -3; value < 3; value += 0.013) expect(Number(tenths(value))).toBeCloseTo(value, 0.9);
  });
});
