/** A hymn for choir and organ: the organ plays the introduction, doubles the choir, and accompanies the tenors alone. */
import type { KindFolder } from '../kind.ts';
import type { Piece } from '../write/export.ts';
import { notesOfPlans, oneFile, piecesBars } from '../write/export.ts';
import type { Plan } from '../write/perform.ts';
import { again, chordsFrom, leads, octaves } from '../write/plans.ts';

const PIECE: Piece = {
  lastBar: 30,
  meters: [{ fromBar: 1, numerator: 2, denominator: 2 }],
  tempi: [
    { fromBar: 1, tempo: 116 },
    { fromBar: 29, tempo: 88 },
  ],
  keys: [{ fromBar: 1, fifths: -1, minor: false }],
  markers: [
    { bar: 1, text: 'Introduction' },
    { bar: 5, text: 'Verse 1' },
    { bar: 13, text: 'Verse 2 (men)' },
    { bar: 21, text: 'Verse 3' },
    { bar: 29, text: 'Amen' },
  ],
  ticksPerQuarter: 960,
};

const VERSE = {
  soprano: `5 F4:2 A4:1 Bb4 | C5:2 A4 | Bb4:2 G4:1 A4 | G4:3 -:1 | A4:2 C5:1 D5 | C5 Bb4 A4:2 | Bb4:1 A4 G4:2 | F4:3 -:1`,
  alto: `5 C4:2 F4:1 F4 | F4:2 F4 | D4:2 E4:1 F4 | E4:3 -:1 | F4:2 G4:1 F4 | E4 F4 F4:2 | G4:1 F4 E4:2 | C4:3 -:1`,
  tenor: `5 A3:2 C4:1 Bb3 | A3:2 A3 | G3:2 G3:1 C4 | C4:3 -:1 | C4:2 C4:1 A3 | A3 Bb3 C4:2 | D4:1 C4 C4 Bb3 | A3:3 -:1`,
  bass: `5 F3:2 F3:1 D3 | F3:2 D3 | G2:2 C3:1 F3 | C3:3 -:1 | F3:2 E3:1 D3 | A2 D3 F3:2 | Bb2:1 C3 C3:2 | F3:3 -:1`,
};

// In verse 3 tenors and basses go down, then up, in open fifths.
const FIFTHS = { tenor: '23 F3:2 G3:1 C4', bass: '23 Bb2:2 C3:1 F3' };

const SOPRANO = `${VERSE.soprano}\n${again(21, 28, 5)}\n29 F4:4 | F4:4`;
const ALTO = `${VERSE.alto}\n${again(21, 28, 5)}\n29 D4:4 | C4:4`;
const TENOR = `${VERSE.tenor}
  13 D4:2 E4:1 F4 | E4:2 A3 | D4:1 E4 F4 G4 | E4:3 -:1 | F4:2 E4:1 D4 | C4 D4 Bb3:2 | A3:1 D4 C#4:2 | D4:3 -:1
  ${again(21, 28, 5)}\n29 Bb3:4 | A3:4\n${FIFTHS.tenor}`;
const BASS = `${VERSE.bass}
  13 D3:2 C#3:1 D3 | C3:2 F2 | Bb2:1 C3 D3 E3 | A2:3 -:1 | D3:2 C3:1 Bb2 | A2 Bb2 G2:2 | F2:1 G2 A2:2 | D2:3 -:1
  ${again(21, 28, 5)}\n29 Bb2:4 | F2:4\n${FIFTHS.bass}`;

const ORGAN_TOP = `1 C5:2 A4:1 Bb4 | C5 D5 C5:2 | Bb4:1 A4 G4:2 | G4:4\n${SOPRANO}
  13 F4:2 A4 | A4:2 C5 | Bb4:1 G4 A4 C5 | C#5:3 -:1 | A4:2 C5:1 D5 | F5:2 D5 | D5:1 Bb4 A4 G4 | F4:3 -:1`;
const ORGAN_ALTO = `1 F4:2 F4:1 F4 | F4 F4 G4:2 | G4:1 F4 F4:2 | F4:1 E4:3\n${ALTO}`;
const ORGAN_TENOR = `1 A3:2 C4:1 D4 | A3 A3 C4:2 | D4:1 C4 D4:2 | C4:4\n${VERSE.tenor}\n${again(21, 28, 5)}\n29 Bb3:4 | A3:4\n${FIFTHS.tenor}`;
const PEDALS = `1 F2:2 F2:1 Bb2 | F2 D2 E2:2 | G2:1 A2 Bb2:2 | C3:4
  ${octaves(VERSE.bass, -1)}\n${again(21, 28, 5)}\n29 Bb1:4 | F1:4\n${octaves(FIFTHS.bass, -1)}`
  // What would lie under the lowest pedal is played an octave higher, as organists do.
  .replaceAll(/(G|A|Bb|F)1/g, '$12');

const choir = (name: string, line: string, channel: number, dynamics: string): Plan => ({
  name,
  lines: [line],
  touch: 'sung',
  dynamics,
  curves: [1],
  channel,
  program: 52,
});
const organ = (name: string, lines: readonly string[], channel: number, dynamics: string): Plan => ({
  name,
  lines,
  touch: 'keys',
  dynamics,
  curves: [11],
  channel,
  program: 19,
});

const PLANS: readonly Plan[] = [
  choir('Sopranos', SOPRANO, 0, '1:mf 9:mf 21:f'),
  { ...choir('Altos', ALTO, 1, '1:mp 21:mf'), latenessMs: 65 },
  choir('Tenors', TENOR, 2, '1:mp 13:mp 17:mf> 20:mp 21:mf'),
  {
    ...choir('Basses', BASS, 3, '1:mp 13:p 21:mf'),
    drawn: [
      { controller: 11, bar: 1, setting: 110 },
      { controller: 11, bar: 13, setting: 0 },
      { controller: 11, bar: 17, setting: 110 },
    ],
  },
  organ('Organ (manuals)', [ORGAN_TOP, ORGAN_ALTO, ORGAN_TENOR], 4, '1:mf 5:p 13:fff 17:pp 21:mp'),
  organ('Organ (pedals)', [PEDALS], 5, '1:mf 5:p 21:mp'),
];

const CHOIR = ['Sopranos', 'Altos', 'Tenors', 'Basses'];
const ORGAN = ['Organ (manuals)', 'Organ (pedals)'];
const BALANCE = ['background-as-loud', 'background-covers', 'background-above-melody', 'support-over-lead'];

export const choirOrgan: KindFolder = {
  id: 'choir-organ',
  trade: 'A hymn for mixed choir and organ, four sections and two organ tracks, sampled voices ridden by controller 1.',
  half: 'tuning',
  files: (seed) => new Map([['Evening hymn v2.mid', oneFile(PIECE, PLANS, { seed, offAsZero: true })]]),
  truth: {
    parts: {
      Sopranos: ['voice-soprano', 'choir'],
      Altos: ['voice-alto', 'choir'],
      Tenors: ['voice-tenor', 'choir'],
      Basses: ['voice-bass', 'choir'],
      'Organ (manuals)': ['organ'],
      'Organ (pedals)': ['organ'],
    },
    players: { Sopranos: 'section', Altos: 'section', Tenors: 'section', Basses: 'section', 'Organ (manuals)': 1 },
    notes: notesOfPlans(PIECE, PLANS),
    chords: chordsFrom(
      piecesBars(PIECE),
      `1 F:3 Bb | F:1 Dm:1 C/E | Gm:1 F/A:1 Gm7/Bb | C | F:3 Bb/D | F:2 Dm | Gm:2 C:1 F | C | F:2 C/E:1 Dm | Am:1 Bb/D:1 F | Gm/Bb:1 F/C:1 C7 | F
       13 Dm:2 A/C#:1 Dm | Am/C:2 F | Bb:1 C:1 Dm:1 C/E | A | Dm:2 C:1 Bb | F/A:1 Bb:1 Gm | Dm/F:1 Gm:1 A7 | Dm
       21 F:3 Bb/D | F:2 Dm | Bb:2 C:1 F | C | F:2 C/E:1 Dm | Am:1 Bb/D:1 F | Gm/Bb:1 F/C:1 C7 | F | Bb | F`,
    ),
    meters: [{ fromBar: 1, numerator: 2, denominator: 2 }],
    keys: [
      { fromBar: 1, tonic: 'F', mode: 'major' },
      { fromBar: 13, tonic: 'D', mode: 'minor' },
      { fromBar: 21, tonic: 'F', mode: 'major' },
    ],
    onGrid: true,
    swing: 1,
    style: 'classical',
    front: leads(
      ['Organ (manuals)', 1, 4],
      [['Sopranos', 'Organ (manuals)'], 5, 12],
      ['Tenors', 13, 20],
      [['Sopranos', 'Organ (manuals)'], 21, 30],
    ),
    flaws: [
      {
        id: 'basses-below-the-voice',
        bars: [20, 20],
        parts: ['Basses'],
        rules: ['outside-range', 'edge-of-range', 'tessitura'],
        say: 'D2 is a note for a few basses only, not for a section.',
        weigh: true,
      },
      {
        id: 'organ-over-the-tenors',
        bars: [13, 16],
        parts: ['Organ (manuals)'],
        rules: BALANCE,
        say: 'The swell box stays open from the introduction: full organ over tenors who sing mezzo piano.',
        weigh: true,
      },
      {
        id: 'basses-not-heard',
        bars: [13, 16],
        parts: ['Basses'],
        rules: ['inaudible-entry'],
        say: 'Expression of the basses stands at zero for four bars: they sing and are not heard.',
        weigh: true,
      },
      {
        id: 'fifths-of-the-men',
        bars: [22, 23],
        parts: ['Tenors', 'Basses'],
        rules: ['parallel-perfects'],
        say: 'Tenors and basses go down a third and up a step in open fifths.',
        weigh: true,
      },
      {
        id: 'altos-late',
        bars: [5, 30],
        parts: ['Altos'],
        rules: ['late-part'],
        say: 'The altos lie 65 ms behind throughout.',
        weigh: true,
      },
    ],
    clean: [
      { rules: BALANCE, parts: ORGAN, bars: [5, 12], say: 'The organ doubles the choir: no rival.' },
      { rules: BALANCE, parts: ORGAN, bars: [21, 30], say: 'The organ doubles the choir: no rival.' },
      { rules: ['breath', 'never-rests'], parts: CHOIR, say: 'A choir breathes in turns.' },
      {
        rules: ['outside-range', 'edge-of-range', 'too-many-notes', 'hand-span', 'breath'],
        parts: ORGAN,
        say: 'The pedal board and two hands reach all of it, and an organ does not breathe.',
      },
      {
        rules: ['crowded-low', 'bass-doubled-too-close'],
        say: 'The pedals double the basses at the octave, as they should.',
      },
      {
        rules: ['too-many-notes', 'double-stop', 'wide-leap'],
        parts: CHOIR,
        say: 'Each section sings one line of small steps.',
      },
      {
        rules: ['incomplete-chord', 'hollow-without-foreground', 'root-not-in-bass'],
        bars: [13, 20],
        say: 'Three voices are enough for the verse of the men.',
      },
      { rules: ['late-part'], parts: ['Sopranos', 'Tenors', 'Basses', ...ORGAN], say: 'Only the altos are late.' },
      {
        rules: ['static-part', 'all-at-once', 'unchanged-texture'],
        bars: [5, 12],
        say: 'A hymn is sung by all together.',
      },
    ],
  },
};
