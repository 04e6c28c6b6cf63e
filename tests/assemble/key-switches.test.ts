import { describe, expect, it } from 'vitest';
import { setSwitchesAside } from '../../src/assemble/tracks/key-switches.ts';
import type { PlacedNote } from '../../src/assemble/tracks/group-parts.ts';
import { instrumentById } from '../../src/model/music/catalogue.ts';
import { rawNotes } from './raw-folder.ts';

function notes(text: string): PlacedNote[] {
  return rawNotes(text).map((note) => ({
    midi: note.midi,
    velocity: note.velocity,
    startQuarters: note.startTick / 480,
    endQuarters: note.endTick / 480,
  }));
}

function switchesOf(instrument: string, ...tracks: string[]): number[] {
  return setSwitchesAside(tracks.map(notes), instrumentById(instrument)).switches.map(({ note }) => note.midi);
}

const LINE = 'G4:0:1 A4:1:1 B4:2:1 C5:3:1 D5:8:1 C5:9:1 B4:10:2 A4:16:4';

describe('key switches are set aside', () => {
  it.each([
    ['held under the line from just before it', `C1:0:4 ${LINE}`],
    ['tapped just before each phrase', `C1:0:0.1 D1:7.9:0.1 C1:15.9:0.1 ${LINE}`],
    ['short, an eighth before each phrase', `D1:7.5:0.25 C1:15.5:0.25 ${LINE}`],
    ['a sixteenth that reaches to the phrase', `D1:7.75:0.25 C1:15.75:0.25 ${LINE}`],
    ['struck together with the first note of a phrase', `C0:0:0.25 D0:8:0.25 E0:16:0.25 ${LINE}`],
    ['one at the start, bars before the music', 'C1:0:0.25 G4:8:1 A4:9:1 B4:10:1'],
  ])('%s', (_, music) => {
    const found = switchesOf('violin', music);
    expect(found).toHaveLength(notes(music).filter((note) => note.midi < 48).length);
  });

  it('high ones of a double bass', () => {
    expect(switchesOf('double-bass', 'C7:0:0.2 E2:0:2 A1:2:2 C7:3.9:0.1 D2:4:4')).toEqual([96, 96]);
  });

  it.each([
    ['violin', 'C1:3.75:0.125 F1:7.75:0.125 C1:11.75:0.125', 'G4:0:3.7 A4:4:3.7 B4:8:3.7 C5:12:4'],
    ['viola', 'C1:3.75:0.125 F1:7.75:0.125 C1:11.75:0.125', 'D4:0:3.7 E4:4:3.7 F4:8:3.7 G4:12:4'],
    ['cello', 'C0:3.75:0.125 F0:7.75:0.125 C0:11.75:0.125', 'G2:0:3.7 A2:4:3.7 B2:8:3.7 C3:12:4'],
    ['double-bass', 'C-1:3.75:0.125 E-1:7.75:0.125', 'G1:0:3.7 A1:4:3.7 B1:8:4'],
    ['clarinet-bflat', 'C1:3.75:0.125 D1:7.75:0.125', 'G4:0:3.7 A4:4:3.7 B4:8:4'],
    ['bassoon', 'C0:3.75:0.125 D0:7.75:0.125', 'G2:0:3.7 A2:4:3.7 B2:8:4'],
    ['horn-f', 'C0:3.75:0.125 D0:7.75:0.125', 'G3:0:3.7 A3:4:3.7 B3:8:4'],
    ['tuba', 'C0:3.75:0.125 D0:7.75:0.125', 'G1:0:3.7 A1:4:3.7 B1:8:4'],
  ])('inside the music of a %s, in the short gap between two long notes', (instrument, switches, line) => {
    expect(switchesOf(instrument, `${switches} ${line}`)).toHaveLength(switches.split(' ').length);
  });

  it('several pressed together', () => {
    expect(switchesOf('trumpet-bflat', 'C1:3.9:0.1 D1:3.9:0.1 C2:3.9:0.1 C5:0:3.8 D5:4:4 C1:7.9:0.1 E5:8:4')).toEqual([
      24, 26, 36, 24,
    ]);
  });

  it('that other parts are switched by too, short and in time with the line', () => {
    const cello = notes('C2:0:0.3 C2:0.5:0.3 D1:0.75:0.13 C2:1:0.3 C2:1.5:0.3 G2:2:0.5 C2:2.5:0.5');
    const found = (elsewhere: readonly number[]): number[] =>
      setSwitchesAside([cello], instrumentById('cello'), undefined, new Set(elsewhere)).switches.map(
        ({ note }) => note.midi,
      );
    expect(found([26])).toEqual([26]);
    expect(found([])).toEqual([]);
  });

  it('in each of several joined tracks', () => {
    expect(switchesOf('violin', 'C1:0:0.1 G4:0.1:2 A4:2:2', 'D1:7.9:0.2 G4:8:0.5 A4:9:0.5')).toEqual([24, 26]);
  });

  it('in a track that holds nothing else', () => {
    expect(switchesOf('violin', 'G4:0:2 A4:2:2 B4:8:4', 'C1:0:0.2 D1:7.9:0.2')).toEqual([24, 26]);
  });

  it('with a reason that names the key and the distance', () => {
    const { switches } = setSwitchesAside([notes(`C1:0:0.1 ${LINE}`)], instrumentById('violin'));
    expect(switches[0]?.reason).toMatch(/C1 lies 31 semitones below .*Violin/);
  });
});

describe('a key tapped inside the line', () => {
  const RUN = 'G4:0:0.25 A4:0.25:0.25 B1:0.5:0.2 C5:0.75:0.25 D5:1:1';

  it('is a switch in a part of several articulation tracks; in a track alone it may be a slip', () => {
    const violin = instrumentById('violin');
    expect(setSwitchesAside([notes(RUN), notes('G4:8:2')], violin).switches.map(({ note }) => note.midi)).toEqual([35]);
    expect(setSwitchesAside([notes(RUN)], violin).switches).toEqual([]);
  });
});

describe('real notes out of range are kept', () => {
  it.each([
    ['a few semitones below the open G string, inside a line', 'violin', 'A3:0:1 G3:1:1 F3:2:1 E3:3:1 G3:4:2'],
    ['a single short F3 before a phrase', 'violin', 'F3:0.9:0.1 G4:1:1 A4:2:1'],
    ['a line an octave too low', 'violin', 'G3:0:1 B3:1:1 G2:2:1 A2:3:1 B2:4:1 G2:5:1 C3:6:1 G3:7:1'],
    [
      'one note of a running line two octaves too low',
      'flute',
      'C5:0:0.5 D5:0.5:0.5 E5:1:0.5 F3:1.5:0.5 G5:2:0.5 A5:2.5:0.5',
    ],
    ['one staccato note of a regular line two octaves too low', 'oboe', 'C5:0:0.2 D5:1:0.2 E3:2:0.2 F5:3:0.2 G5:4:0.2'],
    ['a held wrong note in its own place', 'horn-f', 'C4:0:2 D4:2:2 E4:4:2 C7:6:2 D4:8:4'],
    [
      'a bass written under a melody in a violin track',
      'violin',
      'G4:0:1 A4:1:1 B4:2:1 C5:3:1 G2:0:4 D5:4:2 C5:6:2 C3:4:4 B4:8:4 F2:8:4',
    ],
    ['low bass notes under chords of a guitar', 'guitar', 'A1:0:2 E3:0:2 A3:0:2 C4:0:2 D1:2:2 F3:2:2 A3:2:2'],
    [
      'a sixteenth of a regular run three octaves too low',
      'violin',
      'G4:0:0.25 A4:0.25:0.25 B1:0.5:0.2 C5:0.75:0.25 D5:1:1',
    ],
    [
      'a staccato eighth that keeps the pulse, far too low',
      'flute',
      'C5:0:0.2 D5:0.5:0.2 E2:1:0.2 F5:1.5:0.2 G5:2:0.2',
    ],
    ['a single line of basses in a tuba part two octaves below', 'tuba', 'C2:0:1 D2:1:1 E0:2:1 F2:3:1 G2:4:2'],
    ['a high note of a trumpet', 'trumpet-bflat', 'C5:0:1 E5:1:1 G5:2:1 A6:3:1 G5:4:1'],
    ['a part that lies wholly out of range', 'violin', 'C1:0:1 D1:1:1 E1:2:1 F1:3:1'],
    ['a last note far below', 'violin', 'G4:0:1 A4:1:1 B4:2:1 G2:3:2'],
  ])('%s (%s)', (_, instrument, music) => {
    expect(switchesOf(instrument, music)).toEqual([]);
  });

  it('nothing is set aside for an unknown instrument or unpitched percussion', () => {
    const music = notes(`C1:0:0.1 ${LINE}`);
    expect(setSwitchesAside([music], undefined).switches).toEqual([]);
    expect(setSwitchesAside([music], instrumentById('percussion-unpitched')).switches).toEqual([]);
  });

  it('a wrong note and a switch in one part are told apart', () => {
    const { music, switches } = setSwitchesAside(
      [notes('C1:0:0.1 G3:0:1 F3:1:1 G3:2:1 A3:3:1 C1:7.9:0.1 B3:8:4')],
      instrumentById('violin'),
    );
    expect(switches.map(({ note }) => note.midi)).toEqual([24, 24]);
    expect(music[0]?.map((note) => note.midi)).toEqual([55, 53, 55, 57, 59]);
  });

  it('a range that the user set counts as reachable', () => {
    const music = [notes('C2:0:0.1 G4:0.1:2 A4:2:2')];
    expect(setSwitchesAside(music, instrumentById('violin')).switches).toHaveLength(1);
    expect(setSwitchesAside(music, instrumentById('violin'), { low: 36, high: 100 }).switches).toEqual([]);
  });
});
