/** A bluegrass song: fiddle intro, two verses, mandolin break; studio names, an old banjo take left in the session. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { again, figured, instead, music, transposed, within } from '../compose/compose.ts';
import { clean, flaw, folder, inChannels, inOneFile, lead, member, truthOf } from '../compose/folder.ts';
import { basses, chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';

const piece: Piece = {
  lastBar: 32,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [{ fromBar: 1, tempo: 116 }],
  keys: [{ fromBar: 1, fifths: 1, minor: false }],
  markers: [
    { bar: 1, text: 'Intro' },
    { bar: 9, text: 'Verse' },
    { bar: 25, text: 'Break' },
  ],
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 G | G | C | G | G | Em | D | G | G | G | C | G | G | G | D | D
   17 G | G | C | G | G | Em | D | G | G | G | C | G | G | Em | D | G`,
);
const tune = music(
  bars,
  `1 B4:1 D5:.5 E5 D5:1 B4 | G4:1 A4:.5 B4 D5:2 | E5:1 G5:.5 E5 D5:1 C5 | D5:3 B4:1
   5 B4:1 D5:.5 E5 D5:1 B4 | G4:1 B4:.5 A4 G4:1 E4 | F#4:1 A4:.5 G4 F#4:1 D4 | G4:3 -:1`,
);
const voice = music(
  bars,
  `9 -:1 D4:.5 D4 G4:1 A4 | B4:2 A4:.5 G4:.5 D4:1 | -:1 E4:.5 G4 C5:1 B4 | B4:3 -:1
   13 -:1 D4:.5 D4 G4:1 A4 | B4:2 D5:1 B4 | A4:2 F#4:1 E4 | D4:3 -:1
   17 -:1 D4:.5 D4 G4:1 A4 | B4:4 | -:1 E4:.5 G4 C5:1 B4 | B4:3 -:1
   21 -:1 D4:.5 D4 G4:1 A4 | B4:2 G4:1 E4 | D4:1 F#4 A4 F#4 | G4:3 -:1`,
);
const breakTune = again(bars, tune, 1, 8, 25);
const hand = innerVoices(
  spans,
  [],
  [],
  [
    [66, 78],
    [60, 72],
    [55, 67],
  ],
);
const roots = basses(spans, 43);
const fifths = transposed(roots, '-4P');
const twoFeel = [...figured([roots], bars, 1, 31, '0@0:1'), ...figured([fifths], bars, 1, 31, '0@2:1')].sort(
  (a, b) => a.start - b.start,
);
const bass = [...instead(twoFeel, 14, 14, music(bars, '14 G#2:1 -:1 D#2:1 -:1')), ...music(bars, '32 G2:3 -:1')];
const chop = figured(hand, bars, 1, 24, '012@1:.25 012@3:.25');
const mandolin = [...chop, ...instead(breakTune, 28, 28, music(bars, '28 D5:1 G4 F3 B4'))];
const boomChick = figured(hand, bars, 1, 32, '2@0:.5 01@1:.5 2@2:.5 01@3:.5');
const rollOf = (from: number, to: number) =>
  figured(hand, bars, from, to, '0@0:.5 1@.5:.5 2@1:.5 0@1.5:.5 1@2:.5 2@2.5:.5 0@3:.5 1@3.5:.5');
const roll = rollOf(1, 32);
const fiddle = [
  ...tune,
  ...music(bars, '12 D5:3 -:1 | -:4 | -:4 | -:4 | A4:3 -:1 | -:4 | C5:4 | -:4 | -:4'),
  ...music(bars, '21 D5:4 | B4:4 | A4:4 | B4:3 -:1'),
];

const VOX = ['voice', 'voice-tenor', 'voice-baritone', 'voice-alto'];
const members = inChannels([
  member(bars, 'Lead Vox', VOX, 1, 'sung', '9:mf', voice, { program: 53, latenessMs: 10, scatterMs: 16 }),
  member(bars, 'Fiddle', ['violin'], 1, 'bowed', '1:f 12:p 21:fff', fiddle, { program: 40 }),
  member(bars, 'Mando', ['mandolin'], 1, 'plucked', '1:mp 25:f', mandolin, { program: 25 }),
  member(bars, 'Banjo', ['banjo'], 1, 'plucked', '1:mp 9:p', roll, { program: 105 }),
  member(bars, 'Banjo old', ['banjo'], undefined, 'plucked', '1:mp', within(roll, 1, 8), { program: 105 }),
  member(bars, 'Gtr', ['guitar'], 1, 'plucked', '1:mp', boomChick, { program: 25 }),
  member(bars, 'Upright Bass', ['double-bass'], 1, 'plucked', '1:mf', bass, { program: 32 }),
]);
const RHYTHM = ['Mando', 'Banjo', 'Gtr', 'Upright Bass'];

export const bluegrass = folder(
  'bluegrass',
  'a bluegrass song with fiddle intro and mandolin break, studio names, an old take left in',
  inOneFile('creek road 5.mid', piece, members),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'G', mode: 'major' }],
    style: 'song',
    front: [lead(1, 8, 'Fiddle'), lead(9, 24, 'Lead Vox'), lead(25, 32, 'Mando')],
    flaws: [
      flaw('old take', 1, 8, ['Banjo old', 'Banjo'], ['leftover-track'], 'The old take has every note of the banjo.'),
      flaw(
        'wrong bass',
        14,
        14,
        ['Upright Bass'],
        ['clashing-second', 'root-not-in-bass'],
        'G sharp and D sharp under G major: a semitone high.',
      ),
      flaw(
        'fiddle beside the singer',
        18,
        18,
        ['Fiddle'],
        ['clashing-second'],
        'The fiddle holds C5 a semitone over the B4 that the singer holds; the chord is G.',
      ),
      flaw(
        'fiddle over the singer',
        21,
        24,
        ['Fiddle'],
        ['background-as-loud', 'background-covers', 'background-above-melody', 'covered-from-above'],
        'Long notes of the fiddle as loud as it can over the last lines.',
      ),
      flaw('mandolin too low', 28, 28, ['Mando'], ['outside-range'], 'F3 is under the open G of the mandolin.'),
    ],
    clean: [
      clean(
        'Rhythm parts repeat: chop, roll, boom-chick.',
        [
          'never-rests',
          'static-part',
          'repeated-notes',
          'restless-part',
          'unchanged-texture',
          'parallel-perfects',
          'late-part',
          'displaced-part',
          'crossing',
          'support-over-lead',
        ],
        RHYTHM,
      ),
      clean('The bass goes to and fro between root and fifth.', ['root-not-in-bass'], ['Upright Bass'], 1, 13),
      clean('Everybody plays the chords.', ['incomplete-chord', 'hole-between-parts'], RHYTHM),
    ],
  }),
);
