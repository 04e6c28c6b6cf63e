/** A charanga: flute over violins, piano, bass and percussion, a singer between; Spanish names, two files of which the second is whole. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { figured, instead, music, strokes } from '../compose/compose.ts';
import { clean, flaw, folder, inChannels, inOneFile, lead, member, truthOf } from '../compose/folder.ts';
import { basses, chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';

const piece: Piece = {
  lastBar: 24,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [{ fromBar: 1, tempo: 128 }],
  keys: [{ fromBar: 1, fifths: -1, minor: true }],
  markers: [
    { bar: 1, text: 'Intro' },
    { bar: 9, text: 'Canto' },
    { bar: 17, text: 'Flauta' },
  ],
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 Dm | Gm | A7 | Dm | Dm | Gm | A7 | Dm | Dm | Dm | Gm | Gm | A7 | A7 | Dm | Dm
   17 Dm | Gm | A7 | Dm | Dm | Gm | A7 | Dm`,
);
const flute = music(
  bars,
  `1 A5:1 F5:.5 G5 A5:1 D6 | Bb5:1 G5:.5 A5 Bb5:2 | A5:1 C#6:.5 E6 C#6:1 A5 | D6:3 -:1
   5 A5:1 F5:.5 G5 A5:1 D6 | Bb5:1 D6:.5 Bb5 G5:2 | E5:1 G5:.5 A5 C#6:1 E6 | D6:3 -:1
   17 D6:.5 E6 F6 E6 D6:1 A5 | Bb5:.5 C6 D6 C6 Bb5:1 G5 | A5:.5 Bb5 C#6 D6 E6:1 C#6 | D6:3 -:1
   21 F6:.5 E6 D6 C6 A5:1 D6 | G5:.5 Bb5 D6 Bb5 G5:1 D6 | C#6:.5 E6 C#6 A5 G5:1 E5 | D5:3 -:1`,
);
const voice = music(
  bars,
  `9 -:1 A4:.5 A4 D5:1 E5 | F5:2 E5:1 D5 | -:1 D5:.5 D5 Bb4:1 G4 | D5:3 -:1
   13 -:1 C#5:.5 C#5 E5:1 C#5 | A4:2 B4:.5 C#5:.5 E5:1 | D5:4 | A4:3 -:1`,
);
const guajeoOf = (from: number, to: number) =>
  figured(
    innerVoices(
      spans,
      [],
      [],
      [
        [69, 79],
        [62, 72],
      ],
    ),
    bars,
    from,
    to,
    '0@0:.5 1@.5:.5 0@1.5:.5 1@2:.5 0@3:.5 1@3.5:.5',
  );
const violins = [
  ...instead(guajeoOf(5, 16), 15, 15, music(bars, '15 Eb5:4')),
  ...guajeoOf(17, 19),
  ...music(bars, '20 F4:1 F#3 A4 -:1'),
  ...guajeoOf(21, 24),
];
const roots = basses(spans, 38);
const tumbao = figured([roots], bars, 1, 23, '0@0:1 0@1.5:1 0@3:1');
const bass = [...instead(tumbao, 6, 6, music(bars, '6 G#1:1 -:.5 G#1:1 -:.5 D#2:1')), ...music(bars, '24 D2:3 -:1')];
const montuno = figured(
  innerVoices(spans, [], roots, [
    [65, 74],
    [57, 66],
    [50, 60],
  ]),
  bars,
  1,
  24,
  '02@0:.5 1@.5:.5 02@1.5:.5 1@2.5:.5 02@3.5:.5',
);
const drums = strokes(bars, 1, 24, '73@0 73@1 74@1.5 73@2 73@3 74@3.5');

const VOX = ['voice', 'voice-tenor', 'voice-baritone', 'voice-alto', 'voice-soprano', 'voice-mezzo'];
const members = inChannels([
  member(bars, 'Flauta', ['flute'], 1, 'blown', '1:f 17:pp 21:f', flute, { program: 73 }),
  member(bars, 'Voz', VOX, 1, 'sung', '9:mf', voice, { program: 53, latenessMs: 12, scatterMs: 18 }),
  member(bars, 'Violines', ['violin'], 3, 'bowed', '5:p 9:p 17:ff 21:p', violins, { program: 48 }),
  member(bars, 'Piano', ['piano'], 1, 'keys', '1:mp', montuno, { program: 0 }),
  member(bars, 'Baby Bass', ['double-bass', 'bass-guitar'], 1, 'plucked', '1:mf', bass, { program: 32 }),
  member(bars, 'Güiro', ['percussion-unpitched'], 1, 'struck', '1:p', drums, { channel: 9 }),
]);
const RHYTHM = ['Violines', 'Piano', 'Baby Bass', 'Güiro'];

export const charanga = folder(
  'charanga',
  'a charanga of flute, singer, violins, piano, bass and percussion with Spanish names',
  inOneFile('la esquina v4.mid', piece, members),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'D', mode: 'minor' }],
    style: 'song',
    front: [lead(1, 8, 'Flauta'), lead(9, 16, 'Voz'), lead(17, 24, 'Flauta')],
    flaws: [
      flaw(
        'wrong bass',
        6,
        6,
        ['Baby Bass'],
        ['clashing-second', 'root-not-in-bass'],
        'G sharp and D sharp under G minor: a semitone high.',
      ),
      flaw(
        'violins beside the singer',
        15,
        15,
        ['Violines'],
        ['clashing-second'],
        'E flat held a semitone over the D of the singer; the chord is D minor.',
      ),
      flaw(
        'violins over the flute',
        17,
        20,
        ['Violines'],
        ['background-as-loud', 'background-covers'],
        'The violins play fortissimo while the flute improvises pianissimo.',
      ),
      flaw('violins too low', 20, 20, ['Violines'], ['outside-range'], 'F sharp 3 is under the open G.'),
    ],
    clean: [
      clean(
        'Guajeo, montuno and tumbao repeat.',
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
        ],
        RHYTHM,
      ),
      clean('Ahead of the beat is how the bass is played.', ['late-part', 'root-not-in-bass'], ['Baby Bass'], 1, 5),
    ],
  }),
);
