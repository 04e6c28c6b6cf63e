/** A little suite movement for saxophone quartet with Dutch names, a file a player, controller 11; written in the classical manner. */
import { fileByPart, piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { lifted } from '../compose/breathing.ts';
import { figured, instead, music, within } from '../compose/compose.ts';
import { clean, flaw, inChannels, keptAside, lead, member, truthOf } from '../compose/folder.ts';
import { chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';

const piece: Piece = {
  lastBar: 28,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [
    { fromBar: 1, tempo: 92 },
    { fromBar: 27, tempo: 76 },
  ],
  keys: [{ fromBar: 1, fifths: -2, minor: true }],
  ticksPerQuarter: 960,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 Gm | D7/F# | Gm | Cm | Gm/D D7 | Eb | Am7b5 D7 | Gm | Bb | F/A | Gm | D/F# | Eb/G | Bb/D | Cm F7 | Bb
   17 Gm | Cm | D7 | Gm | Cm | F7/A | Bb | Eb/G | Am7b5 | D7 | Gm/D D7 | Gm`,
);
const sopranoTune = music(
  bars,
  `1 D5:1.5 C5:.5 Bb4:1 D5 | C5:2 A4:1 D5 | Bb4:1 D5 G5:1.5 F5:.5 | Eb5:1.5 D5:.5 C5:1 -:1
   5 Bb4:1 D5 C5 A4 | G4:1 Bb4 Eb5:2 | Eb5:1 C5 A4 F#4 | G4:3 -:1
   21 G5:1.5 F5:.5 Eb5:1 G5 | F5:1.5 Eb5:.5 C5:1 A4 | D5:1 F5 Bb5:1.5 A5:.5 | G5:2 Eb5:1 -:1
   25 C5:1 Eb5 G5 Eb5 | F#5:2 A5:1 F#5 | G5:1 D5 C5 A4 | G4:3 -:1`,
);
const tenorTune = music(
  bars,
  `9 D4:1.5 Eb4:.5 F4:1 D4 | C4:1.5 D4:.5 C4:1 A3 | Bb3:1 D4 G4:1.5 F4:.5 | F#4:2 D4:1 -:1
   13 Eb4:1 G4 Bb4:2 | Bb4:1 F4 D4 F4 | Eb4:1 C4 A3 C4 | Bb3:3 -:1`,
);
const altoTune = music(
  bars,
  '17 G4:1 Bb4 D5:1.5 C5:.5 | C5:1.5 Eb5:.5 C5:1 G4 | F#4:1 A4 C5:1.5 A4:.5 | Bb4:1 D5 G4:1 -:1',
);
const baritone = music(
  bars,
  `1 G2:2 Bb2 | A2:2 F#2 | G2:2 Bb2 | C3:3 -:1 | D3:4 | Eb3:4 | A2:2 D3 | G2:3 -:1 | Bb2:4 | A2:4 | G2:4 | F#2:3 -:1
   13 G2:4 | D3:4 | C3:2 F2 | Bb2:3 -:1 | G2:4 | C3:4 | D3:4 | G2:3 -:1
   21 C3:4 | A2:4 | Bb2:4 | G2:3 -:1 | A2:4 | D3:4 | D3:4 | G2:3 -:1`,
);
const [alto1 = [], tenor1 = []] = innerVoices(within(spans, 1, 8), sopranoTune, baritone, [
  [58, 72],
  [50, 65],
]);
const [soprano2 = [], alto2 = []] = innerVoices(
  within(spans, 9, 16),
  [],
  baritone,
  [
    [64, 74],
    [58, 70],
  ],
  [tenorTune],
);
const [alto3 = [], tenor3 = []] = innerVoices(within(spans, 25, 28), sopranoTune, baritone, [
  [58, 72],
  [50, 65],
]);
const HOLDS = [4, 8, 12, 16, 24, 28];
const soprano = lifted(bars, [...sopranoTune, ...instead(soprano2, 12, 12, music(bars, '12 F#3:3 -:1'))], HOLDS);
// Alto and tenor in open fifths through bars 21 to 24.
const alto = lifted(
  bars,
  [
    ...alto1,
    ...instead(alto2, 12, 13, music(bars, '12 A4:3 -:1 | G4:4')),
    ...altoTune,
    ...music(bars, '21 G4:4 | C5:4 | F4:4 | Bb4:3 -:1'),
    ...instead(alto3, 28, 28, music(bars, '28 G4:3 -:1')),
  ],
  HOLDS,
);
const tenor = lifted(
  bars,
  [
    ...tenor1,
    ...tenorTune,
    ...music(
      bars,
      '17 G3:.5 Bb3 D4 Bb3 G3 Bb3 D4 Bb3 | G3 C4 Eb4 C4 G3 C4 Eb4 C4 | F#3 C4 A3 C4 F#3 C4 A3 C4 | G3 D4 Bb3 D4 Bb3:1 -:1',
    ),
    ...music(bars, '21 C4:4 | F4:4 | Bb3:4 | Eb4:3 -:1'),
    ...instead(tenor3, 28, 28, music(bars, '28 D4:3 -:1')),
  ],
  HOLDS,
);
const bass = figured([baritone], bars, 9, 16, '0@0:2 0@2:1.5');
const drawn = { curves: [11] as const };
const members = inChannels([
  member(bars, 'Sopraansax', ['sax-soprano'], 1, 'blown', '1:mf 9:p 21:f', soprano, { ...drawn, program: 64 }),
  member(bars, 'Altsax', ['sax-alto'], 1, 'blown', '1:mp 9:p 13:fff 17:mf 21:mp', alto, { ...drawn, program: 65 }),
  member(bars, 'Tenorsax', ['sax-tenor'], 1, 'blown', '1:mp 9:mf 17:p 21:mp', tenor, { ...drawn, program: 66 }),
  member(
    bars,
    'Baritonsax',
    ['sax-baritone'],
    1,
    'blown',
    '1:mp 9:p 21:mp',
    lifted(bars, instead(baritone, 9, 16, bass), HOLDS, 0.5),
    { ...drawn, program: 67 },
  ),
]);
const QUARTET = ['Sopraansax', 'Altsax', 'Tenorsax', 'Baritonsax'];

export const saxQuartet = keptAside(
  'sax-quartet',
  'a movement for saxophone quartet with Dutch names, one file a player',
  (seed) =>
    fileByPart(
      piece,
      members.map(({ plan }) => plan),
      { seed },
      ({ name }) => `Suite deel 2/${name}.mid`,
    ),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'G', mode: 'minor' }],
    style: 'classical',
    front: [lead(1, 8, 'Sopraansax'), lead(9, 16, 'Tenorsax'), lead(17, 20, 'Altsax'), lead(21, 28, 'Sopraansax')],
    flaws: [
      flaw('soprano too low', 12, 12, ['Sopraansax'], ['outside-range', 'crossing'], 'F sharp 3 is below a soprano.'),
      flaw(
        'alto over the tenor',
        13,
        16,
        ['Altsax'],
        ['background-as-loud', 'background-covers', 'background-above-melody', 'support-over-lead'],
        'The alto blows its held notes as loud as it can into the solo of the tenor.',
      ),
      flaw(
        'fifths of alto and tenor',
        21,
        24,
        ['Altsax', 'Tenorsax'],
        ['parallel-perfects'],
        'Alto and tenor move in bare fifths for four bars.',
      ),
      flaw('last chord without third', 28, 28, [], ['incomplete-chord'], 'Nobody has the B flat of the last chord.'),
    ],
    clean: [
      clean('One player to a part; each breathes at the ends of the phrases.', ['never-rests', 'breath'], QUARTET),
      clean(
        'Soprano and alto accompany above the tenor.',
        ['crossing', 'background-above-melody', 'far-from-foreground', 'covered-from-above'],
        ['Sopraansax'],
        9,
        16,
      ),
      clean('The tenor accompanies in broken chords.', ['restless-part', 'static-part'], ['Tenorsax'], 17, 20),
      clean(
        'The soprano rests while the alto leads: three parts are enough.',
        ['hollow-without-foreground', 'hole-between-parts'],
        undefined,
        17,
        20,
      ),
      clean(
        'B flat 4 is a fine high note for a tenor.',
        ['tessitura', 'high-entry', 'edge-of-range'],
        ['Tenorsax'],
        9,
        16,
      ),
    ],
  }),
);
