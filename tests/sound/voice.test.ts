/** The voice that plays a sketch: pitch, level and limit, measured on what it renders. */
import { describe, expect, it } from 'vitest';
import { kPowerGain } from '../../src/sound/k-weighting.ts';
import type { Sketch, SketchLine, SketchNote, Timbre } from '../../src/sound/sketch.ts';
import { packNumbers, packSketch, unpackNumbers, unpackSketch } from '../../src/sound/sketch-text.ts';
import { CEILING, limited, LOUDEST_LUFS, renderSketch, type Choice } from '../../src/sound/voice.ts';
import { TIMBRES } from '../../src/sound/waveform.ts';
import { kWeighted, loudness, METER_RATE } from './loudness.ts';

const ALL: Choice = { kind: 'all' };
const LEVEL_DB = 90;
const PITCHED = (Object.keys(TIMBRES) as Timbre[]).filter((timbre) => timbre !== 'noise');

function note(midi: number, start: number, end: number, changes: Partial<SketchNote> = {}): SketchNote {
  return { midi, start, end, levelDb: LEVEL_DB, isFront: false, ...changes };
}

function line(timbre: Timbre, notes: readonly SketchNote[], changes: Partial<SketchLine> = {}): SketchLine {
  return { part: 0, timbre, decayDbPerSecond: 0, shape: [], notes, ...changes };
}

function sketch(...lines: SketchLine[]): Sketch {
  const parts = ['Oboe', 'Horn', 'Harp'].map((name) => ({ id: name.toLowerCase(), name }));
  const bars = [0, 1, 2].map((number) => ({ number: number + 1, start: 2 * number, end: 2 * number + 2 }));
  return { stageId: 'stage-01', title: 'Test', order: 1, loudestDb: LEVEL_DB, bars, parts, lines };
}

function rendered(music: Sketch, seconds: number, choice = ALL, loudestDb = LEVEL_DB, from = 0): Float32Array {
  return renderSketch(music, choice, { from, length: Math.round(seconds * METER_RATE), rate: METER_RATE }, loudestDb);
}

/** Power at one frequency. */
function power(samples: Float32Array, hertz: number): number {
  let [cosine, sine] = [0, 0];
  samples.forEach((sample, index) => {
    const angle = (2 * Math.PI * hertz * index) / METER_RATE;
    cosine += sample * Math.cos(angle);
    sine += sample * Math.sin(angle);
  });
  return (cosine ** 2 + sine ** 2) / samples.length ** 2;
}

describe('the weighting of loudness', () => {
  // ITU-R BS.1770-5, annex 1: a full-scale sine of 997 Hz in one channel reads -3.01 LKFS.
  it('reads a full-scale sine of 997 Hz in one channel as -3.01 LKFS', () => {
    const sine = Float32Array.from({ length: METER_RATE }, (_, index) =>
      Math.sin((2 * Math.PI * 997 * index) / METER_RATE),
    );
    expect(loudness(kWeighted(sine), 0.2, 1)).toBeCloseTo(-3.01, 1);
    expect(-0.691 + 10 * Math.log10(kPowerGain(997) / 2)).toBeCloseTo(-3.01, 1);
  });

  it.each([40, 100, 400, 2000, 8000])('gives a sine of %i Hz the power that the filters give it', (hertz) => {
    const sine = Float32Array.from({ length: METER_RATE }, (_, index) =>
      Math.sin((2 * Math.PI * hertz * index) / METER_RATE),
    );
    expect(loudness(kWeighted(sine), 0.5, 1)).toBeCloseTo(-0.691 + 10 * Math.log10(kPowerGain(hertz) / 2), 1);
  });
});

describe('a note of the sketch', () => {
  it.each(PITCHED)('%s sounds at its pitch and not a quarter tone beside it', (timbre) => {
    // ISO 16: A4 is 440 Hz. The parts stand up to three cents apart.
    for (const [midi, hertz] of [
      [57, 220],
      [69, 440],
      [81, 880],
    ] as const) {
      const samples = rendered(sketch(line(timbre, [note(midi, 0, 0.5)])), 0.5).subarray(4800);
      expect(power(samples, hertz)).toBeGreaterThan(30 * power(samples, hertz * 2 ** (0.5 / 12)));
      expect(power(samples, hertz)).toBeGreaterThan(30 * power(samples, hertz * 2 ** (-0.5 / 12)));
    }
  });

  it.each(PITCHED)('%s is as loud as its level says, low or high', (timbre) => {
    for (const midi of [31, 43, 55, 67, 79, 91]) {
      const signal = kWeighted(rendered(sketch(line(timbre, [note(midi, 0, 1.5)])), 1.5));
      // One of the two channels that a mono sketch is heard from.
      expect(loudness(signal, 0.5, 1.4)).toBeCloseTo(LOUDEST_LUFS - 3.01, 0);
    }
  });

  it.each([36, 49])('drum %i is as loud as its level says, within 2 dB', (midi) => {
    const signal = kWeighted(rendered(sketch(line('noise', [note(midi, 0, 1.5)])), 1.5));
    expect(Math.abs(loudness(signal, 0.3, 1.4) - (LOUDEST_LUFS - 3.01))).toBeLessThan(2);
  });

  it('dies away by so many dB a second where it is struck, and follows its controllers', () => {
    const falls = kWeighted(rendered(sketch(line('struck', [note(60, 0, 3)], { decayDbPerSecond: 12 })), 3));
    expect(loudness(falls, 0.5, 0.6) - loudness(falls, 2.5, 2.6)).toBeCloseTo(24, 0);
    const shape = [
      { second: 0, db: -20 },
      { second: 2, db: 0 },
    ];
    const grows = kWeighted(rendered(sketch(line('bowed', [note(60, 0, 3)], { shape })), 3));
    expect(loudness(grows, 1.45, 1.55) - loudness(grows, 0.95, 1.05)).toBeCloseTo(5, 0);
    expect(loudness(grows, 2.4, 2.8)).toBeCloseTo(LOUDEST_LUFS - 3.01, 0);
  });
});

describe('what is heard', () => {
  const music = sketch(
    line('blown', [note(76, 0, 1, { isFront: true }), note(76, 1, 2)]),
    line('brass', [note(60, 0, 2)], { part: 1 }),
  );
  it('is the foreground, the background, a part alone, or all without it', () => {
    const heard = (choice: Choice, second: number): readonly boolean[] =>
      [659.26, 261.63].map((hertz) => power(rendered(music, 0.5, choice, LEVEL_DB, second), hertz) > 1e-6);
    expect(heard({ kind: 'all' }, 0.3)).toEqual([true, true]);
    expect(heard({ kind: 'front' }, 0.3)).toEqual([true, false]);
    expect(heard({ kind: 'front' }, 1.3)).toEqual([false, false]);
    expect(heard({ kind: 'back' }, 0.3)).toEqual([false, true]);
    expect(heard({ kind: 'back' }, 1.3)).toEqual([true, true]);
    expect(heard({ kind: 'alone', partId: 'horn' }, 0.3)).toEqual([false, true]);
    expect(heard({ kind: 'without', partId: 'horn' }, 0.3)).toEqual([true, false]);
  });

  it('is the same in whatever stretches it is rendered: no seam', () => {
    const whole = rendered(music, 2);
    for (const seconds of [0.1, 0.5]) {
      let worst = 0;
      for (let from = 0; from < 2 - 1e-9; from += seconds) {
        const piece = rendered(music, seconds, ALL, LEVEL_DB, from);
        const offset = Math.round(from * METER_RATE);
        piece.forEach((sample, index) => (worst = Math.max(worst, Math.abs(sample - whole[offset + index]!))));
      }
      expect(worst).toBeLessThan(1e-3);
    }
  });

  it('is never over half of full scale, however many notes at whatever level', () => {
    const crowd = Array.from({ length: 300 }, (_, index) => note(30 + (index % 60), 0, 1, { levelDb: LEVEL_DB + 30 }));
    const samples = rendered(sketch(line('brass', crowd), line('noise', [note(49, 0, 1, { levelDb: 300 })])), 0.5);
    expect(samples.every((sample) => Math.abs(sample) <= CEILING)).toBe(true);
    expect(limited(0.3)).toBe(0.3);
    expect(limited(-1e9)).toBe(-CEILING);
  });
});

describe('a sketch as text', () => {
  it('gives whole numbers back, small and large, below and over zero', () => {
    const numbers = [0, 1, -1, 15, 16, -16, 31, 32, 1023, -1024, 123456789, -987654321];
    expect(unpackNumbers(packNumbers(numbers))).toEqual(numbers);
  });

  it('keeps bars to a millisecond, notes to 5 ms and levels to half a decibel', () => {
    const shape = [
      { second: 0.5, db: -12.5 },
      { second: 2, db: 0 },
    ];
    const notes = [note(61, 0.123, 0.9, { isFront: true, levelDb: 71.3 }), note(40, 1.5, 1.502)];
    const music = sketch(line('sung', notes, { shape, part: 2, decayDbPerSecond: 6 }));
    const back = unpackSketch(packSketch(music));
    expect(back.bars).toEqual(music.bars);
    expect(back.parts).toEqual(music.parts);
    expect(back.lines[0]!.shape).toEqual(shape);
    back.lines[0]!.notes.forEach((one, index) => {
      const meant = notes[index]!;
      expect([one.midi, one.isFront]).toEqual([meant.midi, meant.isFront]);
      expect(Math.abs(one.start - meant.start)).toBeLessThanOrEqual(0.0026);
      expect(Math.abs(one.levelDb - meant.levelDb)).toBeLessThanOrEqual(0.26);
      expect(one.end).toBeGreaterThan(one.start);
    });
  });
});
