/** An air for three recorders with viol and harpsichord, German names; velocities from a keyboard, the recorders blow one strength. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { lifted } from '../compose/breathing.ts';
import { figured, instead, moved, music, within } from '../compose/compose.ts';
import { clean, flaw, folder, inChannels, inOneFile, lead, member, truthOf } from '../compose/folder.ts';
import { basses, chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';

const piece: Piece = {
  lastBar: 24,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [
    { fromBar: 1, tempo: 84 },
    { fromBar: 24, tempo: 66 },
  ],
  keys: [{ fromBar: 1, fifths: 0, minor: false }],
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 C | G | Am | Em | F | C | G | C | F | G | Am | Dm | F | C | G | C
   17 C | F | G | Am | Dm | C | G | C`,
);
const tune = music(
  bars,
  `1 E6:1.5 F6:.5 G6:1 E6 | D6:1 B5 D6:1.5 C6:.5 | C6:1 E6 A6 G6 | G6:2 E6:1 -:1
   5 A6:1 G6:.5 F6 A6:1 F6 | G6:1 E6 C6:1.5 D6:.5 | B5:1 D6 G6 F6 | E6:3 -:1
   9 F6:1 A6 C6:1 F6 | D6:1 G6 B5 D6 | E6:1 C6 A5:1.5 B5:.5 | D6:2 F6:1 -:1
   13 A6:1 F6 C6 F6 | E6:1.5 D6:.5 C6:1 E6 | D6:1 G6 D6 B5 | C6:3 -:1
   17 C6:.5 D6 E6 F6 G6 E6 C6 E6 | F6 E6 F6 G6 A6 G6 F6 A6 | G6 F6 E6 D6 B5 C6 D6 G6 | E6 D6 C6 B5 A5 B5 C6 E6
   21 D6 E6 F6 G6 A6 G6 F6 D6 | E6 F6 G6 F6 E6 D6 C6 E6 | D6 C6 B5 C6 D6 E6 F6 D6 | C6:4`,
);
const ENDS = [4, 8, 12, 16, 24];
const roots = basses(spans, 45);
const [second = [], third = []] = innerVoices(spans, tune, roots, [
  [67, 79],
  [60, 72],
]).map((line) => lifted(bars, line, [...ENDS, 18, 20, 22]));
const alto = instead(second, 6, 6, music(bars, '6 G5:2 E4:1 G5'));
// The tenor has its music of bars 8 to 11 a bar later.
const tenor = instead(third, 9, 12, moved(bars, within(third, 8, 11), 4));
// A semitone too high, struck short on the strong beats.
const viol = instead(lifted(bars, roots, [8, 16]), 18, 18, music(bars, "18 F#2:1' -:1 F#2:1' -:1"));
const hand = innerVoices(spans, [], roots, [
  [64, 74],
  [60, 69],
  [55, 65],
]);
const harpsichord = [
  ...figured(hand, bars, 1, 16, '012@0:2 012@2:2'),
  ...figured(hand, bars, 17, 23, "012@0:1' 012@1:1' 012@2:1' 012@3:1'"),
  ...figured(hand, bars, 24, 24, '012@0:4'),
  ...figured([roots], bars, 1, 24, '0@0:4'),
];
const blown = { scatterMs: 14 };
const members = inChannels([
  member(bars, 'Sopranblockflöte', ['recorder-soprano'], 1, 'blown', '1:mf', tune, { ...blown, program: 74 }),
  member(bars, 'Altblockflöte', ['recorder-treble'], 1, 'blown', '1:mp', alto, { ...blown, program: 74 }),
  member(bars, 'Tenorblockflöte', ['recorder-tenor'], 1, 'blown', '1:mp', tenor, { ...blown, program: 74 }),
  member(bars, 'Viola da gamba', ['viol-bass'], 1, 'bowed', '1:mp', viol, { program: 42 }),
  member(bars, 'Cembalo (B.c.)', ['harpsichord'], 1, 'keys', '1:mp', harpsichord, { program: 6 }),
]);
const CONTINUO = ['Viola da gamba', 'Cembalo (B.c.)'];

export const recorderConsort = folder(
  'recorder-consort',
  'an air for three recorders with viol and harpsichord, German names, velocities alone',
  inOneFile('Air (Blockflöten + Bc).mid', piece, members),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'C', mode: 'major' }],
    style: 'classical',
    front: [lead(1, 24, 'Sopranblockflöte')],
    flaws: [
      flaw('alto too low', 6, 6, ['Altblockflöte'], ['outside-range', 'wide-leap'], 'E4 lies under a treble recorder.'),
      flaw(
        'tenor a bar late',
        9,
        12,
        ['Tenorblockflöte'],
        ['displaced-part', 'clashing-second'],
        'The tenor has the chords of the bar before.',
      ),
      flaw('no breath', 17, 24, ['Sopranblockflöte'], ['breath', 'stamina'], 'Seven bars of eighths without a gap.'),
      flaw(
        'wrong bass',
        18,
        18,
        ['Viola da gamba'],
        ['clashing-second', 'root-not-in-bass'],
        'F sharp under a chord of F, which the harpsichord has over its own F.',
      ),
    ],
    clean: [
      clean('The continuo plays on.', ['never-rests', 'static-part', 'unchanged-texture', 'restless-part'], CONTINUO),
      clean('Viol and left hand are one bass.', ['bass-doubled-too-close', 'parallel-perfects'], CONTINUO),
      clean(
        'The harpsichord fills, also above the tenor.',
        ['crossing', 'leftover-track', 'incomplete-chord'],
        ['Cembalo (B.c.)'],
      ),
      clean('Recorders have no forte: their strength is one.', ['flat-dynamics', 'background-as-loud']),
    ],
  }),
);
