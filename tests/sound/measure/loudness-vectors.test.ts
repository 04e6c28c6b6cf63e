/**
 * The meter on the signals of EBU Tech 3341 (2023) and 3342 as they can be synthesised: a sine of 1 kHz in both channels unless said, levels in dBFS of its peak.
 * Cases 7, 8 and 20 to 23 are files of the EBU and not at hand.
 */
import { describe, expect, it } from 'vitest';
import { integrated, lufs } from '../../../src/sound/measure/loudness.ts';
import { kSquares } from '../../../src/sound/measure/k-filter.ts';
import { stepPowers } from '../../../src/sound/measure/step-powers.ts';
import { loudnessRange, momentary, shortTerm } from '../../support/loudness-windows.ts';

const RATE = 48000;
/** One second of a sine of 1 kHz at full scale; any whole millisecond of it begins like the first. */
const SINE = Float32Array.from({ length: RATE }, (_, index) => Math.sin((2 * Math.PI * (index % 48)) / 48));

type Stretch = readonly [seconds: number, level: number | readonly number[]];

/** Weighted powers of stretches one after another; a list gives each of five channels its level. */
function steps(stretches: readonly Stretch[], channelCount = 2): Float32Array {
  const meter = stepPowers(RATE, channelCount);
  for (const [seconds, level] of stretches) {
    const channels = Array.from({ length: channelCount }, (_, channel) => {
      const db = typeof level === 'number' ? level : (level[channel] ?? 0);
      const gain = 10 ** (db / 20);
      return SINE.map((sample) => sample * gain);
    });
    for (let left = Math.round(seconds * RATE); left > 0; left -= RATE)
      meter.add(channels.map((samples) => samples.subarray(0, Math.min(left, RATE))));
  }
  return meter.taken();
}

const SILENCE = -400;
const TOLERANCE = 0.1;

function expectLevel(found: number | undefined, expected: number): void {
  expect(found).toBeGreaterThan(expected - TOLERANCE);
  expect(found).toBeLessThan(expected + TOLERANCE);
}

describe('loudness of a programme', () => {
  it.each<readonly [number, readonly Stretch[], number]>([
    [1, [[20, -23]], -23],
    [2, [[20, -33]], -33],
    [
      3,
      [
        [10, -36],
        [60, -23],
        [10, -36],
      ],
      -23,
    ],
    [
      4,
      [
        [10, -72],
        [10, -36],
        [60, -23],
        [10, -36],
        [10, -72],
      ],
      -23,
    ],
    [
      5,
      [
        [20, -26],
        [20.1, -20],
        [20, -26],
      ],
      -23,
    ],
  ])('case %i of Tech 3341', (_, stretches, expected) => {
    expectLevel(integrated(steps(stretches)), expected);
  });

  it('case 6: five channels, the surrounds weigh more', () => {
    expectLevel(integrated(steps([[20, [-28, -28, -24, -30, -30]]], 5)), -23);
  });

  it('cases 1 and 2 hold for the momentary and the short-term loudness too', () => {
    const powers = steps([[20, -33]]);
    for (const levels of [momentary(powers), shortTerm(powers)]) expectLevel(levels.at(-1), -33);
  });

  it('of nothing is nothing', () => {
    expect(integrated(steps([[5, SILENCE]]))).toBeUndefined();
    expect(integrated(new Float32Array(0))).toBeUndefined();
  });
});

describe('short-term loudness', () => {
  it('case 9: a pattern of 3 s reads the same wherever it is looked at', () => {
    const pattern = Array.from({ length: 5 }, (): Stretch[] => [
      [1.34, -20],
      [1.66, -30],
    ]).flat();
    for (const level of shortTerm(steps(pattern))) expectLevel(level, -23);
  });

  it('cases 10 and 11: its highest value is found wherever a stretch of 3 s begins', () => {
    for (let index = 0; index < 20; index++) {
      expectLevel(
        Math.max(
          ...shortTerm(
            steps([
              [index * 0.15, SILENCE],
              [3, -23],
              [1, SILENCE],
            ]),
          ),
        ),
        -23,
      );
      expectLevel(
        Math.max(
          ...shortTerm(
            steps([
              [index * 0.15, SILENCE],
              [3, -38 + index],
              [3 - index * 0.15, SILENCE],
            ]),
          ),
        ),
        -38 + index,
      );
    }
  });
});

describe('momentary loudness', () => {
  it('case 12: a pattern of 400 ms reads the same wherever it is looked at', () => {
    const pattern = Array.from({ length: 25 }, (): Stretch[] => [
      [0.18, -20],
      [0.22, -30],
    ]).flat();
    for (const level of momentary(steps(pattern)).slice(60)) expectLevel(level, -23);
  });

  it('cases 13 and 14: its highest value is found wherever a stretch of 400 ms begins', () => {
    for (let index = 0; index < 20; index++) {
      expectLevel(
        Math.max(
          ...momentary(
            steps([
              [index * 0.02, SILENCE],
              [0.4, -23],
              [1, SILENCE],
            ]),
          ),
        ),
        -23,
      );
      expectLevel(
        Math.max(
          ...momentary(
            steps([
              [index * 0.02, SILENCE],
              [0.4, -38 + index],
              [0.4 - index * 0.02, SILENCE],
            ]),
          ),
        ),
        -38 + index,
      );
    }
  });
});

describe('loudness range', () => {
  it.each([
    [1, [-20, -30], 10],
    [2, [-20, -15], 5],
    [3, [-40, -20], 20],
    [4, [-50, -35, -20, -35, -50], 15],
  ])('case %i of Tech 3342', (_, levels, expected) => {
    const range = loudnessRange(steps(levels.map((level) => [20, level] as const)));
    expect(Math.abs(range - expected)).toBeLessThan(1);
  });
});

describe('the weighting', () => {
  // ITU-R BS.1770-5, annex 1: a sine of 997 Hz at full scale in one front channel reads -3.01 LKFS.
  it.each([22050, 32000, 44100, 48000, 88200, 96000, 192000])('at %i samples a second, 997 Hz read -3.01', (rate) => {
    const sine = Float32Array.from({ length: 2 * rate }, (_, index) => Math.sin((2 * Math.PI * 997 * index) / rate));
    const squares = kSquares(rate);
    squares(sine, 0, rate);
    expect(Math.abs(lufs(squares(sine, rate, 2 * rate) / rate) + 3.01)).toBeLessThan(0.03);
  });
});
