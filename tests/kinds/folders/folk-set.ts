/** A jig and a reel for a session band: who has the tune changes with every repeat, and the rest plays along or chords. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { again, figured, instead, moved, music, octaves, strokes, within } from '../compose/compose.ts';
import type { Written } from '../write/shorthand.ts';
import { clean, flaw, folder, inChannels, inOneFile, lead, member, truthOf } from '../compose/folder.ts';
import { basses, chords, fourParts } from '../compose/harmony.ts';

const piece: Piece = {
  lastBar: 48,
  meters: [
    { fromBar: 1, numerator: 6, denominator: 8 },
    { fromBar: 33, numerator: 4, denominator: 4 },
  ],
  pickup: 0.5,
  tempi: [
    { fromBar: 0, tempo: 165 },
    { fromBar: 33, tempo: 184 },
  ],
  markers: [
    { bar: 1, text: 'The Ferry Slip (jig)' },
    { bar: 33, text: 'Nora on the Weir (reel)' },
  ],
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);

const A = `1 D5:1 F#5:.5 A5 F#5 D5 | B4:1 D5:.5 G5 E5 D5 | C#5:1 E5:.5 A5 G5 E5 | F#5:.5 E5 D5 A4:1 A4:.5
  5 D5:1 F#5:.5 A5 F#5 D5 | B5:1 G5:.5 E5 D5 B4 | A4:.5 C#5 E5 G5 E5 C#5 | D5:1.5 D5:1 A4:.5`;
const B = `17 F#5:1 B5:.5 A5 F#5 D5 | G5:1 B5:.5 A5 G5 E5 | F#5:.5 A5 F#5 D5 E5 F#5 | E5:.5 C#5 E5 A4:1 E5:.5
  21 F#5:1 B5:.5 A5 F#5 D5 | G5:.5 F#5 G5 B5 G5 E5 | C#5:.5 E5 G5 F#5 E5 C#5 | D5:1.5 D5:1 A4:.5`;
const REEL = `33 G4:1 B4:.5 D5 G5:1 D5:.5 B4 | C5:1 E5:.5 G5 E5 D5 C5 E5 | D5:1 B4:.5 D5 G5 D5 B4 D5 | A4:.5 D5 F#5 D5 E5 D5 C5 A4
  37 G4:1 B4:.5 D5 G5:1 D5:.5 B4 | E5:1 G5:.5 B5 G5 F#5 E5 D5 | C5:.5 A4 D5 C5 B4 A4 F#4 A4 | G4:2 G4:1 D5
  41 E5:1 G5:.5 B5 A5 G5 F#5 E5 | C5:.5 E5 G5 E5 C5 E5 G5 E5 | D5:1 G5:.5 B5 A5 G5 D5 B4 | A4:.5 D5 F#5 A5 F#5 D5 C5 A4
  45 B4:.5 E5 G5 B5 A5 G5 F#5 E5 | C5:.5 E5 G5 E5 D5 C5 E5 C5 | D5:.5 C5 A4 F#4 A4 C5 B4 A4 | G4:4`;

const tuneA = music(bars, `0 A4:.5\n${A}`);
const tuneB = music(bars, B);
const reel = music(bars, REEL);
const whole = [...tuneA, ...again(bars, tuneA, 1, 8, 9), ...tuneB, ...again(bars, tuneB, 17, 24, 25), ...reel];

const jigA = 'D | G | A7 | D | D | G | A7 | D';
const jigB = 'Bm | G | D | A | Bm | G | A7 | D';
const spans = chords(
  bars,
  `1 ${jigA}\n9 ${jigA}\n17 ${jigB}\n25 ${jigB}
   33 G | C | G | D | G | Em | D7 | G | Em | C | G | D | Em | C | D7 | G`,
);

/** As a whistle in D folds it: what lies below its lowest note goes up. */
function folded(notes: readonly Written[]): Written[] {
  return notes.flatMap((note) => (note.midi < 74 ? octaves([note], 1) : [note]));
}

const strummed = fourParts(spans, 'D', [
  [62, 69],
  [57, 65],
  [52, 60],
  [40, 52],
]);
const jigStrum = '3@0:.5 012@1:.5 3@1.5:.5 012@2.5:.5';
const reelStrum = '3@0:.5 012@1:.5 012@1.5:.5 3@2:.5 012@3:.5 012@3.5:.5';
const guitar = [
  ...figured(strummed, bars, 1, 32, jigStrum),
  ...figured(strummed, bars, 33, 47, reelStrum),
  ...figured(strummed, bars, 48, 48, '0123@0:4'),
];
// The chords of four bars pasted one bar late.
const late = [...within(guitar, 41, 41), ...moved(bars, within(guitar, 41, 44), 4)];
const guitarFlawed = instead(guitar, 41, 45, [...again(bars, guitar, 40, 40, 41), ...within(late, 42, 45)]);

const left = basses(spans, 45);
const leftHand = [
  ...figured([left, ...strummed.slice(0, 3)], bars, 25, 32, '0@0:.5 12@1:.5 0@1.5:.5 12@2.5:.5'),
  ...figured([left, ...strummed.slice(0, 3)], bars, 37, 47, '0@0:1 12@1:.5 0@2:1 12@3:.5'),
];
const accordion = [
  ...within(whole, 17, 32),
  ...within(whole, 37, 40),
  ...leftHand,
  ...figured(strummed, bars, 41, 47, '01@0:4'),
  ...music(bars, '48 G4+B4:4'),
];

const fiddleBacking = music(
  bars,
  `17 D4+A4:1.5 D4+A4 | G3+D4 G3+D4 | D4+A4 D4+A4 | A3+E4 A3+E4 | D4+A4 D4+A4 | A3+B3 A3+B3 | A3+E4 A3+E4 | D4+A4:3`,
);
const fiddle = [...within(whole, 0, 16), ...fiddleBacking, ...within(whole, 25, 48)];
const whistle = [
  ...folded(within(whole, 9, 16)),
  ...octaves(within(whole, 25, 32), -1),
  ...folded(within(whole, 41, 48)),
];
const drum = [
  ...strokes(bars, 9, 32, '50@0 48@.5 48@1 50@1.5 48@2 48@2.5'),
  ...strokes(bars, 33, 47, '50@0 48@.5 48@1 48@1.5 50@2 48@2.5 48@3 48@3.5'),
  ...strokes(bars, 48, 48, '50@0'),
];

const members = inChannels([
  member(bars, 'Fiddle', ['violin'], 1, 'bowed', '0:f 17:ff 25:f', fiddle, { program: 110 }),
  member(
    bars,
    'Tin Whistle in D',
    ['tin-whistle', 'recorder-treble', 'recorder', 'flute', 'piccolo'],
    1,
    'blown',
    '9:f',
    whistle,
    { program: 78 },
  ),
  member(bars, 'Accordion', ['accordion'], 1, 'keys', '17:p 25:mf 37:f 41:mp', accordion, { program: 21 }),
  member(bars, 'Guitar (strummed)', ['guitar'], 1, 'plucked', '1:mp 17:ff 25:mp', guitarFlawed, { program: 25 }),
  member(bars, 'Bodhrán', ['percussion-unpitched', 'frame-drum'], 1, 'struck', '9:mp 17:ff 25:mp', drum, {
    program: 117,
  }),
  member(bars, 'tune guide', ['piano'], undefined, 'keys', '0:f', [...within(whole, 0, 16), ...within(whole, 33, 40)], {
    program: 0,
    scatterMs: 2,
  }),
]);

export const folkSet = folder(
  'folk-set',
  'a jig and a reel for fiddle, whistle, accordion, guitar and frame drum, one file with a guide track left in it',
  inOneFile('set 3 (session).mid', piece, members, { offAsZero: true }),
  truthOf(piece, members, spans, {
    keys: [
      { fromBar: 1, tonic: 'D', mode: 'major' },
      { fromBar: 33, tonic: 'G', mode: 'major' },
    ],
    style: 'song',
    front: [
      lead(0, 16, 'Fiddle', 'Tin Whistle in D', 'tune guide'),
      lead(17, 24, 'Accordion'),
      lead(25, 32, 'Fiddle', 'Accordion', 'Tin Whistle in D'),
      lead(33, 40, 'Fiddle', 'Accordion', 'tune guide'),
      lead(41, 48, 'Tin Whistle in D', 'Fiddle'),
    ],
    flaws: [
      flaw(
        'covered box',
        17,
        24,
        ['Guitar (strummed)', 'Fiddle', 'Bodhrán'],
        ['background-as-loud', 'background-covers', 'support-over-lead'],
        'The accordion has the tune, p, under a fiddle, a guitar and a drum that all play ff.',
      ),
      flaw('fiddle stop', 22, 22, ['Fiddle'], ['double-stop', 'one-string'], 'A3 and B3 are both on the G string.'),
      flaw(
        'low whistle',
        25,
        32,
        ['Tin Whistle in D'],
        ['outside-range'],
        'A whistle in D has nothing below D5; the second part is written an octave too low.',
      ),
      flaw(
        'late chords',
        41,
        45,
        ['Guitar (strummed)'],
        ['displaced-part', 'clashing-second', 'root-not-in-bass', 'incomplete-chord'],
        'The chords of the guitar are one bar late: C under D, G under E minor.',
      ),
      flaw(
        'guide track',
        0,
        40,
        ['tune guide'],
        ['leftover-track'],
        'The guide plays the fiddle note for note: a leftover.',
      ),
    ],
    clean: [
      clean(
        'Everybody on the tune in unison: that is the style.',
        ['support-over-lead', 'background-above-melody', 'crossing', 'parallel-perfects', 'unchanged-texture'],
        undefined,
        9,
        16,
      ),
      clean(
        'The left hand of the accordion lies below the right-hand manual.',
        ['outside-range', 'edge-of-range', 'hand-span', 'too-many-notes'],
        ['Accordion'],
      ),
      clean(
        'Open fifths are what a fiddle backs with.',
        ['incomplete-chord', 'static-part', 'hollow-without-foreground'],
        ['Fiddle'],
        17,
        24,
      ),
      clean(
        'A frame drum has no harmony and no range.',
        ['outside-range', 'static-part', 'incomplete-chord', 'crowded-low', 'bass-doubled-too-close'],
        ['Bodhrán'],
      ),
      clean(
        'Players of dance tunes do not rest.',
        ['never-rests', 'restless-part', 'breath'],
        ['Fiddle', 'Guitar (strummed)', 'Bodhrán'],
      ),
      clean(
        'The whistle shines above the fiddle.',
        ['background-above-melody', 'far-from-foreground', 'crossing'],
        ['Tin Whistle in D'],
        41,
        48,
      ),
    ],
  }),
);
