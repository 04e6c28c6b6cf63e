/** A scene for soprano, tenor and a classical orchestra with crooked brass, named half in Italian and half in German; a 3/4 duet at the end. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { allShort, figured, instead, music, octaves, tied, within } from '../compose/compose.ts';
import { clean, flaw, folder, inChannels, inOneFile, lead, member, truthOf } from '../compose/folder.ts';
import { chords, fourParts } from '../compose/harmony.ts';

const piece: Piece = {
  lastBar: 32,
  meters: [
    { fromBar: 1, numerator: 4, denominator: 4 },
    { fromBar: 21, numerator: 3, denominator: 4 },
  ],
  tempi: [
    { fromBar: 1, tempo: 84 },
    { fromBar: 5, tempo: 72 },
    { fromBar: 13, tempo: 80 },
    { fromBar: 21, tempo: 84 },
    { fromBar: 31, tempo: 84 },
  ],
  keys: [{ fromBar: 1, fifths: -3, minor: false }],
  ticksPerQuarter: 256,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 Eb | Bb7 | Eb | Bb7
   5 Eb | Cm | Fm | Bb7 | Eb | Ab | Bb7 | Eb
   13 Cm | G7 | Cm | Fm | Ab | F7 | Bb | Bb7
   21 Eb | Ab | Bb7 | Eb | Cm | Fm | Bb7 | Eb
   29 Ab | Eb/G | Bb7 | Eb`,
);
const opening = music(
  bars,
  `1 Bb4:.5 Eb5 G5 Bb5 G5:1 Eb5 | D5:.5 F5 Ab5 F5 D5:1 Bb4 | Eb5:.5 G5 Bb5 G5 Eb5:1 G5 | F5:1.5 D5:.5 Bb4:1 -`,
);
const close = music(bars, '29 C5:1 Eb5 Ab5 | G5:1.5 F5:.5 Eb5:1 | D5:1 F5 Bb4 | Eb5:3');
const soprano = music(
  bars,
  `5 G4:1.5 Ab4:.5 Bb4:1 Eb5 | Eb5:1.5 D5:.5 C5:2 | C5:1 F5 Ab5 G5:.5 F5 | F5:2 D5:1 - | Eb5:1.5 F5:.5 G5:1 Bb5 | Ab5:2 C5:1 Eb5 | D5:1 F5 Bb4 D5 | Eb5:3 -:1
   21 Bb4:2 Eb5:1 | Eb5:2 C5:1 | D5:1 F5 Ab5 | G5:2 -:1 | Eb5:2 G5:1 | F5:2 Ab5:1 | F5:1 D5 Bb4 | Eb5:2 -:1`,
);
const tenorAll = music(
  bars,
  `13 G3:1.5 Ab3:.5 G3:1 C4 | D4:1.5 Eb4:.5 F4:1 D4 | Eb4:2 C4:1 G3 | Ab3:1 C4 F4:1.5 Eb4:.5 | Eb4:1 C4 Ab3 C4 | Eb4:1.5 F4:.5 A3:1 C4 | D4:2 F4:1 D4 | Bb3:3 -:1
   21 G3:2 Bb3:1 | C4:2 Ab3:1 | Bb3:1 D4 F4 | Eb4:2 -:1 | G3:2 Eb4:1 | Ab3:2 F4:1 | D4:1 Bb3 Ab3 | G3:2 -:1`,
);
// The octave of the clef was forgotten for two bars.
const tenor = instead(tenorAll, 18, 19, octaves(within(tenorAll, 18, 19), 1));

const lines = fourParts(
  spans,
  'Eb',
  [
    [60, 75],
    [55, 68],
    [50, 63],
    [38, 53],
  ],
  [...soprano],
);
const [first = [], second = [], third = [], fourth = []] = lines;
const inTenor = [...within(first, 13, 20)];
const pulse = '0@.5:.5 0@1:.5 0@1.5:.5 0@2.5:.5 0@3:.5 0@3.5:.5';
const beats = '0@1:.5 0@2:.5';
const pulsing = (line: typeof first) => [
  ...figured([line], bars, 5, 12, pulse),
  ...figured([line], bars, 13, 19, pulse),
  ...figured([line], bars, 21, 27, beats),
];
const violin1 = [
  ...opening,
  ...tied(within(first, 5, 8)),
  ...allShort(figured([first], bars, 9, 12, '0@0:1 0@2:1')),
  ...figured([inTenor], bars, 14, 19, '0@1:1 0@3:1'),
  ...within(first, 21, 28),
  ...close,
];
const violin2 = [...within(second, 1, 4), ...pulsing(second), ...within(second, 29, 32)];
const viola = instead(
  [...within(third, 1, 4), ...pulsing(third), ...within(third, 29, 32)],
  15,
  15,
  music(bars, '15 E4:4'),
);
const cello = [
  ...figured([fourth], bars, 1, 4, '0@0:2 0@2:2'),
  ...figured([fourth], bars, 5, 20, '0@0:1 0@2:1'),
  ...figured([fourth], bars, 21, 28, '0@0:1'),
  ...within(fourth, 29, 32),
];
const under = cello.flatMap((note) => (note.midi >= 40 ? octaves([note], -1) : [note]));
const basso = instead(
  under.filter(({ bar }) => bar < 13 || bar > 16),
  11,
  11,
  music(bars, '11 Bb0:1 -:1 Bb0:1 -:1'),
);
const [hornHigh, hornLow] = ['Eb4', 'Eb3'];
const horns = [
  ...music(bars, `1 ${hornLow}+${hornHigh}:2 -:2 | F4+Bb3:2 -:2 | ${hornLow}+${hornHigh}:2 -:2 | F4+Bb3:2 -:2`),
  ...music(bars, '9 G4+Bb4:4 | Eb4+C4:4 | F4+Bb3:4 | Eb4+G4:3 -:1'),
  ...music(bars, '20 Bb3+Bb4:4 | =:3 | =:3 | =:3 | =:3 | =:3 | =:3 | =:3 | =:3'),
  ...music(bars, '29 Eb4:3 | Eb4+Bb3:3 | F4+Bb3:3 | Eb4+G3:3'),
];
const trumpets = music(
  bars,
  "1 Eb4+Eb5:1' -:3 | -:4 | Eb4+Eb5:1' -:3 | F4+Bb4:1' -:3\n9 Eb5+Bb4:4 | Eb5+C5:4 | F5+Bb4:4 | Eb5+Bb4:3 -:1\n32 Eb4+Eb5:3",
);
const timpani = music(
  bars,
  '1 Eb3:1 -:3 | Bb2:1 -:3 | Eb3:1 -:3 | Bb2:1 -:3\n9 Eb3:1 Eb3 Eb3 Eb3 | Eb3:1 Eb3 Eb3 Eb3 | Bb2:1 Bb2 Bb2 Bb2 | Eb3:2 -:2\n31 Bb2:1 - - | Eb3:3',
);
const flutes = music(
  bars,
  '1 -:4 | Ab5+F5:2 -:2 | -:4 | F5+D5:2 -:2\n22 -:3 | -:3 | -:1 Bb5+G5:1 G5+Eb5 | -:3 | -:3 | -:3 | -:1 Bb5+G5:1 G5+Eb5 | C6+Ab5:3 | Bb5+G5:3 | Ab5+F5:3 | G5+Eb5:3',
);
const oboes = music(
  bars,
  '4 -:3 Bb4:1 | Eb5:1 -:3\n8 -:3 Bb4+D5:1 | -:4\n12 -:3 G4+Eb5:1 | -:4\n29 Ab4+C5:3 | G4+Bb4:3 | F4+Ab4:3 | G4+Bb4:3',
);
const clarinets = [
  ...music(bars, '13 Eb4+G4:4 | F4+G4:4 | Eb4+G4:4 | F4+Ab4:3 -:1'),
  ...within(second, 21, 24),
  ...within(third, 21, 24),
];
const bassoons = [
  ...within(fourth, 1, 4),
  ...within(fourth, 13, 16),
  ...music(bars, '29 C2+Eb2:3 | Bb1+Eb2:3 | Bb1+D2:3 | Eb2+G2:3'),
];

const members = inChannels([
  member(bars, '2 Flöten', ['flute'], 2, 'blown', '1:mf 21:p 29:mf', flutes),
  member(bars, '2 Oboen', ['oboe'], 2, 'blown', '1:mp 29:mf', oboes),
  member(bars, '2 Klarinetten in B', ['clarinet-bflat'], 2, 'blown', '13:p', clarinets),
  member(bars, '2 Fagotte', ['bassoon'], 2, 'blown', '1:mf 13:p 29:f', bassoons),
  member(bars, '2 Hörner in Es', ['horn-f', 'horn-eflat', 'natural-horn'], 2, 'blown', '1:mf 9:ff 20:mf', horns),
  member(
    bars,
    'Trombe in Es',
    ['trumpet-c', 'trumpet-bflat', 'trumpet-eflat', 'natural-trumpet'],
    2,
    'blown',
    '1:mf 9:ff 29:f',
    trumpets,
  ),
  member(bars, 'Pauken (Es, B)', ['timpani'], 1, 'struck', '1:mf 9:ff 29:f', timpani),
  member(bars, 'Mirabel (Sopran)', ['voice-soprano'], 1, 'sung', '5:mf 21:f', soprano),
  member(bars, 'Corvin (Tenor)', ['voice-tenor'], 1, 'sung', '13:mf 21:f', tenor),
  member(bars, 'Violino I', ['violin'], 'section', 'bowed', '1:f 5:p 29:f', violin1),
  member(bars, 'Violino II', ['violin'], 'section', 'bowed', '1:mf 5:p 29:mf', violin2),
  member(bars, 'Viole', ['viola'], 'section', 'bowed', '1:mf 5:p 29:mf', viola),
  member(bars, 'Violoncelli', ['cello'], 'section', 'bowed', '1:mf 5:p 29:mf', cello),
  member(bars, 'Contrabbassi', ['double-bass'], 'section', 'bowed', '1:mf 5:p 29:mf', basso),
]);
const strings = ['Violino I', 'Violino II', 'Viole', 'Violoncelli', 'Contrabbassi'];

export const operaScene = folder(
  'opera-scene',
  'a scene for soprano, tenor and classical orchestra with crooked horns and trumpets, no controllers at all',
  inOneFile('Scena II.mid', piece, members, { offAsZero: true }),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'Eb', mode: 'major' }],
    style: 'classical',
    front: [
      lead(1, 4, 'Violino I'),
      lead(5, 12, 'Mirabel (Sopran)'),
      lead(13, 20, 'Corvin (Tenor)'),
      lead(21, 28, 'Mirabel (Sopran)', 'Corvin (Tenor)'),
      lead(29, 32, 'Violino I'),
    ],
    flaws: [
      flaw(
        'covered soprano',
        9,
        12,
        ['2 Hörner in Es', 'Trombe in Es', 'Pauken (Es, B)'],
        ['background-as-loud', 'background-covers'],
        'Horns, trumpets and timpani ff, held and beaten, under a soprano mf.',
      ),
      flaw(
        'basses too low',
        11,
        11,
        ['Contrabbassi'],
        ['outside-range'],
        'B flat 0 lies below the lowest string, of five strings as well.',
      ),
      flaw(
        'wrong tone',
        15,
        15,
        ['Viole'],
        ['clashing-second', 'incomplete-chord', 'unresolved-tone'],
        'E natural in the violas against the E flat of the tenor and of the chord.',
      ),
      flaw(
        'tenor an octave too high',
        18,
        19,
        ['Corvin (Tenor)'],
        ['outside-range'],
        'Up to F5 where F4 is meant: the octave of the clef.',
      ),
      flaw(
        'horns without breath',
        20,
        28,
        ['2 Hörner in Es'],
        ['breath', 'stamina', 'never-rests', 'static-part'],
        'Two horns hold one octave mf for nine bars, twenty seconds, without a breath.',
      ),
      flaw('mud', 29, 31, ['2 Fagotte'], ['crowded-low'], 'Thirds of the bassoons on C2 and B flat 1.'),
    ],
    clean: [
      clean(
        'Crooked brass in pairs.',
        ['too-many-notes', 'outside-range'],
        ['2 Hörner in Es', 'Trombe in Es', '2 Flöten', '2 Oboen', '2 Klarinetten in B', '2 Fagotte'],
      ),
      clean('Flutes above the voices.', ['background-above-melody', 'crossing'], ['2 Flöten'], 21, 28),
      clean(
        'Two singers share the duet.',
        ['support-over-lead', 'background-as-loud', 'crossing', 'background-covers'],
        ['Mirabel (Sopran)', 'Corvin (Tenor)'],
        21,
        28,
      ),
      clean(
        'The orchestra closes without the singers.',
        ['foreground-ends-first', 'background-as-loud'],
        undefined,
        29,
        32,
      ),
      clean(
        'Strings of an opera accompany with repeated notes and bow in turn.',
        ['static-part', 'never-rests', 'breath', 'repeated-notes'],
        strings,
      ),
      clean('A tenor sings below the violins.', ['background-above-melody', 'crossing'], strings, 13, 20),
      clean(
        'Timpani have two notes.',
        ['static-part', 'root-not-in-bass', 'timpani-tuning', 'incomplete-chord'],
        ['Pauken (Es, B)'],
      ),
    ],
  }),
);
