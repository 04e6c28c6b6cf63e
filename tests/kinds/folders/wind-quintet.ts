/** A wind quintet, named in German, with expression drawn by hand; a waltz in E flat in five paragraphs. */
import type { KindFolder } from '../kind.ts';
import type { Piece } from '../write/export.ts';
import { fileByPart, notesOfPlans, oneTrack, piecesBars } from '../write/export.ts';
import type { Plan } from '../write/perform.ts';
import { again, chordsFrom, leads } from '../write/plans.ts';

const PIECE: Piece = {
  lastBar: 40,
  meters: [{ fromBar: 1, numerator: 3, denominator: 4 }],
  tempi: [
    { fromBar: 1, tempo: 104 },
    { fromBar: 17, tempo: 98 },
    { fromBar: 25, tempo: 104 },
    { fromBar: 39, tempo: 92 },
  ],
  ticksPerQuarter: 480,
};

const FLUTE = `
  1 Eb5:1 G5 Bb5 | Bb5:1.5 Ab5:.5 F5:1 | G5:1 C6 Bb5 | Ab5:2 G5:1 | F5 Ab5 C6 | Bb5:1.5 G5:.5 Eb5:1 | F5 C6:.5 Bb5 Ab5 F5 | Eb5:2 -:1
  20 -:1 G5:.5 D5 Bb4 G4 | - | -:1 D5:.5 F5 G5 B4 | C5:1 - -
  29 F5:1 Ab5 C6 | Bb5:1.5 G5:.5 Eb5:1 | F5 D6:.5 C6 Bb5 Ab5 | G5:2 -:1
  ${again(33, 38, 1)}
  39 F5:1 D6:.5 C6 Bb5 D5 | Eb5:3
  20 -:1 D5:.5 Bb4 G4 Bb3`;

const OBOE = `
  5 C5:3 | Bb4:3 | D5:3 | Bb4:2 -:1
  9 Bb4:1 D5 F5 | F5:1.5 Eb5:.5 C5:1 | D5 G5 F5 | Eb5:2 D5:1 | C5 Eb5 G5 | F5:1.5 D5:.5 Bb4:1 | C5 G5:.5 F5 Eb5 C5 | Bb4:2 -:1
  17 Bb4:2 -:1 | -:3 | C5:2 -:1 | -:3 | G4:2 -:1
  33 Eb4:1 G4 Bb4 | Bb4:1.5 Ab4:.5 F4:1 | G4:1 C5 Bb4 | Ab4:2 G4:1 | F4 Ab4 C5 | Bb4:1.5 G4:.5 Eb4:1 | F4 D5:.5 C5 Bb4 D4 | Eb4:3`;

const CLARINET = `
  1 -:1 G4' G4' | - Ab4' Ab4' | - G4' G4' | - F4' F4' | - F4' F4' | - G4' G4' | - Ab4' Ab4' | - G4' -
  9 F4:3 | F4:3 | G4:3 | G4:3 | G4:3 | F4:3 | F4:3 | F4:2 -:1
  17 D5:1.5 Eb5:.5 D5:1 | C5 Eb5 G5 | F#5:2 D5:1 | G4:2 A4:.5 Bb4 | C5:1.5 D5:.5 Eb5:1 | F5 Eb5 D5 | Eb5 D5 C5 | Bb4:2 -:1
  25 -:1 G3' Bb3' | - Ab3' Ab3' | - G3' G3' | - C4' C4'
  29 - C4' F4' | - Eb4' G4' | - Ab4' Ab4' | - G4' -
  33 Bb3:.5 Eb4 G4 Eb4 G4 Eb4 | Bb3 D4 Ab4 D4 Ab4 D4 | C4 Eb4 G4 Eb4 G4 Eb4 | Ab3 C4 F4 C4 F4 C4
  37 F4 C4 F4 C4 F4 C4 | Eb4 Bb3 Eb4 Bb3 G4 Eb4 | Ab4 D4 F4 D4 Ab4 D4 | G4:3
  13 Eb6:3 | D6:3`;

const HORN = `
  1 -:1 Bb3' Bb3' | - Bb3' Bb3' | - Eb4' Eb4' | - C4' C4' | - C4' C4' | - Eb4' Eb4' | - Bb3' Bb3' | - Bb3' -
  9 D4:3 | C4:3 | Bb3:3 | Eb4:2 -:1 | Eb4:3 | D4:3 | C4:3 | D4:2 -:1
  17 Bb3:3 | C4:3 | C4:3 | Bb3:2 -:1 | G3:3 | G3:3 | G3:3 | Ab3:2 -:1
  25 Eb4:1 G4 Bb4 | Bb4:1.5 Ab4:.5 F4:1 | G4 C5 Bb4 | Ab4:2 G4:1
  29 C4:3 | Eb4:3 | D4:3 | Eb4:2 -:1
  33 G3:3 | F3:3 | G3:3 | C4:3 | C4:3 | G3:3 | Ab3:3 | G3:3`;

const BASSOON = `
  1 Eb3:1' - - | D3' - - | C3' - - | F3' - - | Ab2' - - | Bb2' - - | Bb2' - - | Eb3' Bb2' Eb2'
  9 Bb2:.5 D3 F3 D3 F3 D3 | A2 C3 Eb3 C3 Eb3 C3 | G2 Bb2 D3 Bb2 D3 Bb2 | C3 Eb3 G3 Eb3 G3 Eb3
  13 Eb3 C3 Eb3 G3 Eb3 G3 | F2 Bb2 D3 Bb2 D3 Bb2 | F2 A2 Eb3 A2 Eb3 A2 | Bb2 F2 Bb2 D3 F3 D3
  17 G2 D3 G3 D3 Bb2 D3 | Eb3 G3 C3 G3 Eb3 G3 | F#2 A2 D3 A2 C3 A2 | G2 Bb2 D3 Bb2 D3 Bb2
  21 C3 Eb3 G3 Eb3 G3 Eb3 | B2 D3 G3 D3 F3 D3 | C3 Eb3 G3 Eb3 C3 Eb3 | Bb2 D3 F3 D3 Ab2 D3
  25 Eb3 Bb2 G3 Bb2 Eb3 Bb2 | D3 Bb2 F3 Bb2 Ab3 Bb2 | C3 G2 Eb3 G2 C3 G2 | F3 C3 Ab3 C3 F3 C3
  29 Ab2:1' - - | Bb2' - - | Bb2' - - | Eb3' Bb2' Eb3'
  33 Eb3:3 | D3:3 | C3:3 | F3:3 | Ab2:3 | Bb2:3 | Bb2:3 | Eb3:3`;

const wind = (name: string, line: string, channel: number, program: number, dynamics: string): Plan => ({
  name,
  lines: [line],
  touch: 'blown',
  dynamics,
  curves: [11],
  channel,
  program,
  volume: 100,
});

const PLANS: readonly Plan[] = [
  wind('Flöte', FLUTE, 0, 73, '1:mf 9:p 20:mp 29:p 33:mf> 36:f> 40:mf'),
  wind('Oboe', OBOE, 1, 68, '1:p 9:mf 17:p 33:mf> 36:f> 40:mf'),
  wind('Klarinette in B', CLARINET, 2, 71, '1:p 9:p 13:f 15:p 17:mf 25:p 33:mp> 36:mf> 40:mp'),
  wind('Horn in F', HORN, 3, 60, '1:p 9:p 17:p 25:mf 29:fff 33:mp> 36:mf> 40:mp'),
  wind('Fagott', BASSOON, 4, 70, '1:p 9:p 17:p 25:p 29:p 33:mp> 36:mf> 40:mp'),
];

export const windQuintet: KindFolder = {
  id: 'wind-quintet',
  trade: 'A movement for wind quintet, a sketch and then one file a player, expression drawn by hand.',
  half: 'tuning',
  files: (seed) =>
    new Map([
      // The sketch is the two outer parts in one track of format 0; the score is one file a player.
      ['1 Skizze.mid', oneTrack(PIECE, [PLANS[0]!, PLANS[4]!], { seed: seed + 100, conductorName: 'Skizze' })],
      ...fileByPart(PIECE, PLANS, { seed }, ({ name }, index) => `2 Quintett/${String(index + 1)} ${name}.mid`),
    ]),
  truth: {
    parts: {
      Flöte: ['flute'],
      Oboe: ['oboe'],
      'Klarinette in B': ['clarinet-bflat'],
      'Horn in F': ['horn-f'],
      Fagott: ['bassoon'],
    },
    players: { Flöte: 1, Oboe: 1, 'Klarinette in B': 1, 'Horn in F': 1, Fagott: 1 },
    notes: notesOfPlans(PIECE, PLANS),
    chords: chordsFrom(
      piecesBars(PIECE),
      `1 Eb | Bb7/D | Cm | Fm | Fm/Ab | Eb/Bb | Bb7 | Eb | Bb | F7/A | Gm | Cm | Cm/Eb | Bb/F | F7 | Bb
       17 Gm | Cm/Eb | D7/F# | Gm | Cm | G7/B | Cm | Bb7 | Eb | Bb7/D | Cm | Fm | Fm/Ab | Eb/Bb | Bb7 | Eb
       33 Eb | Bb7/D | Cm | Fm | Fm/Ab | Eb/Bb | Bb7 | Eb`,
    ),
    meters: [{ fromBar: 1, numerator: 3, denominator: 4 }],
    keys: [
      { fromBar: 1, tonic: 'Eb', mode: 'major' },
      { fromBar: 9, tonic: 'Bb', mode: 'major' },
      { fromBar: 17, tonic: 'G', mode: 'minor' },
      { fromBar: 25, tonic: 'Eb', mode: 'major' },
    ],
    onGrid: true,
    swing: 1,
    style: 'classical',
    front: leads(
      ['Flöte', 1, 8],
      ['Oboe', 9, 16],
      ['Klarinette in B', 17, 24],
      ['Horn in F', 25, 28],
      ['Flöte', 29, 32],
      [['Flöte', 'Oboe'], 33, 40],
    ),
    flaws: [
      {
        id: 'flute-below-its-foot',
        bars: [20, 20],
        parts: ['Flöte'],
        rules: ['outside-range'],
        say: 'B flat 3 lies under the lowest note of the flute.',
        weigh: true,
      },
      {
        id: 'clarinet-over-the-oboe',
        bars: [13, 14],
        parts: ['Klarinette in B'],
        rules: ['background-above-melody', 'background-as-loud', 'background-covers', 'support-over-lead', 'crossing'],
        say: 'The clarinet holds high E flat and D, forte, an octave over the tune of the oboe.',
        weigh: true,
      },
      {
        id: 'bassoon-without-breath',
        bars: [9, 28],
        parts: ['Fagott'],
        rules: ['breath', 'never-rests'],
        say: 'Twenty bars of quavers without a rest: where does the bassoon breathe?',
        weigh: true,
      },
      {
        id: 'horn-over-the-flute',
        bars: [29, 32],
        parts: ['Horn in F'],
        rules: ['background-as-loud', 'background-covers', 'support-over-lead'],
        say: 'The horn keeps its solo strength, fortissimo, while the flute leads softly.',
        weigh: true,
      },
      {
        id: 'fifths-of-horn-and-bassoon',
        bars: [35, 36],
        parts: ['Horn in F', 'Fagott'],
        rules: ['parallel-perfects'],
        say: 'Horn and bassoon go from C and G to F and C in open fifths.',
        weigh: true,
      },
    ],
    clean: [
      { rules: ['late-part'], say: 'Nobody is late: everybody scatters by a dozen milliseconds.' },
      { rules: ['too-many-notes', 'double-stop', 'string-skip', 'hand-span'], say: 'Single lines of single winds.' },
      {
        rules: ['incomplete-chord', 'root-not-in-bass'],
        bars: [1, 8],
        say: 'A waltz: the bass has the first beat and the chord comes after it; the six-four belongs to the cadence.',
      },
      {
        rules: ['parallel-perfects', 'background-as-loud', 'background-covers', 'support-over-lead'],
        parts: ['Oboe'],
        bars: [33, 40],
        say: 'The oboe doubles the tune of the flute an octave below: it is part of the lead.',
      },
      {
        rules: ['outside-range', 'tessitura', 'high-entry'],
        parts: ['Horn in F', 'Oboe', 'Fagott'],
        say: 'All within the usual compass.',
      },
      { rules: ['all-at-once'], say: 'Nobody comes in together with most of the others.' },
      { rules: ['inaudible-entry'], say: 'Every entry can be heard.' },
    ],
  },
};
