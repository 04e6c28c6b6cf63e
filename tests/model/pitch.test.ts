import { describe, expect, it } from 'vitest';
import {
  classAt,
  className,
  classNamed,
  fifthsOf,
  frequencyHz,
  midiOf,
  parsePitch,
  pitchClassOf,
  pitchName,
  plainSpelling,
  transpose,
} from '../../src/model/music/pitch.ts';

const pitch = (text: string) => parsePitch(text)!;

describe('pitches', () => {
  // MIDI 1.0 numbers middle C 60 and reaches from 0 to 127; the letter decides the octave (scientific pitch notation, R. W. Young 1939).
  it.each([
    ['C4', 60],
    ['A4', 69],
    ['Cb4', 59],
    ['B#3', 60],
    ['C-1', 0],
    ['G9', 127],
    ['Bbb3', 57],
    ['Fx4', 67],
  ])('%s is key %i', (name, key) => {
    expect(midiOf(pitch(name))).toBe(key);
  });

  it('are read with signs of any kind, in small letters too', () => {
    expect(['b♭3', ' F♯4 ', 'ebb2'].map((text) => pitchName(pitch(text)))).toEqual(['Bb3', 'F#4', 'Ebb2']);
  });

  it.each(['', 'C', '4', '♭4', 'H4', 'C-', 'C4.5', 'C###4', 'C♭♭4'])('“%s” is none', (text) => {
    expect(parsePitch(text)).toBeUndefined();
  });

  it('without a key are spelled with E flat, A flat, B flat, F sharp and C sharp', () => {
    const octave = Array.from({ length: 12 }, (_, above) => pitchName(plainSpelling(60 + above)));
    expect(octave.join(' ')).toBe('C4 C#4 D4 Eb4 E4 F4 F#4 G4 Ab4 A4 Bb4 B4');
  });

  // ISO 16 fixes A4 at 440 Hz; middle C in equal temperament is 261.626 Hz.
  it('have the frequencies of equal temperament', () => {
    expect(frequencyHz(69)).toBe(440);
    expect(frequencyHz(60)).toBeCloseTo(261.626, 3);
    expect(frequencyHz(57)).toBe(220);
  });

  it('stand on the line of fifths in the order of the sharps', () => {
    const names = Array.from({ length: 15 }, (_, at) => className(classAt(at - 7)));
    expect(names.join(' ')).toBe('Cb Gb Db Ab Eb Bb F C G D A E B F# C#');
    expect(names.map((name) => fifthsOf(classNamed(name)))).toEqual(names.map((_, at) => at - 7));
    expect(pitchClassOf(classNamed('Cb'))).toBe(11);
  });

  // Intervals of the instruments: clarinets in B flat and A, horn in F, alto saxophone, piccolo.
  it.each([
    ['D5', -1, -2, 'C5'],
    ['C#5', -2, -3, 'A#4'],
    ['B4', -4, -7, 'E4'],
    ['F#4', -5, -9, 'A3'],
    ['Cb5', 7, 12, 'Cb6'],
    ['E#4', 1, 2, 'Fx4'],
  ])('%s moved by %i steps and %i semitones is %s', (from, steps, semitones, to) => {
    expect(transpose(pitch(from), steps, semitones)).toEqual(pitch(to));
  });
});
