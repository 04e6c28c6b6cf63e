import { describe, expect, it } from 'vitest';
import { Chord, Key, Note } from 'tonal';
import { className, pitchClassOf, pitchName } from '../../src/model/pitch.ts';
import type { WrittenStage } from '../../src/model/written.ts';
import { TEMPLATES } from '../../src/notate/chord-templates.ts';
import { printedSymbol } from '../../src/notate/chords.ts';
import { chromaticPlace, classAt, fifthsOf } from '../../src/notate/line-of-fifths.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { ps13 } from '../../src/notate/spelling.ts';
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

  it('the templates have the tones that tonal knows under the same symbols', () => {
    for (const template of TEMPLATES.filter((item) => item.root === 0)) {
      const tones = Chord.get(`C${template.quality.suffix}`).notes.map((name) => Note.chroma(name));
      expect(tones).toEqual(template.quality.intervals);
    }
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
