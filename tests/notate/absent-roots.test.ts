import { describe, expect, it } from 'vitest';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';

/** Chords of four beats, a bar each, as the words `pitch:start:length` of a part. */
function held(chords: readonly string[]): string {
  return chords.flatMap((chord, bar) => chord.split(',').map((pitch) => `${pitch}:${String(4 * bar)}:4`)).join(' ');
}

function symbols(chords: readonly string[], style: 'classical' | 'jazz' | 'score' = 'score'): readonly string[] {
  const timeline = timelineOf(chords.length);
  const stage = { ...stageOf([partOf('piano', held(chords), timeline)], timeline), style };
  return notateStage(stage).chords.map(({ symbol }) => symbol);
}

describe('a complete triad is what it is, and no chord on a root that nobody sounds (common practice, no source)', () => {
  it('D, F sharp and A between B minor and E minor are D', () => {
    const read = symbols([
      'B2,F#3,B3,D4',
      'D3,A3,D4,F#4',
      'E3,B3,E4,G4',
      'B2,F#3,B3,D4',
      'D3,A3,D4,F#4',
      'B2,F#3,B3,D4',
    ]);
    expect(read.join(' ')).not.toContain('Bm7');
    expect(read[1]).toBe('D');
  });

  it('B flat, D and F over the bass B flat are B flat, whatever was before', () => {
    expect(symbols(['C3,E3,G3,C4', 'Bb2,Bb3,D4,F4', 'A2,E3,A3,C#4', 'D3,A3,D4,F4']).join(' ')).not.toContain('Em7');
  });

  it('B, D and F between chords of C are the triad on the leading note, with G its dominant seventh', () => {
    const between = (chord: string): string | undefined => symbols(['C3,E3,G3,C4', chord, 'C3,E3,G3,C4'])[1];
    expect(between('D3,F3,B3,D4')).toMatch(/^B(?:dim|°)/u);
    expect(between('D3,F3,G3,B3')).toMatch(/^G7/u);
  });

  it('a seventh chord that has its root stays one', () => {
    expect(symbols(['A2,G3,C4,E4', 'D3,F3,A3,C4', 'G2,F3,B3,D4', 'C3,E3,G3,C4'])).toEqual(['Am7', 'Dm7', 'G7', 'C']);
  });
});
