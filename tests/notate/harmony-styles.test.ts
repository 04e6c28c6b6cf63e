import { describe, expect, it } from 'vitest';
import type { EnsembleKind } from '../../src/model/music/ensemble.ts';
import { className } from '../../src/model/music/pitch.ts';
import type { Style } from '../../src/model/music/style.ts';
import type { WrittenStage } from '../../src/model/music/written.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { unsoundedBasses, unsoundedText } from '../kinds/judge/count-chords.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { readMxl } from '../support/musicxml-score.ts';
import { openFile, openFiles } from '../support/open-data.ts';
import { stageOfScore } from '../support/score-stage.ts';

interface Player {
  readonly instrument: string;
  readonly music: string;
}

function read(players: readonly Player[], bars: number, style?: Style, kind: EnsembleKind = 'unknown'): WrittenStage {
  const timeline = timelineOf(bars);
  const parts = players.map(({ instrument, music }, index) => ({
    ...partOf(instrument, music, timeline),
    id: `part-${String(index)}`,
  }));
  const stage = { ...stageOf(parts, timeline), ensemble: { kind, sure: true } };
  return notateStage(style === undefined ? stage : { ...stage, style });
}

/** Bar after bar: chords as `E3,A3,Bb3,D4`, struck once and held. */
function held(chords: readonly string[], length = 4): string {
  return chords
    .flatMap((chord, bar) => chord.split(',').map((pitch) => `${pitch}:${String(4 * bar)}:${String(length)}`))
    .join(' ');
}

function quarters(pitches: string): string {
  return pitches
    .split(' ')
    .map((pitch, beat) => `${pitch}:${String(beat)}:1`)
    .join(' ');
}

const symbols = ({ chords }: WrittenStage): readonly string[] => chords.map(({ symbol }) => symbol);

// No style has a chord over the tone a semitone above its root (common practice, no source): such a bass is a slip, and is told as one.
describe('a bass a semitone over the root of all others', () => {
  const over = (bass: string): WrittenStage =>
    read(
      [
        { instrument: 'piano', music: held(['C4,F4,Ab4', 'Db4,F4,Ab4', 'Db4,F4,Ab4', 'Db4,Eb4,G4,Bb4']) },
        { instrument: 'organ', music: held(['F4,Ab4,C5', 'F4,Ab4,Db5', 'F4,Ab4,Db5', 'Eb4,G4,Bb4']) },
        { instrument: 'bass-guitar', music: held(bass.split(' '), 3.5) },
      ],
      4,
      'song',
    );

  it('is not in the name of the chord, and makes no other chord', () => {
    expect(symbols(over('F2 Db2 D2 Eb2'))).toEqual(symbols(over('F2 Db2 Db2 Eb2')));
    expect(symbols(over('F2 Db2 Db2 Eb2'))).toContain('Db');
  });

  it('is, where it is kept from chord to chord as a pedal', () => {
    expect(symbols(over('F2 D2 D2 Eb2')).some((symbol) => symbol.startsWith('D'))).toBe(true);
    expect(symbols(over('F2 D2 D2 Eb2'))).not.toEqual(symbols(over('F2 Db2 Db2 Eb2')));
  });
});

// A lead sheet names a chord by the note that the bass player has for a root (common practice, no source).
describe('a seventh chord over its third', () => {
  const over = (style: Style, chords: readonly string[], bass: string): readonly string[] =>
    symbols(
      read(
        [
          { instrument: 'piano', music: held(chords) },
          { instrument: 'bass-guitar', music: held(bass.split(' ')) },
        ],
        chords.length,
        style,
      ),
    );
  const SIXTHS = ['C4,E4,G4,B4', 'B3,D4,E4,G4', 'A3,C4,D4,F#4', 'A3,C4,Eb4,G4', 'B3,D4,G4'];

  it('is a sixth chord on its bass in songs and jazz, with the sixth for a tone of its own', () => {
    expect(over('song', SIXTHS, 'C2 G2 D2 C2 G2')).toEqual(expect.arrayContaining(['G6', 'Cm6']));
    expect(over('jazz', SIXTHS, 'C2 G2 D2 C2 G2')).toEqual(expect.arrayContaining(['G6', 'Cm6']));
  });

  it('keeps its name in textbook harmony, and where its root was under it or it falls by a fifth', () => {
    expect(over('classical', SIXTHS, 'C2 G2 D2 C2 G2').join()).not.toMatch(/G6|Cm6/);
    const passing = ['C4,E4,G4', 'D4,E4,G4,B4', 'D4,E4,G4,B4', 'C4,E4,A4', 'C4,E4,G4'];
    expect(over('song', passing, 'C2 E2 G2 A2 C2')).toContain('Em7/G');
    const cadence = ['C4,E4,G4', 'C4,D4,F4,A4', 'B3,D4,F4,G4', 'C4,E4,G4'];
    expect(over('song', cadence, 'C2 F2 G2 C2')).not.toContain('F6');
  });
});

// The bass of a bossa goes down by semitones under a diminished chord (common practice, no source).
describe('a diminished seventh over a bass that passes from B to A', () => {
  const over = (style: Style): readonly string[] =>
    symbols(
      read(
        [
          { instrument: 'piano', music: held(['D4,F#4,A4', 'Db4,E4,G4', 'C4,E4,G4', 'C4,F#4,A4', 'B3,D4,G4']) },
          { instrument: 'double-bass', music: held('B2 Bb2 A2 D2 G2'.split(' ')) },
        ],
        5,
        style,
      ),
    );

  it('is named by that bass in a song', () => {
    expect(over('song')[1]).toBe('Bbdim7');
    expect(over('classical')[1]).toContain('dim7');
  });
});

// Left hands without the root as taught for jazz piano (M. Levine, The Jazz Piano Book, from memory): 7-9-3-5 and 3-13-7-9 over ii V I.
describe('voicings without their root over a walking bass', () => {
  const piano = held([
    'F3,A3,Bb3,D4',
    'E3,A3,Bb3,D4',
    'A3,C4,D4,G4',
    'F#3,B3,C4,E4',
    'F3,A3,Bb3,D4',
    'E3,A3,Bb3,D4',
    'A3,C4,D4,G4',
  ]);
  const bass = quarters('G2 A2 Bb2 B2 C3 Bb2 G2 E2 F2 A2 C3 C#3 D3 C3 A2 F#2 G2 Bb2 D3 Db3 C3 Bb2 G2 E2 F2 A2 C3 F2');
  const combo = [
    { instrument: 'piano', music: piano },
    { instrument: 'double-bass', music: bass },
  ];

  it('are ii, V and I in F with one chord a bar, their roots with the bass player', () => {
    expect(symbols(read(combo, 7, 'jazz'))).toEqual(['Gm7', 'C7', 'F6', 'D7', 'Gm7', 'C7', 'F6']);
  });

  it('are jazz by themselves where the players are a combo whose bass walks', () => {
    expect(read(combo, 7, undefined, 'combo').style).toEqual({
      style: 'jazz',
      by: 'guess',
      sure: true,
      because: 'its players are a combo and its bass player walks',
    });
  });

  it('two chords in a bar are heard where the bass player puts both roots down', () => {
    const two = [
      {
        instrument: 'piano',
        music: ['G3,B3,C4,E4', 'F#3,B3,C4,E4', 'F3,A3,Bb3,D4', 'E3,A3,Bb3,D4']
          .flatMap((chord, half) => chord.split(',').map((pitch) => `${pitch}:${String(2 * half)}:2`))
          .concat('A3:8:4 C4:8:4 D4:8:4 G4:8:4')
          .join(' '),
      },
      { instrument: 'double-bass', music: quarters('A2 C3 D3 F#2 G2 Bb2 C3 E2 F2 A2 C3 F2') },
    ];
    expect(symbols(read(two, 3, 'jazz'))).toEqual(['Am7', 'D7', 'Gm7', 'C7', 'F6']);
  });

  it('a textbook hears other roots in them, which is why the style matters', () => {
    expect(symbols(read(combo, 7, 'classical'))).not.toEqual(symbols(read(combo, 7, 'jazz')));
  });
});

describe('the bass of a symbol', () => {
  // Bass and guitar strike the root where the chord begins, and the bass its fifth an eighth before the next one (bossa nova: common practice, no source).
  it('is not the fifth that a bass player struck before the chord, and strikes again at its end', () => {
    const guitar =
      'A2:0:2 C4:0.5:1.5 G3:0.5:1.5 E4:0.5:1.5 D3:2:2 C4:2:1 F#4:2:1 A3:2:1 C4:3:1 F#4:3:1 A3:3:1 G2:4:2 B3:4:2 D4:4:2 G2:6:2 B3:6:2 D4:6:2';
    const bass = 'A1:0:1.5 A1:1.5:0.5 D2:2:1.5 A1:3.5:0.5 G1:4:1.5 D2:5.5:0.5 G1:6:1.5 D2:7.5:0.5';
    const players = [
      { instrument: 'guitar', music: guitar },
      { instrument: 'double-bass', music: bass },
    ];
    expect(symbols(read(players, 2, 'song'))).toEqual(['Am7', 'D7', 'G']);
  });

  it('makes no chord on the third where the others go on with theirs, its ninth too, and the bass goes to its fifth', () => {
    const struck = (at: number, length: number): string =>
      ['E4', 'G4', 'B3'].map((tone) => `${tone}:${String(at)}:${String(length)}`).join(' ');
    const players = [
      { instrument: 'voice', music: 'E4:0.5:0.5 G4:1:1.5 G4:2.5:0.5 B4:3:0.5 G4:3.5:0.5 E4:4:4' },
      { instrument: 'piano', music: 'E3:2.5:1.25 G3:2.5:1.25 B3:2.5:1.25 D4:2.5:1.25' },
      { instrument: 'violin', music: 'D5:0:4 C5:4:4' },
      { instrument: 'violin', music: 'G4:0:4 G4:4:4' },
      { instrument: 'viola', music: 'B3:0:4 E4:4:4' },
      { instrument: 'cello', music: 'E3:0:4 C3:4:4' },
      {
        instrument: 'guitar',
        music: `C3:0:1.75 ${struck(0, 1.25)} ${struck(1.5, 1.25)} C3:2:1.75 ${struck(3, 1)} C3:4:4 E4:4:4`,
      },
      { instrument: 'double-bass', music: 'C2:0:1.5 G2:1.5:0.5 G2:2:1.5 D2:3.5:0.5 C2:4:4' },
    ];
    expect(symbols(read(players, 2, 'song'))).toEqual(['Cmaj7', 'C']);
  });

  it('is not what timpani strike below it, tuned to another key; alone they are a bass', () => {
    const brass = [
      { instrument: 'trumpet-bflat', music: held(['G4', 'Ab4', 'F4', 'Eb4']) },
      { instrument: 'trombone-tenor', music: held(['Bb3', 'C4', 'Bb3', 'G3']) },
      { instrument: 'horn-f', music: held(['Eb4', 'Eb4', 'D4', 'Bb3']) },
    ];
    const tuba = { instrument: 'tuba', music: held(['Eb3', 'Ab2', 'Bb2', 'Eb3']) };
    const drums = { instrument: 'timpani', music: 'D3:0:1 D3:1:0.5 D3:1.5:0.5 D3:2:1 A2:8:1 A2:9:1 A2:10:1' };
    expect(symbols(read([...brass, tuba, drums], 4, 'classical'))).toEqual(['Eb', 'Ab', 'Bb', 'Eb']);
    const roll = { instrument: 'timpani', music: held(['Eb2', 'Eb2', 'Eb2', 'Eb2']) };
    expect(symbols(read([...brass, roll], 4, 'classical'))[1]).toBe('Ab/Eb');
  });

  it('is not the low note of the beat before, which has ended', () => {
    // G low down, then C7 struck over E without any G under it.
    const music =
      'B3:0:2 D4:0:2 G4:0:2 G2:1:1 E3:2:2 Bb3:2:2 C4:2:2 G4:2:2 F3:4:4 A3:4:4 C4:4:4 G2:0:1 F3:8:4 A3:8:4 C4:8:4';
    const stage = read([{ instrument: 'piano', music }], 3);
    expect(stage.chords.map(({ bass }) => className(bass))).toEqual(['G', 'E', 'F']);
    expect(stage.chords[1]?.symbol).toBe('C7/E');
  });

  it('is the root where a bass goes to and fro between root and fifth (common practice, no source)', () => {
    const right = (pitches: string, bar: number): string =>
      pitches
        .split(',')
        .flatMap((pitch) => [1, 3].map((beat) => `${pitch}:${String(4 * bar + beat)}:1`))
        .join(' ');
    const chords = ['C4,E4,G4', 'C4,E4,G4', 'B3,F4,G4', 'C4,E4,G4'].map(right).join(' ');
    const toAndFro = 'C3:0:2 G2:2:2 C3:4:2 G2:6:2 G2:8:2 D3:10:2 C3:12:2 G2:14:2';
    const stage = read(
      [
        { instrument: 'piano', music: chords },
        { instrument: 'tuba', music: toAndFro },
      ],
      4,
    );
    expect(symbols(stage)).toEqual(['C', 'G7', 'C']);
    // A fifth that comes and stays is a chord of its own.
    const stays = 'C3:0:2 G2:2:6 G2:8:4 C3:12:4';
    expect(
      symbols(
        read(
          [
            { instrument: 'piano', music: chords },
            { instrument: 'tuba', music: stays },
          ],
          4,
        ),
      ),
    ).toContain('C/G');
  });

  it.each(openFiles('openscore-quartets'))('sounds in every chord of %s', (file) => {
    const { stage } = stageOfScore(readMxl(openFile('openscore-quartets', file)), { foreground: 'Violin 1' });
    const written = notateStage(stage);
    expect(written.chords.length).toBeGreaterThan(100);
    expect(unsoundedBasses(written).map(unsoundedText)).toEqual([]);
  });
});

describe('the style of a stage', () => {
  const cadences = held([
    'C3,E4,G4,C5',
    'F3,F4,A4,C5',
    'G3,F4,G4,B4',
    'C3,E4,G4,C5',
    'A2,E4,A4,C5',
    'D3,F4,A4,D5',
    'G3,F4,G4,B4',
    'C3,E4,G4,C5',
  ]);
  const modal = held([
    'D3,F4,A4,D5',
    'C3,E4,G4,C5',
    'D3,F4,A4,D5',
    'G3,D4,G4,B4',
    'D3,F4,A4,D5',
    'C3,E4,G4,C5',
    'G3,D4,G4,B4',
    'D3,F4,A4,D5',
  ]);

  it('is what the settings say', () => {
    const { style, remarks } = read([{ instrument: 'piano', music: cadences }], 8, 'score');
    expect(style).toMatchObject({ style: 'score', by: 'settings' });
    expect(remarks.join(' ')).not.toContain('Harmony was read as');
  });

  it('of an orchestra is told by its cadences, and said to be a guess', () => {
    const strings = (music: string) => read([{ instrument: 'string-ensemble', music }], 8, undefined, 'orchestra');
    expect(strings(cadences).style.style).toBe('classical');
    expect(strings(modal).style.style).toBe('score');
    expect(strings(modal).remarks.join(' ')).toContain('Set “style” in the settings to decide');
  });

  it('of a singer with a rhythm section is a song; with a piano alone that cadences often, an art song', () => {
    const singer = { instrument: 'voice', music: '' };
    const piano = { instrument: 'piano', music: cadences };
    const bass = { instrument: 'bass-guitar', music: held(['C2', 'F2', 'G2', 'C2', 'A1', 'D2', 'G2', 'C2']) };
    expect(read([singer, piano, bass], 8, undefined, 'song').style.style).toBe('song');
    expect(read([singer, piano], 8, undefined, 'song').style.style).toBe('classical');
  });
});

describe('keys of songs', () => {
  const verse = [
    'D3,F#4,A4,D5',
    'G3,D4,G4,B4',
    'A3,E4,A4,C#5',
    'D3,F#4,A4,D5',
    'B2,F#4,B4,D5',
    'E3,E4,G4,B4',
    'A3,E4,G4,C#5',
    'D3,F#4,A4,D5',
  ];
  const lifted = [
    'E3,G#4,B4,E5',
    'A3,E4,A4,C#5',
    'B3,F#4,B4,D#5',
    'E3,G#4,B4,E5',
    'C#3,G#4,C#5,E5',
    'F#3,F#4,A4,C#5',
    'B3,F#4,A4,D#5',
    'E3,G#4,B4,E5',
  ];

  it('a last chorus a whole tone up has its own key where the file states that of the beginning', () => {
    const timeline = timelineOf(24);
    const piano = partOf('piano', held([...verse, ...verse, ...lifted]), timeline);
    const stage = {
      ...stageOf([piano], timeline),
      style: 'song' as const,
      statedKeys: [
        { fromBar: 1, tonic: { step: 'D' as const, alter: 0 }, mode: 'major' as const, by: 'file' as const },
      ],
    };
    const { keys, remarks } = notateStage(stage);
    expect(keys.map(({ from, tonic }) => `${className(tonic)} from ${String(from)}`)).toEqual([
      'D from 1',
      'E from 17',
    ]);
    expect(remarks.join(' ')).toContain('E major from bar 17');
    const classical = notateStage({ ...stage, style: 'classical' });
    expect(classical.keys.map(({ tonic }) => className(tonic))).toEqual(['D']);
  });
});

describe('names of chords', () => {
  it('have no double flat where a plain name sounds the same', () => {
    // The Neapolitan of D flat major is spelled E double flat on the page; the symbol is D.
    const music = held(['Db3,F4,Ab4,Db5', 'Gb3,Gb4,Bb4,Db5', 'Gb3,A4,D5,F#5', 'Ab3,Gb4,C5,Eb5', 'Db3,F4,Ab4,Db5']);
    const stage = read([{ instrument: 'piano', music }], 5, 'classical');
    expect(symbols(stage).join(' ')).not.toMatch(/bb|##/);
    expect(stage.chords[2]?.roman).toMatch(/^bII/);
  });
});

describe('a key', () => {
  const chordOf: Readonly<Record<string, string>> = {
    D: 'D3,A3,D4,F#4',
    Gm: 'G2,Bb3,D4,G4',
    Cm: 'C3,G3,C4,Eb4',
    G: 'G2,B3,D4,G4',
    C: 'C3,G3,C4,E4',
    A: 'A2,A3,C4,E4',
    Em: 'E2,B3,E4,G4',
    B7: 'B2,A3,D#4,F#4',
    D7: 'D3,A3,C4,F#4',
    Bm: 'B2,B3,D4,F#4',
    Amaj: 'A2,A3,C#4,E4',
  };
  const played = (names: string, kind: EnsembleKind = 'unknown'): WrittenStage => {
    const chords = names.split(' ').map((name) => chordOf[name] ?? '');
    return read([{ instrument: 'accordion', music: held(chords) }], chords.length, undefined, kind);
  };
  const told = ({ keys }: WrittenStage): readonly string[] =>
    keys.map((key) => `${String(key.from)}-${String(key.to)} ${className(key.tonic)} ${key.mode}`);

  it('whose music begins, stays and ends on its major dominant is the phrygian dominant (freygish; common practice, no source)', () => {
    const bulgar = played('D D Cm D D Gm Cm D D D Cm D D Gm Cm D');
    expect(told(bulgar)).toEqual(['1-16 G minor']);
    expect(bulgar.keys[0]?.restsOnDominant).toBe(true);
    // A half close at the end is none.
    const minor = played('Gm Gm Cm D Gm Gm Cm D Gm Cm D Gm Gm Cm Gm D');
    expect(minor.keys.some(({ restsOnDominant }) => restsOnDominant === true)).toBe(false);
  });

  it('whose music begins, stays and ends on the second degree of its signature is dorian, on the fifth mixolydian (church modes; common practice)', () => {
    const signed = (step: 'D' | 'G', names: string): WrittenStage => {
      const music = held(names.split(' ').map((name) => chordOf[name] ?? ''));
      const timeline = timelineOf(names.split(' ').length);
      const statedKeys = [{ fromBar: 1, tonic: { step, alter: 0 }, mode: 'major' as const, by: 'file' as const }];
      return notateStage({ ...stageOf([partOf('accordion', music, timeline)], timeline), statedKeys });
    };
    const dorian = signed('D', 'Em D Em Amaj G D Bm Em Em D Em Amaj Em D Bm Em');
    expect(dorian.keys[0]?.modal).toEqual({ tonic: { step: 'E', alter: 0 }, name: 'dorian' });
    expect(dorian.chords.map(({ roman }) => roman).slice(0, 4)).toEqual(['i', 'VII', 'i', 'IV']);
    const mixolydian = signed('G', 'D C G D D C G D D Em C D D C G D');
    expect(mixolydian.keys[0]?.modal).toEqual({ tonic: { step: 'D', alter: 0 }, name: 'mixolydian' });
    expect(mixolydian.chords.map(({ roman }) => roman).slice(0, 3)).toEqual(['I', 'bVII', 'IV']);
    // Music that goes home to G is in G, wherever it begins.
    const plain = signed('G', 'D D G G C G D G D D G Em C D D G');
    expect(plain.keys[0]?.modal).toBeUndefined();
  });

  it('whose middle part stands in the relative for eight bars is told in both, as its numerals are', () => {
    const part = 'Em Em A Em Em B7 Em Em';
    const waltz = played(`${part} G G D7 G C G D7 G C D7 G G ${part}`);
    expect(told(waltz)).toEqual(['1-8 E minor', '9-20 G major', '21-28 E minor']);
    for (const { bar, roman } of waltz.chords) if (bar >= 10 && bar <= 19) expect(roman).toMatch(/^(?:I|IV|V7?)$/);
  });

  it('of a song without a leading note is the minor one that its file states and in which it begins and ends, full of its relative as it is', () => {
    const names = 'Em C G D G C G D G C G D7 G C G D7 G G C G D G C G D G Em Em Em Em Em'.split(' ');
    const music = held(names.map((name) => chordOf[name] ?? ''));
    const timeline = timelineOf(names.length);
    const statedKeys = [
      { fromBar: 1, tonic: { step: 'E' as const, alter: 0 }, mode: 'minor' as const, by: 'file' as const },
    ];
    const song = notateStage({
      ...stageOf([partOf('accordion', music, timeline)], timeline),
      statedKeys,
      style: 'song',
    });
    expect(told(song)).toEqual(['1-31 E minor']);
    expect(song.chords.map(({ roman }) => roman).slice(0, 4)).toEqual(['i', 'VI', 'III', 'VII']);
  });

  it('of a dance under drums and a squeezebox is read as that of a song (klezmer, polka; common practice, no source)', () => {
    const tune = { instrument: 'clarinet-bflat', music: 'D5:0:4 F#5:4:4 D5:8:4' };
    const squeezed = { instrument: 'accordion', music: held(['D3,A3,D4,F#4', 'D3,A3,D4,F#4', 'D3,A3,D4,F#4']) };
    const drums = { instrument: 'percussion-unpitched', music: 'C2:0:1 C2:4:1 C2:8:1' };
    expect(read([tune, squeezed, drums], 3, undefined, 'chamber').style).toMatchObject({ style: 'song', sure: false });
    expect(read([tune, squeezed], 3, undefined, 'chamber').style.style).toBe('classical');
  });

  it('says of which players a style is guessed, and doubts it where they play dances too', () => {
    expect(played('Em A Em B7 Em', 'chamber').style).toMatchObject({
      sure: false,
      because: 'its players are a chamber group, though the accordion may play other music as well',
    });
  });
});

describe('a chord that the others strike on the beat', () => {
  // A bass that goes to its next root half a beat early begins no chord (common practice, no source).
  it('does not begin with the upbeat of the bass, alone or with one line', () => {
    const chords = ['Ab3,C4,Eb4', 'Db4,F4,Ab4', 'Bb3,Db4,F4', 'Eb4,G4,Bb4', 'Ab3,C4,Eb4'];
    const keys = held(chords, 3.5);
    const roots = ['Ab1', 'Db2', 'Bb1', 'Eb2', 'Ab1'];
    const bass = roots
      .flatMap((root, bar) => [
        `${root}:${String(4 * bar)}:3.5`,
        ...(roots[bar + 1] === undefined ? [] : [`${roots[bar + 1] ?? ''}:${String(4 * bar + 3.5)}:0.5`]),
      ])
      .join(' ');
    const lines = [
      'Eb5:0:3 Ab5:4:3 F5:8:3 G5:12:3 Ab5:16:4',
      'Eb5:0:3 F5:3.5:0.5 Ab5:4:3 Db5:7.5:0.5 F5:8:3 Eb5:11.5:0.5 G5:12:3 Ab5:16:4',
    ];
    for (const tune of lines) {
      const players = [
        { instrument: 'voice', music: tune },
        { instrument: 'piano', music: keys },
        { instrument: 'bass-guitar', music: bass },
      ];
      const { chords: found } = read(players, 5, 'song', 'band');
      expect(found.map(({ start }) => start / 480)).toEqual([0, 4, 8, 12, 16]);
    }
  });

  it('is one chord where the bass only pauses for a moment', () => {
    const bars = [0, 3, 6, 9];
    const waltz = bars.map((at) => `E2:${String(at)}:2`).join(' ');
    const figure = bars
      .flatMap((at) =>
        ['E2', 'B2', 'E3', 'G3', 'B3', 'G3'].map((pitch, place) => `${pitch}:${String(at + place / 2)}:0.5`),
      )
      .join(' ');
    const cello = bars.map((at) => `E3:${String(at)}:2 G3:${String(at + 2)}:1`).join(' ');
    const timeline = timelineOf(4, { numerator: 3, denominator: 4 });
    const parts = [
      partOf('double-bass', waltz, timeline),
      partOf('guitar', figure, timeline),
      partOf('mandocello', cello, timeline),
    ];
    const { chords: found } = notateStage({ ...stageOf(parts, timeline), style: 'song' });
    expect(found.filter(({ start }) => start % 480 !== 0)).toEqual([]);
    expect(new Set(found.map(({ root, bass }) => JSON.stringify([root, bass]))).size).toBe(found.length);
  });
});
