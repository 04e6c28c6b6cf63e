/** A guitar with a string quartet, three in a bar, in E minor: the guitar begins alone, the violin and the cello lead in turn. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { allShort, figured, instead, music, tied, within } from '../compose/compose.ts';
import { clean, flaw, folder, inChannels, inOneFile, lead, member, truthOf } from '../compose/folder.ts';
import { chords, fourParts } from '../compose/harmony.ts';

const piece: Piece = {
  lastBar: 32,
  meters: [{ fromBar: 1, numerator: 3, denominator: 4 }],
  pickup: 1,
  tempi: [
    { fromBar: 0, tempo: 92 },
    { fromBar: 31, tempo: 76 },
  ],
  keys: [{ fromBar: 1, fifths: 1, minor: true }],
  ticksPerQuarter: 960,
};
const bars = piecesBars(piece);

const spans = chords(
  bars,
  `1 Em | Am | D7 | G | C | F#m7b5 | B7 | Em
   9 G | D/F# | Em | Bm | C | G/B | Am7 | D7
   17 Em | Am | D7 | G | C | F#m7b5 | B7 | Em
   25 Am | D7 | G | C | F#m7b5 | B7 | Em | Em`,
);

/** The tune of the guitar with its bass and its inner notes, in first position. */
const OPENING = `1 E4:1.5 F#4:.5 G4:1 | A4:1 G4:.5 F#4 E4:1 | F#4:1.5 A4:.5 C5:1 | G4:2 B4:1
  5 E4:1.5 G4:.5 C5:1 | A4:1 G4 F#4 | F#4:1 D#4 A4 | G4:2 B4:1`;
const OPENING_LOW = `1 E2:1 G3+B3:1 G3+B3 | A2:1 A3+C4 A3+C4 | D3:1 A3+C4 -:1 | G2:1 G3+D4 -:1
  5 C3:1 G3+C4 -:1 | F#2:1 A3+C4 A3+C4 | B2:1 F#3+A3 -:1 | E2:1 G3+B3 -:1`;
const again = (text: string): string => text.replace(/^\s*1 /, '17 ').replace(/\n\s*5 /, '\n21 ');

const violinLead = music(
  bars,
  `9 D5:1.5 C5:.5 B4:1 | A4:1 D5 F#5 | G5:1.5 F#5:.5 E5:1 | D5:2 B4:1 | C5:1 E5 G5 | D5:1.5 C5:.5 B4:1 | A4:1 C5 E5 | F#5:2 D5:1`,
);
const celloLead = music(
  bars,
  `25 C4:1.5 D4:.5 E4:1 | F#4:1.5 E4:.5 D4:1 | B3:1 D4 G4 | E4:2 C4:1 | A3:1 C4 E4 | D#4:1.5 C4:.5 A3:1`,
);

const onStrings = fourParts(spans, 'E', [
  [59, 67],
  [55, 64],
  [50, 60],
  [40, 52],
]);
const broken = (from: number, to: number) =>
  figured(onStrings, bars, from, to, '3@0:.5 2@.5:.5 1@1:.5 0@1.5:.5 1@2:.5 2@2.5:.5');

const guitar = [
  ...music(bars, `0 B3:1\n${OPENING}\n${again(OPENING)}`),
  ...music(bars, `${OPENING_LOW}\n${again(OPENING_LOW)}`),
  ...broken(9, 16),
  ...broken(25, 30),
  ...music(bars, '31 G3+B3:1 E4 G4 | E2+B2+G3+B3+E4:3'),
];
// Two notes of the lowest string alone, under the chord that was easy before.
const guitarFlawed = instead(guitar, 21, 21, music(bars, '21 E2+G2+C4+E4:1.5 G4:.5 C5:1'));

const pads = fourParts(
  spans,
  'E',
  [
    [64, 79],
    [57, 72],
    [50, 65],
    [38, 55],
  ],
  [...violinLead],
);
const [upper = [], second = [], middle = [], low = []] = pads;
const offbeats = (voice: number) => allShort(figured(pads, bars, 17, 24, `${String(voice)}@1:1 ${String(voice)}@2:1`));

const violin1 = [
  ...violinLead,
  ...tied(within(upper, 17, 20)),
  ...allShort(figured(pads, bars, 21, 24, '0@1:1 0@2:1')),
];
const violin2 = instead(
  [
    ...tied(within(second, 9, 16)),
    ...tied(within(second, 17, 20)),
    ...within(offbeats(1), 21, 24),
    ...within(second, 25, 30),
  ],
  28,
  28,
  music(bars, '28 G3+A3:3'),
);
const viola = instead(
  [
    ...tied(within(middle, 9, 16)),
    ...tied(within(middle, 17, 20)),
    ...within(offbeats(2), 21, 24),
    ...within(middle, 25, 30),
  ],
  14,
  14,
  music(bars, '14 B2:2 G2:1'),
);
const cello = [
  ...instead(within(low, 9, 16), 15, 16, music(bars, '15 A2:2 E3:1 | F#3:3')),
  ...tied(within(low, 17, 20)),
  ...allShort(figured(pads, bars, 21, 24, '3@0:1')),
  ...celloLead,
];

const members = inChannels([
  member(bars, 'Guitarra', ['guitar'], 1, 'plucked', '0:mf 9:mp 17:mf 25:mp 31:p', guitarFlawed, { program: 24 }),
  member(bars, 'Violín 1', ['violin'], 1, 'bowed', '9:mf 17:ff 21:p', violin1, { program: 40, curves: [11] }),
  member(bars, 'Violín 2', ['violin'], 1, 'bowed', '9:p 17:ff 21:p', violin2, { program: 40, curves: [11] }),
  member(bars, 'Viola', ['viola'], 1, 'bowed', '9:p 17:ff 21:p', viola, { program: 41, curves: [11] }),
  member(bars, 'Violonchelo', ['cello'], 1, 'bowed', '9:p 17:ff 21:p 25:mf', cello, { program: 42, curves: [11] }),
]);

export const guitarAndStrings = folder(
  'guitar-and-strings',
  'a classical guitar with a string quartet, named in Spanish, one file',
  inOneFile('patio.mid', piece, members, { conductorName: 'Patio' }),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'E', mode: 'minor' }],
    style: 'classical',
    front: [
      lead(0, 8, 'Guitarra'),
      lead(9, 16, 'Violín 1'),
      lead(17, 24, 'Guitarra'),
      lead(25, 30, 'Violonchelo'),
      lead(31, 32, 'Guitarra'),
    ],
    flaws: [
      flaw(
        'covered guitar',
        17,
        20,
        ['Violín 1', 'Violín 2', 'Viola', 'Violonchelo'],
        ['background-as-loud', 'background-covers'],
        'The guitar has its tune again and four bowed strings hold chords ff over it: nothing of it is left.',
      ),
      flaw(
        'one string',
        21,
        21,
        ['Guitarra'],
        ['one-string', 'too-many-notes', 'hand-span', 'double-stop'],
        'E2 and G2 both lie on the sixth string only.',
      ),
      flaw('low viola', 14, 14, ['Viola'], ['outside-range'], 'The viola has B2 and G2, below its C string.'),
      flaw(
        'double stop',
        28,
        28,
        ['Violín 2'],
        ['double-stop', 'one-string'],
        'G3 and A3 are both on the G string of one violin.',
      ),
      flaw(
        'octaves',
        15,
        16,
        ['Violín 1', 'Violonchelo'],
        ['parallel-perfects'],
        'E to F sharp in octaves between the tune and the bass.',
      ),
    ],
    clean: [
      clean('The guitar is alone for eight bars: nothing is missing.', [
        'static-part',
        'hollow-without-foreground',
        'unchanged-texture',
        'incomplete-chord',
      ]),
      clean(
        'Chords of four to six notes that lie in first position.',
        ['too-many-notes', 'hand-span'],
        ['Guitarra'],
        0,
        20,
      ),
      clean('A guitarist needs no rests: the last to be told so.', ['never-rests', 'breath'], ['Guitarra']),
      clean(
        'Broken chords of the guitar under the violin go above the lower strings.',
        ['crossing', 'restless-part'],
        ['Guitarra'],
      ),
      clean(
        'The cello leads above the viola.',
        ['crossing', 'background-above-melody', 'tessitura'],
        undefined,
        25,
        30,
      ),
      clean('One player to a part.', ['breath'], ['Violín 1', 'Violín 2', 'Viola', 'Violonchelo']),
    ],
  }),
);
