/** The tune of a sketch that is given to another part leads there (common practice, no source). */
import { describe, expect, it } from 'vitest';
import { assemble } from '../../src/assemble/assemble.ts';
import type { Stage } from '../../src/model/music/arrangement.ts';
import { rawFolder, rawStage } from './raw-folder.ts';

const BARS = 8;
/** Bars of four quarters in which these pitches follow each other, all of a length but the last, which fills its bar. */
function line(octave: number, length: number, bars: readonly string[]): string {
  return bars
    .flatMap((steps, bar) =>
      Array.from(steps).map((step, at) => {
        const own = at === steps.length - 1 ? 4 - at * length : length;
        return `${step}${String(octave)}:${String(4 * bar + at * length)}:${String(own)}`;
      }),
    )
    .join(' ');
}
const tune = (octave: number): string => line(octave, 1, ['CEG', 'AGE', 'FD', 'ECD', 'GEC', 'BAG', 'FED', 'DBC']);
/** A line above it that height, movement and strength speak for. */
const livelier = line(5, 0.5, ['GABAG', 'EFGEC', 'ABAGFA', 'GFEG', 'EGAGFE', 'DEFGB', 'AGFED', 'EGE']);
const chords = Array.from(
  { length: BARS },
  (_, bar) => `C3:${4 * bar}:2 G3:${4 * bar}:2 C3:${4 * bar + 2}:2 G3:${4 * bar + 2}:2`,
).join(' ');

type Track = Parameters<typeof rawStage>[1]['tracks'][number];

function lastOf(first: readonly Track[], second: readonly Track[]): Stage {
  const stages = [rawStage('01 sketch', { tracks: first }), rawStage('02 score', { tracks: second })];
  return assemble(rawFolder(stages), { folderName: 'a folder' }).stages[1]!;
}
const leaders = ({ foreground, parts }: Stage): readonly string[] =>
  foreground.map(({ partId }) => parts.find(({ id }) => id === partId)!.name);

const sketch = [
  { name: 'Violin', music: tune(5) },
  { name: 'Piano', music: chords },
];

describe('a tune that the violin of the sketch leaves to the cello', () => {
  const flute = { name: 'Flute', music: livelier };
  const cello = { name: 'Cello', music: tune(3) };

  it('leads there, though a flute plays livelier above it', () => {
    expect(leaders(lastOf(sketch, [flute, cello, sketch[1]!]))).toEqual(['Cello']);
  });

  it('does not where no stage before says what the tune is, nor where the violin goes on with it', () => {
    expect(leaders(lastOf([sketch[1]!], [flute, cello]))).toEqual(['Flute']);
    expect(leaders(lastOf(sketch, [flute, sketch[0]!, cello]))).not.toContain('Cello');
  });

  it('is asked about where another is as sure to lead: a singer who has words over it', () => {
    const singer = { name: 'Voice', music: livelier, lyrics: 6 * BARS };
    const stage = lastOf(sketch, [singer, cello]);
    expect(stage.foreground.map(({ weak }) => weak)).toEqual([true]);
    expect(stage.questions[0]?.text).toContain('it may be “Voice” or “Cello”');
  });
});
