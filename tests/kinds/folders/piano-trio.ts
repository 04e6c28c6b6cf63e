/** A trio for violin, cello and piano in D minor: cello, violin, piano and both strings in octaves lead in turn. Three stages. */
import { fileByPart, oneFile, oneTrack, piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { again, figured, instead, music, octaves, within } from '../compose/compose.ts';
import { clean, flaw, folder, inChannels, lead, member, truthOf } from '../compose/folder.ts';
import { chords, fourParts } from '../compose/harmony.ts';

const piece: Piece = {
  lastBar: 40,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [
    { fromBar: 1, tempo: 76 },
    { fromBar: 17, tempo: 92 },
    { fromBar: 25, tempo: 76 },
    { fromBar: 39, tempo: 60 },
  ],
  keys: [{ fromBar: 1, fifths: -1, minor: true }],
  ticksPerQuarter: 384,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 Dm | Bb | Gm | A7 | Dm | Gm | A7 | Dm
   9 F | C/E | Dm | Am | Bb | F/A | Gm7 | C7
   17 Dm | Gm | C7 | F | Bb | Em7b5 | A7 | A7
   25 Dm | Bb | Gm | A7 | Dm | Gm | A7 | Dm
   33 Gm | Dm | Gm | A7 | Bb | Gm | A7 | D`,
);
const celloTune = music(
  bars,
  `1 A3:1.5 Bb3:.5 A3:1 D4 | F4:1.5 D4:.5 Bb3:2 | G3:1 Bb3 D4 G4 | E4:2 C#4 | D4:1.5 E4:.5 F4:1 A3 | Bb3:2 G3:1 D4 | C#4:1 E4:.5 D4 C#4:1 A3 | D4:3 -:1`,
);
const violinTune = music(
  bars,
  `9 C5:1 F5:1.5 G5:.5 A5:1 | G5:2 E5:1 C5 | D5:1 F5:1.5 E5:.5 D5:1 | E5:3 -:1 | D5:1 F5 Bb5:1.5 A5:.5 | A5:2 F5:1 C5 | Bb4:1 D5 F5:1.5 G5:.5 | E5:2 G5:1 -`,
);
const pianoTune = music(
  bars,
  `17 D5:.5 E5 F5 A5 D6:1 C6:.5 A5 | Bb5 A5 G5 D5 Bb4:1 G5 | E5:.5 F5 G5 Bb5 C6:1 Bb5:.5 G5 | A5:1.5 G5:.5 F5:1 C5
   21 D5:.5 F5 Bb5 A5 F5:1 D5 | E5:.5 G5 Bb5 G5 E5:1 D5 | C#5:.5 E5 G5 A5 C#6:1 A5 | G5:1 E5 C#5 -`,
);
const together = again(bars, celloTune, 1, 8, 25);
const coda = music(bars, '33 D4:2 Bb3 | A3:3 -:1 | G3:1 A3 Bb3 D4 | C#4:3 -:1');
const answer = music(bars, '37 D5:1.5 C5:.5 Bb4:2 | G4:1 Bb4 D5:2 | C#5:1 E5 A4:2 | F#4:4');

const hands = fourParts(
  spans,
  'D',
  [
    [62, 74],
    [57, 69],
    [50, 62],
    [36, 50],
  ],
  [...violinTune],
  3,
);
const rocking = '3@0:2 2@.5:.5 1@1:.5 0@1.5:.5 3@2:2 2@2.5:.5 1@3:.5 0@3.5:.5';
const chordal = '3@0:2 012@1:1 3@2:2 012@3:1';
const piano = instead(
  [
    ...figured(hands, bars, 1, 16, rocking),
    ...pianoTune,
    ...figured(hands, bars, 17, 24, '3@0:1 12@1:.5 12@1.5:.5 3@2:1 12@3:.5'),
    ...music(bars, '25 D2+F2+A2:2 D2+F2+A2 | Bb1+D2+F2:2 Bb1+D2+F2 | G1+Bb1+D2:2 G1+Bb1+D2'),
    ...figured(hands, bars, 25, 27, '012@1:1 012@3:1'),
    ...figured(hands, bars, 28, 32, chordal),
    ...music(
      bars,
      `33 G1+G2+D4+G4+Bb4:1 G4+Bb4+D5 G1+G2+G4+Bb4+D5 G4+Bb4+D5 | D2+D3+F4+A4+D5:1 F4+A4+D5 D2+D3+F4+A4+D5 F4+A4
       35 G1+G2+D4+G4+Bb4:1 G4+Bb4+D5 G1+G2+G4+Bb4+D5 G4+Bb4 | A1+A2+E4+G4+C#5:1 E4+G4+C#5 A1+A2+E4+G4+C#5 E4+G4`,
    ),
    ...figured(hands, bars, 37, 39, chordal),
    ...music(bars, '40 D2+A2+D4+A4:4'),
  ],
  12,
  12,
  music(bars, '12 A1+E3+A3+C6:1 A1+E3+A3+C6 A1+E3+A3+C6 A1+E3+A3+C6'),
);
const violin = [
  ...violinTune,
  ...music(bars, '17 A4:4 | G4:4 | G4:4 | A4:4 | Bb4:4 | Bb4:4 | A4:4 | A4:3 -:1'),
  ...instead(octaves(together, 1), 30, 30, music(bars, '30 A3+Bb3:2 G4:1 D5')),
  ...answer,
];
const cello = [
  ...celloTune,
  ...music(bars, '13 Bb2:4 | C3:4 | D3:4 | C3:3 -:1 | D3:4 | D3:4 | C3:4 | C3:4 | D3:4 | D3:4 | E3:4 | E3:3 -:1'),
  ...instead(together, 28, 28, music(bars, '28 E3:1 C#3 A2 Bb1')),
  ...coda,
  ...music(bars, '37 Bb2:4 | G2:4 | A2:4 | D2:4'),
];

const parts = [
  member(bars, 'Violon', ['violin'], 1, 'bowed', '9:mf 17:p 25:f 37:p> 40:pp', violin, { program: 40, curves: [1] }),
  member(bars, 'Violoncelle', ['cello'], 1, 'bowed', '1:mf 13:p 25:f 33:p', cello, { program: 42, curves: [1] }),
  member(bars, 'Piano', ['piano'], 1, 'keys', '1:p 17:mf 25:mf 33:ff 37:pp', piano, {
    program: 0,
    pedal: { bars: [1, 11], everyQuarters: 4 },
  }),
];
const members = inChannels(parts);
const plans = members.map(({ plan }) => plan);
/** The first two stages: what the piano and the violin had before the cello was there. */
const before = inChannels([
  member(bars, 'Violon', ['violin'], 1, 'bowed', '9:mf 17:p 25:f', within(violin, 9, 29), { program: 40 }),
  member(bars, 'Piano', ['piano'], 1, 'keys', '1:p 17:mf 25:mf', within(piano, 1, 32), { program: 0 }),
]).map(({ plan }) => plan);

export const pianoTrio = folder(
  'piano-trio',
  'a trio for violin, cello and piano named in French, three stages, the last with one file a part',
  (seed) =>
    new Map([
      ['1 Esquisse.mid', oneTrack(piece, before, { seed, conductorName: 'Esquisse' })],
      [
        '2 Violon et piano.mid',
        oneFile(
          piece,
          [plans[0], plans[2]].flatMap((plan) => plan ?? []),
          { seed },
        ),
      ],
      ...[...fileByPart(piece, plans, { seed: seed + 1 }, (plan) => `3 Trio/${plan.name}.mid`)],
    ]),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'D', mode: 'minor' }],
    style: 'classical',
    front: [
      lead(1, 8, 'Violoncelle'),
      lead(9, 16, 'Violon'),
      lead(17, 24, 'Piano'),
      lead(25, 32, 'Violon', 'Violoncelle'),
      lead(33, 36, 'Violoncelle'),
      lead(37, 40, 'Violon'),
    ],
    flaws: [
      flaw(
        'three hands',
        12,
        12,
        ['Piano'],
        ['hand-span', 'too-many-notes'],
        'A1, E3 with A3, and C6 at once, four times without the pedal: that is three hands.',
      ),
      flaw(
        'double stop',
        30,
        30,
        ['Violon'],
        ['double-stop', 'one-string'],
        'A3 and B flat 3 are both on the G string.',
      ),
      flaw('low cello', 28, 28, ['Violoncelle'], ['outside-range'], 'B flat 1 is below the C string.'),
      flaw('mud', 25, 27, ['Piano'], ['crowded-low'], 'Close triads from B flat 1 and G1: nobody hears a chord.'),
      flaw(
        'covered cello',
        33,
        36,
        ['Piano'],
        ['background-as-loud', 'background-covers'],
        'The cello sings p in its middle while the piano strikes full chords ff.',
      ),
    ],
    clean: [
      clean(
        'The violin doubles the cello an octave higher: both lead.',
        ['support-over-lead', 'background-above-melody', 'background-as-loud', 'parallel-perfects'],
        ['Violon', 'Violoncelle'],
        25,
        32,
      ),
      clean(
        'The piano goes above the cello where it accompanies.',
        ['background-above-melody', 'crossing'],
        ['Piano'],
        1,
        8,
      ),
      clean('Both hands with a bass of its own: the piano may be alone in the bass.', [
        'root-not-in-bass',
        'bass-doubled-too-close',
      ]),
      clean(
        'Long notes under the piano are what strings do there.',
        ['static-part'],
        ['Violon', 'Violoncelle'],
        13,
        24,
      ),
      clean('A pianist needs no rest.', ['never-rests', 'breath'], ['Piano']),
      clean('The violin waits eight bars for the second subject.', ['entry-off-phrase', 'hollow-without-foreground']),
    ],
  }),
);
