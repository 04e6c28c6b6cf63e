/** Nine percussionists in seven eighths and four quarters: keyed instruments with the tunes, drums and metal around them. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { again, figured, instead, moved, music, octaves, strokes, within } from '../compose/compose.ts';
import { clean, flaw, folder, inChannels, inOneFile, lead, member, truthOf } from '../compose/folder.ts';
import { chords, fourParts } from '../compose/harmony.ts';

const piece: Piece = {
  lastBar: 40,
  meters: [
    { fromBar: 1, numerator: 7, denominator: 8 },
    { fromBar: 21, numerator: 4, denominator: 4 },
    { fromBar: 29, numerator: 7, denominator: 8 },
  ],
  tempi: [
    { fromBar: 1, tempo: 132 },
    { fromBar: 21, tempo: 66 },
    { fromBar: 29, tempo: 138 },
  ],
  ticksPerQuarter: 192,
};
const bars = piecesBars(piece);
const TUNE_CHORDS = 'Am | F | G | Am | F | G | Em | Am';
const spans = chords(
  bars,
  `1 Am | G | F | Em
   5 ${TUNE_CHORDS}
   13 ${TUNE_CHORDS}
   21 Am F | Dm E7 | Am C | G | F | Dm | E7 | Am
   29 ${TUNE_CHORDS}
   37 Am | G | Em | Am`,
);
const tune = music(
  bars,
  `5 E5:1 C5 A4:1.5 | A5:1 G5 F5:1.5 | D5:1 B4 G4:1.5 | A4:2 C5:1.5 | C5:1 F5 A5:1.5 | G5:1 D5 B4:1.5 | E5:1 G5 B5:1.5 | A5:2 -:1.5`,
);
const xylophoneTune = music(
  bars,
  `13 A5:.25 C6 E6:.5 C6 A5 E5 A5 C6 | F5:.25 A5 C6:.5 A5 F5 C5 F5 A5 | G5:.25 B5 D6:.5 B5 G5 D5 G5 B5 | A5:.25 C6 E6:.5 D6 C6 B5 A5 E5
   17 C6:.25 A5 F5:.5 A5 C6 F6 C6 A5 | D6:.25 B5 G5:.5 B5 D6 G6 D6 B5 | E6:.25 B5 G5:.5 B5 E6 G6 E6 B5 | A6:1 E6 A5:1.5`,
);
const low = fourParts(spans, 'A', [
  [60, 69],
  [55, 64],
  [50, 60],
  [45, 57],
]);
const chorale = fourParts(spans, 'A', [
  [67, 79],
  [60, 72],
  [55, 67],
  [45, 57],
]);
const ostinato = '3@0:.5 2@.5:.5 1@1:.5 2@1.5:.5 3@2:.5 2@2.5:.5 1@3:.5';
const marimba2All = [...figured(low, bars, 1, 20, ostinato), ...figured(low, bars, 29, 40, ostinato)];
// From a copy that was put down one bar too far on.
const marimba2 = instead(marimba2All, 33, 36, moved(bars, within(marimba2All, 32, 35), 3.5));
const marimba1 = [
  ...figured(chorale, bars, 13, 20, '01@0:1 01@2:1.5'),
  ...instead(
    within(figured(chorale, bars, 21, 28, '0123@0:2 0123@2:2'), 21, 28),
    25,
    25,
    music(bars, '25 F2+C3+A3+F4+A4+C5:2 F2+C3+A3+F4+A4+C5'),
  ),
  ...figured(chorale, bars, 37, 40, '0123@0:1 0123@1:1 0123@2:1.5'),
];
const tuneAgain = again(bars, tune, 5, 12, 29);
const vibraphone = [
  ...tune,
  ...figured(chorale, bars, 13, 20, '12@1:1 12@2:1'),
  ...tuneAgain,
  ...music(bars, '37 E5+A5:2 C5+E5:1.5 | D5+G5:2 B4+D5:1.5 | E5+G5:2 B4+E5:1.5 | E5+A5:3.5'),
];
const glockenspiel = [
  ...music(bars, '29 E5:1 C5 A4:1.5 | A5:1 G5 F5:1.5'),
  ...octaves(within(tuneAgain, 31, 36), 1),
  ...music(bars, '37 A6:2 E6:1.5 | G6:2 D6:1.5 | G6:2 B6:1.5 | A6:3.5'),
].filter(({ bar, midi }) => bar < 31 || midi >= 79);
const timpani = instead(
  [
    ...music(bars, '9 A2:2 -:1.5 | G2:2 D3:1.5 | E3:2 -:1.5 | A2:2 -:1.5'),
    ...music(bars, '37 A2:1 A2 A2:1.5 | G2:1 G2 G2:1.5 | E3:1 E3 E3:1.5 | A2:3.5'),
  ],
  19,
  20,
  music(bars, '19 E3:.5 Eb3 D3 C#3 C3 B2 Bb2 | A2:.5 Bb2 B2 C3 C#3 D3 Eb3'),
);
const toms = [
  ...strokes(bars, 13, 20, '45@0 48@1 41@2 45@3'),
  ...strokes(bars, 29, 40, '45@0 45@.5 48@1 48@1.5 41@2 41@2.5 41@3'),
];
const snare = [
  ...strokes(
    bars,
    9,
    12,
    '38@0 38@.25 38@.5 38@.75 38@1 38@1.25 38@1.5 38@1.75 38@2 38@2.25 38@2.5 38@2.75 38@3 38@3.25',
  ),
  ...strokes(bars, 33, 40, '38@1 38@2.5 38@3'),
];
const metal = [
  ...strokes(bars, 5, 5, '49@0', 2),
  ...strokes(bars, 21, 21, '52@0', 4),
  ...strokes(bars, 29, 29, '49@0', 2),
  ...strokes(bars, 40, 40, '49@0 52@0', 3),
];

const members = inChannels([
  member(bars, 'Glockenspiel', ['glockenspiel'], 1, 'struck', '29:mf 37:f', glockenspiel, { program: 9 }),
  member(bars, 'Xylophon', ['xylophone'], 1, 'struck', '13:f', xylophoneTune, { program: 13 }),
  member(bars, 'Vibraphon', ['vibraphone'], 1, 'struck', '5:mf 9:p 13:p 29:f', vibraphone, { program: 11 }),
  member(bars, 'Marimba 1', ['marimba'], 1, 'struck', '13:p 21:mf 37:f', marimba1, { program: 12 }),
  member(bars, 'Marimba 2', ['marimba'], 1, 'struck', '1:mf 5:mp 29:mf', marimba2, { program: 12 }),
  member(bars, 'Pauken', ['timpani'], 1, 'struck', '9:p 19:mp 37:f', timpani, { program: 47 }),
  member(bars, 'Tom-Toms', ['percussion-unpitched', 'toms'], 1, 'struck', '13:p 29:mp 37:f', toms, { channel: 9 }),
  member(bars, 'Kl. Trommel', ['percussion-unpitched', 'snare-drum'], 1, 'struck', '9:ff 33:mf', snare, { channel: 9 }),
  member(bars, 'Becken/Tamtam', ['percussion-unpitched', 'cymbals', 'tam-tam'], 1, 'struck', '5:p 21:mp 29:mf', metal, {
    channel: 9,
  }),
]);

export const percussionEnsemble = folder(
  'percussion-ensemble',
  'nine percussionists, German names, changing meters, one file at 192 ticks a quarter',
  inOneFile('Schlagwerk.mid', piece, members),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'A', mode: 'minor' }],
    style: 'score',
    front: [
      lead(1, 4, 'Marimba 2'),
      lead(5, 12, 'Vibraphon'),
      lead(13, 20, 'Xylophon'),
      lead(21, 28, 'Marimba 1'),
      lead(29, 36, 'Vibraphon', 'Glockenspiel'),
      lead(37, 40, 'Vibraphon', 'Glockenspiel', 'Marimba 1'),
    ],
    flaws: [
      flaw(
        'drum over vibraphone',
        9,
        12,
        ['Kl. Trommel'],
        ['background-as-loud', 'background-covers'],
        'A roll of the side drum ff under a vibraphone that plays p.',
      ),
      flaw('chromatic timpani', 19, 20, ['Pauken'], ['timpani-tuning'], 'A chromatic scale in eighths on four drums.'),
      flaw('six notes', 25, 25, ['Marimba 1'], ['too-many-notes', 'hand-span'], 'Six notes at once with four mallets.'),
      flaw(
        'low glockenspiel',
        29,
        30,
        ['Glockenspiel'],
        ['outside-range'],
        'The tune at its own pitch, where a glockenspiel has no bars.',
      ),
      flaw(
        'marimba a bar late',
        33,
        36,
        ['Marimba 2'],
        ['displaced-part', 'clashing-second', 'root-not-in-bass', 'incomplete-chord'],
        'The second marimba has the chords of the bar before.',
      ),
    ],
    clean: [
      clean(
        'Drums and metal have neither range nor harmony.',
        [
          'outside-range',
          'edge-of-range',
          'crowded-low',
          'clashing-second',
          'incomplete-chord',
          'static-part',
          'bass-doubled-too-close',
        ],
        ['Tom-Toms', 'Kl. Trommel', 'Becken/Tamtam'],
      ),
      clean('An ostinato is meant to stay.', ['static-part', 'never-rests', 'unchanged-texture'], ['Marimba 2']),
      clean('Four mallets, four notes.', ['too-many-notes', 'hand-span'], ['Marimba 1'], 13, 24),
      clean(
        'The glockenspiel doubles the vibraphone an octave higher.',
        ['background-above-melody', 'far-from-foreground', 'support-over-lead', 'hole-between-parts'],
        ['Glockenspiel', 'Vibraphon'],
        31,
        36,
      ),
      clean('Held notes of a marimba are rolls.', ['static-part', 'breath'], ['Marimba 1'], 21, 28),
      clean('Nobody breathes.', ['breath', 'brass-endurance', 'never-rests']),
    ],
  }),
);
