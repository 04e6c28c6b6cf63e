import { describe, expect, it } from 'vitest';
import { pitchName } from '../../src/model/music/pitch.ts';
import type { WrittenNote } from '../../src/model/music/written.ts';
import { fullScore } from '../../src/notate/full-score/full-score.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';

const FOUR = { numerator: 4, denominator: 4 };

function notesOf(instrument: string, music: string, bars = 4, tempo = 60): readonly WrittenNote[] {
  const timeline = timelineOf(bars, FOUR, tempo);
  return notateStage(stageOf([partOf(instrument, music, timeline)], timeline)).parts[0]!.notes;
}

function lengthsOf(instrument: string, music: string, bars = 4, tempo = 60): number[] {
  return notesOf(instrument, music, bars, tempo).map((note) => note.length);
}

// Common practice, no source: a stroke is written as short as it sounds, and its silence as rests.
describe('struck and plucked notes', () => {
  it.each(['timpani', 'xylophone', 'guitar'])(
    'of a %s that is left at once end on the next beat at the latest',
    (name) => {
      for (const held of ['0.04', '0.1', '0.3']) {
        for (const length of lengthsOf(name, `D3:0:${held} D3:15:${held}`)) expect(length).toBeLessThanOrEqual(480);
      }
    },
  );

  it('are as long as the key is held: a roll of seven beats stays one', () => {
    expect(lengthsOf('timpani', 'D3:0:7 G2:8:1')[0]).toBe(3840 - 480);
  });

  // Common practice, no source: what a drum rings is no value.
  it.each(['0.05', '0.2', '0.3', '0.4', '0.5'])(
    'of a drum are written to the next stroke or the end of their beat, down for %s',
    (held) => {
      const places = [0, 1, 1.5, 2, 3.5, 4, 5, 6.75, 7];
      expect(lengthsOf('percussion-unpitched', places.map((place) => `D2:${String(place)}:${held}`).join(' '))).toEqual(
        [480, 240, 240, 480, 240, 480, 480, 120, 480],
      );
    },
  );

  it('of a bowed track named pizz end soon, the bowed ones after it do not', () => {
    const timeline = timelineOf(4, FOUR, 60);
    const tracks = ['pizz', ''].map((articulation, track) => ({
      file: 'test.mid',
      track: track + 1,
      channel: 0,
      name: articulation,
      articulation,
      curves: [],
    }));
    const part = partOf('violin', 'D4:0:0.3 G4:8:7.8', timeline);
    const notes = part.notes.map((note, trackIndex) => ({ ...note, trackIndex }));
    const written = notateStage(stageOf([{ ...part, tracks, notes }], timeline)).parts[0]!.notes;
    expect(written[0]!.length).toBeLessThanOrEqual(480);
    expect(written[1]!.length).toBe(3840);
  });
});

describe('bowed and blown notes', () => {
  it('that stop a beat or more before the next one are followed by a rest', () => {
    expect(lengthsOf('oboe', 'A4:0:3 B4:5:1.95 A4:8:4')).toEqual([1440, 960, 1920]);
    expect(lengthsOf('violin', 'A4:0:2.02 B4:4:1.98 A4:8:4')).toEqual([960, 960, 1920]);
  });

  it('that leave room for a breath are written whole', () => {
    expect(lengthsOf('oboe', 'A4:0:3.7 B4:4:3.65 A4:8:3.7 A4:12:4')).toEqual([1920, 1920, 1920, 1920]);
  });

  // Common practice, no source: the last stroke of a band is a beat, however short it is blown.
  it('that are let go soon at the very end are a beat', () => {
    const last = (held: number): number | undefined =>
      lengthsOf(
        'trumpet-bflat',
        `A4:0:0.92 B4:1:0.9 C5:2:0.95 D5:3:0.9 E5:4:0.93 D5:5:0.9 C5:6:0.9 B4:7:0.9 A4:8:${String(held)}`,
        4,
        144,
      ).at(-1);
    for (const held of [0.5, 0.6, 0.7]) expect(last(held)).toBe(480);
  });

  // Three phrases that end on a dotted quarter with an eighth to breathe in, as the script of a player who joins all else would have it.
  const phrases = (ratio: number, end: number): string =>
    [0, 8, 16]
      .map((at) =>
        ['A4', 'B4', 'C5', 'D5']
          .map((name, step) => `${name}:${String(at + step)}:${String(ratio)}`)
          .concat(
            `C5:${String(at + 4)}:${String(ratio)}`,
            `A4:${String(at + 5)}:${String(end)}`,
            `G4:${String(at + 7)}:1`,
          )
          .join(' '),
      )
      .join(' ');

  it('of a player who joins his notes are followed by an eighth rest where the phrase ends an eighth early', () => {
    const lengths = lengthsOf('oboe', phrases(1.03, 1.42), 6, 92);
    expect([lengths[5], lengths[12]]).toEqual([720, 720]);
    expect(lengths.filter((length) => length === 480)).toHaveLength(18);
  });

  it('of a player who detaches them all are written whole with the same silence', () => {
    const lengths = lengthsOf('oboe', phrases(0.78, 1.42), 6, 92);
    expect([lengths[5], lengths[12]]).toEqual([960, 960]);
  });
});

describe('a keyboard', () => {
  // Common practice, no source: a silence of beats is written as rests, whatever the instrument.
  it.each(['organ', 'piano'])(
    '%s note held for three quarters before three of silence is a dotted half, not six quarters',
    (name) => {
      expect(lengthsOf(name, 'C4:0:2.9 D4:6:1.9 E4:8:3.95 F4:12:4')).toEqual([1440, 960, 1920, 1920]);
    },
  );

  it('holds a melody note over a chord of the same staff that is struck under it', () => {
    const notes = notesOf(
      'piano',
      'Eb5:0:1.45 C5:1.5:2.4 Eb4:1:0.9 Eb4:2:0.95 D4:3:0.95 F2:0:0.95 Ab3:1:0.9 Ab3:2:0.9 Bb2:3:0.9',
      1,
    );
    expect(notes.find((note) => pitchName(note.pitch) === 'Eb5')!.length).toBe(720);
  });

  // Common practice, no source: keys are let go early, long ones too, and a voice ends where its own next note or another begins.
  it('writes the long notes of a voice whole over the moving ones under it, though they are let go early', () => {
    const tune = ['G5', 'A5', 'F5', 'G5'].map((name, bar) => `${name}:${String(4 * bar)}:3.2`);
    const under = Array.from({ length: 32 }, (_, step) => `${step % 2 === 0 ? 'C5' : 'E5'}:${String(step / 2)}:0.4`);
    const bass = ['C3', 'F3', 'G3', 'C3'].map((name, bar) => `${name}:${String(4 * bar)}:3.9`);
    const notes = notesOf('piano', [...tune, ...under, ...bass].join(' ')).filter(({ staff }) => staff === 1);
    expect(notes.filter(({ length }) => length > 480).map(({ length }) => length)).toEqual([1920, 1920, 1920, 1920]);
  });

  it('keeps a broken chord in the left hand, though it climbs past middle C', () => {
    const figure = ['E2', 'C3', 'G3', 'C4', 'G3', 'C3']
      .map((name, index) => `${name}:${String(index / 2)}:0.5`)
      .join(' ');
    const left = notesOf('piano', `E5:0:1.5 D5:1.5:0.5 C5:2:1 ${figure} C4:3:1 C5:3:1`, 1).filter(
      (note) => note.staff === 2 && note.start < 1440,
    );
    expect(left.map((note) => pitchName(note.pitch))).toEqual(['E2', 'C3', 'G3', 'C4', 'G3', 'C3']);
  });

  it('comps with whole chords in the right hand over a bass, also where the next bass note is struck under one', () => {
    const bar = (at: number): string =>
      [
        `C3:${String(at)}:1`,
        ...['G3', 'C4', 'E4'].flatMap((key) => [
          `${key}:${String(at + 1)}:0.5`,
          `${key}:${String(at + 1.5)}:1`,
          `${key}:${String(at + 3)}:1`,
        ]),
        `C3:${String(at + 2)}:1`,
      ].join(' ');
    const notes = notesOf('piano', [0, 4, 8, 12].map(bar).join(' '));
    const inLeft = notes.filter(({ staff }) => staff === 2);
    expect(new Set(inLeft.map(({ midi }) => midi))).toEqual(new Set([48]));
    expect(notes.filter(({ staff }) => staff === 1)).toHaveLength(36);
  });

  // Common practice, no source: six keys within two octaves and a fourth are three for each hand.
  it('shares full chords evenly between the hands', () => {
    const chords = ['D3 A3 D4 F#4 A4 D5', 'E3 B3 D4 G4 B4 D5', 'D3 A3 D4 F#4 A4 D5', 'B2 F#3 B3 D#4 F#4 B4'];
    const notes = notesOf(
      'piano',
      chords.flatMap((chord, index) => chord.split(' ').map((name) => `${name}:${String(2 * index)}:1.8`)).join(' '),
      2,
    );
    for (let index = 0; index < chords.length; index++) {
      const struck = notes.filter(({ start }) => start === 960 * index);
      expect(struck.filter(({ staff }) => staff === 1)).toHaveLength(3);
    }
  });

  it('divides a montuno between the hands alike, however short its notes are', () => {
    const bars: readonly (readonly [place: number, chord: string])[][] = [
      [
        [0, 'C4 C5'],
        [0.5, 'E4'],
        [1, 'G4 G5'],
        [2, 'E4 E5'],
        [2.5, 'G4'],
        [3, 'C4 C5'],
        [3.5, 'E4'],
      ],
      [
        [0.5, 'F4 F5'],
        [1, 'A4'],
        [1.5, 'C4 C5'],
        [2.5, 'A4 A5'],
        [3, 'F4'],
        [3.5, 'C4 C5'],
      ],
      [
        [0.5, 'G4 G5'],
        [1, 'B4'],
        [1.5, 'D4 D5'],
        [2.5, 'B4 B5'],
        [3, 'G4'],
        [3.5, 'D4 D5'],
      ],
      [
        [0.5, 'F4 F5'],
        [1, 'A4'],
        [1.5, 'C4 C5'],
        [2.5, 'A4 A5'],
        [3, 'F4'],
        [3.5, 'G4 G5'],
      ],
    ];
    const stavesFor = (held: number): number[] =>
      notesOf(
        'piano',
        [...bars, ...bars]
          .flatMap((bar, index) =>
            bar.flatMap(([place, chord]) =>
              chord.split(' ').map((name) => `${name}:${String(4 * index + place)}:${String(held)}`),
            ),
          )
          .join(' '),
        8,
        186,
      ).map(({ staff }) => staff);
    for (const held of [0.2, 0.25, 0.35, 0.4]) expect(stavesFor(held)).toEqual(stavesFor(0.45));
  });

  // What one hand strikes while the other rests stands where it needs no ledger lines (common practice, no source).
  it('leaves the bass of an accompaniment to the left hand where it climbs towards the chords', () => {
    const bar = (at: number, bass: string, chord: string): string =>
      [0, 2].map((beat) => `${bass}:${String(at + beat)}:0.9`).join(' ') +
      [1, 1.5, 3]
        .map((beat) =>
          chord
            .split(' ')
            .map((key) => ` ${key}:${String(at + beat)}:${beat === 1 ? '0.45' : '0.9'}`)
            .join(''),
        )
        .join('');
    const music = `${bar(0, 'Bb2', 'Bb3 D4 F4')} ${bar(4, 'C3', 'Bb3 C4 E4')} ${bar(8, 'F3', 'A3 C4 F4')}`;
    const notes = notesOf('piano', `${music} F3:12:2.9 A3:12:2.9 C4:12:2.9 F4:12:2.9`);
    // Of the last chord, two keys and two, the inner one may lie in either hand.
    const told = notes.filter(({ midi, start }) => start < 12 * 480 || midi !== 57);
    for (const { midi, staff } of told) expect(staff).toBe(midi < 57 ? 2 : 1);
  });

  it('keeps a broken chord of an accompaniment on one staff where the other hand rests', () => {
    const figure = (root: string, at: number): string =>
      [root, 'A3', 'D4', 'F4', 'D4', 'F4', 'D4', 'A3']
        .map((name, index) => `${name}:${String(at + index / 2)}:0.45`)
        .join(' ');
    const notes = notesOf('piano', `${figure('D3', 0)} ${figure('D3', 4)} ${figure('D3', 8)} ${figure('D3', 12)}`);
    expect(new Set(notes.map(({ staff }) => staff))).toEqual(new Set([2]));
  });
});

describe('an organ whose pedals have a track of their own', () => {
  it('is written on three staves, the hands under a brace and the pedals below (Gould, from memory)', () => {
    const timeline = timelineOf(2, FOUR);
    const part = partOf('organ', 'C5:0:4 E4:0:4 A3:0:4 C3:0:4 D5:4:4 F4:4:4 A3:4:4 D3:4:4', timeline);
    const track = part.tracks[0]!;
    const organ = {
      ...part,
      tracks: [
        { ...track, name: 'Organ manuals' },
        { ...track, name: 'Organ Ped' },
      ],
      notes: part.notes.map((note) => ({ ...note, trackIndex: note.midi < 55 ? 1 : 0 })),
    };
    const stage = stageOf([organ], timeline);
    const written = notateStage(stage);
    const { staves, bars } = fullScore(stage, written, 'concert');
    expect(staves.map(({ label, clef, brace }) => [label, clef, brace !== ''])).toEqual([
      [organ.name, 'treble', true],
      [organ.name, 'bass', true],
      ['Pedals', 'bass', false],
    ]);
    const pitches = bars[0]!.staves.map(({ voices }) =>
      voices.flatMap((voice) => voice.flatMap(({ heads }) => heads.map(({ pitch }) => pitchName(pitch)))),
    );
    expect(pitches).toEqual([['E4', 'C5'], ['A3'], ['C3']]);
  });
});

// What comes again is written again (common practice, no source): a copyist decides once for a figure, not where each stroke happens to be damped.
it('a bass that damps every other beat reads them all alike, also where some last a little over half a beat', () => {
  const damped = [0.47, 0.51, 0.49, 0.41, 0.41, 0.4, 0.42, 0.4, 0.46, 0.41, 0.48, 0.46, 0.5, 0.42, 0.47, 0.49];
  const music = damped
    .map((held, at) => `A1:${String(2 * at)}:0.86 A1:${String(2 * at + 1)}:${String(held)}`)
    .join(' ');
  const lengths = lengthsOf('double-bass', music, 8, 122);
  expect(new Set(lengths.filter((_, at) => at % 2 === 0))).toEqual(new Set([480]));
  expect(new Set(lengths.slice(0, -1).filter((_, at) => at % 2 === 1)).size).toBe(1);
});

describe('strings that ring', () => {
  // A chord held in the left hand and plucked string by string; all of it rings to the end of the bar.
  const shape = (names: readonly string[], at: number): string =>
    names.map((name, index) => `${name}:${String(at + index / 2)}:${String(4 - index / 2 - 0.05)}`).join(' ');
  const music = [0, 4, 8, 12].map((at) => shape(['E2', 'E3', 'G3', 'B3', 'E4', 'G4', 'B4', 'E5'], at)).join(' ');

  it.each(['guitar', 'harp'])('of a %s are written as the figure over their bass, without chains of ties', (name) => {
    const notes = notesOf(name, music);
    const eighths = notes.filter((note) => pitchName(note.pitch) !== 'E2');
    expect(new Set(eighths.map(({ length }) => length))).toEqual(new Set([240]));
    expect(notes.filter((note) => pitchName(note.pitch) === 'E2').map(({ length }) => length)).toEqual([
      1920, 1920, 1920, 1920,
    ]);
  });

  // Nothing damps a harp's string but the player's hand, so the value of a plucked figure is the time to the next string (common practice, no source).
  it('of a harp that each sound on over the next one are a figure of eighths too, the lowest with the rest', () => {
    const bar = ['Bb2', 'Bb3', 'D4', 'F4', 'D5', 'F4', 'D4', 'Bb3'];
    const run = [0, 4, 8, 12].flatMap((at) => bar.map((name, index) => `${name}:${String(at + index / 2)}:0.88`));
    const notes = notesOf('harp', run.join(' '));
    expect(new Set(notes.map(({ length }) => length))).toEqual(new Set([240]));
    const bass = [0, 4, 8, 12].map((at) => `C3:${String(at)}:1.9 G2:${String(at + 2)}:1.9`).join(' ');
    const held = notesOf(
      'harp',
      `${bass} ${[0, 4, 8, 12].map((at) => `E4:${String(at + 1)}:1.9 C4:${String(at + 3)}:0.9`).join(' ')}`,
    );
    expect(held.filter(({ pitch }) => pitchName(pitch) === 'G2').map(({ length }) => length)).toEqual([
      960, 960, 960, 960,
    ]);
  });

  // Common practice, no source: the hands of a harp share a broken chord, about at middle C, and take over on a beat; a tune in beats stays together.
  it.each([
    ['F2 C3 C4 F4 A4 F4 C4 F4', 'F2 C3'],
    ['E2 D3 D4 E4 G4 E4 D4 E4', 'E2 D3'],
    ['D3 D4 D4 F4 D5 F4 D4 F4', 'D3 D4'],
    ['A2 C#4 C#4 G4 A4 G4 C#4 G4', 'A2 C#4'],
  ])(
    'of a harp that climb out of the bass clef stand on both staves, from the second beat on the upper: %s',
    (bar, low) => {
      const names = bar.split(' ');
      const figure = [0, 4, 8, 12].flatMap((at) => names.map((name, index) => `${name}:${String(at + index / 2)}:0.4`));
      for (const note of notesOf('harp', figure.join(' '))) {
        expect(note.staff).toBe((note.start % 1920) / 240 < low.split(' ').length ? 2 : 1);
      }
    },
  );

  it('of a harp in six eighths are taken over on the second of two beats, and the lowest string is never in the treble clef', () => {
    const timeline = timelineOf(4, { numerator: 6, denominator: 8 }, 80);
    const bars = ['D3 A3 D4 F#4 D4 A3', 'E3 B3 E4 G4 E4 B3', 'D3 A3 D4 F#4 D4 A3', 'E3 B3 E4 G4 E4 B3'];
    const music = bars.flatMap((bar, at) =>
      bar.split(' ').map((name, index) => `${name}:${String(at * 3 + index / 2)}:0.4`),
    );
    const { notes } = notateStage(stageOf([partOf('harp', music.join(' '), timeline)], timeline)).parts[0]!;
    expect(notes.map(({ staff }) => staff)).toEqual(bars.flatMap(() => [2, 2, 2, 1, 1, 1]));
  });

  it('of a harp that turn about under middle C stay on the lower staff, a tune about it on one staff', () => {
    const low = ['G2 D3 G3 B3 C4 B3 G3 D3', 'A2 E3 A3 C4 E4 C4 A3 E3'].flatMap((bar, at) =>
      bar.split(' ').map((name, index) => `${name}:${String(at * 4 + index / 2)}:0.4`),
    );
    expect(new Set(notesOf('harp', low.join(' '), 2).map(({ staff }) => staff))).toEqual(new Set([2]));
    const tune = 'C4 E4 B3 G3 C4 F4 E4 A3'.split(' ').map((name, index) => `${name}:${String(index)}:0.9`);
    expect(new Set(notesOf('harp', tune.join(' '), 2).map(({ staff }) => staff)).size).toBe(1);
  });

  // Common practice, no source: bass and chords of a guitar are two voices, and the thumb holds its string until it plays the next one.
  it('of a guitar hold the bass over a chord that the fingers let go, to the next bass, however near its strokes are', () => {
    for (const [bass, chord] of [
      [1.72, 1.21],
      [1.85, 1.3],
    ]) {
      const bar = (at: number): string =>
        `G2:${String(at)}:${String(bass)} G2:${String(at + 2)}:${String(bass)} ` +
        [0, 1.5, 3]
          .map((beat) =>
            ['F#3', 'B3', 'D4']
              .map((key) => `${key}:${String(at + beat)}:${String(beat === 3 ? 0.87 : chord)}`)
              .join(' '),
          )
          .join(' ');
      const notes = notesOf('guitar', [0, 4, 8, 12].map(bar).join(' '), 4, 126);
      expect(new Set(notes.filter(({ midi }) => midi === 43).map(({ length }) => length))).toEqual(new Set([960]));
      expect(
        notes
          .filter(({ midi }) => midi === 54)
          .slice(0, 3)
          .map(({ length }) => length),
      ).toEqual([720, 720, 480]);
    }
  });

  it('stay two voices on a guitar: the figure up, the bass down', () => {
    expect(notesOf('guitar', music).map(({ voice }) => voice)).toEqual(
      [0, 1, 2, 3].flatMap(() => [2, 1, 1, 1, 1, 1, 1, 1]),
    );
  });

  it('keep their bass in the lower voice where bass and tune are struck as one', () => {
    const notes = notesOf(
      'guitar',
      'E4:0:1.4 E2:0:0.9 G3:1:0.9 B3:1:0.9 F4:1.5:0.4 G4:2:1.9 A2:4:0.9 A4:4:0.9 C4:5:2.9 E4:5:2.9',
      2,
    );
    const voiceOf = (name: string, start: number): number =>
      notes.find((note) => pitchName(note.pitch) === name && note.start === start * 480)!.voice;
    expect([voiceOf('E2', 0), voiceOf('E4', 0), voiceOf('A2', 4), voiceOf('A4', 4)]).toEqual([2, 1, 2, 1]);
  });

  it('have one stem where a short chord stands between rests, however low its bass', () => {
    const strokes = [1, 3, 5, 7].map((at) => `Bb2:${String(at)}:0.25 D4:${String(at)}:0.25 F4:${String(at)}:0.25`);
    expect(new Set(notesOf('guitar', strokes.join(' '), 2).map(({ voice }) => voice))).toEqual(new Set([1]));
  });
});
