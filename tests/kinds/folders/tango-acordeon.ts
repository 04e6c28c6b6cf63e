/** A tango for salon band with accordion (a track a hand), violins, clarinet, guitar, piano and bass, named in Spanish; no controllers. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { again, figured, instead, moved, music, octaves, within } from '../compose/compose.ts';
import { clean, flaw, inChannels, inOneFile, folder, lead, member, truthOf } from '../compose/folder.ts';
import { basses, chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';
import { click, empty } from '../compose/leftovers.ts';

const piece: Piece = {
  lastBar: 32,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [{ fromBar: 1, tempo: 116 }],
  markers: [
    { bar: 1, text: 'Intro' },
    { bar: 5, text: 'A' },
    { bar: 13, text: 'B' },
    { bar: 21, text: 'A2' },
  ],
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 Dm | A7 | Dm | A7 | Dm | Gm | A7 | Dm | Dm | Gm | A7 | Dm | F | C7 | C7 | F | Gm | Dm | E7 | A7
   21 Dm | Gm | A7 | Dm | Dm | Gm | A7 | Dm | Gm | Dm | A7 | Dm`,
);
const tuneA = music(
  bars,
  `5 D5:1 A4:.5 D5 F5:1 E5:.5 D5 | G5:1.5 F5:.5 D5:1 Bb4 | C#5:1 A4:.5 C#5 E5:1 G5:.5 E5 | F5:2 D5:1 -:1
   9 A5:1 F5:.5 D5 A4:1 D5 | G5:1.5 A5:.5 G5:1 D5 | E5:1 G5:.5 E5 C#5:1 A4 | D5:3 -:1`,
);
const tuneB = music(
  bars,
  `13 C5:2 A4:1 C5 | E5:2 G4:1 Bb4 | G5:1.5 E5:.5 C5:1 Bb4 | A4:3 -:1 | Bb4:1 D5 G5:1.5 F5:.5 | F5:2 D5:1 A4 | G#4:1 B4 E5 D5 | C#5:3 -:1`,
);
const coda = music(bars, '29 Bb5:1.5 A5:.5 G5:1 D5 | A5:1.5 F5:.5 D5:1 A4 | C#5:1 E5:.5 G5 E5:1 C#5 | D5:3 -:1');
const right = [...tuneA, ...again(bars, tuneA, 5, 12, 21), ...coda];
const roots = basses(spans, 43);
const upper = innerVoices(spans, [], roots, [
  [60, 69],
  [57, 66],
  [53, 62],
]);
const deep = roots.map((note) => (note.midi >= 41 ? (octaves([note], -1)[0] ?? note) : note));
const bass = instead(
  [...figured([deep], bars, 1, 31, '0@0:1.5 0@2:1.5'), ...within(deep, 32, 32)],
  19,
  19,
  music(bars, '19 F2:1.5 -:.5 F2:1.5 -:.5'),
);
const leftHand = [...upper, roots];
const piano = [
  ...figured(leftHand, bars, 1, 12, "3@0:1 012@1:.5' 3@2:1 012@3:.5'"),
  ...figured(leftHand, bars, 17, 31, "3@0:1 012@1:.5' 3@2:1 012@3:.5'"),
  ...figured(leftHand, bars, 32, 32, '0123@0:3'),
  ...music(bars, '13 F2+A2+C3:2 F2+A2+C3 | E2+G2+Bb2:2 E2+G2+Bb2 | E2+G2+Bb2:2 E2+G2+Bb2 | F2+A2+C3:2 F2+A2+C3'),
];
const strummed = figured(upper, bars, 5, 31, '012@1:.5 012@3:.5');
const guitar = instead(strummed, 25, 28, moved(bars, within(strummed, 24, 27), 4));
const intro = music(bars, '1 D5:1 F5 A5 F5 | E5:1 C#5 A4:2 | F5:1 A5 D6 A5 | G5:1 E5 C#5:2');
const clarinet = [...music(bars, '16 -:3 C5:.5 A4'), ...music(bars, '21 A5:4 | Bb5:4 | A5:4 | A5:3 -:1')];
const second = [
  ...figured([upper[0] ?? []], bars, 5, 12, '0@0:3'),
  ...figured([upper[0] ?? []], bars, 21, 31, '0@0:3'),
];
const violin2 = instead(second, 10, 10, music(bars, '10 G3:2 F3:1 -:1'));
const accordionLeft = figured([roots, ...upper], bars, 5, 12, "0@0:.5' 123@1:.5' 0@2:.5' 123@3:.5'");

const members = inChannels([
  member(bars, 'Acordeón m.d.', ['accordion'], undefined, 'keys', '5:mf 21:mp 25:mf 29:f', right, { program: 21 }),
  member(bars, 'Acordeón m.i.', ['accordion'], undefined, 'keys', '5:p', accordionLeft, { program: 21 }),
  member(bars, 'Violín 1º', ['violin'], 1, 'bowed', '1:mf 13:f', [...intro, ...tuneB], { program: 40, latenessMs: 12 }),
  member(bars, 'Violín 2º', ['violin'], 1, 'bowed', '5:p', violin2, { program: 40, scatterMs: 16 }),
  member(bars, 'Clarinete en Sib', ['clarinet-bflat'], 1, 'blown', '16:mp 21:fff 24:mp', clarinet, { program: 71 }),
  member(bars, 'Guitarra', ['guitar'], 1, 'plucked', '5:p', guitar, { program: 24 }),
  member(bars, 'Piano', ['piano'], 1, 'keys', '1:mp 5:p 13:mp 17:p', piano, { program: 0 }),
  member(bars, 'Piano viejo', ['piano'], undefined, 'keys', '1:mp 5:p 13:mp 17:p', within(piano, 1, 16), {
    program: 0,
    scatterMs: 3,
  }),
  member(bars, 'Contrabajo (pizz.)', ['double-bass'], 1, 'plucked', '1:mp', bass, { program: 32 }),
  click(bars, 'Claqueta', 1, 32, '76@0 77@1 77@2 77@3'),
  empty(bars, 'Voz'),
]);
const BAND = ['Guitarra', 'Piano', 'Contrabajo (pizz.)', 'Acordeón m.i.'];

export const tangoAcordeon = folder(
  'tango-acordeon',
  'a tango for a salon band with accordion, a track a hand, an old piano and a click left in it',
  inOneFile('Tango de la esquina.mid', piece, members, { offAsZero: true }),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'D', mode: 'minor' }],
    style: 'song',
    front: [
      lead(1, 4, 'Violín 1º'),
      lead(5, 12, 'Acordeón m.d.'),
      lead(13, 20, 'Violín 1º'),
      lead(21, 32, 'Acordeón m.d.'),
    ],
    flaws: [
      flaw('second violin too low', 10, 10, ['Violín 2º'], ['outside-range'], 'F3 is under the G string.'),
      flaw('mud', 13, 16, ['Piano'], ['crowded-low'], 'Close triads below C3 in the left hand.'),
      flaw(
        'wrong bass',
        19,
        19,
        ['Contrabajo (pizz.)'],
        ['root-not-in-bass', 'clashing-second'],
        'F under a chord of E.',
      ),
      flaw(
        'clarinet over the accordion',
        21,
        24,
        ['Clarinete en Sib'],
        ['background-as-loud', 'background-covers', 'background-above-melody', 'covered-from-above'],
        'The clarinet holds long notes fortissimo above a tune that is marked mezzo piano.',
      ),
      flaw(
        'guitar late',
        25,
        28,
        ['Guitarra'],
        ['displaced-part', 'clashing-second'],
        'The guitar has the chords of the bar before.',
      ),
      flaw(
        'old piano',
        1,
        16,
        ['Piano viejo', 'Piano'],
        ['leftover-track'],
        'A second piano doubles the first note for note.',
      ),
    ],
    clean: [
      clean(
        'The basses of the left hand are buttons.',
        ['outside-range', 'edge-of-range', 'hand-span'],
        ['Acordeón m.i.', 'Acordeón m.d.'],
      ),
      clean(
        'A tango band repeats its beat.',
        [
          'static-part',
          'never-rests',
          'repeated-notes',
          'unchanged-texture',
          'breath',
          'parallel-perfects',
          'restless-part',
        ],
        BAND,
      ),
      clean('Root on the beat and chord after it.', [
        'hollow-without-foreground',
        'incomplete-chord',
        'hole-between-parts',
      ]),
      clean('Bass, left hands and accordion share the root.', ['bass-doubled-too-close'], undefined, 1, 12),
      clean('The click is no part.', 'any', ['Claqueta']),
    ],
  }),
);
