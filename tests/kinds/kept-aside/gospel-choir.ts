/** A slow gospel song in twelve eighths: soloist, choir in three parts, piano, organ, bass, drums and tambourine; studio names, velocities. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { figured, instead, music, strokes, within } from '../compose/compose.ts';
import { clean, flaw, inChannels, inOneFile, keptAside, lead, member, truthOf } from '../compose/folder.ts';
import { basses, chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';
import { click, empty } from '../compose/leftovers.ts';

const piece: Piece = {
  lastBar: 24,
  meters: [{ fromBar: 1, numerator: 12, denominator: 8 }],
  tempi: [{ fromBar: 1, tempo: 96 }],
  keys: [{ fromBar: 1, fifths: -4, minor: false }],
  markers: [
    { bar: 1, text: 'Intro' },
    { bar: 5, text: 'Verse' },
    { bar: 13, text: 'Chorus' },
    { bar: 21, text: 'Tag' },
  ],
  ticksPerQuarter: 960,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 Ab | Db | Ab Eb7 | Ab | Ab | Ab7 | Db | Ddim7 | Ab | F7 | Bbm7 Eb7 | Ab
   13 Db | Ab | Db | Eb7 | Db | Ab | Bbm7 Eb7 | Ab | Db | Ab | Bbm7 Eb7 | Ab`,
);
const soloist = music(
  bars,
  `5 -:1.5 C5:1 Bb4:.5 Ab4:1.5 Eb4 | -:1.5 Ab4:1 Bb4:.5 C5:1.5 Eb5 | Db5:2.5 C5:.5 Ab4:1.5 F4 | Ab4:3 -:3
   9 -:1.5 C5:1 Db5:.5 Eb5:1.5 C5 | A4:1.5 C5:1 A4:.5 F4:1.5 -:1.5 | Db5:1.5 Bb4 G4 Bb4 | Ab4:3 -:3
   21 F5:3 Db5:1.5 Ab4 | Eb5:3 C5:1.5 -:1.5 | Bb4:1.5 Db5 Bb4 G4 | Ab4:4.5 -:1.5`,
);
const sopranos = music(
  bars,
  `13 Ab4:3 F4:1.5 Ab4 | C5:3 Ab4:1.5 -:1.5 | Db5:3 Ab4:1.5 Db5 | Bb4:3 Eb5:1.5 -:1.5
   17 Db5:3 Ab4:1.5 F4 | C5:3 Eb5:1.5 C5 | Db5:1.5 Bb4 Bb4 G4 | Ab4:4.5 -:1.5
   21 Ab4:4.5 -:1.5 | Ab4:4.5 -:1.5 | F4:3 G4:1.5 -:1.5 | Ab4:4.5 -:1.5`,
);
const altos = music(
  bars,
  `13 F4:3 Db4:1.5 F4 | Ab4:3 Eb4:1.5 -:1.5 | Ab4:3 F4:1.5 Ab4 | G4:3 Bb4:1.5 -:1.5
   17 Ab4:3 F4:1.5 Db4 | Ab4:3 C5:1.5 Ab4 | Bb4:1.5 F4 G4 Eb4 | Eb4:4.5 -:1.5
   21 F4:4.5 -:1.5 | Eb3:4.5 -:1.5 | Db4:3 Eb4:1.5 -:1.5 | Eb4:4.5 -:1.5`,
);
// The tenors come a bar late in 17 to 19: they sing what belongs to 16 to 18.
const tenors = music(
  bars,
  `13 Db4:3 Ab3:1.5 Db4 | Eb4:3 C4:1.5 -:1.5 | F4:3 Db4:1.5 F4 | Eb4:3 G4:1.5 -:1.5
   17 Eb4:3 G4:1.5 -:1.5 | F4:3 Db4:1.5 Ab3 | Eb4:3 Ab4:1.5 Eb4 | C4:4.5 -:1.5
   21 Db4:4.5 -:1.5 | C4:4.5 -:1.5 | Bb3:3 Db4:1.5 -:1.5 | C4:4.5 -:1.5`,
);
const intro = music(
  bars,
  '1 Eb5:1.5 C5:1 Ab4:.5 C5:1.5 Ab4 | F5:1.5 Db5:1 Ab4:.5 Db5:1.5 Ab4 | C5:1.5 Eb5 Db5 G4 | Ab4:4.5 -:1.5',
);
const roots = basses(spans, 36);
const comp = innerVoices(spans, within(intro, 1, 4), roots, [
  [61, 68],
  [57, 64],
  [53, 61],
]);
const left = [
  ...figured([roots], bars, 1, 4, '0@0:1.5 0@3:1.5'),
  ...figured([roots], bars, 5, 24, '0@0:2.5 0@2.5:.5 0@3:3').filter(({ bar }) => bar < 9 || bar > 11),
  ...music(bars, '9 Ab1+C2+Eb2:3 Ab1+C2+Eb2 | F1+A1+C2:3 F1+A1+C2 | Bb1+Db2+F2:3 Eb2+G2+Bb2'),
];
const piano = [
  ...intro,
  ...figured(comp, bars, 1, 4, '12@1.5:1 12@4.5:1'),
  ...figured(comp, bars, 5, 23, '012@0:1 012@1.5:1 012@2.5:.5 012@3:1 012@4.5:1'),
  ...figured(comp, bars, 24, 24, '012@0:5.5'),
  ...left,
];
const organ = [
  ...music(bars, '5 C5+Eb5+Ab5:6 | C5+Eb5+Gb5:6 | Db5+F5+Ab5:6 | D5+F5+Ab5:6'),
  ...figured(comp, bars, 9, 24, '012@0:3 012@3:2.5'),
];
const bass = instead(
  [...figured([roots], bars, 1, 23, '0@0:2 0@2.5:.5 0@3:2 0@5.5:.5'), ...figured([roots], bars, 24, 24, '0@0:5.5')],
  14,
  14,
  music(bars, '14 A1:2 -:.5 A1:.5 A1:2 -:.5 A1:.5'),
);
const kit = strokes(
  bars,
  5,
  23,
  '36@0 42@0 42@.5 42@1 38@1.5 42@1.5 42@2 36@2.5 42@2.5 36@3 42@3 42@3.5 42@4 38@4.5 42@4.5 42@5 42@5.5',
);

const HIGH = ['voice', 'voice-alto', 'voice-mezzo', 'voice-soprano'];
const members = inChannels([
  member(bars, 'DRMS', ['percussion-unpitched'], 1, 'struck', '1:mp 13:mf', kit, { channel: 9, latenessMs: 6 }),
  member(bars, 'TAMB', ['percussion-unpitched'], undefined, 'struck', '13:p', strokes(bars, 13, 23, '54@1.5 54@4.5'), {
    channel: 9,
  }),
  member(bars, 'E BASS (fingered)', ['bass-guitar'], 1, 'plucked', '1:mf', bass, { program: 33, latenessMs: 10 }),
  member(bars, 'PNO', ['piano'], 1, 'keys', '1:mf 5:p 13:mp', piano, { program: 0 }),
  member(bars, 'DRAWBAR ORG', ['organ'], 1, 'keys', '5:fff 9:pp 13:p', organ, { program: 16 }),
  member(bars, 'SOLO - Sis.', HIGH, 1, 'sung', '5:mp 9:mf 21:f', soloist, {
    program: 53,
    latenessMs: 18,
    scatterMs: 20,
  }),
  member(bars, 'CHR Sop', ['voice-soprano', 'choir'], 'section', 'sung', '13:f 21:mp', sopranos, {
    program: 52,
    scatterMs: 15,
  }),
  member(bars, 'CHR Alt', ['voice-alto', 'choir'], 'section', 'sung', '13:mf 21:p', altos, {
    program: 52,
    scatterMs: 15,
  }),
  member(bars, 'CHR Ten', ['voice-tenor', 'choir'], 'section', 'sung', '13:mf 21:p', tenors, {
    program: 52,
    scatterMs: 15,
  }),
  click(bars, 'clk', 1, 24, '76@0 77@1.5 77@3 77@4.5'),
  empty(bars, 'EGTR (?)'),
]);
const RHYTHM = ['PNO', 'DRAWBAR ORG', 'E BASS (fingered)', 'DRMS', 'TAMB'];
const CHOIR = ['CHR Sop', 'CHR Alt', 'CHR Ten'];

export const gospelChoir = keptAside(
  'gospel-choir',
  'a slow gospel song for soloist, choir in three parts and rhythm section, studio names, velocities alone',
  inOneFile('lift me over_v5 NEW.mid', piece, members, { offAsZero: true }),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'Ab', mode: 'major' }],
    style: 'song',
    front: [
      lead(1, 4, 'PNO'),
      lead(5, 12, 'SOLO - Sis.'),
      lead(13, 20, 'CHR Sop', 'CHR Alt', 'CHR Ten'),
      lead(21, 24, 'SOLO - Sis.'),
    ],
    flaws: [
      flaw(
        'organ over the soloist',
        5,
        8,
        ['DRAWBAR ORG'],
        [
          'background-as-loud',
          'background-covers',
          'background-above-melody',
          'support-over-lead',
          'covered-from-above',
        ],
        'The organ holds full chords with everything drawn above the first words of the soloist.',
      ),
      flaw('mud in the left hand', 9, 11, ['PNO'], ['crowded-low'], 'Close triads in the octave of the bass.'),
      flaw(
        'wrong bass',
        14,
        14,
        ['E BASS (fingered)'],
        ['root-not-in-bass', 'clashing-second'],
        'A natural under a chord of A flat.',
      ),
      flaw(
        'tenors a bar late',
        17,
        19,
        ['CHR Ten'],
        ['displaced-part', 'clashing-second'],
        'The tenors sing the words and the chords of the bar before.',
      ),
      flaw(
        'altos an octave down',
        22,
        22,
        ['CHR Alt'],
        ['outside-range', 'crossing'],
        'E flat 3 is below any alto: an octave slip.',
      ),
    ],
    clean: [
      clean('A gospel choir moves in parallel chords of three.', ['parallel-perfects', 'incomplete-chord'], CHOIR),
      clean('Tenors up to A flat, altos up to C belong to the style.', ['tessitura', 'edge-of-range'], CHOIR),
      clean('A choir breathes in turns, and at every line here.', ['breath', 'stamina', 'never-rests'], CHOIR),
      clean(
        'A rhythm section repeats its figure.',
        [
          'never-rests',
          'static-part',
          'repeated-notes',
          'restless-part',
          'unchanged-texture',
          'late-part',
          'parallel-perfects',
        ],
        RHYTHM,
      ),
      clean(
        'Piano and organ share the chords of the choir.',
        ['support-over-lead', 'background-covers', 'leftover-track'],
        ['PNO', 'DRAWBAR ORG'],
        13,
        24,
      ),
      clean('Piano and bass share the root.', ['bass-doubled-too-close'], ['PNO', 'E BASS (fingered)']),
      clean('Sevenths need not be led home.', ['unresolved-tone']),
      clean('The click is no part.', 'any', ['clk', 'EGTR (?)']),
    ],
  }),
);
