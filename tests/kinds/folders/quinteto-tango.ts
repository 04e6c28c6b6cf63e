/** A tango for a quintet of the River Plate kind, named in Spanish, one file a player, velocities alone but for the bellows. */
import { Note } from 'tonal';
import { fileByPart, piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { again, figured, instead, moved, music, noteOf, octaves, tied, within } from '../compose/compose.ts';
import { clean, flaw, folder, inChannels, lead, member, truthOf } from '../compose/folder.ts';
import { basses, chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';
import { barNumbered } from '../write/bars.ts';

const piece: Piece = {
  lastBar: 40,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [
    { fromBar: 1, tempo: 122 },
    { fromBar: 13, tempo: 114 },
    { fromBar: 29, tempo: 122 },
    { fromBar: 39, tempo: 108 },
  ],
  markers: [
    { bar: 1, text: 'Intro' },
    { bar: 5, text: 'A' },
    { bar: 13, text: 'B' },
    { bar: 21, text: 'C' },
    { bar: 29, text: 'A' },
    { bar: 37, text: 'Final' },
  ],
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);
const PART_A = 'Em | Am | B7 | Em | C | Am | B7 | Em';
const spans = chords(
  bars,
  `1 Em | Am | B7 | Em
   5 ${PART_A}
   13 G | D7 | D7 | G | Am | Em | F#7 | B7
   21 Em B7 | Em Am | D7 G | C B7 | Em Am | B7 Em | C Am | B7
   29 ${PART_A}
   37 Am | Em | B7 | Em`,
);
const intro = music(bars, '1 E5:1 B4 G4 B4 | C5:1 E5 A5:1.5 E5:.5 | F#5:1 D#5 A5:1.5 F#5:.5 | E5:2 B4:1 -:1');
const songA = music(
  bars,
  `5 B4:.5 E5 G5:1 F#5:.5 E5 B4:1 | C5:.5 E5 A5:1.5 G5:.5 E5:1 | F#5:1.5 D#5:.5 B4:1 A4 | G4:2 B4:1 -:1
   9 E5:.5 G5 C6:1 B5:.5 G5 E5:1 | A5:1.5 G5:.5 E5:1 C5 | D#5:1 F#5:.5 A5 F#5:1 D#5 | E5:3 -:1`,
);
const songB = music(
  bars,
  `13 D5:2 B4:1 D5 | F#5:2 A5:1 C6 | C6:1.5 A5:.5 F#5:1 D5 | B5:3 -:1
   17 E5:1 A5 C6:1.5 B5:.5 | G5:2 E5:1 B4 | C#6:1.5 A#5:.5 F#5:1 E5 | D#5:3 -:1`,
);
const songC = music(
  bars,
  `21 E5:.5 G5 B5:1 A5:.5 F#5 D#5:1 | E5:1 B5:.5 G5 C6:1 A5 | F#5:.5 A5 C6:1 B5:.5 G5 D5:1 | E5:.5 G5 C6:1 B5:.5 A5 F#5:1
   25 G5:.5 E5 B5:1 C6:.5 A5 E5:1 | D#5:.5 F#5 A5:1 G5 E5 | E5:1 G5 C5 A5 | F#5:2 D#5:1 -:1`,
);
const ending = music(
  bars,
  '37 C5:.5 E5 A5:1 B5:.5 A5 E5:1 | G5:1.5 F#5:.5 E5:1 B4 | D#5:.5 F#5 A5:1 F#5 D#5 | E5:2 -:2',
);
const songA2 = again(bars, songA, 5, 12, 29);
const song = [...intro, ...songA, ...songB, ...songC, ...songA2, ...ending];
const low = basses(spans, 38);
const upper = innerVoices(
  spans,
  [],
  low,
  [
    [59, 69],
    [55, 65],
    [50, 61],
  ],
  [song],
);
const [high = []] = upper;
const hands = [...upper, low];

const bandoneon = [
  ...songA,
  ...figured(upper, bars, 5, 11, "12@1:.5' 12@3:.5'"),
  ...figured(upper, bars, 13, 15, '01@0:4'),
  ...figured(upper, bars, 16, 16, '01@0:3'),
  ...figured(upper, bars, 17, 19, '01@0:4'),
  ...figured(upper, bars, 20, 20, '01@0:3'),
  ...figured(upper, bars, 21, 24, '01@0:2 01@2:2'),
  // Long chords as strong as the bellows will go, in the octave of the tune of the piano and above it.
  ...octaves(figured(upper, bars, 25, 28, '01@0:2 01@2:2'), 1),
  ...songA2,
  ...figured(upper, bars, 29, 35, "12@1:.5' 12@3:.5'"),
  ...ending,
  ...figured(upper, bars, 37, 39, "12@1:.5' 12@3:.5'"),
];
const violin = [
  ...instead(songB, 18, 18, music(bars, '18 G3+B3:2 E5:1 B4')),
  ...tied(within(high, 6, 7)),
  ...tied(within(high, 9, 11)),
  ...octaves([...songA2, ...ending], -1),
];
const MARCATO = "0123@0:.5' 0123@1:.5' 0123@2:.5' 0123@3:.5'";
const pianoRight = [
  ...intro,
  ...figured(hands, bars, 1, 3, "3@0:1 012@1:.5' 3@2:1 012@3:.5'"),
  ...figured(hands, bars, 4, 4, '0123@0:2'),
  ...figured(hands, bars, 5, 12, "3@0:1 012@1:.5' 3@2:1 012@3:.5'"),
  ...figured(hands, bars, 13, 20, MARCATO),
  ...songC,
  ...figured(hands, bars, 21, 28, '3@0:1.5 2@1.5:.5 3@2:1.5 2@3.5:.5'),
  ...figured(hands, bars, 29, 39, MARCATO),
  ...figured(hands, bars, 40, 40, '0123@0:2'),
];
// A chord for three hands, struck together.
const piano = instead(pianoRight, 27, 27, music(bars, '27 C2+G2+E4+G4+C6+E6:2 A1+E2+C4+E4+A5+C6'));
const strings6 = [...figured(upper, bars, 13, 20, '2@0:.5 1@.5:.5 0@1:.5 1@1.5:.5 2@2:.5 1@2.5:.5 0@3:.5 1@3.5:.5')];
const bordoneo = music(
  bars,
  `29 E2:1 B2 E3 B2 | A2 E3 A3 E3 | B2 F#3 B3 F#3 | E3 B2 G2 E2
   33 C3 E3 G3 E3 | A2 E3 A3 E3 | B2 D#3 F#3 A3 | E2 B2 E3 -
   37 A2 E3 A3 E3 | E2 B2 E3 B2 | B2 D#3 F#3 A3 | E3:2 -:2`,
);
// Four bars an octave too low: read as they sound and put down once more.
const guitar = [...strings6, ...instead(bordoneo, 29, 32, octaves(within(bordoneo, 29, 32), -1))];
const twoBeat = figured([low], bars, 1, 39, '0@0:1.5 0@2:1.5');
const halves = figured([low], bars, 21, 24, '0@0:2 0@2:2');
/** The slide into the next root, on the last half beat. */
const slides = within(low, 29, 36).map((root) =>
  noteOf(bars, Note.transpose(root.pitch ?? '', '-2m'), {
    start: barNumbered(bars, root.bar).start - 0.5,
    length: 0.5,
  }),
);
const bass = [
  ...within(twoBeat, 1, 20),
  // Four bars begin a beat late.
  ...moved(bars, halves, 1).map((note) => (note.start === 95 ? { ...note, length: 1 } : note)),
  ...within(twoBeat, 25, 39),
  ...slides,
  ...figured([low], bars, 40, 40, '0@0:2'),
];

const members = inChannels([
  member(
    bars,
    'Bandoneón',
    ['bandoneon', 'accordion'],
    1,
    'blown',
    '5:mf> 11:f 13:pp 21:p 25:fff 29:f 37:f',
    bandoneon,
    {
      program: 23,
      curves: [11],
      latenessMs: 8,
    },
  ),
  member(bars, 'Violín', ['violin'], 1, 'bowed', '5:p 13:mf> 17:f 20:mf 29:mf 37:f', violin, {
    program: 40,
    latenessMs: 16,
    scatterMs: 15,
  }),
  member(bars, 'Piano', ['piano'], 1, 'keys', '1:mf 5:p 21:mf 28:mp 29:mp', piano, { program: 0 }),
  member(
    bars,
    'Guitarra eléctrica',
    ['electric-guitar', 'guitar-electric', 'guitar'],
    1,
    'plucked',
    '13:pp 29:p 37:mp',
    guitar,
    {
      program: 26,
      scatterMs: 10,
    },
  ),
  member(bars, 'Contrabajo', ['double-bass'], 1, 'plucked', '1:p 5:mp 13:p 21:mp 29:mp', bass, { program: 32 }),
]);
const BAND = ['Piano', 'Guitarra eléctrica', 'Contrabajo'];

export const quintetoTango = folder(
  'quinteto-tango',
  'a tango for bandoneon, violin, piano, electric guitar and double bass, one file a player with Spanish names',
  (seed) =>
    new Map<string, Uint8Array | string>([
      ...fileByPart(
        piece,
        members.map(({ plan }) => plan),
        { seed },
        ({ name }, index) => `Esquina de sal/0${String(index + 1)} ${name}.mid`,
      ),
      ['notas.md', '# Compases 21-28\n\nSolo de piano; los demás, atrás.\n'],
    ]),
  truthOf(piece, members, spans, {
    keys: [
      { fromBar: 1, tonic: 'E', mode: 'minor' },
      { fromBar: 13, tonic: 'G', mode: 'major' },
      { fromBar: 19, tonic: 'E', mode: 'minor' },
    ],
    style: 'song',
    front: [
      lead(1, 4, 'Piano'),
      lead(5, 12, 'Bandoneón'),
      lead(13, 20, 'Violín'),
      lead(21, 28, 'Piano'),
      lead(29, 40, 'Bandoneón', 'Violín'),
    ],
    flaws: [
      flaw(
        'two notes on the G string',
        18,
        18,
        ['Violín'],
        ['double-stop', 'one-string', 'same-string', 'too-many-notes'],
        'G3 and B3 together: both are on the lowest string.',
      ),
      flaw(
        'bass a beat late',
        21,
        24,
        ['Contrabajo'],
        ['displaced-part', 'out-of-step', 'late-part', 'clashing-second', 'root-not-in-bass'],
        'The roots come a beat late, and each sounds on under the next chord.',
      ),
      flaw(
        'bandoneon over the piano',
        25,
        28,
        ['Bandoneón'],
        [
          'background-as-loud',
          'background-covers',
          'background-above-melody',
          'covered-from-above',
          'support-over-lead',
        ],
        'Long chords of the bandoneon at full strength in the octave of the piano solo.',
      ),
      flaw(
        'three hands',
        27,
        27,
        ['Piano'],
        ['hand-span', 'too-many-notes'],
        'Fifths at the bottom, thirds in the middle and thirds two octaves up, struck at once: that takes three hands.',
      ),
      flaw(
        'guitar an octave too low',
        29,
        32,
        ['Guitarra eléctrica'],
        ['outside-range'],
        'Down to E1: an octave below the lowest string of a guitar.',
      ),
    ],
    clean: [
      clean(
        'Marcato and the two beats of the bass: a tango band repeats itself.',
        ['static-part', 'repeated-notes', 'never-rests', 'unchanged-texture', 'restless-part', 'parallel-perfects'],
        BAND,
      ),
      clean(
        'The violin doubles the bandoneon an octave below, on its low strings.',
        ['parallel-perfects', 'support-over-lead', 'background-as-loud', 'background-covers', 'crossing'],
        ['Violín', 'Bandoneón'],
        29,
        40,
      ),
      clean(
        'The bass slides into the root from a semitone below.',
        ['clashing-second', 'root-not-in-bass', 'unresolved-tone', 'displaced-part'],
        ['Contrabajo'],
        28,
        36,
      ),
      clean(
        'A bandoneon has two hands: a tune and short chords under it.',
        ['hand-span', 'too-many-notes', 'outside-range', 'edge-of-range', 'breath'],
        ['Bandoneón'],
      ),
      clean(
        'Bass, left hand and low guitar share the root.',
        ['bass-doubled-too-close', 'crowded-low'],
        undefined,
        33,
        40,
      ),
      clean('A violin may lie a dozen milliseconds behind.', ['late-part'], ['Violín', 'Bandoneón']),
    ],
  }),
);
