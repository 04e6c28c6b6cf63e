/** A processional for brass quintet, tracks from the tuba up, shaped by breath controllers; solo of the horn in the middle. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { lifted } from '../compose/breathing.ts';
import { again, instead, music } from '../compose/compose.ts';
import { clean, flaw, inChannels, inOneFile, keptAside, lead, member, truthOf } from '../compose/folder.ts';
import { chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';
import { empty } from '../compose/leftovers.ts';

const piece: Piece = {
  lastBar: 32,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [
    { fromBar: 1, tempo: 84 },
    { fromBar: 32, tempo: 66 },
  ],
  keys: [{ fromBar: 1, fifths: -2, minor: false }],
  ticksPerQuarter: 1024,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 Bb | Eb Bb | F | Bb | Bb | Gm | Eb | F | Bb | Gm | Cm7 F7 | Bb | Eb | Bb/D | Eb | F | Gm/Bb | Cm | F7 | Bb
   21 Gm | D7/F# | Gm | C7 F7 | Bb | Gm | Eb | F | Bb | Gm | Cm7 F7 | Bb`,
);
const opening = music(bars, '1 F4:1 Bb4:.5 C5 D5:1 F5 | Eb5:1 D5:.5 C5 D5:2 | C5:1.5 D5:.5 C5:1 A4 | Bb4:3 -:1');
const theme = music(
  bars,
  `5 D5:1.5 Eb5:.5 F5:1 D5 | Bb4:2 D5:1 G5 | G5:1.5 F5:.5 Eb5:1 D5 | C5:3 -:1
   9 D5:1.5 Eb5:.5 F5:1 D5 | G5:2 D5:1 Bb4 | Eb5:1 C5 A4 C5 | Bb4:3 -:1`,
);
const build = music(bars, '21 G4:1 Bb4 D5:1.5 C5:.5 | A4:1 D5 A5:2 | G5:2 D5:1 Bb4 | G5:1 E5 A4 -:1');
const trumpet1 = [...opening, ...theme, ...build, ...again(bars, theme, 5, 12, 25)];
const solo = music(
  bars,
  `13 G3:1 Bb3 Eb4:1.5 D4:.5 | D4:2 F4:1 D4 | Bb3:1 Eb4 G4:1.5 F4:.5 | F4:3 -:1
   17 G4:1.5 F4:.5 D4:1 Bb3 | Eb4:1.5 D4:.5 C4:1 G3 | A3:1 C4 Eb4 C4 | D4:3 -:1`,
);
// From bar 21 the tuba is held without a breath to the end.
const tuba = music(
  bars,
  `1 Bb1:4 | Eb2:2 Bb1 | F2:4 | Bb1:3 -:1 | Bb1:2 D2 | G2:4 | Eb2:4 | F2:3 -:1 | Bb1:2 F2 | G2:4 | C2:2 F2 | Bb1:3 -:1
   13 Eb2:4 | D2:4 | Eb2:4 | F2:3 -:1 | Bb1:4 | C2:4 | F2:4 | Bb1:3 -:1
   21 G2:4 | F#2:4 | G2:4 | C2:2 F2 | Bb1:2 D2 | G2:4 | Eb2:4 | F2:4 | Bb1:2 F2 | G2:4 | C2:2 F2 | Bb1:4`,
);
const tutti = spans.filter(({ bar }) => bar < 13 || bar > 20);
const inner = innerVoices(tutti, trumpet1, tuba, [
  [58, 74],
  [53, 67],
  [50, 62],
]).map((line) => lifted(bars, line, [4, 8, 12, 24, 28, 32]));
const [second = [], third = [], fourth = []] = inner;
const trumpet2 = [
  ...instead(
    instead(second, 5, 8, music(bars, '5 Bb4:4 | Bb4:4 | G4:4 | A4:3 -:1')),
    11,
    11,
    music(bars, '11 C3:2 A3'),
  ),
  ...music(bars, '13 G4:4 | F4:4 | G4:4 | A4:3 -:1 | Bb4:4 | G4:4 | F4:4 | F4:3 -:1'),
];
const horn = [...instead(third, 5, 8, music(bars, '5 F4:4 | D4:4 | Bb3:4 | C4:3 -:1')), ...solo];
const trombone = [
  ...instead(fourth, 5, 8, music(bars, '5 Bb3:4 | G3:4 | Eb3:4 | F3:3 -:1')),
  ...music(bars, '13 Bb2:4 | Bb2:4 | Eb3:4 | C3:3 -:1 | D3:4 | Eb3:4 | Eb3:4 | D3:3 -:1'),
];

const drawn = { curves: [2] as const };
const members = inChannels([
  member(bars, 'Tuba', ['tuba'], 1, 'blown', '1:mp 13:p 21:mp', tuba, { ...drawn, program: 58 }),
  member(bars, 'Trombone', ['trombone-tenor'], 1, 'blown', '1:mf 5:mp 13:p 17:fff 21:mp', trombone, {
    ...drawn,
    program: 57,
  }),
  member(bars, 'F Horn', ['horn-f'], 1, 'blown', '1:mp 13:mf 21:mp', horn, { ...drawn, program: 60 }),
  member(bars, 'Bb Trumpet 2', ['trumpet-bflat'], 1, 'blown', '1:mf 5:mp 13:pp 21:mp', trumpet2, {
    ...drawn,
    program: 56,
    scatterMs: 16,
  }),
  member(bars, 'Bb Trumpet 1', ['trumpet-bflat'], 1, 'blown', '1:f 5:mf 9:f 21:mf> 25:f', trumpet1, {
    ...drawn,
    program: 56,
  }),
  empty(bars, 'Picc. Tpt (tacet)'),
]);
const QUINTET = ['Tuba', 'Trombone', 'F Horn', 'Bb Trumpet 2', 'Bb Trumpet 1'];

export const brassQuintet = keptAside(
  'brass-quintet',
  'a processional for brass quintet with a solo of the horn, shaped by a breath controller',
  inOneFile('Processional (5tet).mid', piece, members, { conductorName: 'Processional' }),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'Bb', mode: 'major' }],
    style: 'classical',
    front: [lead(1, 12, 'Bb Trumpet 1'), lead(13, 20, 'F Horn'), lead(21, 32, 'Bb Trumpet 1')],
    flaws: [
      flaw(
        'fifths of horn and trombone',
        5,
        8,
        ['F Horn', 'Trombone'],
        ['parallel-perfects'],
        'Horn and trombone walk down in open fifths through the first phrase of a chorale.',
      ),
      flaw(
        'second trumpet too low',
        11,
        11,
        ['Bb Trumpet 2'],
        ['outside-range'],
        'C3 lies under the lowest valve note of the trumpet.',
      ),
      flaw(
        'trombone over the horn',
        17,
        20,
        ['Trombone'],
        ['background-as-loud', 'background-covers', 'support-over-lead'],
        'The trombone holds its inner notes as loud as it can under the solo of the horn.',
      ),
      flaw(
        'tuba without a breath',
        21,
        32,
        ['Tuba'],
        ['breath', 'brass-endurance', 'stamina'],
        'Half a minute of held low notes without a place to breathe.',
      ),
    ],
    clean: [
      clean(
        'Five players carry everything: they go on in their phrases and breathe at the ends.',
        ['never-rests'],
        QUINTET,
      ),
      clean(
        'Tuba and trombone share the bass in octaves, as in every quintet.',
        ['bass-doubled-too-close', 'parallel-perfects'],
        ['Tuba'],
      ),
      clean(
        'The second trumpet holds softly above the horn that has the solo.',
        ['crossing', 'background-above-melody', 'covered-from-above', 'far-from-foreground', 'inaudible-entry'],
        ['Bb Trumpet 2'],
        13,
        20,
      ),
      clean('G5 is no high note for a first trumpet.', ['tessitura', 'high-entry', 'edge-of-range'], ['Bb Trumpet 1']),
      clean('A brass player rests eight bars: enough.', ['brass-endurance', 'stamina'], ['Bb Trumpet 1']),
      clean('The track that is tacet is no part.', 'any', ['Picc. Tpt (tacet)']),
    ],
  }),
);
