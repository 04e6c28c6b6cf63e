/** A song for soprano and string quartet, in German: pickup, 6/8, key switches, two controllers, one file a player. */
import type { KindFolder } from '../kind.ts';
import type { Piece } from '../write/export.ts';
import { fileByPart, notesOfPlans, oneFile, piecesBars } from '../write/export.ts';
import type { Plan } from '../write/perform.ts';
import { again, chordsFrom, leads } from '../write/plans.ts';

const PIECE: Piece = {
  lastBar: 36,
  meters: [{ fromBar: 1, numerator: 6, denominator: 8 }],
  pickup: 0.5,
  tempi: [
    { fromBar: 0, tempo: 81 },
    { fromBar: 23, tempo: 76 },
    { fromBar: 27, tempo: 81 },
    { fromBar: 35, tempo: 69 },
  ],
  ticksPerQuarter: 384,
};

const VOICE = `4 -:2.5 D5:.5 | D5:1 C5:.5 Bb4:1 A4:.5 | C5:1 Eb5:.5 D5:1 C5:.5 | A4:1 D5:.5 F#4:1 A4:.5 | Bb4:1.5 G4:1 -:.5
  9 G4:1 Bb4:.5 Eb5:1 G5:.5 | F5:1 D5:.5 Bb4:1 D5:.5 | Eb5:1 D5:.5 C5:1 Bb4:.5 | A4:2 -:1
  14 -:2.5 F4:.5 | D5:1 C5:.5 Bb4:1 D5:.5 | C5:1.5 A4:1 F4:.5 | Bb4:1 A4:.5 G4:1 Bb4:.5 | A4:1.5 F3:1 -:.5
  19 G4:1 Bb4:.5 Eb5:1 D5:.5 | D5:1 F5:.5 Bb4:1 D5:.5 | C5:1 Eb5:.5 A4:1 C5:.5 | Bb4:2 -:1
  26 -:2.5 D5:.5\n${again(27, 30, 5)}
  31 G5:1.5 Eb5:1 Bb4:.5 | C5:1 Eb5:.5 G4:1 C5:.5 | A4:1 F#4:.5 D5:1 C5:.5 | Bb4:1 A4:.5 G4:1.5`;

const VIOLIN_1 = `0 D5:.5 | G5:1 F#5:.5 G5:1 Bb5:.5 | G5:1 Eb5:.5 C5:1 Eb5:.5 | D5:1 F#5:.5 A5:1 C6:.5 | Bb5:1.5 G5:1 -:.5
  9 G4:3 | F4:3 | G4:3 | F#4:2 -:1
  13 Bb4:1 D5:.5 G5:1 Bb5:.5 | A5:1 F5:.5 Eb5:1 C5:.5
  19 Bb5:3 | Bb5:3 | A5:3 | F4:2 -:1
  23 G4:3 | G4:3 | G4:3 | F#4:2 -:1
  31 G4:3 | G4:3 | F#4:3 | -:2.5 D5:.5 | G5:1 Eb5:.5 C5:1 Eb5:.5 | D5:3`;

const off = (pitch: string): string => `-:.5 ${pitch}:.5' ${pitch}' -:.5 ${pitch}' ${pitch}'`;
const VIOLIN_2 = `1 D4:3 | Eb4:3 | D4:3 | D4:3
  5 G3:.5 Bb3 D4 Bb3 D4 Bb3 | G3 C4 Eb4 C4 Eb4 C4 | A3 C4 D4 C4 D4 C4 | G3 Bb3 D4 Bb3 D4 Bb3
  9 G3 Bb3 Eb4 Bb3 Eb4 Bb3 | Bb3 D4 F4 D4 F4 D4 | G3 C4 Eb4 C4 Eb4 C4 | A3 D4 F#4 D4 F#4 D4
  13 D4:3 | Eb4:3
  15 ${['D4', 'C4', 'D4', 'D4', 'Eb4', 'D4', 'Eb4', 'D4'].map(off).join(' | ')}
  23 Bb3:.5 D4 Bb3 D4 Bb3 D4 | C4 Eb4 C4 Eb4 C4 Eb4 | A3 E4 A3 E4 A3 E4 | A3 D4 A3 D4 A3 D4
  ${again(27, 30, 5)}
  31 G3 Bb3 Eb4 Bb3 Eb4 Bb3 | G3 C4 Eb4 C4 Eb4 C4 | A3 C4 D4 C4 D4 C4 | G3+Bb3:3 | Eb4:3 | D4:3`;

const VIOLA = `1 Bb3:3 | C4:3 | A3:3 | Bb3:3 | Bb3:3 | C4:3 | A3:3 | Bb3:3 | Bb3:3 | Bb3:3 | C4:3 | D4:3
  13 Bb3:3 | A3:3
  15 ${['Bb3', 'A3', 'Bb3', 'A3', 'Bb3', 'Bb3', 'A3', 'Bb3'].map(off).join(' | ')}
  23 G3:3 | C3:3 | C#3:3 | D3:3
  27 Bb3:3 | C4:3 | A3:3 | Bb3:3 | Bb3:3 | C4:3 | A3:3 | Bb3:3 | C4:3 | Bb3:3`;

const CELLO = `1 G2:3 | G2:3 | F#2:3 | G2:3 | G2:3 | C3:3 | D3:3 | G2:3 | Eb3:3 | D3:3 | C3:3 | D3:3
  13 G2:3 | F2:3
  15 Bb2:1.5 F2 | A2 F2 | G2 D3 | F2 A2 | Eb2 Bb2 | D2 F2 | C2 F2 | Bb2:3
  23 G3:1 Bb3:.5 D4:1 C4:.5 | Eb4:1 D4:.5 C4:1 G3:.5 | A3:1 C#4:.5 E4:1 G4:.5 | F#4:1.5 D4:1 C4:.5
  27 G2:3 | C3:3 | D3:3 | G2:3 | Eb3:3 | C3:3 | D3:3 | G2:3 | G2:3 | G2:3`;

const bowed = (
  name: string,
  line: string,
  channel: number,
  program: number,
  dynamics: string,
  switches: number,
): Plan => ({
  name,
  lines: [line],
  touch: 'bowed',
  dynamics,
  curves: [1, 11],
  channel,
  program,
  keySwitches: [
    { midi: switches, beforeBar: 1 },
    { midi: switches + 5, beforeBar: 15 },
    { midi: switches, beforeBar: 23 },
  ],
});

const PLANS: readonly Plan[] = [
  {
    name: 'Singstimme (Sopran)',
    lines: [VOICE],
    touch: 'sung',
    dynamics: '1:mf 15:mp 27:f 33:mf',
    curves: [11],
    channel: 0,
    program: 52,
    scatterMs: 18,
  },
  bowed('Violine 1', VIOLIN_1, 1, 40, '1:mf 5:p 13:mf 15:p 19:fff 22:pp 23:ff 27:p 34:mp> 36:p', 24),
  bowed('Violine 2', VIOLIN_2, 2, 40, '1:p 23:ff 27:p', 24),
  bowed('Bratsche', VIOLA, 3, 41, '1:p', 24),
  bowed('Violoncello', CELLO, 4, 42, '1:p 23:mp 27:p', 12),
];
const STRINGS = ['Violine 1', 'Violine 2', 'Bratsche', 'Violoncello'];
const BALANCE = ['background-as-loud', 'background-covers', 'background-above-melody', 'support-over-lead'];

export const liedQuartet: KindFolder = {
  id: 'lied-quartet',
  trade:
    'A song for soprano and string quartet, a sketch for voice and cello and then a folder with one file a player.',
  half: 'tuning',
  files: (seed) =>
    new Map([
      ['01_Skizze.mid', oneFile(PIECE, [PLANS[0]!, PLANS[4]!], { seed: seed + 9 })],
      ...fileByPart(
        PIECE,
        PLANS,
        { seed, offAsZero: true },
        ({ name }, index) => `02_Quartett/${String(index + 1)}_${name}.mid`,
      ),
    ]),
  truth: {
    parts: {
      'Singstimme (Sopran)': ['voice-soprano'],
      'Violine 1': ['violin'],
      'Violine 2': ['violin'],
      Bratsche: ['viola'],
      Violoncello: ['cello'],
    },
    players: { 'Singstimme (Sopran)': 1, 'Violine 1': 1, 'Violine 2': 1, Bratsche: 1, Violoncello: 1 },
    notes: notesOfPlans(PIECE, PLANS),
    chords: chordsFrom(
      piecesBars(PIECE),
      `1 Gm | Cm/G | D7/F# | Gm | Gm | Cm | D7 | Gm | Eb | Bb/D | Cm | D | Gm | F7
       15 Bb | F/A | Gm | Dm/F | Eb | Bb/D | F7/C | Bb | Gm | Cm | A7/C# | D7
       27 Gm | Cm | D7 | Gm | Eb | Cm | D7 | Gm | Cm/G | Gm`,
    ),
    meters: [{ fromBar: 1, numerator: 6, denominator: 8 }],
    keys: [
      { fromBar: 1, tonic: 'G', mode: 'minor' },
      { fromBar: 15, tonic: 'Bb', mode: 'major' },
      { fromBar: 23, tonic: 'G', mode: 'minor' },
    ],
    onGrid: true,
    swing: 1,
    style: 'song',
    front: leads(
      ['Violine 1', 0, 3],
      [['Violine 1', 'Singstimme (Sopran)'], 4, 4],
      ['Singstimme (Sopran)', 5, 12],
      ['Violine 1', 13, 13],
      [['Violine 1', 'Singstimme (Sopran)'], 14, 14],
      ['Singstimme (Sopran)', 15, 22],
      ['Violoncello', 23, 25],
      [['Violoncello', 'Singstimme (Sopran)'], 26, 26],
      ['Singstimme (Sopran)', 27, 34],
      ['Violine 1', 35, 36],
    ),
    flaws: [
      {
        id: 'two-notes-on-one-string',
        bars: [34, 34],
        parts: ['Violine 2'],
        rules: ['double-stop', 'one-string', 'too-many-notes', 'same-string'],
        say: 'G3 and B flat 3 lie both on the lowest string of a violin.',
        weigh: true,
      },
      {
        id: 'violin-over-the-singer',
        bars: [19, 21],
        parts: ['Violine 1'],
        rules: BALANCE,
        say: 'The first violin holds high notes at full strength over a singer who is mezzo piano.',
        weigh: true,
      },
      {
        id: 'soprano-too-low',
        bars: [18, 18],
        parts: ['Singstimme (Sopran)'],
        rules: ['outside-range', 'edge-of-range', 'tessitura'],
        say: 'F3 is on no soprano.',
        weigh: true,
      },
      {
        id: 'violins-over-the-cello',
        bars: [23, 26],
        parts: ['Violine 1', 'Violine 2'],
        rules: BALANCE.filter((rule) => rule !== 'background-above-melody'),
        say: 'The cello has the tune mezzo piano and both violins play fortissimo.',
        weigh: true,
      },
      {
        id: 'octaves-of-viola-and-cello',
        bars: [11, 12],
        parts: ['Bratsche', 'Violoncello'],
        rules: ['parallel-perfects'],
        say: 'Viola and cello both step from C to D, in octaves, at the half close.',
        weigh: true,
      },
    ],
    clean: [
      {
        rules: ['outside-range', 'edge-of-range', 'wide-leap'],
        parts: STRINGS,
        say: 'What lies below is key switches; the notes are all in easy compass.',
      },
      { rules: ['breath', 'never-rests'], parts: STRINGS, say: 'Strings do not breathe.' },
      { rules: ['breath'], parts: ['Singstimme (Sopran)'], bars: [4, 22], say: 'She has a rest every four bars.' },
      { rules: ['late-part'], say: 'Nobody is late.' },
      {
        rules: ['static-part', 'restless-part', 'repeated-notes'],
        parts: ['Violine 2', 'Bratsche'],
        say: 'An accompaniment figure.',
      },
      { rules: BALANCE, bars: [5, 12], say: 'Soft low strings under the voice.' },
      { rules: ['background-above-melody'], bars: [23, 26], say: 'A cello that leads has its accompaniment above it.' },
      { rules: ['crossing'], parts: ['Violoncello', 'Bratsche'], bars: [23, 26], say: 'The cello has the tune.' },
      { rules: ['foreground-ends-first'], say: 'The first violin has the postlude.' },
      {
        rules: ['inaudible-entry', 'too-many-notes'],
        parts: ['Violine 1', 'Bratsche', 'Violoncello'],
        say: 'Single lines that are heard.',
      },
    ],
  },
};
