/** A slow movement for string quintet with double bass, Italian names, shaped by expression; the cello sings in the middle. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { again, figured, instead, music, octaves, within } from '../compose/compose.ts';
import { clean, flaw, folder, inChannels, inOneFile, lead, member, truthOf } from '../compose/folder.ts';
import { basses, chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';

const piece: Piece = {
  lastBar: 24,
  meters: [{ fromBar: 1, numerator: 3, denominator: 4 }],
  tempi: [{ fromBar: 1, tempo: 66 }],
  keys: [{ fromBar: 1, fifths: -1, minor: true }],
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 Dm | Gm | A7 | Dm | Bb | F | Gm | A | Dm | Gm | C7 | F | Bb | Gm | A7 | Dm
   17 Dm | Gm | A7 | Dm | Bb | Gm | A7 | Dm`,
);
const verse = music(
  bars,
  `1 A5:1.5 G5:.5 F5:1 | D5:1 G5 Bb5 | A5:1.5 G5:.5 E5:1 | F5:2 D5:1 | F5:1.5 G5:.5 D5:1 | C5:1 F5 A5 | Bb5:1.5 A5:.5 G5:1 | E5:3`,
);
const song = music(
  bars,
  `9 A3:1 D4 F4 | G4:1.5 F4:.5 D4:1 | E4:1 G4 Bb3 | A3:3 | D4:1 F4 Bb4 | Bb4:1.5 A4:.5 G4:1 | G4:1 E4 C#4 | D4:3`,
);
const tune = [
  ...verse,
  ...again(bars, verse, 1, 4, 17),
  ...music(bars, '21 F5:1.5 G5:.5 D5:1 | D5:1 G5 Bb5 | A5:1.5 G5:.5 E5:1 | D5:3'),
];
const roots = basses(spans, 45);
const deep = octaves(roots, -1);
const outer = spans.filter(({ bar }) => bar < 9 || bar > 16);
const [v2 = [], va = []] = innerVoices(outer, tune, roots, [
  [60, 74],
  [50, 65],
]);
const [hi1 = [], hi2 = [], hi3 = []] = innerVoices(
  within(spans, 9, 16),
  [],
  deep,
  [
    [69, 79],
    [62, 72],
    [55, 66],
  ],
  [song],
);
const violin1 = [...tune, ...hi1];
const violin2 = instead([...v2, ...hi2], 5, 5, music(bars, '5 F3:3'));
const viola = instead([...va, ...hi3], 7, 7, music(bars, '7 D3+F3:3'));
const cello = [...within(roots, 1, 8), ...song, ...within(roots, 17, 24)];
// The bass of the bar after, a second over the root that all others have.
const bass = instead(figured([deep], bars, 1, 24, '0@0:2'), 20, 20, music(bars, '20 Eb2:2 -:1'));

const drawn = { curves: [11] as const };
const members = inChannels([
  member(bars, 'Violino I', ['violin'], 1, 'bowed', '1:mf 9:ff 17:mf', violin1, { ...drawn, program: 40 }),
  member(bars, 'Violino II', ['violin'], 1, 'bowed', '1:mp 9:p 17:mp', violin2, { ...drawn, program: 40 }),
  member(bars, 'Viola', ['viola'], 1, 'bowed', '1:mp 9:p 17:mp', viola, { ...drawn, program: 41 }),
  member(bars, 'Violoncello', ['cello'], 1, 'bowed', '1:mp 9:mp 17:mp', cello, { ...drawn, program: 42 }),
  member(bars, 'Contrabbasso', ['double-bass'], 1, 'bowed', '1:mp 9:p 17:mp', bass, { ...drawn, program: 43 }),
]);

export const quintetContrabass = folder(
  'quintet-contrabass',
  'a slow movement for string quintet with double bass, Italian names, drawn expression',
  inOneFile('Andante (quintetto).mid', piece, members),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'D', mode: 'minor' }],
    style: 'classical',
    front: [lead(1, 8, 'Violino I'), lead(9, 16, 'Violoncello'), lead(17, 24, 'Violino I')],
    flaws: [
      flaw('second violin too low', 5, 5, ['Violino II'], ['outside-range'], 'F3 lies under the G string.'),
      flaw(
        'two notes on the C string',
        7,
        7,
        ['Viola'],
        ['one-string', 'double-stop'],
        'D3 and F3 both need the C string.',
      ),
      flaw(
        'violin over the cello',
        9,
        16,
        ['Violino I'],
        [
          'background-as-loud',
          'background-covers',
          'background-above-melody',
          'covered-from-above',
          'support-over-lead',
        ],
        'The first violin holds fortissimo above the song of the cello.',
      ),
      flaw('wrong bass', 20, 20, ['Contrabbasso'], ['clashing-second', 'root-not-in-bass'], 'E flat under D minor.'),
    ],
    clean: [
      clean('Cello and bass go in octaves.', ['parallel-perfects', 'bass-doubled-too-close'], ['Contrabbasso']),
      clean('Strings need no rests.', ['never-rests', 'breath']),
      clean(
        'The bass plays two beats of three.',
        ['hollow-without-foreground', 'static-part', 'entry-off-phrase'],
        ['Contrabbasso'],
      ),
      clean('The cello sings above the viola.', ['crossing'], ['Violoncello', 'Viola']),
    ],
  }),
);
