/** A march for wind band, named as German parts are, velocities alone; "B" is B flat and "Es" E flat. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { again, allShort, figured, instead, music, octaves, strokes, within } from '../compose/compose.ts';
import { clean, flaw, inChannels, inOneFile, folder, lead, member, truthOf } from '../compose/folder.ts';
import { basses, chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';
import { empty } from '../compose/leftovers.ts';

const piece: Piece = {
  lastBar: 28,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [{ fromBar: 1, tempo: 116 }],
  markers: [
    { bar: 5, text: '1. Teil' },
    { bar: 13, text: 'Bass-Solo' },
    { bar: 21, text: 'Schluss' },
  ],
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 Eb | Bb7 | Eb | Bb7 | Eb | Ab | Bb7 | Eb | Cm | Fm | Bb7 | Eb | Cm | G7 | Cm | Fm | Cm | Fm | G7 | Cm
   21 Eb | Ab | Bb7 | Eb | Cm | Fm | Bb7 | Eb`,
);
const fanfare = music(bars, '1 Bb4:1 Eb5 G5 Eb5 | D5:1 F5 Ab5 F5 | G5:1 Eb5 Bb4 Eb5 | F5:1 D5 Bb4:1 -:1');
const tune = music(
  bars,
  `5 G5:2 Eb5:1 Bb4 | C5:1 Eb5 Ab5:2 | F5:1 Ab5 D5 F5 | G5:3 -:1 | Eb5:1 G5 C5 Eb5 | Ab5:2 F5:1 C5 | D5:1 F5 Ab5 D5 | Eb5:3 -:1`,
);
const melody = [...tune, ...again(bars, tune, 5, 12, 21)];
const solo = music(
  bars,
  `13 C3:1 Eb3 G3 C4 | B3:1 G3 D3 G2 | C3:1 Eb3 C3 G2 | Ab2:1 C3 F3:2 | Eb3:1 G3 C4 G3 | Ab3:1 F3 C3 F3 | D3:1 G3 B3 F3 | Eb3:3 -:1`,
);
const roots = basses(spans, 43);
const [first = [], second = [], third = []] = innerVoices(spans, [...fanfare, ...melody], roots, [
  [60, 74],
  [57, 70],
  [53, 65],
]);
const after = (line: typeof first) => allShort(figured([line], bars, 5, 28, '0@1:.5 0@3:.5'));
const below = (line: typeof first, from: number, to: number) =>
  within(line, from, to).map((each) => ({ ...each, length: 3.5 }));
const tuba = instead(
  [...figured([roots], bars, 1, 28, '0@0:1 0@2:1')]
    .filter(({ bar }) => bar < 13 || bar > 20)
    .flatMap((note) => octaves([note], -1)),
  8,
  8,
  music(bars, '8 E2:1 -:1 E2:1 -:1'),
);
const flute = instead([...octaves(fanfare, 1), ...octaves(melody, 1)], 12, 12, music(bars, '12 Eb6:2 A3:1 -:1'));
const trumpet1 = [...fanfare, ...music(bars, '17 C5:4 | C5:4 | B4:4 | C5:3 -:1')];
const trumpet2 = instead(within(first, 1, 4), 3, 3, music(bars, '3 G4:2 E6:2'));

const band = (name: string, ids: string[], dynamics: string, notes: typeof first, program: number, late = 0) =>
  member(bars, name, ids, undefined, 'blown', dynamics, notes, { program, latenessMs: late, scatterMs: 15 });
const TPT = ['trumpet-bflat', 'trumpet-c'];
const members = inChannels([
  band('Flöte C', ['flute'], '1:mf', flute, 73),
  band('Es-Klarinette', ['clarinet-eflat'], '5:mp', melody, 71),
  band('1. Klarinette B', ['clarinet-bflat'], '5:mf', melody, 71),
  band('2. Klarinette B', ['clarinet-bflat'], '5:p', [...below(first, 5, 12), ...below(first, 21, 28)], 71),
  band('3. Klarinette B', ['clarinet-bflat'], '5:p', [...below(second, 5, 12), ...below(second, 21, 28)], 71),
  band('Altsaxophon Es', ['sax-alto'], '5:p', [...below(second, 5, 12), ...below(second, 21, 28)], 65),
  band('Tenorsaxophon B', ['sax-tenor'], '5:p', [...below(third, 5, 12), ...below(third, 21, 28)], 66),
  band('1. Flügelhorn B', ['flugelhorn'], '5:f', melody, 56, 8),
  band('Tenorhorn B', ['baritone-horn', 'euphonium'], '13:mp', solo, 58),
  band('Bariton B', ['euphonium', 'baritone-horn'], '13:mp', solo, 58, 10),
  band('1. Horn F', ['horn-f'], '5:p', after(first), 60),
  band('2. Horn F', ['horn-f'], '5:p', after(second), 60),
  band('1. Trompete B', TPT, '1:mf 17:fff', trumpet1, 56),
  band('2. Trompete B', TPT, '1:mp', trumpet2, 56),
  band('1. Posaune', ['trombone-tenor'], '1:mp', [...within(second, 1, 4), ...after(second)], 57),
  band('2. Posaune', ['trombone-tenor'], '1:mp', [...within(third, 1, 4), ...after(third)], 57),
  band('Tuba', ['tuba'], '1:mf', tuba, 58),
  member(
    bars,
    'Kl. Trommel',
    ['percussion-unpitched'],
    1,
    'struck',
    '1:p',
    strokes(bars, 1, 28, '38@1 38@1.5 38@3 38@3.5'),
    { channel: 9 },
  ),
  member(
    bars,
    'Gr. Trommel/Becken',
    ['percussion-unpitched'],
    undefined,
    'struck',
    '1:p',
    strokes(bars, 1, 28, '36@0 36@2 49@0'),
    { channel: 9 },
  ),
  empty(bars, 'Oboe (ad lib.)'),
]);
const REST = [
  '2. Klarinette B',
  '3. Klarinette B',
  'Altsaxophon Es',
  'Tenorsaxophon B',
  '1. Horn F',
  '2. Horn F',
  '1. Posaune',
  '2. Posaune',
  'Tuba',
];
const TUNE = ['Flöte C', 'Es-Klarinette', '1. Klarinette B', '1. Flügelhorn B'];

export const marschBlasorchester = folder(
  'marsch-blasorchester',
  'a march for wind band with German names, velocities alone',
  inOneFile('Marsch.mid', piece, members),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'Eb', mode: 'major' }],
    style: 'classical',
    front: [
      lead(1, 4, '1. Trompete B', 'Flöte C'),
      lead(5, 12, ...TUNE),
      lead(13, 20, 'Tenorhorn B', 'Bariton B'),
      lead(21, 28, ...TUNE),
    ],
    flaws: [
      flaw(
        'second trumpet too high',
        3,
        3,
        ['2. Trompete B'],
        ['outside-range', 'crossing', 'wide-leap'],
        'E6, an octave slip, is above the trumpet.',
      ),
      flaw('wrong tuba', 8, 8, ['Tuba'], ['clashing-second', 'root-not-in-bass'], 'E natural under a chord of E flat.'),
      flaw('flute too low', 12, 12, ['Flöte C'], ['outside-range'], 'A3 is below the flute.'),
      flaw(
        'trumpet over the solo',
        17,
        20,
        ['1. Trompete B'],
        ['background-as-loud', 'background-covers', 'background-above-melody', 'support-over-lead'],
        'The first trumpet holds long notes as loud as it can above the solo of tenor horn and baritone.',
      ),
    ],
    clean: [
      clean(
        'After-beats repeat and do not sing.',
        ['static-part', 'repeated-notes', 'never-rests', 'parallel-perfects', 'breath'],
        REST,
      ),
      clean(
        'The tune is doubled through the band.',
        [
          'support-over-lead',
          'background-as-loud',
          'background-covers',
          'background-above-melody',
          'parallel-perfects',
        ],
        TUNE,
      ),
      clean('A march is loud and even.', ['unchanged-texture', 'all-at-once']),
    ],
  }),
);
