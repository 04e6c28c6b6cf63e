/** A tune in the manner of a Norwegian folk song for string orchestra with solo violin, Norwegian names, two stages and notes. */
import { oneFile, piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { lifted } from '../compose/breathing.ts';
import { again, figured, instead, moved, music, octaves, within } from '../compose/compose.ts';
import { clean, flaw, inChannels, keptAside, lead, member, truthOf } from '../compose/folder.ts';
import { basses, chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';

const piece: Piece = {
  lastBar: 36,
  meters: [{ fromBar: 1, numerator: 3, denominator: 4 }],
  tempi: [
    { fromBar: 1, tempo: 84 },
    { fromBar: 35, tempo: 70 },
  ],
  keys: [{ fromBar: 1, fifths: 0, minor: true }],
  markers: [
    { bar: 5, text: 'Vers 1' },
    { bar: 13, text: 'Vers 2' },
    { bar: 21, text: 'Mellomspill' },
    { bar: 29, text: 'Vers 3' },
  ],
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 Am | Am | Am | Am | Am | G | C | Em | F | C | E7 | Am | Am | G | C | Em | F | Dm | E7 | Am
   21 C | G | Am | Em | F | C | E7 | Am | Am | G | C | Em | F | C | E7 | Am`,
);
const verse = music(
  bars,
  `5 E5:1.5 D5:.5 C5:1 | B4:1 D5:2 | E5:1.5 G5:.5 E5:1 | B4:2 -:1 | A4:1 C5 F5 | E5:1.5 D5:.5 C5:1 | B4:1 G#4 B4 | A4:2 -:1`,
);
const last = again(bars, verse, 5, 12, 29);
const celloVerse = music(
  bars,
  `13 E4:1.5 D4:.5 C4:1 | B3:1 D4:2 | E4:1.5 G4:.5 E4:1 | B3:2 -:1 | A3:1 C4 F4 | F4:1.5 E4:.5 D4:1 | B3:1 G#3 B3 | A3:2 -:1`,
);
const solo = music(
  bars,
  `1 A4:1 C5 E5 | E5:2 -:1 | D5:1 C5:.5 B4 C5:1 | A4:2 -:1
   21 G5:1.5 A5:.5 G5:1 | D5:1 B4:.5 C5 D5:1 | E5:1 C5:.5 D5 E5:1 | B4:2 -:1
   25 C5:1 F5:.5 G5 A5:1 | G5:1.5 F5:.5 E5:1 | D5:.5 C5 B4:1 G#4 | A4:2 -:1`,
);
const roots = basses(spans, 45);
const deep = octaves(roots, -1);
const PHRASES = [8, 12, 16, 20, 24, 28, 32];

const [second1 = [], viola1 = []] = innerVoices(within(spans, 5, 12), verse, roots, [
  [57, 72],
  [50, 65],
]);
const [above = [], second2 = [], viola2 = []] = innerVoices(
  within(spans, 13, 20),
  [],
  deep,
  [
    [69, 81],
    [64, 74],
    [55, 67],
  ],
  [celloVerse],
);
const pizz = innerVoices(within(spans, 21, 28), solo, roots, [
  [60, 72],
  [57, 68],
  [50, 62],
]).map((line) => figured([line], bars, 21, 28, '0@1:1 0@2:1'));
const viola3 = innerVoices(within(spans, 29, 36), last, roots, [
  [57, 67],
  [50, 62],
]).flat();

const violins1 = lifted(bars, [...verse, ...above, ...(pizz[0] ?? []), ...last], PHRASES);
const violins2 = lifted(
  bars,
  [...instead(second1, 9, 9, music(bars, '9 F3:3')), ...second2, ...(pizz[1] ?? []), ...octaves(last, -1)],
  PHRASES,
);
const violaRight = [
  ...music(bars, '1 A3+E4:3 | =:3 | =:3 | =:3'),
  ...viola1,
  ...viola2,
  ...(pizz[2] ?? []),
  ...instead(viola3, 36, 36, music(bars, '36 E4:3')),
];
// In the last verse the violas are a bar late for a phrase.
const violas = lifted(bars, instead(violaRight, 29, 32, moved(bars, within(viola3, 29, 31), 3)), PHRASES);
const cellos = lifted(
  bars,
  [
    ...music(bars, '1 A2+E3:3 | =:3 | =:3 | =:3'),
    ...within(roots, 5, 12),
    ...celloVerse,
    ...figured([roots], bars, 21, 28, '0@0:1'),
    ...within(roots, 29, 32),
    ...music(bars, '33 F2+A2:3 | C2+E2:3 | E2+G#2:3 | A2+E3:3'),
  ],
  PHRASES,
);
const doubleBasses = lifted(
  bars,
  [...within(deep, 5, 12), ...figured([deep], bars, 13, 28, '0@0:1'), ...within(deep, 29, 36)],
  PHRASES,
);

const drawn = { curves: [1, 11] as const };
const members = inChannels([
  member(bars, 'Solofiolin', ['violin'], 1, 'bowed', '1:mf 21:f', solo, { ...drawn, program: 40, latenessMs: 8 }),
  member(bars, 'Fioliner I', ['violin'], 'section', 'bowed', '5:mf 13:ff 17:p 21:p 29:f', violins1, {
    ...drawn,
    program: 48,
    keySwitches: [
      { midi: 24, beforeBar: 5 },
      { midi: 29, beforeBar: 21 },
      { midi: 24, beforeBar: 29 },
    ],
  }),
  member(bars, 'Fioliner II', ['violin'], 'section', 'bowed', '5:mp 13:p 29:mf', violins2, { ...drawn, program: 48 }),
  member(bars, 'Bratsjer', ['viola'], 'section', 'bowed', '1:pp 5:mp 13:p 29:mp', violas, { ...drawn, program: 48 }),
  member(bars, 'Celloer', ['cello'], 'section', 'bowed', '1:pp 5:mp 13:mf 21:p 29:mp', cellos, {
    ...drawn,
    program: 48,
  }),
  member(bars, 'Kontrabasser', ['double-bass'], 'section', 'bowed', '5:mp 13:p 29:mp', doubleBasses, {
    ...drawn,
    program: 43,
  }),
]);
const ORCHESTRA = ['Fioliner I', 'Fioliner II', 'Bratsjer', 'Celloer', 'Kontrabasser'];
const plans = members.map(({ plan }) => plan);
const sketch = plans.filter(({ name }) => name === 'Solofiolin' || name === 'Celloer');

export const folketoneStrykere = keptAside(
  'folketone-strykere',
  'a folk tune for string orchestra and solo violin with Norwegian names, a sketch before it and notes beside it',
  (seed) =>
    new Map<string, Uint8Array | string>([
      ['1 skisse.mid', oneFile(piece, sketch, { seed: seed + 20 })],
      ['2 strykeorkester.mid', oneFile(piece, plans, { seed, conductorName: 'Sporinfo' })],
      [
        'notater.md',
        '# Takt 13-20, cello\n\nCelloene synger, resten er bare luft.\n\n# Takt 36\n\nTom kvint til slutt, ingen ters.\n',
      ],
    ]),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'A', mode: 'minor' }],
    style: 'classical',
    front: [
      lead(1, 4, 'Solofiolin'),
      lead(5, 12, 'Fioliner I'),
      lead(13, 20, 'Celloer'),
      lead(21, 28, 'Solofiolin'),
      lead(29, 36, 'Fioliner I', 'Fioliner II'),
    ],
    flaws: [
      flaw('second violins too low', 9, 9, ['Fioliner II'], ['outside-range'], 'F3 lies under the G string.'),
      flaw(
        'violins over the cellos',
        13,
        16,
        ['Fioliner I'],
        [
          'background-as-loud',
          'background-covers',
          'background-above-melody',
          'support-over-lead',
          'covered-from-above',
        ],
        'The first violins hold fortissimo above the verse of the cellos.',
      ),
      flaw(
        'violas a bar late',
        29,
        32,
        ['Bratsjer'],
        ['displaced-part', 'clashing-second'],
        'The violas have the chords of the bar before and rub against everybody.',
      ),
      flaw(
        'thirds at the bottom',
        33,
        35,
        ['Celloer', 'Kontrabasser'],
        ['crowded-low'],
        'Divided cellos in close thirds down to C2: mud.',
      ),
    ],
    clean: [
      clean('The drone of the opening holds still.', 'any', ['Bratsjer', 'Celloer'], 1, 4),
      clean('The open fifth at the end is meant; a note says so.', ['incomplete-chord'], undefined, 36, 36),
      clean(
        'Strings accompany above the cellos and cross them.',
        ['crossing', 'far-from-foreground', 'background-above-melody'],
        ['Fioliner II', 'Bratsjer'],
        13,
        20,
      ),
      clean(
        'Plucked after-beats are light chords.',
        ['hollow-without-foreground', 'incomplete-chord', 'static-part', 'entry-off-phrase', 'inaudible-entry'],
        undefined,
        21,
        28,
      ),
      clean('A section divides.', ['double-stop', 'one-string', 'too-many-notes'], ['Bratsjer', 'Celloer']),
      clean('String players need no rests.', ['never-rests', 'breath'], ORCHESTRA),
      clean(
        'Both violins have the tune in octaves.',
        ['parallel-perfects', 'support-over-lead', 'background-as-loud'],
        ['Fioliner I', 'Fioliner II'],
        29,
        36,
      ),
      clean('Cellos and basses go in octaves.', ['parallel-perfects', 'bass-doubled-too-close'], ['Kontrabasser']),
    ],
  }),
);
