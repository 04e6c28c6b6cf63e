import { describe, expect, it } from 'vitest';
import { Key, Note } from 'tonal';
import { classAt, className, fifthsOf, pitchClassOf, pitchName } from '../../src/model/music/pitch.ts';
import type { WrittenStage } from '../../src/model/music/written.ts';
import { TEMPLATES } from '../../src/notate/chords/chord-templates.ts';
import { printedSymbol } from '../../src/notate/chords/chords.ts';
import { chromaticPlace } from '../../src/notate/keys/line-of-fifths.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { romanNumeral } from '../../src/notate/chords/roman.ts';
import { ps13 } from '../../src/notate/spelling/spelling.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';

function written(music: string, bars: number, instrument = 'piano'): WrittenStage {
  const timeline = timelineOf(bars);
  return notateStage(stageOf([partOf(instrument, music, timeline)], timeline));
}

/** Chords as `C4,E4,G4`, one a bar of four quarters. */
function barsOf(chords: readonly string[]): string {
  return chords.flatMap((chord, bar) => chord.split(',').map((pitch) => `${pitch}:${String(4 * bar)}:4`)).join(' ');
}

describe('spelling', () => {
  it('the chromatic scale of F# minor has B# as its raised fourth and E# as its leading note', () => {
    const tonic = fifthsOf({ step: 'F', alter: 1 });
    const scale = Array.from({ length: 12 }, (_, above) => className(classAt(chromaticPlace((6 + above) % 12, tonic))));
    // The harmonic chromatic scale (Meredith 2006: 1 b2 2 b3 3 4 #4 5 b6 6 b7 7).
    expect(scale).toEqual(['F#', 'G', 'G#', 'A', 'A#', 'B', 'B#', 'C#', 'D', 'D#', 'E', 'E#']);
  });

  it('ps13 spells the C major scale with natural letters', () => {
    const chromas = [0, 2, 4, 5, 7, 9, 11, 12].map((semitones) => (semitones + 3) % 12);
    expect(ps13(chromas).map((place) => className(classAt(place)))).toEqual(['C', 'D', 'E', 'F', 'G', 'A', 'B', 'C']);
  });

  it('the dominant of G minor has F#, not Gb', () => {
    const stage = written(
      barsOf(['G3,Bb3,D4', 'C4,Eb4,G4', 'D4,Gb4,A4', 'G3,Bb3,D4', 'Eb4,G4,Bb4', 'D4,Gb4,A4', 'G3,Bb3,D4']),
      7,
    );
    const names = stage.parts[0]!.notes.map((note) => pitchName(note.pitch));
    expect(names).toContain('F#4');
    expect(names).not.toContain('Gb4');
    expect(names).toContain('Eb4');
  });

  // Where a chromatic note goes decides its letter (G. Read, Music Notation; Kostka and Payne, Tonal Harmony; from memory).
  it('a lower neighbour is written on the letter below: G F# G in C minor, B C# D in D minor', () => {
    const under = barsOf(['C3,Eb4,G4', 'F3,Ab4,C5', 'G3,B4,D5', 'C3,Eb4,G4']);
    const stage = written(`${under} G5:0:1 F#5:1:0.5 G5:1.5:2.5 C5:12:4`, 4);
    expect(stage.parts[0]!.notes.map((note) => pitchName(note.pitch))).toContain('F#5');
  });

  it('a chromatic passing note rises as a sharp and falls as a flat', () => {
    const under = barsOf(['C3,E4,G4', 'F3,A3,C4', 'G3,B3,D4', 'C3,E4,G4']);
    const names = (music: string): string[] =>
      written(`${under} ${music}`, 4).parts[0]!.notes.map((note) => pitchName(note.pitch));
    expect(names('C5:0:1 C#5:1:1 D5:2:1 E5:3:1')).toContain('C#5');
    expect(names('B5:0:1 Bb5:1:1 A5:2:1 G5:3:1')).toContain('Bb5');
  });

  // A flat ninth stands a ninth above its root, and who plays one pitch together reads one name (common practice, no source).
  it('the flat ninth over D7 in G major is an E flat for everybody; the third of B7 is a D sharp', () => {
    const timeline = timelineOf(9);
    const under = barsOf([
      'G3,B3,D4,F#4',
      'B2,D4,F#4,A4',
      'E3,G#3,B3,D4',
      'A3,C#4,E4,G4',
      'D3,F#4,C4',
      'F#3,A#3,C#4,E4',
      'B2,D#4,F#4,A4',
      'E3,G3,B3',
      'G3,B3,D4,F#4',
    ]);
    const parts = [
      partOf('piano', under, timeline),
      partOf('flute', 'A4:17:1 D#5:18:1 A4:19:1 B4:20:4', timeline),
      partOf('guitar', 'D#5:18:1 D#5:19:1 D5:20:4', timeline),
      partOf('clarinet-bflat', 'E5:17:1 D#5:18:1 D#5:26:1 E5:28:4', timeline),
    ];
    const names = notateStage(stageOf(parts, timeline))
      .parts.slice(1)
      .map(({ notes }) => notes.map(({ pitch }) => className(pitch)).join(' '));
    expect(names).toEqual(['A Eb A B', 'Eb Eb D', 'E Eb D# E']);
  });

  it('a chord has no letter twice: B beside the C of D7 in F major, though B flat follows', () => {
    const chords = barsOf(['F3,A3,C4', 'F#3,B3,C4,E4', 'F3,Bb3,D4,G4', 'E3,Bb3,C4,G4', 'F3,A3,C4,F4']);
    const names = written(`${chords} F2:0:4 D2:4:4 G2:8:4 C2:12:4 F2:16:4`, 5)
      .parts[0]!.notes.filter(({ start }) => start === 1920)
      .map((note) => pitchName(note.pitch));
    expect(names).toEqual(['D2', 'F#3', 'B3', 'C4', 'E4']);
  });

  it('the diminished seventh of the dominant is rooted on the raised fourth: F# A C Eb in C minor', () => {
    const stage = written(barsOf(['C3,Eb4,G4', 'Gb3,A3,C4,Eb4', 'G3,B3,D4', 'C3,Eb4,G4']), 4);
    const names = stage.parts[0]!.notes.filter((note) => note.start === 1920).map((note) => pitchName(note.pitch));
    expect(names).toEqual(['F#3', 'A3', 'C4', 'Eb4']);
  });

  it('the augmented sixth has a sharp, not the flat of a seventh: Ab C Eb F# in C minor', () => {
    const stage = written(barsOf(['C3,Eb4,G4', 'F3,Ab3,C4', 'Ab3,C4,Eb4,Gb4', 'G3,B3,D4,G4', 'C3,Eb4,G4']), 5);
    const names = stage.parts[0]!.notes.filter((note) => note.start === 3840).map((note) => pitchName(note.pitch));
    expect(names).toEqual(['Ab3', 'C4', 'Eb4', 'F#4']);
    expect(stage.chords[2]!.roman).toBe('Ger65');
  });

  it.each(['C', 'G', 'D', 'A', 'E', 'B', 'F', 'Bb', 'Eb', 'Ab', 'Db'])(
    'the scale and chords of %s major have the letters of the key (checked by tonal)',
    (tonic) => {
      const key = Key.majorKey(tonic);
      const root = Note.midi(`${tonic}4`)!;
      const steps = [0, 2, 4, 5, 7, 9, 11, 12, 11, 9, 7, 5, 4, 2, 0, 0];
      const name = (midi: number): string => Note.fromMidi(midi);
      const music = steps.map((step, index) => `${name(root + step)}:${String(index)}:1`).join(' ');
      const stage = written(music, 4);
      const spelled = new Set(stage.parts[0]!.notes.map((note) => className(note.pitch)));
      expect([...spelled].sort()).toEqual([...key.scale].sort());
      expect(className(stage.keys[0]!.tonic)).toBe(tonic);
      expect(stage.keys[0]!.mode).toBe('major');
      expect(stage.keys[0]!.fifths).toBe(key.alteration);
    },
  );
});

// Aldwell and Schachter, Harmony and Voice Leading (from memory): the six-four over a dominant belongs to it, in whatever degree.
describe('the six-four over a dominant', () => {
  const romans = (chords: readonly string[]): readonly string[] =>
    written(barsOf(chords), chords.length).chords.map(({ roman }) => roman);

  it('of another degree is named by that degree: Am over E, E7, Am in C major', () => {
    const chords = ['C3,E4,G4,C5', 'F3,A3,C4', 'G3,B3,D4', 'E3,A3,C4,E4', 'E3,G#3,B3,D4', 'A2,A3,C4,E4', 'D3,A3,D4,F4'];
    const named = romans([...chords, 'G3,B3,D4,F4', 'C3,E4,G4,C5']);
    expect(named[3]).toBe('V(64)/vi');
    expect(named[4]).toBe('V7/vi');
  });

  it('is none where the bass lies still under a neighbour: C, F over C, C', () => {
    const named = romans(['C3,E4,G4', 'C3,F4,A4', 'C3,E4,G4', 'G3,B3,D4,F4', 'C3,E4,G4']);
    expect(named[1]).toBe('IV64');
  });

  it('is none on a weaker beat than the dominant: an arpeggio that reaches the fifth', () => {
    const music = 'C3:0:3 E4:0:4 G4:0:4 G2:3:1 C4:3:1 G2:4:4 B3:4:4 D4:4:4 F4:4:4 C3:8:4 E4:8:4 G4:8:4';
    const stage = written(music, 3);
    expect(stage.chords.map(({ quality }) => quality)).not.toContain('cadential-six-four');
  });
});

it('an augmented sixth is named in the key whose dominant it goes to', () => {
  // Bb major; Gb Bb Db E goes to Bb over F (Kostka and Payne, Tonal Harmony, from memory).
  const chords = [
    'Bb2,D4,F4,Bb4',
    'Eb3,G3,Bb3',
    'F3,A3,C4,Eb4',
    'Bb2,D4,F4',
    'Gb3,Bb3,Db4,E4',
    'F3,Bb3,D4,F4',
    'F3,A3,C4,Eb4',
    'Bb2,D4,F4',
  ];
  const stage = written(barsOf(chords), chords.length);
  expect(stage.chords[4]!.roman).toBe('Ger65');
});

describe('keys', () => {
  it('a stated key is taken at its word', () => {
    const timeline = timelineOf(4);
    const part = partOf('piano', barsOf(['C4,E4,G4', 'G3,B3,D4', 'C4,E4,G4', 'C4,E4,G4']), timeline);
    const stated = [{ fromBar: 1, tonic: { step: 'A', alter: 0 }, mode: 'minor', by: 'settings' }] as const;
    const [key] = notateStage(stageOf([part], timeline, { statedKeys: stated })).keys;
    expect(key).toMatchObject({ from: 1, to: 4, mode: 'minor', fifths: 0, confidence: 1, by: 'settings' });
  });

  it('the C major that files carry by default gives way to notes that clearly speak for another key', () => {
    const timeline = timelineOf(8);
    const music = barsOf([
      'E4,G#4,B4',
      'A3,C#4,E4',
      'B3,D#4,F#4',
      'E4,G#4,B4',
      'C#4,E4,G#4',
      'A3,C#4,E4',
      'B3,D#4,F#4',
      'E4,G#4,B4',
    ]);
    const stated = [{ fromBar: 1, tonic: { step: 'C', alter: 0 }, mode: 'major', by: 'file' }] as const;
    const stage = notateStage(stageOf([partOf('piano', music, timeline)], timeline, { statedKeys: stated }));
    expect(stage.keys[0]!.fifths).toBe(4);
    expect(stage.remarks.join(' ')).toContain('E major');
  });

  // Common practice, no source: in bars of ii7, V7 and I every dominant seventh has the F natural that G major has not.
  it('a tune over ii-V-I in C that dwells on D and B is in C, whatever its pitches count; the signature is empty', () => {
    const chords = ['D3,F3,A3,C4', 'G2,B3,D4,F4', 'C3,E3,G3,B3', 'A2,C#4,E4,G4'];
    const turn = [...chords, ...chords.slice(0, 2), 'E3,G3,B3,D4', 'A2,C#4,E4,G4'];
    const tune = Array.from({ length: 16 }, (_, bar) => `D5:${String(4 * bar)}:2 B4:${String(4 * bar + 2)}:2`).join(
      ' ',
    );
    const stage = written(`${barsOf([...turn, ...turn])} ${tune}`, 16);
    expect(stage.keys.map(({ tonic, mode, fifths }) => [className(tonic), mode, fifths])).toEqual([['C', 'major', 0]]);
    expect(stage.chords.slice(0, 3).map((chord) => chord.roman)).toEqual(['ii7', 'V7', 'Imaj7']);
  });

  it('no notes, no confidence', () => {
    const timeline = timelineOf(2);
    expect(notateStage(stageOf([], timeline)).keys[0]!.confidence).toBe(0);
  });
});

describe('chords', () => {
  it.each([
    ['G3,C4,E4,G4', 'C/G'],
    ['F#3,A3,D4,A4', 'D/F#'],
    ['G3,Bb3,D4,F4', 'Gm7'],
    ['B3,D4,F4', 'Bdim'],
    ['A3,C#4,E4,G4', 'A7'],
    ['E3,A3,B3,E4', 'Esus4'],
    ['C4,E4,G4,B4', 'Cmaj7'],
  ])('%s is %s', (pitches, symbol) => {
    expect(written(barsOf([pitches, pitches]), 2).chords.map((chord) => chord.symbol)).toEqual([symbol]);
  });

  // Chords on C as textbooks spell them (S. Kostka and D. Payne, Tonal Harmony, on triads and seventh chords; lead-sheet chords: common practice).
  it.each([
    ['', 'C E G'],
    ['m', 'C Eb G'],
    ['dim', 'C Eb Gb'],
    ['aug', 'C E G#'],
    ['sus4', 'C F G'],
    ['7', 'C E G Bb'],
    ['maj7', 'C E G B'],
    ['m7', 'C Eb G Bb'],
    ['m7b5', 'C Eb Gb Bb'],
    ['dim7', 'C Eb Gb Bbb'],
    ['6', 'C E G A'],
    ['m6', 'C Eb G A'],
    ['7sus4', 'C F G Bb'],
    ['mMaj7', 'C Eb G B'],
  ])('C%s is spelled %s', (suffix, names) => {
    const found = TEMPLATES.find(({ root, quality }) => root === 0 && quality.suffix === suffix)!;
    const spelled = found.quality.fifths.map((place) => classAt(place));
    expect(spelled.map(className)).toEqual(names.split(' '));
    expect(spelled.map(pitchClassOf)).toEqual(found.quality.intervals);
  });

  it('a degree keeps its letter however many signs lie between: A double sharp in C flat is a raised sixth', () => {
    const { quality } = TEMPLATES[0]!;
    const key = { tonic: { step: 'C', alter: -1 }, mode: 'major' } as const;
    expect(romanNumeral({ root: { step: 'A', alter: 2 }, quality, inversion: 0 }, key, undefined)).toBe('###VI');
    expect(romanNumeral({ root: { step: 'F', alter: 0 }, quality, inversion: 0 }, key, undefined)).toBe('#IV');
  });

  it('a passing note does not change the chord', () => {
    const music = `${barsOf(['C3,E3,G3', 'C3,E3,G3'])} C5:0:1 D5:1:0.5 E5:1.5:0.5 F5:2:0.5 G5:2.5:1.5 A5:4:0.5 G5:4.5:1.5 E5:6:2`;
    expect(written(music, 2).chords.map((chord) => chord.symbol)).toEqual(['C']);
  });

  it('a cadence in D minor reads iv, V7, i', () => {
    const stage = written(barsOf(['D3,F3,A3', 'G3,Bb3,D4', 'A3,C#4,E4,G4', 'D3,F3,A3']), 4);
    expect(stage.chords.map((chord) => chord.roman)).toEqual(['i', 'iv', 'V7', 'i']);
    expect(pitchClassOf(stage.chords[2]!.root)).toBe(9);
  });

  it('the six-four over the dominant counts as the dominant that it resolves into (Aldwell and Schachter, from memory)', () => {
    const stage = written(barsOf(['C3,E3,G3,C4', 'F3,A3,C4', 'G2,E3,G3,C4', 'G2,D3,G3,B3', 'C3,E3,G3,C4']), 5);
    expect(stage.chords.map(({ symbol, roman }) => `${symbol} ${roman}`)).toEqual([
      'C I',
      'F IV',
      'C/G V(64)',
      'G V',
      'C I',
    ]);
    expect(stage.chords[2]).toMatchObject({ root: { step: 'G' }, bass: { step: 'G' }, tones: [7, 0, 4] });
  });

  it('a tonic over its fifth that does not go to the dominant stays a tonic', () => {
    const stage = written(barsOf(['C3,E3,G3,C4', 'F3,A3,C4', 'G2,E3,G3,C4', 'F2,F3,A3,C4', 'C3,E3,G3,C4']), 5);
    expect(stage.chords[2]).toMatchObject({ symbol: 'C/G', roman: 'I64', root: { step: 'C' }, inversion: 2 });
  });

  it('inversions have their figures, and a dominant of the dominant its name', () => {
    const stage = written(
      barsOf(['C3,E3,G3,C4', 'F#3,A3,C4,D4', 'G3,B3,D4', 'F3,G3,B3,D4', 'E3,G3,C4', 'C3,E3,G3,C4']),
      6,
    );
    expect(stage.chords.map((chord) => chord.roman)).toEqual(['I', 'V65/V', 'V', 'V42', 'I6', 'I']);
  });

  it('a diminished seventh is rooted on the leading note of the chord that follows', () => {
    const stage = written(barsOf(['A3,C4,E4', 'B3,D4,F4,G#4', 'A3,C4,E4', 'D4,F4,A4', 'E3,G#3,B3,D4', 'A3,C4,E4']), 6);
    expect(stage.chords[1]).toMatchObject({ root: { step: 'G', alter: 1 }, roman: 'viio65' });
  });

  it('a bass is spelled as a tone of its chord: A flat minor stands over C flat', () => {
    const music = barsOf(['Eb3,G3,Bb3', 'Ab2,C4,Eb4', 'B2,Ab3,Eb4', 'Bb2,G3,Eb4', 'Bb2,Ab3,D4,F4', 'Eb3,G3,Bb3']);
    const symbols = written(music, 6).chords.map((chord) => chord.symbol);
    expect(symbols).toContain('Abm/Cb');
  });

  it('a mozartean broken bass is one chord a half bar, named by its lowest note (K. 545, bars 1 and 2)', () => {
    const broken = (tones: readonly string[], start: number): string =>
      [0, 1, 2, 3].map((step) => `${tones[[0, 2, 1, 2][step]!]!}:${String(start + step / 2)}:0.5`).join(' ');
    const c = ['C4', 'E4', 'G4'];
    const g = ['D4', 'F4', 'G4'];
    const left = [c, c, g, c, c, c].map((tones, half) => broken(tones, 2 * half)).join(' ');
    const tune = 'C5:0:2 E5:2:1 G5:3:1 B4:4:1.5 C5:5.5:0.25 D5:5.75:0.25 C5:6:1 C5:8:2 E5:10:2';
    expect(written(`${left} ${tune}`, 3).chords.map((chord) => chord.symbol)).toEqual(['C', 'G7/D', 'C']);
  });

  it.each([
    ['a scale alone', 'C4:0:1 D4:1:1 E4:2:1 F4:3:1 G4:4:1 A4:5:1 B4:6:1 C5:7:1', 0],
    ['a chord spelled out', 'C4:0:1 E4:1:1 G4:2:1 C5:3:1 G4:4:1 E4:5:1 C4:6:1 E4:7:1', 1],
  ])('%s has as many symbols as it spells chords out', (_, music, count) => {
    expect(written(music, 2, 'flute').chords).toHaveLength(count);
  });

  it('are printed with signs', () => {
    expect(['Bbm7', 'D/F#', 'Bm7b5', 'Eb/Bb', 'C#dim7'].map(printedSymbol)).toEqual([
      'B♭m7',
      'D/F♯',
      'Bm7♭5',
      'E♭/B♭',
      'C♯dim7',
    ]);
  });

  it('a single line on one pitch class has none', () => {
    expect(written('A4:0:4 A4:4:4', 2, 'flute').chords).toEqual([]);
  });
});
