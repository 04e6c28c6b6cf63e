/** A student's first arrangement for the friends at school: one velocity for everything, and most mistakes that one makes. */
import type { KindFolder } from '../kind.ts';
import type { Piece } from '../write/export.ts';
import { notesOfPlans, oneFile, piecesBars } from '../write/export.ts';
import type { Plan, Touch } from '../write/perform.ts';
import { chordsFrom, leads } from '../write/plans.ts';

const PIECE: Piece = {
  lastBar: 24,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [{ fromBar: 1, tempo: 100 }],
  ticksPerQuarter: 96,
};

const FLUTE = `1 G5:1 E5 G5 C6 | B5 A5 G5:2 | A5:1 F5 A5 C6 | G5:3 -:1 | E5 G5 C6 B5 | A5 G5 F5 E5 | D5 F5 E5 D5 | C5:3 -:1
  9 G4:4 | A4 | Bb3:4 | C5:3 -:1
  17 C6:4 | D6 | C6 | B5:2 -:2 | C6:4 | C6 | D6:2 B5 | C6:3 -:1`;
const CLARINET = `1 E4:4 | D4 | C4 | E4 | G3 | C4 | D4 | E4:3 -:1
  9 E4:4 | F4 | D4 | E4 | E4 | F4 | D4 | C4:3 -:1
  17 E4:.5 G4 E4 G4 E4 G4 E4 G4 | F4 A4 F4 A4 F4 A4 F4 A4 | E4 G4 E4 G4 E4 G4 E4 G4 | D4 G4 D4 G4 D4 G4 D4 G4
  21 E4 G4 E4 G4 E4 G4 E4 G4 | F4 A4 F4 A4 F4 A4 F4 A4 | D4 F4 D4 F4 D4 F4 D4 F4 | C4:3 -:1
  13 C#3:4`;
const SAX = `1 G4:4 | G4 | F4 | G4 | E4 | A4 | F4 | G4:3 -:1
  9 C4:4 | C4 | F4 | G4 | C4 | C4 | F4 | E4:3 -:1
  17 G4:4 | A4 | G4 | G4 | G4 | A4 | F4 | G4:3 -:1`;
const TRUMPET = `17 E5:1 C5 E5 G5 | F5 A5 F5:2 | E5:1 G5 E5 C5 | D5:3 -:1 | E5 C5 E5 G5 | A5 G5 F5 E5 | D5 F5 B4 D5 | C5:3 -:1`;
const VIOLIN = `9 E5:1.5 F5:.5 G5:1 E5 | F5 A5 C6:2 | B5:1.5 A5:.5 G5:1 F5 | E5:3 -:1 | G5:1.5 A5:.5 G5:1 E5 | F5 C6 A5 F5 | D5:1.5 E5:.5 F5:1 B4 | C5:3 -:1
  17 C5:4 | C5 | C5 | B4:4 | C5 | C5 | B4 | G3+B3:3 -:1`;
const CELLO = `1 C3:4 | G2 | F2 | C3 | C3 | F3 | G3 | C3:3 -:1
  9 C3:4 | F2 | G2 | C3 | C3 | F2 | G2 | C3:3 -:1
  17 C2+E2:4 | F2+A2 | C2+E2 | G2+B2 | C2+E2 | F2+A2 | G2 | B1:3 -:1`;
const LEFT = `1 C3:1 G3 C3 G3 | G2 D3 G2 D3 | F2 C3 F2 C3 | C3 G3 C3 G3 | C3 G3 C3 G3 | F2 C3 F2 C3 | G2 D3 G2 D3 | C3:3 -:1
  9 %1 | %3 | %2 | %1 | %1 | %3 | %2 | %8
  17 %1 | %3 | %1 | %2 | %1 | %3 | %2 | %8`;
const RIGHT = `1 E4+G4:2 E4+G4 | D4+G4 D4+G4 | F4+A4 F4+A4 | E4+G4 E4+G4 | E4+G4 E4+G4 | F4+A4 F4+A4 | F4+B4 F4+B4 | E4+G4:3 -:1
  9 E4+G4:2 E4+G4 | F4+A4 F4+A4 | F4+B4 F4+B4 | E4+G4 E4+G4 | C5+E6:4 | F4+A4:2 F4+A4 | F4+B4 F4+B4 | E4+G4:3 -:1
  17 %1 | %3 | %1 | %2 | %1 | %3 | %7 | %8
  13 C4+A4+E6:4`;

const plan = (name: string, lines: readonly string[], touch: Touch, channel: number, program: number): Plan => ({
  name,
  lines,
  touch,
  dynamics: '1:mf',
  flat: 80,
  channel,
  program,
  scatterMs: 10,
});

const PLANS: readonly Plan[] = [
  plan('Flute (Mia)', [FLUTE], 'blown', 0, 73),
  plan('Clarinet in Bb (Tom)', [CLARINET], 'blown', 1, 71),
  plan('Alto Sax', [SAX], 'blown', 2, 65),
  plan('Trumpet in Bb', [TRUMPET], 'blown', 3, 56),
  plan('Violin', [VIOLIN], 'bowed', 4, 40),
  plan('Cello', [CELLO], 'bowed', 5, 42),
  plan('Piano', [RIGHT, LEFT], 'keys', 6, 0),
];
const FLAT = ['background-as-loud', 'background-covers', 'support-over-lead', 'inaudible-entry'];

export const firstArrangement: KindFolder = {
  id: 'first-arrangement',
  trade: "A student's first arrangement for seven friends, without any dynamics.",
  half: 'tuning',
  files: (seed) => new Map([['school song FINAL final.mid', oneFile(PIECE, PLANS, { seed })]]),
  truth: {
    parts: {
      'Flute (Mia)': ['flute'],
      'Clarinet in Bb (Tom)': ['clarinet-bflat'],
      'Alto Sax': ['sax-alto'],
      'Trumpet in Bb': ['trumpet-bflat'],
      Violin: ['violin'],
      Cello: ['cello'],
      Piano: ['piano'],
    },
    players: {
      'Flute (Mia)': 1,
      'Clarinet in Bb (Tom)': 1,
      'Alto Sax': 1,
      'Trumpet in Bb': 1,
      Violin: 1,
      Cello: 1,
      Piano: 1,
    },
    notes: notesOfPlans(PIECE, PLANS),
    chords: chordsFrom(
      piecesBars(PIECE),
      `1 C | G | F | C | C | F | G7 | C | C | F | G7 | C | C | F | G7 | C | C | F | C | G | C | F | G7 | C`,
    ),
    meters: PIECE.meters,
    keys: [{ fromBar: 1, tonic: 'C', mode: 'major' }],
    onGrid: true,
    swing: 1,
    style: 'classical',
    front: leads(['Flute (Mia)', 1, 8], ['Violin', 9, 16], ['Trumpet in Bb', 17, 24]),
    flaws: [
      {
        id: 'flute-too-low',
        bars: [11, 11],
        parts: ['Flute (Mia)'],
        rules: ['outside-range'],
        say: 'B flat 3 is on no flute, and is no note of G7 either.',
        weigh: true,
      },
      {
        id: 'clarinet-too-low',
        bars: [13, 13],
        parts: ['Clarinet in Bb (Tom)'],
        rules: ['outside-range'],
        say: 'C sharp 3 is a semitone under the lowest note of the clarinet.',
        weigh: true,
      },
      {
        id: 'cello-too-low',
        bars: [24, 24],
        parts: ['Cello'],
        rules: ['outside-range'],
        say: 'B1 is under the lowest string of the cello.',
        weigh: true,
      },
      {
        id: 'fifths-of-clarinet-and-cello',
        bars: [5, 7],
        parts: ['Clarinet in Bb (Tom)', 'Cello'],
        rules: ['parallel-perfects'],
        say: 'Clarinet and cello go C to F to G in open fifths.',
        weigh: true,
      },
      {
        id: 'thirds-at-the-bottom',
        bars: [17, 22],
        parts: ['Cello'],
        rules: ['crowded-low'],
        say: 'Thirds on C2 and F2 in the cello under everything: mud.',
        weigh: true,
      },
      {
        id: 'two-notes-on-one-string',
        bars: [24, 24],
        parts: ['Violin'],
        rules: ['double-stop', 'one-string', 'same-string', 'too-many-notes'],
        say: 'G3 and B3 lie both on the lowest string of a violin.',
        weigh: true,
      },
      {
        id: 'right-hand-too-wide',
        bars: [13, 13],
        parts: ['Piano'],
        rules: ['hand-span', 'too-many-notes'],
        say: 'C4, A4 and E6 over a moving left hand: an octave and a half more than a hand.',
        weigh: true,
      },
      {
        id: 'flute-over-the-trumpet',
        bars: [17, 24],
        parts: ['Flute (Mia)'],
        rules: ['background-above-melody'],
        say: 'The flute sits on long high notes above the tune of the trumpet.',
        weigh: true,
      },
    ],
    clean: [
      { rules: FLAT, say: 'Nobody wrote any dynamics: nothing follows from them.' },
      { rules: ['late-part'], say: 'Nobody is late.' },
      {
        rules: ['outside-range', 'tessitura'],
        parts: ['Alto Sax', 'Trumpet in Bb', 'Violin', 'Piano'],
        say: 'Within range.',
      },
      { rules: ['breath'], say: 'Rests every four to eight bars at this speed are enough.', parts: ['Trumpet in Bb'] },
      { rules: ['never-rests'], parts: ['Trumpet in Bb', 'Violin'], say: 'They rest for many bars.' },
      { rules: ['harp-pedals', 'timpani-tuning', 'brass-endurance'], say: 'No such thing here.' },
    ],
  },
};
