/** A barcarolle for women's voices and harp, named in French; the choir with a curve, the harp with velocities. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { lifted } from '../compose/breathing.ts';
import { again, figured, instead, moved, music, octaves, tied, within } from '../compose/compose.ts';
import type { Line } from '../compose/compose.ts';
import { clean, flaw, folder, inChannels, inOneFile, lead, member, truthOf } from '../compose/folder.ts';
import { basses, chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';
import { empty } from '../compose/leftovers.ts';

const piece: Piece = {
  lastBar: 40,
  meters: [{ fromBar: 1, numerator: 6, denominator: 8 }],
  tempi: [
    { fromBar: 1, tempo: 84 },
    { fromBar: 29, tempo: 80 },
    { fromBar: 39, tempo: 66 },
  ],
  keys: [{ fromBar: 1, fifths: -2, minor: true }],
  markers: [
    { bar: 1, text: 'Prélude' },
    { bar: 5, text: '1er couplet' },
    { bar: 13, text: 'Refrain' },
    { bar: 21, text: 'Harpe' },
    { bar: 29, text: '2e couplet' },
    { bar: 37, text: 'Fin' },
  ],
  ticksPerQuarter: 960,
};
const bars = piecesBars(piece);
const VERSE = 'Gm | Eb | Cm | D7 | Gm | Cm | D7 | Gm';
const spans = chords(
  bars,
  `1 Gm | Eb | Cm | D7
   5 ${VERSE}
   13 Bb | F/A | Gm | Dm | Eb | Bb/D | Cm | D7
   21 Gm | Cm | F7 | Bb | Eb | Cm | D7 | D7
   29 ${VERSE}
   37 Cm | Gm/D D7 | Gm | Gm`,
);
const verse = music(
  bars,
  `5 D5:1 C5:.5 Bb4:1 A4:.5 | G4:1 Bb4:.5 Eb5:1.5 | Eb5:1 D5:.5 C5:1 Eb5:.5 | D5:2.5 -:.5
   9 G5:1 F5:.5 D5:1 Bb4:.5 | Eb5:1 D5:.5 C5:1.5 | A4:1 C5:.5 Bb4:1 A4:.5 | G4:2.5 -:.5`,
);
const refrain = music(
  bars,
  `13 F5:1 D5:.5 Bb4:1.5 | C5:1 D5:.5 F5:1 C5:.5 | D5:1 Bb4:.5 G4:1 Bb4:.5 | A4:2.5 -:.5
   17 G5:1 F5:.5 Eb5:1 Bb4:.5 | D5:1 Eb5:.5 F5:1 D5:.5 | Eb5:1 D5:.5 C5:1 Eb5:.5 | D5:2.5 -:.5`,
);
const unison = music(bars, '37 C5:1 Bb4:.5 G4:1 Eb4:.5 | G4:1 Bb4:.5 A4:1 F#4:.5 | G4:3 | =:2.5 -:.5');
const songAltos = music(
  bars,
  '25 Bb3:1 C4:.5 Bb3:1 G3:.5 | C4:1 D4:.5 C4:1 Eb4:.5 | D4:1 C4:.5 A3:1 C4:.5 | A3:2.5 -:.5',
);
const song = [...verse, ...refrain, ...again(bars, verse, 5, 12, 29)];
const low = basses(spans, 43);
const [under1 = [], under2 = []] = innerVoices(
  within(spans, 9, 36).filter(({ bar }) => bar <= 20 || bar >= 29),
  song,
  low,
  [
    [60, 74],
    [56, 67],
  ],
);
const WORDS = '0@0:1 0@1:.5 0@1.5:1 0@2.5:.5';
const ENDS = [12, 16, 20, 24, 28, 32, 36, 40];
/** Hummed and held in the first verse, with the words of the tune later. */
const voice = (line: Line) => [
  ...tied(lifted(bars, within(line, 9, 12), ENDS, 0.5)),
  ...figured([line], bars, 13, 15, WORDS),
  ...figured([line], bars, 16, 16, '0@0:2.5'),
  ...figured([line], bars, 17, 19, WORDS),
  ...figured([line], bars, 20, 20, '0@0:2.5'),
  ...figured([line], bars, 29, 31, WORDS),
  ...figured([line], bars, 32, 32, '0@0:2.5'),
  ...figured([line], bars, 33, 35, WORDS),
  ...figured([line], bars, 36, 36, '0@0:2.5'),
  ...unison,
];
const second = voice(under1);
const third = voice(under2);
// Two bars written an octave too high, and long notes above the tune of the altos.
const soprano2 = [
  ...instead(second, 31, 32, octaves(within(second, 31, 32), 1)),
  ...music(bars, '25 G5:3 | G5:3 | F#5:3 | F#5:2.5 -:.5'),
];
// The end of the first verse an octave too low; the refrain put down one bar too late, up to bar 18.
const altosDown = instead(third, 12, 12, octaves(within(third, 12, 12), -1));
const altos = [...instead(altosDown, 13, 18, moved(bars, within(third, 13, 17), 3)), ...songAltos];

const plucked = [
  ...innerVoices(spans, [], low, [
    [62, 72],
    [57, 67],
    [50, 60],
  ]),
  low,
];
const WAVE = '3@0:.5 2@.5:.5 1@1:.5 0@1.5:.5 1@2:.5 2@2.5:.5';
const prelude = music(bars, '1 D6:1.5 Bb5:1 G5:.5 | G5:1.5 Bb5:1.5 | Eb6:1 D6:.5 C6:1.5 | A5:1.5 F#5:1.5');
const solo = music(
  bars,
  `21 G5:1 Bb5:.5 A5:1 G5:.5 | Eb5:1 G5:.5 C6:1.5
   23 F5:.25 F#5 G5 G#5 A5 A#5 B5 C6 C#6 D6 D#6 E6 | D6:2.5 -:.5`,
);
const harp = [
  ...prelude,
  ...solo,
  ...figured(plucked, bars, 1, 4, '3@0:.5 2@.5:.5 1@1:.5 2@1.5:.5 1@2:.5 2@2.5:.5'),
  ...figured(plucked, bars, 5, 20, WAVE),
  ...figured(plucked, bars, 21, 24, '3@0:.5 2@.5:.5 1@1:.5 2@1.5:.5 1@2:.5 2@2.5:.5'),
  ...figured(plucked, bars, 25, 39, WAVE),
  ...figured(plucked, bars, 40, 40, '0123@0:2.5'),
];

const CHOIR = ['Sopranos 1', 'Sopranos 2', 'Altos'];
const sung = (name: string, ids: readonly string[], dynamics: string, notes: Line, latenessMs: number) =>
  member(bars, name, ids, 'section', 'sung', dynamics, notes, {
    program: 52,
    curves: [11],
    latenessMs,
    scatterMs: 16,
  });
const members = inChannels([
  sung('Sopranos 1', ['voice-soprano'], '5:mp 13:mf> 18:f 20:mf 29:mp> 33:mf 37:mp> 40:p', song.concat(unison), 6),
  sung('Sopranos 2', ['voice-soprano', 'voice-mezzo'], '9:pp 13:mp 25:ff 29:p 33:mp 37:mp> 40:p', soprano2, 10),
  sung('Altos', ['voice-alto'], '9:pp 13:mp 25:mp 29:p 33:mp 37:mp> 40:p', altos, 14),
  member(bars, 'Harpe', ['harp'], 1, 'plucked', '1:mf 5:p 13:mp 21:mf 25:p 37:p 40:pp', harp, {
    program: 46,
    scatterMs: 9,
  }),
  empty(bars, 'Piano (répétitions)'),
]);

export const choeurHarpe = folder(
  'choeur-harpe',
  "a barcarolle for women's voices and harp, one file with French names",
  inOneFile('Barque du soir.mid', piece, members, { conductorName: 'Barque du soir' }),
  truthOf(piece, members, spans, {
    keys: [
      { fromBar: 1, tonic: 'G', mode: 'minor' },
      { fromBar: 13, tonic: 'Bb', mode: 'major' },
      { fromBar: 19, tonic: 'G', mode: 'minor' },
    ],
    style: 'classical',
    front: [
      lead(1, 4, 'Harpe'),
      lead(5, 20, 'Sopranos 1'),
      lead(21, 24, 'Harpe'),
      lead(25, 28, 'Altos'),
      lead(29, 36, 'Sopranos 1'),
      lead(37, 40, ...CHOIR),
    ],
    flaws: [
      flaw(
        'altos too low',
        12,
        12,
        ['Altos'],
        ['outside-range'],
        'The last note of the verse is an octave too low: no altos have B flat 2.',
      ),
      flaw(
        'altos a bar late',
        13,
        18,
        ['Altos'],
        ['displaced-part', 'clashing-second', 'incomplete-chord', 'out-of-step'],
        'The altos come in a bar late and sing the chords of the bar before, with the words of the bar before.',
      ),
      flaw(
        'chromatic harp',
        23,
        23,
        ['Harpe'],
        ['harp-pedals'],
        'Twelve semitones in running semiquavers: seven strings an octave and two feet cannot do it.',
      ),
      flaw(
        'altos covered',
        25,
        28,
        ['Sopranos 2'],
        [
          'background-as-loud',
          'background-covers',
          'background-above-melody',
          'covered-from-above',
          'support-over-lead',
        ],
        'The altos have the tune in their low notes, mezzo piano, and the second sopranos hold high G and F sharp fortissimo.',
      ),
      flaw(
        'second sopranos an octave too high',
        31,
        32,
        ['Sopranos 2', 'Sopranos 1'],
        ['crossing', 'background-above-melody', 'covered-from-above', 'background-as-loud', 'wide-leap'],
        'Two bars of the second sopranos stand an octave too high, above the tune of the first.',
      ),
    ],
    clean: [
      clean('A choir breathes in turn.', ['breath', 'stamina', 'never-rests'], CHOIR),
      clean(
        'The harp rocks through the verses: that is the water.',
        ['static-part', 'never-rests', 'restless-part', 'unchanged-texture', 'repeated-notes'],
        ['Harpe'],
      ),
      clean(
        'All voices in unison at the end.',
        [
          'parallel-perfects',
          'crossing',
          'support-over-lead',
          'background-as-loud',
          'background-covers',
          'leftover-track',
        ],
        CHOIR,
        37,
        40,
      ),
      clean(
        'The figure of the harp goes through the notes of the voices: no parallels, no crossing.',
        ['parallel-perfects', 'crossing', 'background-above-melody'],
        ['Harpe'],
        5,
        20,
      ),
      clean('F and F sharp are bars apart: there is time for the pedal.', ['harp-pedals'], ['Harpe'], 1, 20),
      clean('Held notes of a choir that hums.', ['static-part', 'repeated-notes'], ['Sopranos 2', 'Altos'], 9, 20),
      clean('Strings of a harp ring on, two hands to four fingers.', ['too-many-notes', 'hand-span'], ['Harpe']),
    ],
  }),
);
