/**
 * Two arrangements that no threshold was set on, each clean and with a list of flaws in it at once. The lists were written before the rules
 * were run on either: what a teacher would mark in red, in words, then done to the notes by hand.
 */
import type { RuleName } from '../../../src/model/readings/rule-names.ts';
import type { Ensemble } from '../planted/ensembles.ts';
import { cleanPiece } from '../planted/ensembles.ts';
import type { Phrase } from '../planted/phrases.ts';
import type { Line, LineNote, Piece } from '../planted/piece.ts';
import { barStart, inBars, notesIn, replaced, withLine } from '../planted/piece.ts';

export interface MarkedFlaw {
  /** As a teacher writes it beside the bar. */
  readonly remark: string;
  readonly from: number;
  readonly to: number;
  /** Whose part it is in. */
  readonly part: string;
  readonly rule: RuleName;
  readonly spoil: (piece: Piece) => Piece;
}

export interface KeptAside {
  readonly name: string;
  readonly clean: Piece;
  readonly flaws: readonly MarkedFlaw[];
}

const line = (name: string, program: number, players = 1): Omit<Line, 'notes'> => ({ name, program, players });

/** `pitch:beats` words from the beginning of a bar; keys of MIDI. */
function written(piece: Piece, bar: number, words: string, velocity: number): readonly LineNote[] {
  let start = barStart(piece, bar);
  return words.split(' ').map((word) => {
    const [midi = 60, length = 1] = word.split(':').map(Number);
    const note = { start, length, midi, velocity };
    start += length;
    return note;
  });
}

const WALTZ_A: Phrase = [
  ['i', '1:1 3:1 5:1'],
  ['iv', '8:1.5 6:.5 4:1'],
  ['i', '5:2 3:1'],
  ['V', '2:2 r:1'],
  ['i', '3:1 5:1 8:1'],
  ['iv', '6:1.5 8:.5 6:1'],
  ['V7', '5:1 4:1 2:1'],
  ['i', '1:2 r:1'],
];
const WALTZ_B: Phrase = [
  ['III', '5:2 7:1'],
  ['VII', '4:1.5 5:.5 7:1'],
  ['VI', '8:1 6:1 8:1'],
  ['III', '7:2 r:1'],
  ['iv', '6:1 8:1 4:1'],
  ['i', '5:1.5 8:.5 5:1'],
  ['V', '5:1 #7:1 5:1'],
  ['V7', '4:1 2:1 r:1'],
];

const CLARINET: Ensemble = {
  name: 'Clarinet and strings',
  meter: { numerator: 3, denominator: 4 },
  tempo: 92,
  fifths: 1,
  minor: true,
  tuneTonic: 76,
  phrases: [WALTZ_A, WALTZ_B],
  solo: line('Clarinet in A', 71),
  leftHand: false,
  soloVelocity: 102,
  voices: [
    { ...line('Violin I', 40, 8), compass: [62, 81] },
    { ...line('Violin II', 40, 6), compass: [57, 76] },
    { ...line('Viola', 41, 4), compass: [50, 69] },
    { ...line('Violoncello', 42), compass: [40, 57] },
  ],
  velocity: 44,
  doubling: { ...line('Double Bass', 43, 2), doubles: 'bass', velocity: 46 },
};

const clarinet = cleanPiece(CLARINET);

const MARCH_A: Phrase = [
  ['I', '3:1 4:1 5:2'],
  ['IV', '6:1.5 5:.5 4:2'],
  ['I', '5:1 3:1 8:1.5 7:.5'],
  ['V', '7:2 5:1 r:1'],
  ['vi', '8:1 6:1 5:1 3:1'],
  ['ii/6', '4:1.5 6:.5 4:2'],
  ['V7', '2:1 4:1 7,:1 2:1'],
  ['I', '1:3 r:1'],
];
const MARCH_B: Phrase = [
  ['vi', '6:1 8:1 6:2'],
  ['iii', '5:1.5 7:.5 5:2'],
  ['IV', '8:1 6:1 4:2'],
  ['I', '5:3 r:1'],
  ['ii', '6:1.5 5:.5 4:2'],
  ['II7', '6:1 8:1 6:1 #4:1'],
  ['V', '5:1 7:1 5:2'],
  ['V7', '4:2 2:1 r:1'],
];

const VIOLIN: Ensemble = {
  name: 'Violin and winds',
  meter: { numerator: 4, denominator: 4 },
  tempo: 116,
  fifths: -3,
  minor: false,
  tuneTonic: 75,
  phrases: [MARCH_A, MARCH_B],
  solo: line('Violin solo', 40),
  leftHand: false,
  soloVelocity: 106,
  voices: [
    { ...line('Oboe', 68), compass: [62, 79] },
    { ...line('Clarinet in Bb', 71), compass: [56, 74] },
    { ...line('Horn in F', 60), compass: [48, 65] },
    { ...line('Bassoon', 70), compass: [39, 55] },
  ],
  velocity: 44,
  doubling: { ...line('Contrabassoon', 70), doubles: 'bass', velocity: 40 },
};

const violin = cleanPiece(VIOLIN);

export const KEPT_ASIDE: readonly KeptAside[] = [
  {
    name: CLARINET.name,
    clean: clarinet,
    flaws: [
      {
        remark: 'Second violins drown the firsts.',
        from: 9,
        to: 12,
        part: 'Violin II',
        rule: 'support-over-lead',
        spoil: (piece) => inBars(piece, 'Violin II', 9, 12, (note) => ({ ...note, velocity: 112 })),
      },
      {
        remark: 'No B flat 1 on a cello.',
        from: 28,
        to: 28,
        part: 'Violoncello',
        rule: 'outside-range',
        spoil: (piece) => inBars(piece, 'Violoncello', 28, 28, (note) => ({ ...note, midi: 34 })),
      },
      {
        remark: 'Violas are marked to come in here, and the fader is down.',
        from: 17,
        to: 19,
        part: 'Viola',
        rule: 'inaudible-entry',
        spoil: (piece) =>
          withLine(piece, 'Viola', (part) => ({
            ...part,
            expression: [
              { quarters: 0, setting: 60 },
              { quarters: barStart(piece, 16), setting: 0 },
              { quarters: barStart(piece, 20), setting: 60 },
            ],
          })),
      },
      {
        remark: 'A single cellist cannot stop C sharp and F sharp on the low string.',
        from: 22,
        to: 22,
        part: 'Violoncello',
        rule: 'double-stop',
        spoil: (piece) =>
          inBars(piece, 'Violoncello', 22, 22, (note) => [
            { ...note, midi: 37 },
            { ...note, midi: 42 },
          ]),
      },
      {
        remark: 'The tune comes to rest on E and the first violins sit on B above it.',
        from: 8,
        to: 8,
        part: 'Violin I',
        rule: 'background-above-melody',
        spoil: (piece) => inBars(piece, 'Violin I', 8, 8, (note) => ({ ...note, midi: 83 })),
      },
      {
        remark: 'Basses at cello pitch: the written octave was taken for the sounding one.',
        from: 33,
        to: 36,
        part: 'Double Bass',
        rule: 'bass-doubled-too-close',
        spoil: (piece) => inBars(piece, 'Double Bass', 33, 36, (note) => ({ ...note, midi: note.midi + 12 })),
      },
      {
        remark: 'The clarinet is gone, the strings hang on.',
        from: 40,
        to: 40,
        part: 'Clarinet in A',
        rule: 'foreground-ends-first',
        spoil: (piece) => inBars(piece, 'Clarinet in A', 40, 40, (note) => ({ ...note, length: 0.75 })),
      },
    ],
  },
  {
    name: VIOLIN.name,
    clean: violin,
    flaws: [
      {
        remark: 'Where does the clarinet breathe?',
        from: 17,
        to: 30,
        part: 'Clarinet in Bb',
        rule: 'breath',
        spoil: (piece) => {
          const turns = [17, 18, 19, 20, 21, 22, 23, 24, 25, 26, 27, 28, 29, 30].flatMap((bar) => {
            const key = notesIn(piece, 'Clarinet in Bb', bar, bar)[0]?.midi ?? 62;
            return written(piece, bar, [0, 2, 0, -1, 0, 2, 0, -1].map((step) => `${key + step}:0.5`).join(' '), 60);
          });
          return replaced(piece, 'Clarinet in Bb', 17, 30, turns);
        },
      },
      {
        remark: 'A cold high D for the horn.',
        from: 17,
        to: 17,
        part: 'Horn in F',
        rule: 'high-entry',
        spoil: (piece) => replaced(piece, 'Horn in F', 17, 17, written(piece, 17, '75:2 72:2', 50)),
      },
      {
        remark: 'From low F to high D flat in a quaver, on the clarinet.',
        from: 13,
        to: 13,
        part: 'Clarinet in Bb',
        rule: 'wide-leap',
        spoil: (piece) => replaced(piece, 'Clarinet in Bb', 13, 13, written(piece, 13, '53:0.5 73:0.5 68:3', 46)),
      },
      {
        remark: 'Semiquavers at this speed on one note are more than a bassoon can tongue.',
        from: 21,
        to: 22,
        part: 'Bassoon',
        rule: 'repeated-notes',
        spoil: (piece) => {
          const key = notesIn(piece, 'Bassoon', 21, 21)[0]?.midi ?? 48;
          const words = Array.from({ length: 32 }, () => `${key}:0.25`).join(' ');
          return replaced(piece, 'Bassoon', 21, 22, written(piece, 21, words, 46));
        },
      },
      {
        remark: 'Everybody fortissimo under the fiddle, the horn most of all.',
        from: 33,
        to: 36,
        part: 'Horn in F',
        rule: 'background-as-loud',
        spoil: (piece) =>
          ['Oboe', 'Clarinet in Bb', 'Horn in F', 'Bassoon', 'Contrabassoon'].reduce(
            (changed, name) => inBars(changed, name, 33, 36, (note) => ({ ...note, velocity: 122 })),
            piece,
          ),
      },
      {
        remark: 'Thirds of bassoon and contrabassoon in the cellar.',
        from: 25,
        to: 28,
        part: 'Contrabassoon',
        rule: 'crowded-low',
        spoil: (piece) => {
          const notes = [25, 26, 27, 28].flatMap((bar) => {
            const key = notesIn(piece, 'Bassoon', bar, bar)[0]?.midi ?? 48;
            return [{ bar, key: key > 44 ? key - 12 : key }];
          });
          const held = (name: string, above: number) => (changed: Piece) =>
            replaced(
              changed,
              name,
              25,
              28,
              notes.flatMap(({ bar, key }) => written(piece, bar, `${key + above}:4`, 40)),
            );
          return held('Contrabassoon', 0)(held('Bassoon', 4)(piece));
        },
      },
    ],
  },
];
