/** Whatever valid score comes, it is engraved whole, and no word is lost or lies on another. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { engraveScore } from '../../../src/draw/engrave/score/engrave-score.ts';
import { DIVISIONS_PER_QUARTER } from '../../../src/model/music/written.ts';
import type { BarText } from '../../support/score.ts';
import { scoreOf, staffInfo } from '../../support/score.ts';
import { glyphBoxes, overlaps, readSystem } from './drawn.ts';

const CLEFS = ['treble', 'bass', 'alto', 'tenor', 'treble-8', 'bass-8', 'percussion'] as const;
const METERS = [
  [4, 4],
  [3, 4],
  [2, 2],
  [6, 8],
  [5, 8],
  [7, 8],
  [12, 8],
  [5, 4],
  [3, 16],
  [1, 4],
] as const;
const FIGURES = ['1', '2.', '2', '4.', '4', '8.', '8', '16', '32', '64'];

const pitch = fc
  .tuple(
    fc.constantFrom('C', 'D', 'E', 'F', 'G', 'A', 'B'),
    fc.constantFrom('', '', '', '#', 'b', '##', 'bb'),
    fc.integer({ min: 1, max: 7 }),
  )
  .map((parts) => parts.join(''));

function divisionsOf(figure: string): number {
  const plain = (4 * DIVISIONS_PER_QUARTER) / Number.parseInt(figure, 10);
  return figure.endsWith('.') ? plain * 1.5 : plain;
}

/** Fills a bar with figures chosen by a stream of numbers; now and then three eighths become a triplet of quarters' room. */
function voice(length: number, choices: readonly number[], pitches: readonly string[]): string {
  const words: string[] = [];
  let left = length;
  for (let step = 0; left > 0; step++) {
    const choice = choices[step % choices.length] ?? 0;
    const name = pitches[(step * 7 + choice) % pitches.length] ?? 'C4';
    if (choice % 11 === 0 && left >= DIVISIONS_PER_QUARTER) {
      words.push(`(3:2 ${name}:8 r:8 ${name}:8 )`);
      left -= DIVISIONS_PER_QUARTER;
      continue;
    }
    const fitting = FIGURES.filter((figure) => divisionsOf(figure) <= left);
    const figure = fitting[choice % fitting.length] ?? '64';
    const what =
      choice % 5 === 0 ? 'r' : choice % 7 === 0 ? 'h' : choice % 3 === 0 ? `${name}+${pitches[0] ?? 'E4'}` : name;
    words.push(`${what}:${figure}${choice % 4 === 1 && what.length > 1 ? '~' : ''}`);
    left -= divisionsOf(figure);
  }
  return words.join(' ');
}

const anyBar = fc.record({
  meter: fc.constantFrom(...METERS),
  changes: fc.boolean(),
  fifths: fc.integer({ min: -7, max: 7 }),
  choices: fc.array(fc.nat(1000), { minLength: 3, maxLength: 12 }),
  pitches: fc.array(pitch, { minLength: 2, maxLength: 6 }),
  voices: fc.array(fc.integer({ min: 0, max: 2 }), { minLength: 3, maxLength: 3 }),
  section: fc.option(fc.string({ maxLength: 40, unit: 'binary' }), { nil: undefined, freq: 3 }),
  tempo: fc.option(fc.constantFrom('♩ = 72', 'Lento assai, e molto cantabile', '♪. = 120'), {
    nil: undefined,
    freq: 3,
  }),
  chords: fc.array(fc.constantFrom('C', 'F#m7b5', 'Bbmaj9#11/Ab', 'N.C.'), { maxLength: 3 }),
  cues: fc.array(fc.constantFrom('+Hn', '-Fl', '+Vn 1', '-Bass clarinet in B flat'), { maxLength: 5 }),
});

const anyScore = fc
  .record({
    clefs: fc.array(fc.constantFrom(...CLEFS), { minLength: 1, maxLength: 3 }),
    labels: fc.array(fc.string({ maxLength: 60, unit: 'binary' }), { minLength: 3, maxLength: 3 }),
    braced: fc.boolean(),
    bars: fc.array(anyBar, { minLength: 1, maxLength: 6 }),
  })
  .map(({ clefs, labels, braced, bars }) => {
    const staves = clefs.map((clef, index) =>
      staffInfo(index === 0 ? 'foreground' : `background-${String(index)}`, clef, {
        label: labels[index] ?? '',
        abbreviation: 'Abc',
        brace: braced && index > 0 ? 'b' : '',
      }),
    );
    let meter: readonly [number, number] = [4, 4];
    const texts = bars.map((bar): BarText => {
      if (bar.changes) meter = bar.meter;
      const length = (meter[0] * 4 * DIVISIONS_PER_QUARTER) / meter[1];
      return {
        meter: { numerator: meter[0], denominator: meter[1] },
        ...(bar.changes ? { fifths: bar.fifths } : {}),
        staves: clefs.map((_, staffIndex) =>
          Array.from({ length: bar.voices[staffIndex] ?? 1 }, (__, voiceIndex) =>
            voice(
              length,
              bar.choices.map((choice) => choice + staffIndex * 13 + voiceIndex * 5),
              bar.pitches,
            ),
          ),
        ),
        ...(bar.section === undefined ? {} : { sectionName: bar.section }),
        ...(bar.tempo === undefined ? {} : { tempoText: bar.tempo }),
        chords: [...new Set(bar.chords)].map((symbol, index) => `${String((index * length) / 3 / 480)}:${symbol}`),
        cues: bar.cues.map((cue) => `0:${cue}`),
      };
    });
    return scoreOf(staves, texts);
  });

describe('any valid score', () => {
  it('is engraved whole, well formed, with every word clear of the others', () => {
    fc.assert(
      fc.property(anyScore, fc.constantFrom(420, 700, 1200), (score, widthPx) => {
        const { systems } = engraveScore(score, { widthPx, title: 'Any' });
        expect(systems.flatMap((system) => system.bars.map((bar) => bar.number))).toEqual(
          score.bars.map((bar) => bar.number),
        );
        for (const system of systems) {
          const drawn = readSystem(system.svg);
          const words = drawn.texts.map(({ box }) => box);
          expect(overlaps(words)).toEqual([]);
          // Accidentals of chord symbols and notes of tempo marks are parts of their words.
          const signs = glyphBoxes(drawn).filter(({ what }) => !/^E(26|CA|CB)/.test(what));
          expect(overlaps(words, signs)).toEqual([]);
          for (const box of [...words, ...glyphBoxes(drawn)]) {
            expect(box.top).toBeGreaterThanOrEqual(-0.5);
            expect(box.bottom).toBeLessThanOrEqual(drawn.height + 0.5);
            expect(box.right).toBeLessThanOrEqual(drawn.width + 1);
          }
        }
      }),
      { numRuns: 30, seed: 20 },
    );
  });
});
