/**
 * Worked examples of the trade against the rules, each with its source. "From memory" where the page was not opened.
 */
import { describe, expect, it } from 'vitest';
import { bandwidthsApart, underLowLimit } from '../../src/analyse/harmony/low-interval-limits.ts';
import { drumsWith, TIMPANI_PAIR } from '../../src/analyse/playability/timpani-drums.ts';
import type { Part } from '../../src/model/music/arrangement.ts';
import { frequencyHz, midiOf, parsePitch } from '../../src/model/music/pitch.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { findingsOf } from '../advise/stage-findings.ts';

const timeline = timelineOf(8);
const midi = (name: string): number => {
  const pitch = parsePitch(name);
  if (pitch === undefined) throw new Error(name);
  return midiOf(pitch);
};
const rulesFor = (...parts: Part[]): string[] => findingsOf(stageOf(parts, timeline)).map(({ rule }) => rule);
const tune = partOf('trumpet-c', 'C5:0:4 E5:4:4 C5:8:4 E5:12:4', timeline, { role: 'foreground' });

describe('low interval limits (glossary entry "Low Interval Limit" of a music retailer, sweetwater.com; C4 = middle C)', () => {
  it.each([
    ['minor second', 'E3', 'F3'],
    ['major second', 'D#3', 'F3'],
    ['minor third', 'C3', 'D#3'],
    ['major third', 'B2', 'D#3'],
    ['fourth', 'A2', 'D3'],
    ['tritone', 'B1', 'F2'],
    ['fifth', 'C#2', 'G#2'],
    ['minor sixth', 'F2', 'C#3'],
    ['major sixth', 'F2', 'D3'],
    ['minor seventh', 'F2', 'D#3'],
    ['major seventh', 'F2', 'E3'],
  ])('a %s is clear on %s and not a semitone lower', (_, low, high) => {
    expect(underLowLimit(midi(low), midi(high))).toBe(0);
    expect(underLowLimit(midi(low) - 1, midi(high) - 1)).toBe(1);
  });

  it.each([
    ['C2', 'E2', true],
    ['C2', 'G2', false],
    ['C2', 'C3', false],
  ])(
    '%s with %s is told: %s (a third far under every table, a fifth at the border of two, an octave in none)',
    (low, high, told) => {
      const cello = partOf('cello', `${low}:0:16`, timeline);
      const bassoon = partOf('bassoon', `${high}:0:16`, timeline);
      expect(rulesFor(tune, cello, bassoon).includes('crowded-low')).toBe(told);
    },
  );

  // Distances in ERB at the limits, computed by hand from 24.7 (4.37 f/1000 + 1) (Glasberg and Moore 1990).
  it.each([
    ['E3', 'F3', 0.23],
    ['C3', 'D#3', 0.62],
    ['A2', 'D3', 0.96],
    ['C#2', 'G#2', 1.01],
    ['F2', 'D3', 1.59],
  ])('%s-%s lies %f auditory bandwidths apart', (low, high, bandwidths) => {
    expect(bandwidthsApart(midi(low), midi(high))).toBeCloseTo(bandwidths, 1);
  });
});

describe('thirds low and high (half a critical band is the border of dissonance: Plomp and Levelt 1965, after a course page)', () => {
  // Width of a critical band in Bark terms, Zwicker and Terhardt 1980, from memory: about 100 Hz below 500 Hz.
  const barkHz = (hz: number): number => 25 + 75 * (1 + 1.4 * (hz / 1000) ** 2) ** 0.69;
  const shareOfBark = (low: string, high: string): number => {
    const [one, other] = [frequencyHz(midi(low)), frequencyHz(midi(high))];
    return (other - one) / barkHz((one + other) / 2);
  };

  it('C4 with E4 is consonant, C3 with E3 is not', () => {
    expect(shareOfBark('C4', 'E4')).toBeGreaterThan(0.5);
    expect(shareOfBark('C3', 'E3')).toBeLessThan(0.5);
  });

  it('which is too strict for music: the table of the trade lets C3 with E3 stand, and we go by the table', () => {
    expect(underLowLimit(midi('C3'), midi('E3'))).toBe(0);
    expect(bandwidthsApart(midi('C3'), midi('E3'))).toBeLessThan(bandwidthsApart(midi('C4'), midi('E4')));
  });
});

describe('ranges (worked examples)', () => {
  it('a violin has E7 as its last note (S. Adler, from memory) and C7 in usual parts (K. Gehrkens, 1914)', () => {
    expect(rulesFor(partOf('violin', 'F7:0:4', timeline))).toContain('outside-range');
    const high = rulesFor(partOf('violin', 'C#7:0:4', timeline));
    expect(high).toContain('edge-of-range');
    expect(high).not.toContain('outside-range');
    expect(rulesFor(partOf('violin', 'C7:0:4', timeline))).not.toContain('edge-of-range');
  });

  it('a harp goes up to F sharp 7 (N. Rimsky-Korsakov, ch. I), today to G sharp 7 (S. Adler, from memory)', () => {
    expect(rulesFor(partOf('harp', 'F#7:0:4', timeline))).not.toContain('outside-range');
    expect(rulesFor(partOf('harp', 'A7:0:4', timeline))).toContain('outside-range');
  });

  it('a harp reaches down to C flat 1 (N. Rimsky-Korsakov, ch. I)', () => {
    expect(rulesFor(partOf('harp', 'Cb1:0:4', timeline))).not.toContain('outside-range');
    expect(rulesFor(partOf('harp', 'Bb0:0:4', timeline))).toContain('outside-range');
  });
});

describe('breath (a flute holds about 12 s at mf, 20 s at pp; 4 l at an assumed flow, derived from J. Wolfe, UNSW)', () => {
  // Velocity 74 stands in the middle of mf, 11 in the middle of pp; the figures are rough by more than a tenth.
  it.each([
    [74, 12, false],
    [74, 15, true],
    [11, 20, false],
    [11, 25, true],
  ])('at velocity %i a note of %i s is too long: %s', (velocity, seconds, told) => {
    const flute = partOf('flute', `C5:0:${String(seconds)}:${String(velocity)}`, timeline);
    expect(rulesFor(flute).includes('breath')).toBe(told);
  });
});

describe('the place of the basses (N. Rimsky-Korsakov, ch. II: double basses double the cellos an octave lower)', () => {
  const cello = partOf('cello', 'G2:0:16', timeline);

  it('an octave under the cellos nothing is said; in unison the octave is missed', () => {
    expect(rulesFor(tune, cello, partOf('double-bass', 'G1:0:16', timeline))).not.toContain('bass-doubled-too-close');
    expect(rulesFor(tune, cello, partOf('double-bass', 'G2:0:16', timeline))).toContain('bass-doubled-too-close');
  });
});

describe('no empty space between high and low in forte (N. Rimsky-Korsakov, ch. III)', () => {
  // Two bars of this strength and two a little softer: a sketch of one velocity has no dynamics to judge.
  const held = (pitch: string, velocity: number): string =>
    `${pitch}:0:8:${String(velocity)} ${pitch}:8:8:${String(velocity - 6)}`;
  const texture = (velocity: number, middle = ''): Part[] => [
    partOf('flute', held('C6', velocity), timeline, { role: 'foreground' }),
    partOf('oboe', held('G5', velocity), timeline),
    partOf('violin', held('E5', velocity), timeline),
    partOf('cello', held('C3', velocity), timeline),
    partOf('viola', middle, timeline),
  ];

  it('is told in forte, not in piano, and not where the viola fills it', () => {
    expect(rulesFor(...texture(110))).toContain('hole-between-parts');
    expect(rulesFor(...texture(40))).not.toContain('hole-between-parts');
    expect(rulesFor(...texture(110, held('C4', 110)))).not.toContain('hole-between-parts');
  });
});

describe('the harp has one pedal for each letter (K. Gehrkens 1914; N. Rimsky-Korsakov, ch. I)', () => {
  it('C sharp and C natural together are told, two notes of different letters are not', () => {
    expect(rulesFor(tune, partOf('harp', 'C4:0:4 C#5:0:4', timeline))).toContain('harp-pedals');
    expect(rulesFor(tune, partOf('harp', 'C4:0:4 Eb5:0:4', timeline))).not.toContain('harp-pedals');
  });
});

describe('a pair of timpani, F2-C3 and B flat 2-F3 (N. Rimsky-Korsakov, ch. I)', () => {
  it('D3 is had on the small drum alone, G2 on the large', () => {
    expect(drumsWith(midi('D3'), TIMPANI_PAIR)).toEqual([{ inches: 26, low: midi('Bb2'), high: midi('F3') }]);
    expect(drumsWith(midi('G2'), TIMPANI_PAIR)).toEqual([{ inches: 29, low: midi('F2'), high: midi('C3') }]);
  });
});

describe('divided strings (N. Rimsky-Korsakov, ch. I: divided by desks)', () => {
  // Twelve first violins are six desks: six lines can be divided among them, a seventh cannot.
  const chord = (count: number): string =>
    ['G3', 'D4', 'A4', 'E5', 'B5', 'F#6', 'C#7']
      .slice(0, count)
      .map((pitch) => `${pitch}:0:8`)
      .join(' ');

  it.each([
    [6, false],
    [7, true],
  ])('twelve violins divide into six lines: %i notes are too many: %s', (count, isTold) => {
    const violins = partOf('violin', chord(count), timeline, { players: 12 });
    expect(rulesFor(violins).includes('too-many-notes')).toBe(isTold);
  });
});

describe('what lies badly (worked figures)', () => {
  // A double tongue, everyday on the brass of today, is quicker by half and more (from memory).
  it('a tuba tongues nine to ten a second, twice as quick at most: eight are not told, eighteen are (contemporarytuba.com)', () => {
    const strokes = (perSecond: number): Part =>
      partOf(
        'tuba',
        Array.from({ length: 12 }, (_, index) => `C2:${index / perSecond}:${0.8 / perSecond}`).join(' '),
        timeline,
      );
    expect(rulesFor(tune, strokes(8))).not.toContain('repeated-notes');
    expect(rulesFor(tune, strokes(18))).toContain('repeated-notes');
  });

  it('a ninth is what a hand reaches, tenths are told (R. Boyle, R. Boyle and E. Booker, 473 adults)', () => {
    // Two of them: a single one is broken without a word (common practice, no source).
    const chord = (top: string): Part =>
      partOf('piano', [0, 4].map((at) => `C1:${at}:4 C3:${at}:4 ${top}:${at}:4`).join(' '), timeline);
    expect(rulesFor(chord('D4'))).not.toContain('hand-span');
    expect(rulesFor(chord('E4'))).toContain('hand-span');
  });
});
