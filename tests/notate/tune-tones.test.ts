import { describe, expect, it } from 'vitest';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';

/** Chords of a bar each, as `D4,F4,A4`; `-` is a bar of rest. */
function held(chords: string): string {
  return chords
    .split(' ')
    .flatMap((chord, bar) => (chord === '-' ? [] : chord.split(',').map((pitch) => `${pitch}:${String(4 * bar)}:4`)))
    .join(' ');
}

function quarters(pitches: string): string {
  return pitches
    .split(' ')
    .map((pitch, beat) => `${pitch}:${String(beat)}:1`)
    .join(' ');
}

function chordsIn(players: Readonly<Record<string, string>>, bars: number): readonly string[] {
  const timeline = timelineOf(bars);
  const parts = Object.entries(players).map(([instrument, music]) => partOf(instrument, music, timeline));
  const stage = { ...stageOf(parts, timeline), ensemble: { kind: 'chamber' as const, sure: true } };
  return notateStage(stage).chords.map(({ bar, symbol }) => `${String(bar)} ${symbol}`);
}

// What players call a chord is common practice, no source.
describe('a tone that nobody has but the tune on its way', () => {
  it('is none of a whole triad of the others', () => {
    const read = chordsIn(
      {
        violin: quarters('D5 E5 F5 A5 C6 C6 A5 F5 E5 D5 C#5 E5 D5 D5 D5 D5'),
        accordion: held('D4,F4,A4 D4,F4,A4 C#4,E4,A4 D4,F4,A4'),
        'double-bass': held('D2 D2 A1 D2'),
      },
      4,
    );
    expect(read).toEqual(['1 Dm', '3 A', '4 Dm']);
  });

  it('is the chord’s where another holds it too, or where the tune stays on it', () => {
    const read = (tune: string, chord: string) =>
      chordsIn(
        {
          violin: quarters(`D5 E5 F5 A5 ${tune} E5 D5 C#5 E5 D5 D5 D5 D5`),
          accordion: held(`D4,F4,A4 ${chord} C#4,E4,A4 D4,F4,A4`),
          'double-bass': held('D2 D2 A1 D2'),
        },
        4,
      ).join(', ');
    expect(read('C6 C6 A5 F5', 'C4,D4,F4,A4')).toContain('Dm7');
    expect(read('C6 C6 C6 C6', 'D4,F4,A4')).toContain('Dm7');
  });
});

describe('the third of a chord', () => {
  it('is that of the same root beside it, in its bar, where it has none itself', () => {
    const read = chordsIn(
      {
        flute: quarters('C#6 A5 F#5 A5 E6 C#6 A5 E5 D6 C#6 B5 D6 B5 B5 B5 B5'),
        guitar: held('F#3,C#4 F#3,C#4 B3,D4,F#4 B3,D4,F#4'),
        'double-bass': held('F#2 F#2 B1 B1'),
      },
      4,
    );
    expect(read.join(', ')).not.toMatch(/F#7|F#(?!m)/);
  });

  it('is the one that sounds: no A minor where others hold C sharp', () => {
    const read = chordsIn(
      {
        'voice-soprano': quarters('E5 D5 C5 D5 E5 D5 E5 E5 A4 A4 C5 E5 A4 A4 A4 A4'),
        organ: held('A3,C4,E4 A3,C#4,E4 A3,C4,E4 A3,C4,E4'),
        cello: held('A2 A2 A2 A2'),
      },
      4,
    );
    expect(read.find((chord) => chord.startsWith('2 '))).toBe('2 A');
  });
});

describe('a tune alone', () => {
  const spelled = quarters(
    'A5 C6 E6 C6 A5 E5 A5 C6 D6 F#6 A6 F#6 D6 C6 B5 A5 A5 C6 E6 A6 G6 E6 C6 A5 G5 B5 D6 G6 A5 A5 A5 A5',
  );

  it('of a whistle has no chords before somebody plays them', () => {
    const read = chordsIn({ 'tin-whistle': spelled, guitar: held('- - - - A3,C4,E4 A3,C4,E4 G3,B3,D4 A3,C4,E4') }, 8);
    expect(read).toEqual(['5 Am', '7 G', '8 Am']);
  });

  it('of a guitar may spell them out, and so may a piece for one wind', () => {
    const low = spelled.replaceAll(/(?<=[A-G]#?)[56](?=:)/g, (octave) => String(Number(octave) - 2));
    const bass = held('- - - - A2 A2 G2 A2');
    expect(chordsIn({ guitar: low, 'double-bass': bass }, 8)[0]).toMatch(/^[1-4] /);
    expect(chordsIn({ 'tin-whistle': spelled }, 8)).not.toEqual([]);
  });
});
