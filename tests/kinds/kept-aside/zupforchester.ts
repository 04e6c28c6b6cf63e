/** A barcarole for plucked orchestra: two mandolins, mandola, guitar and double bass, German names, tremolo by velocity, one chord track left empty. */
import { oneFile, piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { again, figured, instead, moved, music, octaves, within } from '../compose/compose.ts';
import { clean, flaw, inChannels, keptAside, lead, member, truthOf } from '../compose/folder.ts';
import { basses, chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';
import { empty } from '../compose/leftovers.ts';

const piece: Piece = {
  lastBar: 32,
  meters: [{ fromBar: 1, numerator: 6, denominator: 8 }],
  tempi: [
    { fromBar: 1, tempo: 84 },
    { fromBar: 31, tempo: 70 },
  ],
  keys: [{ fromBar: 1, fifths: 1, minor: true }],
  markers: [
    { bar: 5, text: 'A' },
    { bar: 13, text: 'B' },
    { bar: 21, text: "A'" },
  ],
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 Em | Am | B7 | Em | Em | Am | D7 | G | C | Am | B7 | Em | G | D7 | G | E7 | Am | Em | B7 | Em
   21 Em | Am | D7 | G | C | Am | B7 | Em | Am | Em | B7 | Em`,
);
const intro = music(bars, '1 B4:1 E5:.5 G5:1.5 | A5:1 E5:.5 C5:1.5 | B4:1 D#5:.5 F#5:1.5 | E5:2.5 -:.5');
const tune = music(
  bars,
  `5 E5:1 F#5:.5 G5:1 E5:.5 | C5:1 E5:.5 A5:1.5 | F#5:1 A5:.5 F#5:1 D5:.5 | G5:1.5 D5:1 B4:.5
   9 E5:1 G5:.5 E5:1 C5:.5 | A4:1 C5:.5 E5:1.5 | D#5:1 F#5:.5 B5:1 A5:.5 | G5:2.5 -:.5`,
);
const coda = music(bars, '29 A5:1 E5:.5 C5:1.5 | G5:1 E5:.5 B4:1.5 | F#5:1 D#5:.5 B4:1 D#5:.5 | E5:2.5 -:.5');
const mandolin1 = [
  ...intro,
  ...tune,
  ...music(bars, '13 G5:3 | A5:3 | B5:3 | B5:2.5 -:.5'),
  ...again(bars, tune, 5, 12, 21),
  ...coda,
];
const mandolaTune = music(
  bars,
  `13 B3:1 D4:.5 G4:1.5 | F#4:1 A4:.5 F#4:1 D4:.5 | G4:1 D4:.5 B3:1.5 | G#3:1 B3:.5 E4:1.5
   17 C4:1 E4:.5 A4:1.5 | G4:1 E4:.5 B3:1.5 | D#4:1 F#4:.5 A4:1 F#4:.5 | E4:2.5 -:.5`,
);
const roots = basses(spans, 45);
const deep = octaves(roots, -1);
const outer = spans.filter(({ bar }) => bar < 13 || bar > 20);
const inner = within(spans, 13, 20);
const [below = [], low = []] = innerVoices(outer, mandolin1, deep, [
  [62, 76],
  [55, 67],
]);
const [above = []] = innerVoices(inner, [], deep, [[67, 76]], [mandolaTune]);
const rocking = '0@0:1 0@1:.5 0@1.5:1 0@2.5:.5';
const second = [
  ...figured([below], bars, 1, 12, rocking),
  ...figured([above], bars, 13, 20, '0@0:1.5 0@1.5:1'),
  ...figured([below], bars, 21, 32, rocking),
];
// In bars 25 to 28 the second mandolins are a bar late.
const mandolin2 = instead(
  instead(second, 11, 11, music(bars, '11 F#3:1 A4:.5 B4:1 A4:.5')),
  25,
  28,
  moved(bars, within(second, 24, 27), 3),
);
const mandola = [...figured([low], bars, 1, 12, rocking), ...mandolaTune, ...figured([low], bars, 21, 32, rocking)];
const hand = innerVoices(spans, [], roots, [
  [59, 67],
  [55, 63],
  [50, 59],
]);
const STRUM = '3@0:.5 012@.5:.5 012@1:.5 3@1.5:.5 012@2:.5 012@2.5:.5';
const guitar = instead(
  [...figured([...hand, roots], bars, 1, 31, STRUM), ...music(bars, '32 E2+E3+G3+B3:2.5 -:.5')],
  20,
  20,
  music(bars, '20 E2+G2:1.5 E2+G2:1 -:.5'),
);
const bass = instead(
  [...figured([deep], bars, 1, 31, '0@0:1.5 0@1.5:1'), ...music(bars, '32 E1:2.5 -:.5')],
  17,
  17,
  music(bars, '17 Bb1:1.5 Bb1:1 -:.5'),
);

// One to a part or a section: nothing in the folder tells which.
const members = inChannels([
  member(bars, 'Mandoline I', ['mandolin'], undefined, 'plucked', '1:mf 13:fff 21:mf', mandolin1, {
    program: 25,
    scatterMs: 16,
  }),
  member(bars, 'Mandoline II', ['mandolin'], undefined, 'plucked', '1:mp 13:p 21:mp', mandolin2, {
    program: 25,
    scatterMs: 16,
  }),
  member(
    bars,
    'Mandola (Tenor)',
    ['mandola', 'mandolin', 'bouzouki'],
    undefined,
    'plucked',
    '1:p 13:mf 21:p',
    mandola,
    {
      program: 25,
      scatterMs: 16,
    },
  ),
  member(bars, 'Gitarre', ['guitar'], undefined, 'plucked', '1:p', guitar, { program: 24, scatterMs: 16 }),
  member(bars, 'Kontrabaß (pizz.)', ['double-bass'], 1, 'plucked', '1:p', bass, { program: 32 }),
  empty(bars, 'Mandoloncello'),
]);
const plans = members.map(({ plan }) => plan);
const ORCHESTRA = plans.slice(0, 5).map(({ name }) => name);

export const zupforchester = keptAside(
  'zupforchester',
  'a barcarole for mandolins, mandola, guitar and double bass with German names, a first version before it',
  (seed) =>
    new Map([
      [
        'Barkarole Fassung 1.mid',
        oneFile(
          piece,
          [plans[0], plans[3]].flatMap((plan) => plan ?? []),
          { seed: seed + 7 },
        ),
      ],
      ['Barkarole Fassung 2.mid', oneFile(piece, plans, { seed })],
    ]),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'E', mode: 'minor' }],
    style: 'classical',
    front: [lead(1, 12, 'Mandoline I'), lead(13, 20, 'Mandola (Tenor)'), lead(21, 32, 'Mandoline I')],
    flaws: [
      flaw(
        'second mandolin too low',
        11,
        11,
        ['Mandoline II'],
        ['outside-range', 'wide-leap'],
        'F sharp 3 is under the G string of a mandolin.',
      ),
      flaw(
        'mandolins over the mandola',
        13,
        16,
        ['Mandoline I'],
        [
          'background-as-loud',
          'background-covers',
          'background-above-melody',
          'support-over-lead',
          'covered-from-above',
        ],
        'The first mandolins play long notes fortissimo above the tune of the mandola.',
      ),
      flaw(
        'wrong bass',
        17,
        17,
        ['Kontrabaß (pizz.)'],
        ['root-not-in-bass', 'clashing-second'],
        'B flat under a chord of A minor.',
      ),
      flaw(
        'two notes on the low string',
        20,
        20,
        ['Gitarre'],
        ['one-string'],
        'E2 and G2 both need the lowest string of the guitar.',
      ),
      flaw(
        'second mandolin a bar late',
        25,
        28,
        ['Mandoline II'],
        ['displaced-part', 'clashing-second'],
        'The second mandolins have the chords of the bar before.',
      ),
    ],
    clean: [
      clean(
        'Plucked players repeat and rock all through.',
        [
          'never-rests',
          'static-part',
          'repeated-notes',
          'restless-part',
          'unchanged-texture',
          'breath',
          'hollow-without-foreground',
        ],
        ORCHESTRA,
      ),
      clean('A mandola goes down to C3 or G2.', ['outside-range', 'edge-of-range'], ['Mandola (Tenor)']),
      clean(
        'The guitar and the bass share the root.',
        ['bass-doubled-too-close', 'parallel-perfects'],
        ['Gitarre', 'Kontrabaß (pizz.)'],
      ),
      clean(
        'The mandolins accompany above a mandola.',
        ['crossing', 'far-from-foreground', 'background-above-melody'],
        ['Mandoline II'],
        13,
        20,
      ),
      clean('The empty track is no part.', 'any', ['Mandoloncello']),
    ],
  }),
);
