/** A slow movement of a trio sonata: two violins over a bass that cello and harpsichord share, the keyboard written out, Italian names. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { figured, instead, music } from '../compose/compose.ts';
import { clean, flaw, inChannels, inOneFile, keptAside, lead, member, truthOf } from '../compose/folder.ts';
import { chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';

const piece: Piece = {
  lastBar: 26,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [
    { fromBar: 1, tempo: 66 },
    { fromBar: 25, tempo: 56 },
  ],
  keys: [{ fromBar: 1, fifths: -1, minor: true }],
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 Dm | A/C# | Dm Gm | A | Dm Gm7 | C7 Fmaj7 | Bbmaj7 Em7b5 | A7 Dm | F | C/E | F | Bb C7 | F | Dm | Gm C7 | F
   17 Gm | A7 | Dm | Bb | Dm Gm7 | C7 Fmaj7 | Bbmaj7 Em7b5 | A7 Dm | Em7b5/G A7 | Dm`,
);
const violin1 = music(
  bars,
  `1 D5:1.5 E5:.5 F5:1 A5 | E5:2 A4:1 -:1 | F5:1.5 E5:.5 D5:1 G5 | E5:2 A5:1 -:1 | F5:4 | E5:4 | D5:4 | C#5:2 D5:1 -:1
   11 C5:1 F5 A5:1.5 G5:.5 | F5:1 D5 E5 -:1 | A5:1.5 G5:.5 F5:1 A5 | F5:1.5 E5:.5 D5:1 F5 | Bb5:1 G5 C5 E5 | F5:3 -:1
   17 Bb5:1.5 A5:.5 G5:1 D5 | C5:1 E5 G5 E5 | F5:2 A5 | Bb5:3 -:1
   21 A5:2 Bb5 | =:2 A5 | =:2 G5 | =:2 F5 | D5:2 C#5 | D5:4`,
);
const violin2 = music(
  bars,
  `2 A4:1.5 B4:.5 C#5:1 E5 | A4:2 Bb4 | A4:3 -:1 | A4:2 Bb4 | =:2 A4 | =:2 G4 | =:2 F4:1 -:1
   9 A4:1 C5 F5:1.5 E5:.5 | G5:1 E5 C5 -:1 | A4:4 | Bb4:2 G4:1 -:1 | F5:1.5 E5:.5 C5:1 F5 | D5:2 A4:1 D5 | Bb4:4 | F3:3 -:1
   17 G4:1 Bb4 D5 G4 | A4:3 -:1 | A4:1 D5 F5:2 | D5:3 -:1 | F5:4 | E5:4 | D5:4 | C#5:2 D5 | Bb4:2 A4 | F4:4`,
);
const bass = music(
  bars,
  `1 D3:1 F3 E3 D3 | C#3:1 D3 C#3 A2 | D3:1 C3 Bb2 G2 | A2:2 A2:1 -:1 | D3:1 F3 G2 Bb2 | C3:1 E3 F2 A2 | Bb2:1 D3 E3 G3 | A2:1 E3 D3 -:1
   9 F2:1 A2 C3 A2 | E3:1 G3 E3 C3 | F2:1 A2 C3 F2 | Bb2:2 C3:1 C2 | F2:1 A2 F3 A2 | D3:1 F3 D3 A2 | G2:1 Bb2 C3 C2 | F2:3 -:1
   17 G2:1 Bb2 D3 G2 | A2:1 C#3 E3 A2 | D3:1 F3 D3 F3 | Bb2:1 D3 Bb2 -:1 | D3:1 F3 G2 Bb2 | C3:1 E3 F2 A2 | Bb2:1 D3 E3 G3 | A2:1 E3 D3 F3 | G2:2 A2 | D2:4`,
);
const realised = innerVoices(
  spans,
  [],
  bass,
  [
    [64, 71],
    [60, 67],
    [57, 64],
  ],
  [violin1, violin2],
);
const right = instead(
  instead(figured(realised, bars, 1, 26, '012@0:2 012@2:2'), 4, 4, music(bars, '4 A3+E4+A4:3 -:1')),
  20,
  20,
  music(bars, '20 D4+Bb4+F5+Bb5:3 -:1'),
);
const QUILL = { program: 6, flat: 84, scatterMs: 14 };
const members = inChannels([
  member(bars, 'Violino Primo', ['violin'], 1, 'bowed', '1:mf', violin1, { program: 40 }),
  member(bars, 'Violino Secondo', ['violin'], 1, 'bowed', '1:mf', violin2, { program: 40 }),
  member(bars, 'Basso (Violoncello)', ['cello'], 1, 'bowed', '1:mp', bass, { program: 42 }),
  member(bars, 'Cembalo m.d.', ['harpsichord'], undefined, 'keys', '1:mp', right, QUILL),
  member(bars, 'Cembalo m.s.', ['harpsichord'], undefined, 'keys', '1:mp', bass, QUILL),
]);
const CONTINUO = ['Basso (Violoncello)', 'Cembalo m.d.', 'Cembalo m.s.'];
const VIOLINS = ['Violino Primo', 'Violino Secondo'];

export const sonataATre = keptAside(
  'sonata-a-tre',
  'a slow movement of a trio sonata with written-out continuo, Italian names',
  inOneFile('Sonata III - Grave.mid', piece, members, { conductorName: 'Grave' }),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'D', mode: 'minor' }],
    style: 'classical',
    front: [
      lead(1, 1, 'Violino Primo'),
      lead(2, 8, ...VIOLINS),
      lead(9, 10, 'Violino Secondo'),
      lead(11, 12, 'Violino Primo'),
      lead(13, 26, ...VIOLINS),
    ],
    flaws: [
      flaw('half close without third', 4, 4, [], ['incomplete-chord'], 'The dominant has no C sharp in any part.'),
      flaw(
        'second violin too low',
        16,
        16,
        ['Violino Secondo'],
        ['outside-range', 'wide-leap'],
        'F3 is under the G string.',
      ),
      flaw(
        'octaves of second violin and bass',
        17,
        18,
        ['Violino Secondo'],
        ['parallel-perfects'],
        'The second violin goes up with the bass in octaves, in a style of three real parts.',
      ),
      flaw(
        'C natural',
        18,
        18,
        ['Violino Primo'],
        ['clashing-second'],
        'The first violin has C natural over a dominant with C sharp.',
      ),
      flaw(
        'right hand too wide',
        20,
        20,
        ['Cembalo m.d.', 'Cembalo m.s.'],
        ['hand-span', 'too-many-notes'],
        'D4 to B flat 5 in one hand.',
      ),
    ],
    clean: [
      clean(
        'The left hand of the harpsichord plays the bass with the cello.',
        ['leftover-track', 'parallel-perfects', 'bass-doubled-too-close', 'support-over-lead'],
        CONTINUO,
      ),
      clean(
        'A continuo goes on throughout, a harpsichord always as loud.',
        ['never-rests', 'breath', 'static-part', 'flat-dynamics', 'background-as-loud', 'restless-part'],
        CONTINUO,
      ),
      clean(
        'The violins hold sevenths over and cross.',
        ['unresolved-tone', 'crossing', 'clashing-second'],
        VIOLINS,
        5,
        8,
      ),
      clean('The same again.', ['unresolved-tone', 'crossing', 'clashing-second'], VIOLINS, 21, 25),
      clean('One way of playing throughout is the manner.', ['unchanged-texture', 'all-at-once', 'flat-dynamics']),
      clean(
        'Two violins of one colour lead together.',
        ['background-as-loud', 'background-above-melody', 'support-over-lead', 'background-covers'],
        VIOLINS,
      ),
    ],
  }),
);
