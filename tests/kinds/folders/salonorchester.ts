/** A slow waltz for a coffee-house orchestra, German part names, one player each; an earlier stage for violin and piano, whose tune wanders in the later. */
import { oneFile, piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { figured, instead, music, noteOf, octaves, strokes, within } from '../compose/compose.ts';
import { clean, flaw, folder, inChannels, lead, member, truthOf } from '../compose/folder.ts';
import type { Member } from '../compose/folder.ts';
import { chords } from '../compose/harmony.ts';
import type { ChordSpan } from '../compose/harmony.ts';

const piece: Piece = {
  lastBar: 40,
  meters: [{ fromBar: 1, numerator: 3, denominator: 4 }],
  tempi: [
    { fromBar: 1, tempo: 112 },
    { fromBar: 39, tempo: 96 },
    { fromBar: 40, tempo: 84 },
  ],
  keys: [
    { fromBar: 1, fifths: 1, minor: false },
    { fromBar: 21, fifths: 0, minor: false },
    { fromBar: 37, fifths: 1, minor: false },
  ],
  markers: [
    { bar: 1, text: 'Introduktion' },
    { bar: 5, text: 'Walzer' },
    { bar: 21, text: 'Trio' },
    { bar: 37, text: 'Coda' },
  ],
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 D7 | D7 | D7 | D7 | G | G/B | Am | D7 | D7 | D7 | G | G | G | G7 | C | C#dim | D7 | D7 | G | G
   21 C | C | Am | F | Dm | G7 | C | G7 | C | C7 | F | Fm | C/G | G7 | C | C | D7 | D7 | G | G`,
);

/** What each harmony has in the bass, in the right hand, on two strings and under the left hand of the harmonium. */
const VOICINGS: ReadonlyMap<string, readonly [low: string, hand: string, stops: string, reeds: string, cello: string]> =
  new Map([
    ['D7', ['D2', 'C4 F#4 A4', 'C4 F#4', 'A3 C4 F#4', 'F#2']],
    ['G', ['G1', 'B3 D4 G4', 'D4 B4', 'G3 B3 D4', 'G2']],
    ['G/B', ['B1', 'D4 G4 B4', 'D4 B4', 'G3 B3 D4', 'G2']],
    ['Am', ['A1', 'C4 E4 A4', 'C4 E4', 'A3 C4 E4', 'A2']],
    ['G7', ['G1', 'B3 D4 F4', 'B3 F4', 'G3 B3 F4', 'F3']],
    ['C', ['C2', 'C4 E4 G4', 'E4 C5', 'G3 C4 E4', 'G2']],
    ['C#dim', ['C#2', 'Bb3 E4 G4', 'E4 Bb4', 'G3 Bb3 E4', 'C#3']],
    ['F', ['F1', 'C4 F4 A4', 'F4 C5', 'A3 C4 F4', 'A2']],
    ['Dm', ['D2', 'D4 F4 A4', 'F4 A4', 'A3 D4 F4', 'A2']],
    ['C7', ['C2', 'Bb3 E4 G4', 'E4 Bb4', 'G3 Bb3 E4', 'Bb2']],
    ['Fm', ['F1', 'C4 F4 Ab4', 'F4 C5', 'Ab3 C4 F4', 'Ab2']],
    ['C/G', ['G1', 'C4 E4 G4', 'E4 C5', 'G3 C4 E4', 'G2']],
  ]);
type Layer = 0 | 1 | 2 | 3 | 4;
const lineOf = (layer: Layer, voice: number, own: readonly ChordSpan[] = spans) =>
  own.flatMap((span) => {
    const pitch = VOICINGS.get(span.symbol)?.[layer].split(' ')[voice];
    return pitch === undefined ? [] : [noteOf(bars, pitch, span)];
  });
const silentBar4 = (from: number, to: number, figure: string, lines: Parameters<typeof figured>[0]) =>
  instead(figured(lines, bars, from, to, figure), 4, 4, []);

const waltz = music(
  bars,
  `5 B4:1 D5 G5 | B5:2 A5:1 | G#5:1 A5:2 | F#5:2 A5:1 | C5:1 E5 D5 | C#5:.5 D5:.5 F#5:1 A5 | B5:2 G5:1 | G5:2 -:1
   13 B4:1 D5 G5 | B5:2 F5:1 | E5:1 G5 E5 | E5:2 G5:1 | F#5:2 D5:1 | A5:1 F#5 C5 | B4:1 D5 B4 | G5:2 -:1`,
);
const trioCello = music(
  bars,
  '21 E3:2 G3:1 | C4:2 B3:1 | A3:2 E3:1 | F3:1 A3 C4 | D4:2 C4:1 | B3:2 G3:1 | E4:2 D4:.5 C4:.5 | B3:2 D4:1',
);
const trioCornet = music(
  bars,
  '29 G4:2 E5:1 | Bb4:1 C5 E5 | A4:2 C5:1 | Ab4:2 C5:1 | E5:2 D5:1 | D5:1 B4 G4 | C5:2 E4:1 | C5:2 -:1',
);
const violin = [
  ...music(bars, '4 -:1 D5 A4'),
  ...waltz,
  ...music(bars, '37 F#5:1 A5 C6 | A5:1 F#5 D5 | G5:3 | G5:1 -:2'),
];
const stopped = silentBar4(1, 39, "01@1:1' 01@2:1'", [lineOf(2, 0), lineOf(2, 1)]);
const second = [
  ...instead(stopped, 33, 35, music(bars, "33 -:1 G3+C4:1' G3+C4' | -:1 G3+B3:1' G3+B3' | -:1 G3+C4:1' G3+C4'")),
  ...music(bars, '40 D4+B4:1 -:2'),
];
const cello = [
  ...music(bars, '1 D3:3 | C3:3 | A2:3'),
  ...instead(lineOf(4, 0, within(spans, 5, 20)), 15, 15, music(bars, '15 E3:3')),
  ...trioCello,
  ...lineOf(4, 0, within(spans, 29, 39)),
  ...music(bars, '40 G2:1 -:2'),
];
const bass = silentBar4(1, 40, '0@0:1', [lineOf(0, 0)]);
const flute = [
  ...music(bars, '1 A5:1 F#5 D5 | C6:1 A5 F#5 | D6:2 C6:1 | A5:1 -:2'),
  ...within(waltz, 13, 20),
  ...music(
    bars,
    `21 G5:1 A5 G5 | E5 F5 G5 | A5 G5 A5 | C6 B5 A5 | A5 G5 F5 | D5 E5 F5 | G5 F5 E5 | F5 G5 B5 | C6 B5 C6 | Bb5 A5 G5
     31 F5 G5 A5 | Ab5 G5 F5 | E5 F5 G5 | F5 G5 A5 | G5 A5 B5 | C6:2 A5:1
     39 D6:3 | B5:1 -:2`,
  ),
];
const clarinet = music(
  bars,
  `1 C5:1 A4 F#4 | A4:1 F#4 D4 | F#4:2 A4:1 | F#4:1 -:2 | -:1 G4:1 D4 | -:1 G4:1 D4 | -:1 E4:1 C4 | -:1 F#4:1 A4
   9 A4:2 F#4:1 | -:1 A4:1 F#4 | D4:1 B3 G3 | D3:1 B2:2 | -:3 | D4:1.5 F4 | -:1 G4:1 E4 | G4:2 E4:1 | A4:2 F#4:1
   18 D4:1 -:2 | D4:2 G4:1 | B3:1 -:2
   29 E4:3 | E4:2 -:1 | F4:3 | F4:2 -:1 | E4:3 | F4:2 -:1 | E4:3 | E4:2 -:1 | D4:3 | C4:2 -:1 | B3:3 | B3:1 -:2`,
);
const cornet = [
  ...music(bars, '25 A3:1 D4 F4 | G4 D4 B3 | C4:.5 E4 G4 E4 C4 E4 | F4:1 D4 B3'),
  ...trioCornet,
  ...music(bars, '39 B4:3 | D5:1 -:2'),
];
const reeds = [
  ...instead(
    silentBar4(1, 39, '012@0:3', [lineOf(3, 0), lineOf(3, 1), lineOf(3, 2)]),
    17,
    17,
    music(bars, '17 A3+C4+F4:3'),
  ),
  ...music(bars, '40 G3+B3+D4:1 -:2'),
];
// The left hand lies an octave above the bass from the waltz on, where that is deep.
const left = [
  ...figured([lineOf(0, 0)], bars, 1, 4, '0@0:1'),
  ...within(figured([lineOf(0, 0)], bars, 5, 40, '0@0:1'), 5, 40).flatMap((note) =>
    ['F1', 'G1', 'B1'].includes(note.pitch ?? '') ? octaves([note], 1) : [note],
  ),
];
const piano = [
  ...left,
  ...silentBar4(1, 39, "012@1:1' 012@2:1'", [lineOf(1, 0), lineOf(1, 1), lineOf(1, 2)]),
  ...music(bars, '40 B3+D4+G4:1 -:2'),
];
const drums = [
  ...strokes(bars, 5, 20, '36@0 38@1 38@2', 1),
  ...strokes(bars, 29, 36, '36@0 38@1 38@2', 1),
  ...strokes(bars, 40, 40, '49@0', 1),
];

const keys = { program: 0, scatterMs: 14 };
const bowed = { program: 40, curves: [1] as const };
const members = inChannels([
  member(bars, 'Viol. I (Stehgeiger)', ['violin'], 1, 'bowed', '1:mp 5:f 21:p 37:f> 40:mp', violin, {
    ...bowed,
    latenessMs: 6,
    scatterMs: 15,
  }),
  member(bars, 'Viol. obl.', ['violin'], 1, 'bowed', '1:p 21:pp 29:p', second, { program: 40 }),
  member(bars, 'Vcello', ['cello'], 1, 'bowed', '1:mp 5:p 21:mf 25:mp 29:p', cello, {
    program: 42,
    curves: [1],
    scatterMs: 14,
  }),
  member(bars, 'Baß', ['double-bass'], 1, 'plucked', '1:mp 21:p 29:mp', bass, { program: 43, scatterMs: 10 }),
  member(bars, 'Fl.', ['flute'], 1, 'blown', '1:mf 13:mp 21:p 29:mp 37:p', flute, {
    program: 73,
    curves: [1],
    scatterMs: 13,
  }),
  member(bars, 'Klar. in B', ['clarinet-bflat'], 1, 'blown', '1:mf 5:p', clarinet, {
    program: 71,
    curves: [1],
    scatterMs: 13,
  }),
  member(bars, 'Pist. in B', ['cornet-bflat'], 1, 'blown', '25:ff 29:f 37:p', cornet, {
    program: 56,
    curves: [1],
    scatterMs: 14,
  }),
  member(bars, 'Harm.', ['harmonium'], 1, 'keys', '1:p 21:pp 25:f 29:p', reeds, { program: 20, scatterMs: 12 }),
  member(bars, 'Klav.-Dir.', ['piano'], 1, 'keys', '1:mf 5:p 29:mp 39:p', piano, keys),
  member(bars, 'Schlagwerk', ['percussion-unpitched'], 1, 'struck', '1:p 29:mp', drums, { channel: 9, scatterMs: 9 }),
]);
// In the sketch the violin has every tune.
const sketch = inChannels([
  member(
    bars,
    'Violine',
    ['violin'],
    1,
    'bowed',
    '1:mp 5:mf 21:mp 29:mf 37:f> 40:mp',
    [...within(violin, 1, 20), ...octaves(trioCello, 1), ...trioCornet, ...within(violin, 37, 40)],
    { ...bowed, scatterMs: 15 },
  ),
  member(bars, 'Klavier', ['piano'], 1, 'keys', '1:mf 5:p 29:mp 39:p', piano, keys),
]);

const stage = (own: readonly Member[], seed: number): Uint8Array =>
  oneFile(
    piece,
    own.map(({ plan }) => plan),
    { seed, conductorName: 'Valse lente' },
  );

export const salonorchester = folder(
  'salonorchester',
  'a slow waltz for a coffee-house orchestra of ten, German names, the sketch for violin and piano beside it',
  (seed) =>
    new Map<string, Uint8Array | string>([
      ['01 Skizze Geige und Klavier.mid', stage(sketch, seed)],
      ['02 Salonorchester.mid', stage(members, seed)],
      [
        'notizen.md',
        '# Trio\n\n## Takt 21-28, Violoncello\n\nIm Trio hat das Cello die Melodie, alle anderen bleiben darunter. Ab Takt 29 übernimmt das Piston.\n',
      ],
    ]),
  truthOf(piece, members, spans, {
    keys: [
      { fromBar: 1, tonic: 'G', mode: 'major' },
      { fromBar: 21, tonic: 'C', mode: 'major' },
      { fromBar: 37, tonic: 'G', mode: 'major' },
    ],
    style: 'classical',
    front: [
      lead(1, 4, 'Fl.', 'Klar. in B'),
      lead(5, 12, 'Viol. I (Stehgeiger)'),
      lead(13, 20, 'Viol. I (Stehgeiger)', 'Fl.'),
      lead(21, 28, 'Vcello'),
      lead(29, 36, 'Pist. in B'),
      lead(37, 40, 'Viol. I (Stehgeiger)'),
    ],
    flaws: [
      flaw('clarinet too low', 12, 12, ['Klar. in B'], ['outside-range'], 'B2 lies below the lowest note, D3.'),
      flaw(
        'tune of the cello covered',
        25,
        28,
        ['Pist. in B', 'Harm.', 'Vcello'],
        [
          'background-as-loud',
          'background-covers',
          'background-above-melody',
          'covered-from-above',
          'support-over-lead',
        ],
        'The cornet plays ff in the octave of the cello, with more notes, and the harmonium holds chords f on it.',
      ),
      flaw('forgotten sharp', 17, 17, ['Harm.'], ['clashing-second'], 'F over the F sharp of three others.'),
      flaw('flute without breath', 21, 36, ['Fl.'], ['breath'], '48 quarters without a rest, 25.7 s.'),
      flaw(
        'two notes on one string',
        33,
        35,
        ['Viol. obl.'],
        ['one-string', 'double-stop'],
        'Both lie on the G string.',
      ),
    ],
    clean: [
      clean('Bass and chords of a waltz.', ['hand-span', 'wide-leap', 'too-many-notes', 'never-rests'], ['Klav.-Dir.']),
      clean('Double stops that lie well.', ['one-string', 'double-stop'], ['Viol. obl.'], 1, 32),
      clean(
        'Appoggiaturas and chromatic neighbours of the tune.',
        ['clashing-second', 'displaced-part'],
        ['Viol. I (Stehgeiger)'],
      ),
      clean(
        'Keys need no breath, drums have no range.',
        ['breath', 'outside-range', 'edge-of-range'],
        ['Harm.', 'Klav.-Dir.', 'Schlagwerk'],
      ),
      clean(
        'The cornet is silent before the trio; the cello sings high in it.',
        ['inaudible-entry', 'tessitura'],
        ['Pist. in B', 'Vcello'],
      ),
      clean('The bass keeps to its range.', 'any', ['Baß']),
      clean(
        'Flute and violin share the waltz.',
        ['leftover-track', 'parallel-perfects', 'background-as-loud'],
        ['Fl.'],
        13,
        20,
      ),
    ],
  }),
);
