import { describe, expect, it } from 'vitest';
import type { Passage } from '../support/takes.ts';
import { countTakes } from '../support/takes.ts';

const THIRD = 1 / 3;

const DOTTED: Passage['bars'] = [
  [
    [0, 0.75],
    [0.75, 0.25],
    [1, 0.75],
    [1.75, 0.25],
    [2, 1],
    [3, 0.75],
    [3.75, 0.25],
  ],
  [
    [0, 1],
    [1, 0.75],
    [1.75, 0.25],
    [2, 2],
  ],
];
const THIRTY_SECONDS: Passage['bars'] = [
  [
    [0, 0.75],
    [0.75, 0.125],
    [0.875, 0.125],
    [1, 0.5],
    [1.5, 0.5],
    [2, 0.75],
    [2.75, 0.125],
    [2.875, 0.125],
    [3, 1],
  ],
  [
    [0, 0.5],
    [0.5, 0.125],
    [0.625, 0.125],
    [0.75, 0.25],
    [1, 1],
    [2, 2],
  ],
];
const SMALL_NOTES: Passage['bars'] = [
  [
    [0, 1],
    [1, 1, 'small'],
    [2, 0.5],
    [2.5, 0.5],
    [3, 1, 'small'],
  ],
  [
    [0, 2, 'small'],
    [2, 1],
    [3, 1],
  ],
];
const SMALL_NOTES_OF_AN_ALLEGRO: Passage['bars'] = [
  [
    [0, 0.5],
    [0.5, 0.5],
    [1, 1, 'small'],
    [2, 0.5],
    [2.5, 0.5],
    [3, 1, 'small'],
  ],
  [
    [0, 2],
    [2, 1, 'small'],
    [3, 1],
  ],
];
const TRIPLETS: Passage['bars'] = [
  [
    [0, THIRD],
    [THIRD, THIRD],
    [2 * THIRD, THIRD],
    [1, 0.5],
    [1.5, 0.5],
    [2, THIRD],
    [2 + THIRD, THIRD],
    [2 + 2 * THIRD, THIRD],
    [3, 1],
  ],
  [
    [0, 0.5],
    [0.5, 0.5],
    [1, THIRD],
    [1 + THIRD, THIRD],
    [1 + 2 * THIRD, THIRD],
    [2, 2],
  ],
];
const EIGHTHS: Passage['bars'] = [
  [
    [0, 0.5],
    [0.5, 0.5],
    [1, 0.5],
    [1.5, 0.5],
    [2, 1],
    [3, 0.5],
    [3.5, 0.5],
  ],
  [
    [0, 1],
    [1, 0.5],
    [1.5, 0.5],
    [2, 2],
  ],
];
const SYNCOPATION: Passage['bars'] = [
  [
    [0, 0.5],
    [0.5, 1],
    [1.5, 0.5],
    [2, 0.5],
    [2.5, 1],
    [3.5, 0.5],
  ],
  [
    [0, 0.25],
    [0.25, 0.5],
    [0.75, 0.25],
    [1, 1],
    [2, 0.5],
    [2.5, 1.5],
  ],
];
const SIXTY_FOURTHS: Passage['bars'] = [
  [
    [0, 0.5],
    [0.5, 0.25],
    [0.75, 0.125],
    [0.875, 0.0625],
    [0.9375, 0.0625],
    [1, 0.5],
    [1.5, 0.5],
    [2, 1],
    [3, 1],
  ],
  [
    [0, 0.75],
    [0.75, 0.0625],
    [0.8125, 0.0625],
    [0.875, 0.0625],
    [0.9375, 0.0625],
    [1, 1],
    [2, 2],
  ],
];

const PASSAGES: readonly Passage[] = [
  { name: 'dotted eighths', bars: DOTTED, tempo: 120, instrument: 'trumpet', held: 0.8 },
  { name: 'thirty-seconds of a theme', bars: THIRTY_SECONDS, tempo: 60, instrument: 'violin', held: 0.9 },
  { name: 'small notes', bars: SMALL_NOTES, tempo: 92, instrument: 'flute', held: 0.92 },
  { name: 'small notes of an allegro', bars: SMALL_NOTES_OF_AN_ALLEGRO, tempo: 126, instrument: 'oboe', held: 0.92 },
  { name: 'triplets beside eighths', bars: TRIPLETS, tempo: 100, instrument: 'clarinet-bflat', held: 0.92 },
  { name: 'swung eighths', bars: EIGHTHS, tempo: 144, instrument: 'sax-alto', held: 0.9, swing: 2 },
  { name: 'late eighths', bars: EIGHTHS, tempo: 100, instrument: 'piano', held: 0.85, offBeatLateMs: 35 },
  { name: 'syncopation', bars: SYNCOPATION, tempo: 108, instrument: 'violin', held: 0.9 },
  { name: 'staccato', bars: EIGHTHS, tempo: 112, instrument: 'bassoon', held: 0.5 },
  { name: 'sixty-fourths of a slow movement', bars: SIXTY_FOURTHS, tempo: 40, instrument: 'viola', held: 0.92 },
];
const TAKES = 6;
/** Of people who play to a click (common practice, no source). */
const SCATTER_MS = 12;

describe('a passage played again and again', () => {
  it.each(PASSAGES.map((passage) => [passage.name, passage] as const))(
    'is read as it was written in every take, but for a bar in a hundred: %s',
    (_, passage) => {
      const { bars, wrong, differing } = countTakes(passage, TAKES, SCATTER_MS);
      expect(wrong).toBeLessThanOrEqual(Math.ceil(bars / 100));
      expect(differing).toBeLessThanOrEqual(Math.ceil(bars / 100));
    },
  );
});
