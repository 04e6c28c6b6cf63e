/** A short piece for flute, viola and harp in the French manner, with a pickup; "Alto" is the viola; the harp a track a hand. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { figured, instead, music, octaves, within } from '../compose/compose.ts';
import { clean, flaw, inChannels, inOneFile, keptAside, lead, member, truthOf } from '../compose/folder.ts';
import { basses, chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';

const piece: Piece = {
  lastBar: 28,
  meters: [{ fromBar: 1, numerator: 3, denominator: 4 }],
  pickup: 1,
  tempi: [
    { fromBar: 1, tempo: 72 },
    { fromBar: 13, tempo: 80 },
    { fromBar: 25, tempo: 66 },
  ],
  keys: [{ fromBar: 1, fifths: 2, minor: false }],
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 Dmaj7 | Em7 | Dmaj7 | Em7 | Gmaj7 | F#m7 | Em7 | A7 | Bm7 | E7 | Bm7 | E7 | Cmaj7 | Am7 | Fmaj7 | A7
   17 Dmaj7 | Em7 | Gmaj7 | A7 | Dmaj7 | Bm7 | Em7 | A7 | Gmaj7 | F#m7 | Em7:2 A7:1 | D`,
);
const fluteTune = music(
  bars,
  `0 A5:1
   1 F#5:2 E5:1 | G5:1.5 F#5:.5 E5:1 | C#5:1 D5 A5 | G5:1.5 E5:.5 B4:1 | D5:1 F#5 B5 | A5:1.5 F#5:.5 E5:1 | G5:1 E5 D5 | C#5:2 -:1`,
);
const duet = music(bars, '17 F#5:2 A5:1 | G5:1.5 F#5:.5 E5:1 | B5:1 A5 F#5 | E5:2 -:1');
const close = music(bars, '25 B5:2 A5:1 | A5:1.5 F#5:.5 E5:1 | G5:1 E5 C#5 | D5:3');
const flute = [
  ...fluteTune,
  ...music(bars, '13 G5:3 | E5:3 | A5:2 -:1'),
  ...instead(duet, 20, 20, music(bars, '20 E5:1 A3 -:1')),
  ...close,
];
const violaTune = music(
  bars,
  `9 F#4:1.5 D4:.5 B3:1 | G#4:1.5 F#4:.5 E4:1 | F#4:1 A4 D5 | B4:2 G#4:1 | E4:1 G4 B4 | C5:1.5 B4:.5 A4:1 | A4:1 C5 E5 | C#5:2 -:1`,
);
const viola = [
  ...music(bars, '1 F#4:3 | B3:3 | F#4:3 | B3:2 -:1 | B3:3 | C#4:3 | D4:2 B3:1 | G3:2 -:1'),
  ...violaTune,
  ...octaves(duet, -1),
  ...music(bars, '21 F#4:3 | D4:3 | G4:2 -:1 | C#3+E3:2 -:1 | D4:3 | C#4:3 | B3:2 G3:1 | F#3:3'),
];
const harpTune = music(bars, '21 A5:1 F#5 D5 | F#5:1.5 D5:.5 B4:1 | G5:1 B5 D5 | E5:2 C#5:1');
const roots = basses(spans, 43);
const tops = [...fluteTune.filter(({ start }) => start >= 0), ...violaTune, ...duet, ...harpTune, ...close];
const web = innerVoices(
  spans,
  [],
  roots,
  [
    [62, 74],
    [58, 69],
    [53, 64],
  ],
  [tops],
);
const BROKEN = '2@.5:.5 1@1:.5 0@1.5:.5 1@2:.5 2@2.5:.5';
const under = (from: number, to: number) => figured(web, bars, from, to, BROKEN);
const rightHand = [
  ...under(1, 20),
  ...harpTune,
  ...under(25, 25),
  ...music(bars, '26 -:.5 A5 G#5 G5 F#5 F5 | E5:1 D5 C#5 | F#4+A4+D5:3'),
];
const leftHand = [
  ...figured([roots], bars, 1, 20, '0@0:3'),
  ...figured([...web, roots], bars, 21, 24, '3@0:1 12@1:2'),
  ...within(roots, 25, 27),
  ...music(bars, '28 D2+A2:3'),
];
const drawn = { curves: [11] as const };
const members = inChannels([
  member(bars, 'Flûte', ['flute'], 1, 'blown', '0:mf 13:fff 17:mf', flute, { ...drawn, program: 73 }),
  member(bars, 'Alto', ['viola'], 1, 'bowed', '1:p 9:mf 13:mp 17:mf 21:p', viola, { ...drawn, program: 41 }),
  member(bars, 'Harpe (m.d.)', ['harp'], undefined, 'plucked', '1:p 21:mf 25:p', rightHand, { program: 46 }),
  member(bars, 'Harpe (m.g.)', ['harp'], undefined, 'plucked', '1:p 21:mp 25:p', leftHand, { program: 46 }),
]);
const HARP = ['Harpe (m.d.)', 'Harpe (m.g.)'];

export const trioFluteAltoHarpe = keptAside(
  'trio-flute-alto-harpe',
  'a piece for flute, viola and harp with a pickup and French names, the harp a track a hand',
  inOneFile('Sous les tilleuls.mid', piece, members),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'D', mode: 'major' }],
    style: 'classical',
    front: [
      lead(0, 8, 'Flûte'),
      lead(9, 16, 'Alto'),
      lead(17, 20, 'Flûte', 'Alto'),
      lead(21, 24, 'Harpe (m.d.)'),
      lead(25, 28, 'Flûte'),
    ],
    flaws: [
      flaw(
        'flute over the viola',
        13,
        15,
        ['Flûte'],
        [
          'background-as-loud',
          'background-covers',
          'background-above-melody',
          'support-over-lead',
          'covered-from-above',
        ],
        'The flute holds fortissimo above the solo of the viola.',
      ),
      flaw('flute too low', 20, 20, ['Flûte'], ['outside-range', 'wide-leap'], 'A3 is below the flute.'),
      flaw(
        'two notes on the C string',
        24,
        24,
        ['Alto'],
        ['one-string', 'double-stop'],
        'C sharp 3 and E3 both need the lowest string of the viola.',
      ),
      flaw(
        'chromatic run on the harp',
        26,
        26,
        ['Harpe (m.d.)', 'Harpe (m.g.)'],
        ['harp-pedals'],
        'A to F by semitones in eighths: two feet cannot turn the pedals so fast.',
      ),
    ],
    clean: [
      clean('"Alto" among French players is a viola, no voice.', ['breath', 'tessitura', 'stamina'], ['Alto']),
      clean('Sevenths are colour and stay.', ['unresolved-tone', 'parallel-perfects', 'incomplete-chord']),
      clean(
        'The harp accompanies in broken chords.',
        ['restless-part', 'static-part', 'never-rests', 'crossing', 'background-above-melody', 'unchanged-texture'],
        HARP,
      ),
      clean(
        'Flute and viola have the tune in octaves.',
        ['parallel-perfects', 'support-over-lead', 'background-as-loud', 'far-from-foreground', 'hole-between-parts'],
        ['Flûte', 'Alto'],
        17,
        20,
      ),
      clean(
        'The pedals of the other bars change one or two at a time, with a beat or more for each.',
        ['harp-pedals'],
        HARP,
        1,
        24,
      ),
      clean('Both hands of one harp.', ['hand-span', 'too-many-notes'], HARP),
    ],
  }),
);
