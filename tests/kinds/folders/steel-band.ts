/** A calypso for steel band: pans by their names, engine room; velocities alone. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { again, figured, instead, moved, music, strokes, within } from '../compose/compose.ts';
import { clean, flaw, folder, inChannels, inOneFile, lead, member, truthOf } from '../compose/folder.ts';
import { basses, chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';

const piece: Piece = {
  lastBar: 24,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [{ fromBar: 1, tempo: 116 }],
  keys: [{ fromBar: 1, fifths: 0, minor: false }],
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 C | F | G | C | C | Am | Dm | G | C | F | G | C | F | C | G | C
   17 Am | Dm | G | C | F | C | G | C`,
);
const strain = music(
  bars,
  `1 -:.5 E5 G5 E5 C5:1 E5 | -:.5 F5 A5 F5 C5:1 A4 | -:.5 D5 G5 D5 B4:1 D5 | E5:2 -:2
   5 -:.5 E5 G5 E5 C5:1 G5 | -:.5 E5 A5 E5 C5:1 A4 | -:.5 D5 F5 D5 A4:1 F5 | D5:2 -:2`,
);
const tune = [
  ...strain,
  ...again(bars, strain, 1, 4, 9),
  ...music(
    bars,
    `13 A5:1 F5 C5:1.5 F5:.5 | G5:1 E5 C5:1.5 E5:.5 | D5:1 B4 G4:1.5 B4:.5 | C5:2 -:2
     17 -:.5 E5 A5 E5 C5:1 E5 | -:.5 D5 F5 D5 A4:1 D5 | -:.5 B4 D5 B4 G4:1 B4 | C5:1 E5 G5 -:1
     21 A5:1 F5 C5:1.5 F5:.5 | G5:1 E5 C5:1.5 E5:.5 | D5:1 B4 G4:1.5 B4:.5 | C5:3 -:1`,
  ),
];
const roots = basses(spans, 52);
const [a = [], b = [], c = [], d = []] = innerVoices(spans, [], roots, [
  [60, 72],
  [57, 68],
  [52, 64],
  [48, 59],
]);
const seconds = figured([a, b], bars, 1, 23, '01@.5:.5 01@1.5:.5 01@2.5:.5 01@3.5:.5');
const chordsOf = (from: number, to: number) => figured([c, d], bars, from, to, '01@0:1.5 01@1.5:1.5 01@3:1');
const guitarRight = chordsOf(1, 24);
// A bar late: the chords of 16 to 19 in 17 to 20.
const guitar = instead(guitarRight, 17, 20, moved(bars, within(guitarRight, 16, 19), 4));
const bass = instead(
  figured([roots], bars, 1, 24, '0@0:1.5 0@1.5:1.5 0@3:1'),
  6,
  6,
  music(bars, '6 Bb3:1.5 Bb3 Bb3:1'),
);
const room = strokes(bars, 1, 24, '56@0 56@1 56@2 56@3 42@.5 42@1.5 42@2.5 42@3.5 36@0 36@2');
const PAN = ['steel-pans'];
const struck = { program: 114 };
const members = inChannels([
  member(bars, 'Tenor Pan', PAN, 1, 'struck', '1:f', tune, struck),
  member(bars, 'Double Seconds', PAN, 1, 'struck', '1:p 9:fff 13:p', seconds, struck),
  member(bars, 'Guitar Pans', PAN, undefined, 'struck', '1:p', guitar, struck),
  member(bars, 'Bass Pans', PAN, undefined, 'struck', '1:mp', bass, struck),
  member(bars, 'Engine Room', ['percussion-unpitched'], undefined, 'struck', '1:mp', room, { channel: 9 }),
]);

export const steelBand = folder(
  'steel-band',
  'a calypso for steel band with pans of four sizes and engine room, velocities alone',
  inOneFile('Savannah road.mid', piece, members),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'C', mode: 'major' }],
    style: 'song',
    front: [lead(1, 24, 'Tenor Pan')],
    flaws: [
      flaw('wrong bass', 6, 6, ['Bass Pans'], ['clashing-second', 'root-not-in-bass'], 'B flat under A minor.'),
      flaw(
        'seconds over the tune',
        9,
        12,
        ['Double Seconds'],
        ['background-as-loud', 'background-covers', 'support-over-lead'],
        'The strummed chords are at full strength under the tune.',
      ),
      flaw(
        'guitars a bar late',
        17,
        20,
        ['Guitar Pans'],
        ['displaced-part', 'clashing-second'],
        'The chords of the bar before.',
      ),
    ],
    clean: [
      clean('Pans repeat their figures.', [
        'never-rests',
        'static-part',
        'repeated-notes',
        'restless-part',
        'unchanged-texture',
        'parallel-perfects',
        'hollow-without-foreground',
        'incomplete-chord',
        'entry-off-phrase',
      ]),
      clean('Seconds and tenor share a register.', ['crossing', 'leftover-track'], ['Double Seconds']),
    ],
  }),
);
