/** An evening song for male voice choir with piano, German names, as a score program exports it: marks by velocity, on the grid. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { lifted } from '../compose/breathing.ts';
import { figured, instead, moved, music, octaves, within } from '../compose/compose.ts';
import type { Line } from '../compose/compose.ts';
import { clean, flaw, folder, inChannels, inOneFile, lead, member, truthOf } from '../compose/folder.ts';
import { basses, chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';

const piece: Piece = {
  lastBar: 24,
  meters: [{ fromBar: 1, numerator: 3, denominator: 4 }],
  tempi: [{ fromBar: 1, tempo: 80 }],
  keys: [{ fromBar: 1, fifths: -1, minor: false }],
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 F | Bb | C7 | F | F | Dm | Bb | C | F | Bb | C | F | Gm | C | Dm | Bb
   17 F | Dm | Gm | C7 | F | Bb | C | F`,
);
const first = music(
  bars,
  `5 A3:2 C4:1 | F4:2 D4:1 | D4:1 F4 D4 | E4:2 -:1 | F4:2 C4:1 | D4:2 F4:1 | E4:1 G4 E4 | F4:2 -:1
   13 D4:1 G4 D4 | E4:2 G4:1 | F4:1 D4 F4 | D4:2 -:1 | C4:1 F4 A4 | F4:2 D4:1 | Bb3:1 D4 G4 | E4:2 -:1
   21 F4:2 C4:1 | D4:2 F4:1 | E4:1 G4 C4 | F4:3`,
);
const ENDS = [8, 12, 16, 20];
const sung = within(spans, 5, 24);
const roots = basses(spans, 45);
const [t2 = [], b1 = []] = innerVoices(sung, first, within(roots, 5, 24), [
  [52, 65],
  [48, 60],
]).map((line) => lifted(bars, line, ENDS));
// A bar late: the music of 12 to 14 in 13 to 15.
const tenor2 = instead(t2, 13, 15, moved(bars, within(t2, 12, 14), 3));
const low = lifted(bars, within(roots, 5, 24), ENDS);
// Octaves under the tune in 17 to 19, and one note nobody has in 8.
const bass2 = instead(instead(low, 8, 8, music(bars, '8 C3:1 C2:1 -:1')), 17, 19, octaves(within(first, 17, 19), -1));
const hand = innerVoices(spans, [], roots, [
  [60, 70],
  [57, 67],
  [53, 63],
]);
const piano = [
  ...figured(hand, bars, 1, 23, '012@1:1 012@2:1'),
  ...figured([octaves(roots, -1), roots], bars, 1, 8, '0@0:1'),
  // Close triads at the bottom.
  ...music(bars, '9 F1+A1+C2:3 | Bb1+D2+F2:3 | C2+E2+G2:3 | F1+A1+C2:3'),
  ...figured([octaves(roots, -1)], bars, 13, 23, '0@0:1'),
  ...music(bars, '24 F1+F2+C4+F4:3'),
];
const written = { scatterMs: 0 };
const T = ['voice-tenor', 'choir'];
const B = ['voice-baritone', 'voice-bass', 'choir'];
const endingOn = (line: Line, pitch: string) => instead(line, 24, 24, music(bars, `24 ${pitch}:3`));
const members = inChannels([
  member(bars, 'Tenor 1', T, 'section', 'sung', '5:mf', first, { ...written, program: 52 }),
  member(bars, 'Tenor 2', T, 'section', 'sung', '5:mp', endingOn(tenor2, 'C4'), { ...written, program: 52 }),
  member(bars, 'Bass 1', B, 'section', 'sung', '5:mp', endingOn(b1, 'C4'), { ...written, program: 52 }),
  member(bars, 'Bass 2', B, 'section', 'sung', '5:mp', endingOn(bass2, 'F2'), { ...written, program: 52 }),
  member(bars, 'Klavier', ['piano'], 1, 'keys', '1:mp 5:p', piano, { ...written, program: 0 }),
]);
const CHOIR = ['Tenor 1', 'Tenor 2', 'Bass 1', 'Bass 2'];

export const maennerchor = folder(
  'maennerchor',
  'an evening song for male voice choir with piano, German names, out of a score program',
  inOneFile('Abendlied TTBB.mid', piece, members),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'F', mode: 'major' }],
    style: 'classical',
    front: [lead(1, 4, 'Klavier'), lead(5, 24, 'Tenor 1')],
    flaws: [
      flaw(
        'too low for basses',
        8,
        8,
        ['Bass 2'],
        ['outside-range', 'edge-of-range'],
        'C2 wants the rarest of basses.',
      ),
      flaw('mud in the left hand', 9, 12, ['Klavier'], ['crowded-low'], 'Close triads about the lowest C.'),
      flaw(
        'second tenors a bar late',
        13,
        15,
        ['Tenor 2'],
        ['displaced-part', 'clashing-second'],
        'The second tenors sing the chords of the bar before.',
      ),
      flaw('octaves', 17, 19, ['Tenor 1', 'Bass 2'], ['parallel-perfects'], 'Tune and bass go in octaves.'),
      flaw('no third at the end', 24, 24, [], ['incomplete-chord'], 'Nobody has the A of the last chord.'),
    ],
    clean: [
      clean('A choir breathes in turns.', ['breath', 'stamina', 'never-rests'], CHOIR),
      clean('Male voices lie close.', ['crowded-low', 'far-from-foreground', 'crossing'], CHOIR),
      clean(
        'The piano carries the choir and shares its notes.',
        ['leftover-track', 'parallel-perfects', 'bass-doubled-too-close', 'never-rests', 'static-part'],
        ['Klavier'],
      ),
    ],
  }),
);
