/** A number for two singers and a pit band whose players double: reeds, brass, violin, cello, two keyboards, guitar, bass and drums. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { allShort, figured, instead, music, strokes, tied, within } from '../compose/compose.ts';
import { clean, flaw, folder, inChannels, inOneFile, lead, member, truthOf } from '../compose/folder.ts';
import { basses, chords, fourParts } from '../compose/harmony.ts';

const piece: Piece = {
  lastBar: 40,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [
    { fromBar: 1, tempo: 88 },
    { fromBar: 21, tempo: 96 },
  ],
  markers: [
    { bar: 1, text: 'Intro' },
    { bar: 5, text: 'Rosalind' },
    { bar: 21, text: 'Tobias' },
    { bar: 29, text: 'Both' },
    { bar: 37, text: 'Playoff' },
  ],
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 F | Bb | F | C7
   5 F | C | Dm | Am | Bb | F/A | Gm7 | C7 | F | A7 | Dm | Bb | Gm7 | C7 | F | F
   21 Bb | F/A | Gm7 | F | Bb | A7 | Dm | C7
   29 F | C | Dm | Am | Bb | C7 | F | F
   37 Bb | C7 | F | F`,
);
const rosalind = music(
  bars,
  `5 A4:1 C5:1.5 A4:.5 C5:1 | G4:1.5 A4:.5 C5:2 | F4:1 A4 D5:1.5 C5:.5 | C5:2 A4 | D5:1.5 C5:.5 Bb4:2 | A4:1 C5 F4:2 | G4:1 Bb4 D5 C5 | Bb4:2 G4
   13 A4:1 C5:1.5 A4:.5 F4:1 | G4:1.5 A4:.5 C#5:2 | D5:1 F5 E5 D5 | D5:2 F4 | Bb4:1 D5 C5 Bb4 | C5:2 E4 | F4:2 A4 | F4:3 -:1
   29 A4:1 C5:1.5 A4:.5 C5:1 | G4:1.5 A4:.5 C5:2 | F4:1 A4 D5:1.5 C5:.5 | C5:3 -:1 | D5:1.5 C5:.5 Bb4:2 | E5:2 C5:1 Bb4 | A4:4 | =:3 -:1`,
);
const tobias = music(
  bars,
  `21 D4:1.5 C4:.5 Bb3:2 | A3:1 C4 F3:2 | G3:1 Bb3 D4:1.5 C4:.5 | A3:3 -:1 | D4:1 F4 Bb4 D5 | C#5:2 A4:1 E4 | F4:1.5 E4:.5 D4:1 A3 | C4:3 -:1
   29 F3:1 A3:1.5 F3:.5 A3:1 | G3:2 E3 | D3:1 F3 A3:2 | A3:3 -:1 | Bb3:1.5 A3:.5 F3:2 | G3:2 C4 | C4:4 | =:3 -:1`,
);
const fluteTune = music(bars, '37 D5:1 F5 Bb5 A5 | G5:1.5 E5:.5 C5:2 | F5:1 A5 C6:2 | F5:3 -:1');
const pianoTune = music(bars, '1 C5:1 F5 A5:1.5 G5:.5 | F5:1 D5 Bb4:2 | A4:1 C5 F5:2 | E5:2 Bb4');
const lines = fourParts(
  spans,
  'F',
  [
    [60, 72],
    [55, 67],
    [50, 62],
    [41, 53],
  ],
  within(rosalind, 5, 36),
);
const [first = [], second = [], third = [], fourth = []] = lines;
const roots = basses(spans, 36);
const comping = '3@0:1 012@1:.5 012@1.5:1 3@2:1 012@3:1';
const piano = [
  ...pianoTune,
  ...figured(lines, bars, 1, 4, '3@0:1 12@1:1 3@2:1 12@3:1'),
  ...figured(lines, bars, 5, 39, comping),
  ...figured(lines, bars, 40, 40, '0123@0:3'),
];
const guitar = [
  ...figured(lines, bars, 5, 20, '3@0:.5 2@.5:.5 1@1:.5 0@1.5:.5 2@2:.5 1@2.5:.5 0@3:.5 1@3.5:.5'),
  ...figured(lines, bars, 21, 39, "012@1:.5' 012@3:.5'"),
];
const pad = instead(
  [
    ...figured(lines, bars, 9, 12, '012@0:4'),
    ...figured(lines, bars, 17, 20, '012@0:4'),
    ...figured(lines, bars, 29, 36, '012@0:4'),
  ],
  21,
  24,
  music(bars, '21 F2+Bb2+D3:4 | F2+A2+C3:4 | G2+Bb2+D3:4 | F2+A2+C3:4'),
);
const bass = [
  ...figured([roots], bars, 5, 39, '0@0:1.5 0@1.5:.5 0@2:1.5 0@3.5:.5'),
  ...figured([roots], bars, 40, 40, '0@0:3'),
];
const reed1 = [
  ...music(bars, '8 -:2 E5:.5 C5 A4 A3 | -:4'),
  ...music(bars, '12 -:2 G5:.5 E5 C5 Bb4 | -:4'),
  ...music(bars, '24 -:2 C5:.5 F5 A5 C6 | -:4'),
  ...music(bars, '32 -:3 E5:.5 A5 | -:4'),
  ...fluteTune,
];
const reed2 = [...within(second, 9, 16), ...within(second, 25, 28), ...within(first, 37, 40)];
const trumpet = [
  ...music(bars, '13 A5:4 | G5:4 | F5:4 | D5:3 -:1'),
  ...music(bars, '20 -:2 F4:.5 A4 C5:1 | D5:1 -:3'),
  ...within(first, 33, 36),
  ...allShort(music(bars, '37 Bb4:1 -:3 | C5:1 -:3')),
  ...music(bars, '40 A4:3 -:1'),
];
const trombone = [
  ...allShort(figured([third], bars, 21, 28, '0@1.5:.5 0@3.5:.5')),
  ...within(third, 33, 36),
  ...music(bars, '40 C4:3 -:1'),
];
const violin = [...within(first, 17, 20), ...within(first, 29, 36), ...music(bars, '37 F5:4 | E5:4 | C5:4 | A4:3 -:1')];
const cello = [...within(fourth, 9, 20), ...within(fourth, 29, 36), ...within(fourth, 37, 40)];
const drums = [
  ...strokes(bars, 13, 20, '36@0 42@1 36@2 42@3'),
  ...strokes(bars, 21, 39, '36@0 42@.5 38@1 42@1.5 36@2 42@2.5 38@3 42@3.5'),
  ...strokes(bars, 40, 40, '49@0 36@0'),
];

const members = inChannels([
  member(bars, 'ROSALIND (vox)', ['voice', 'voice-soprano', 'voice-mezzo'], 1, 'sung', '5:mf 29:f', rosalind, {
    program: 53,
  }),
  member(bars, 'TOBIAS (bari)', ['voice-baritone'], 1, 'sung', '21:mf 29:f', tobias, { program: 53 }),
  member(bars, 'Reed 1 (Fl/Picc)', ['flute'], 1, 'blown', '8:p 37:f', reed1, { program: 73, curves: [2] }),
  member(bars, 'Reed 2 (Cl/A.Sax)', ['clarinet-bflat'], 1, 'blown', '9:p 25:p 37:mp', reed2, {
    program: 71,
    curves: [2],
  }),
  member(bars, 'Trumpet (+Flug)', ['trumpet-bflat', 'trumpet-c'], 1, 'blown', '13:ff 20:mp 33:mp', trumpet, {
    program: 56,
    curves: [2],
  }),
  member(bars, 'Trombone', ['trombone-tenor'], 1, 'blown', '21:p 33:mp', trombone, { program: 57, curves: [2] }),
  member(bars, 'Violin', ['violin'], 1, 'bowed', '17:p 29:p 37:mp', violin, {
    program: 40,
    curves: [1],
    drawn: [
      { controller: 11, bar: 1, setting: 110 },
      { controller: 11, bar: 29, setting: 0 },
      { controller: 11, bar: 37, setting: 110 },
    ],
  }),
  member(bars, 'Cello', ['cello'], 1, 'bowed', '9:p', tied(cello), { program: 42, curves: [1] }),
  member(bars, 'Keys 1 (Pno)', ['piano'], 1, 'keys', '1:mf 5:p 21:mp', piano, { program: 0 }),
  member(bars, 'Keys 1 OLD', ['piano'], undefined, 'keys', '1:mf 5:p 21:mp', piano, { program: 0, scatterMs: 4 }),
  member(
    bars,
    'Keys 2 (Str Pad)',
    ['string-ensemble', 'synthesizer', 'keyboard'],
    undefined,
    'keys',
    '9:pp 21:mp 29:p',
    pad,
    { program: 50 },
  ),
  member(bars, 'Guitar (ac/el)', ['guitar', 'electric-guitar'], 1, 'plucked', '5:p 21:mp', guitar, { program: 25 }),
  member(bars, 'Bass (el/upright)', ['bass-guitar', 'double-bass'], 1, 'plucked', '5:mp', bass, { program: 33 }),
  member(bars, 'Kit', ['percussion-unpitched'], 1, 'struck', '13:p 21:mp', drums, { channel: 9 }),
]);

export const pitBand = folder(
  'pit-band',
  'a number from a music theatre with two singers and a pit band of doublers, one file with an old track left in it',
  inOneFile('No. 6 Both of us.mid', piece, members, { conductorName: 'No. 6' }),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'F', mode: 'major' }],
    style: 'song',
    front: [
      lead(1, 4, 'Keys 1 (Pno)', 'Keys 1 OLD'),
      lead(5, 20, 'ROSALIND (vox)'),
      lead(21, 28, 'TOBIAS (bari)'),
      lead(29, 36, 'ROSALIND (vox)', 'TOBIAS (bari)'),
      lead(37, 40, 'Reed 1 (Fl/Picc)'),
    ],
    flaws: [
      flaw('flute too low', 8, 8, ['Reed 1 (Fl/Picc)'], ['outside-range'], 'A3 is below a flute with any foot.'),
      flaw(
        'no breath',
        5,
        20,
        ['ROSALIND (vox)'],
        ['breath', 'stamina'],
        'Sixteen bars of a slow song without one rest: more than forty seconds.',
      ),
      flaw(
        'trumpet over singer',
        13,
        16,
        ['Trumpet (+Flug)'],
        ['background-as-loud', 'background-covers', 'background-above-melody'],
        'A trumpet holds high notes ff above a singer mf.',
      ),
      flaw('mud', 21, 24, ['Keys 2 (Str Pad)'], ['crowded-low'], 'Close triads of the pad from F2 under a baritone.'),
      flaw('too high', 25, 26, ['TOBIAS (bari)'], ['outside-range'], 'D5 and C sharp 5 for a baritone.'),
      flaw(
        'old piano',
        1,
        40,
        ['Keys 1 OLD'],
        ['leftover-track'],
        'The old piano track plays the piano again note for note.',
      ),
      flaw(
        'unheard violin',
        29,
        36,
        ['Violin'],
        ['inaudible-entry'],
        'The expression of the violin stands at zero for eight bars of notes.',
      ),
    ],
    clean: [
      clean(
        'A rhythm section plays throughout.',
        ['never-rests', 'static-part', 'unchanged-texture'],
        ['Keys 1 (Pno)', 'Guitar (ac/el)', 'Bass (el/upright)', 'Kit'],
      ),
      clean(
        'Two singers share the last verse.',
        ['support-over-lead', 'background-as-loud', 'crossing', 'background-covers', 'parallel-perfects'],
        ['ROSALIND (vox)', 'TOBIAS (bari)'],
        29,
        36,
      ),
      clean(
        'Everybody but the flute is behind it in the playoff.',
        ['far-from-foreground'],
        ['Reed 1 (Fl/Picc)'],
        37,
        40,
      ),
      clean(
        'Fills of the reeds between the lines of the song.',
        ['background-above-melody', 'entry-off-phrase', 'crossing'],
        ['Reed 1 (Fl/Picc)'],
      ),
      clean(
        'The flute player has the piccolo beside, the clarinettist a saxophone.',
        ['outside-range', 'edge-of-range'],
        ['Reed 2 (Cl/A.Sax)'],
      ),
      clean('A kit has no harmony.', ['outside-range', 'crowded-low'], ['Kit']),
      clean('The band goes above a baritone.', ['background-above-melody', 'crossing'], undefined, 21, 28),
    ],
  }),
);
