import { describe, expect, it } from 'vitest';
import { tempoTexts } from '../../src/notate/score-time/tempo-text.ts';

const FOUR = { numerator: 4, denominator: 4 };

/** Texts as `bar text`, bars counted from 1. */
function said(tempi: readonly number[], meter = FOUR): string[] {
  return tempoTexts({ bars: tempi.map((tempo) => ({ tempo, meter })), tempo: [] }).flatMap((one, index) =>
    one === undefined ? [] : [`${String(index + 1)} ${one.text}`],
  );
}

// Words as orchestral parts have them (E. Gould, Behind Bars, 2011, on tempo, from memory).
describe('a tempo map read as a conductor would', () => {
  it('has one metronome mark where the tempo stands', () => {
    expect(said([96, 96, 96, 96])).toEqual(['1 ♩ = 96']);
    expect(said([96, 97, 95, 96, 97, 96])).toEqual(['1 ♩ = 96']);
  });

  it('has a mark at a new tempo, and none on the way to it', () => {
    expect(said([96, 96, 96, 132, 132, 132])).toEqual(['1 ♩ = 96', '4 ♩ = 132']);
    expect(said([96, 96, 104, 112, 120, 120, 120, 120])).toEqual(['1 ♩ = 96', '3 accel.', '5 ♩ = 120']);
  });

  it('says rit. where it gives way, and a tempo where it is back', () => {
    expect(said([96, 96, 96, 88, 78, 96, 96, 96])).toEqual(['1 ♩ = 96', '4 rit.', '6 a tempo']);
  });

  it('comes back to the first tempo of the piece by that name', () => {
    expect(said([96, 96, 96, 60, 60, 60, 96, 96, 96])).toEqual(['1 ♩ = 96', '4 ♩ = 60', '7 Tempo I']);
  });

  it('calls no return what it never left: a little slower than the first tempo is a new one', () => {
    expect(said([124, 124, 124, 116, 116, 116])).toEqual(['1 ♩ = 124', '4 ♩ = 116']);
  });

  // The word stands where the players begin to slow down (as above), not at the next bar line.
  it('says rit. on the beat on which it begins, also inside a bar', () => {
    const [first, ...others] = [
      [0, 118],
      [14, 108],
      [16, 98],
    ].map(([startQuarters = 0, tempo = 1]) => ({ startQuarters, startSecond: 0, secondsPerQuarter: 60 / tempo }));
    const bars = [118, 118, 118, 118, 98].map((tempo, index) => ({ tempo, meter: FOUR, startQuarters: 4 * index }));
    const placed = (tempo: typeof others): unknown => tempoTexts({ bars, tempo }).slice(3);
    expect(placed([first!, ...others])).toEqual([{ text: 'rit.', at: 2 }, undefined]);
    expect(placed([first!, others[1]!])).toEqual([undefined, { text: 'rit.', at: 0 }]);
    // A bar that first hurries and then holds back does not begin to slow down where it hurries.
    expect(placed([first!, { ...first!, startQuarters: 13, secondsPerQuarter: 0.4 }, ...others])).toEqual([
      undefined,
      { text: 'rit.', at: 0 },
    ]);
  });

  it('ends with rit. and no metronome mark under the last bars', () => {
    expect(said([72, 72, 72, 72, 66, 56])).toEqual(['1 ♩ = 72', '5 rit.']);
    expect(said([72, 72, 72, 72, 72, 60])).toEqual(['1 ♩ = 72', '6 rit.']);
  });

  it('tells an acceleration over many bars once, where it begins', () => {
    const tempi = [80, 80, ...Array.from({ length: 12 }, (_, bar) => 83 + 3 * bar), 120, 120, 120];
    expect(said(tempi)).toEqual(['1 ♩ = 80', '3 accel.', '15 ♩ = 120']);
  });

  it('says nothing of a single bar that breathes a little', () => {
    expect(said([96, 96, 91, 96, 96, 96])).toEqual(['1 ♩ = 96']);
  });

  it('calls rubato what never stands still', () => {
    const tempi = Array.from({ length: 16 }, (_, bar) => [80, 92, 78, 70][bar % 4] ?? 80);
    expect(said(tempi)).toEqual(['1 ♩ = 80 rubato']);
  });
});
