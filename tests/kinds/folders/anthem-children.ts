/** A hymn for children's choir, organ with a pedal track and brass quintet; the organ by velocity, the rest by controller 11. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { again, figured, instead, music, octaves, tied, within } from '../compose/compose.ts';
import { clean, flaw, inChannels, inOneFile, folder, lead, member, truthOf } from '../compose/folder.ts';
import { chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';

const piece: Piece = {
  lastBar: 28,
  meters: [{ fromBar: 1, numerator: 3, denominator: 4 }],
  tempi: [{ fromBar: 1, tempo: 96 }],
  keys: [{ fromBar: 1, fifths: 2, minor: false }],
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 D | A/C# | G/B | A | D | Bm | G | A | D | G | Em | A | D | Bm | A | D | G | D | A | D
   21 D | Bm | G | A | D | G | A | D`,
);
const tune = music(
  bars,
  `5 F#4:2 A4:1 | D5:2 B4:1 | B4:1 A4 G4 | E4:2 -:1 | F#4:2 A4:1 | B4:2 D5:1 | B4:1 G4 E4 | E4:2 -:1
   13 F#4:1 A4 D5 | D5:2 B4:1 | C#5:1 E5 C#5 | D5:2 -:1 | B4:2 D5:1 | A4:1 F#4 D4 | E4:2 C#4:1 | D4:2 -:1`,
);
const verse = again(bars, tune, 5, 8, 21);
const children = [...tune, ...verse, ...music(bars, '25 F#4:2 A4:1 | B4:2 D5:1 | C#5:2 C#5:1 | D5:2 -:1')];
const fanfare = music(bars, '1 D5:1 F#5 A5 | A5:1 E5 C#5 | B4:1 D5 G5 | E5:2 -:1');
const low = music(
  bars,
  `1 D3:3 | C#3:3 | B2:3 | A2:2 -:1 | D3:3 | B2:3 | G2:3 | A2:3 | D3:3 | G2:3 | E3:3 | A2:3 | D3:3 | B2:3 | A2:3 | D3:3 | G2:3 | D3:3 | A2:3 | D3:3
   21 D3:3 | B2:3 | G2:3 | A2:3 | D3:3 | G2:3 | A2:3 | D3:3`,
);
const [alto = [], tenor = []] = innerVoices(spans, [...fanfare, ...children], low, [
  [57, 71],
  [52, 66],
]);
const manual = [...children, ...figured([alto, tenor], bars, 5, 28, '01@0:3')];
const pedal = instead(octaves(within(low, 5, 28), 0), 18, 18, music(bars, '18 D#3:3'));
const trumpet2 = [...tied(within(alto, 1, 4)), ...tied(within(alto, 21, 28))];
const horn = instead([...tied(within(tenor, 1, 4)), ...tied(within(tenor, 21, 28))], 22, 22, music(bars, '22 B1:3'));
const trombone = [...within(low, 1, 4), ...within(low, 21, 28)];
const tuba = instead(octaves(trombone, -1), 26, 26, music(bars, '26 G0:3'));
const drawn = { curves: [11] as const };
const members = inChannels([
  member(
    bars,
    "Children's Choir (unis.)",
    ['choir', 'voice-soprano', 'voice'],
    'section',
    'sung',
    '5:mp 21:mf',
    children,
    { ...drawn, scatterMs: 20 },
  ),
  member(
    bars,
    'Tpt 1 in Bb',
    ['trumpet-bflat'],
    1,
    'blown',
    '1:f 9:ff',
    [...fanfare, ...music(bars, '9 A5:3 | B5:3 | G5:3 | E5:2 -:1')],
    drawn,
  ),
  member(bars, 'Tpt 2 in Bb', ['trumpet-bflat'], 1, 'blown', '1:mf 21:pp', trumpet2, drawn),
  member(bars, 'Hn in F', ['horn-f'], 1, 'blown', '1:mf 21:pp', horn, drawn),
  member(bars, 'Tbn', ['trombone-tenor'], 1, 'blown', '1:mf 21:pp', trombone, drawn),
  member(bars, 'Tuba', ['tuba'], 1, 'blown', '1:mf 21:pp', tuba, drawn),
  member(bars, 'Org. Man.', ['organ'], undefined, 'keys', '5:p', manual, {}),
  member(bars, 'Org. Ped.', ['organ'], undefined, 'keys', '5:p', pedal, {}),
]);
const ORGAN = ['Org. Man.', 'Org. Ped.'];

export const anthemChildren = folder(
  'anthem-children',
  "a hymn for children's choir, organ with pedal and brass quintet",
  inOneFile('Morning hymn.mid', piece, members),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'D', mode: 'major' }],
    style: 'classical',
    front: [lead(1, 4, 'Tpt 1 in Bb'), lead(5, 28, "Children's Choir (unis.)", 'Org. Man.')],
    flaws: [
      flaw(
        'trumpet over the children',
        9,
        12,
        ['Tpt 1 in Bb'],
        ['background-as-loud', 'background-covers', 'background-above-melody', 'support-over-lead'],
        'The first trumpet holds fortissimo above children who sing mezzo piano.',
      ),
      flaw(
        'wrong pedal',
        18,
        18,
        ['Org. Ped.'],
        ['clashing-second', 'root-not-in-bass'],
        'D sharp in the pedal under a chord of D.',
      ),
      flaw('tuba too low', 26, 26, ['Tuba'], ['outside-range'], 'G0 is below the tuba.'),
    ],
    clean: [
      clean(
        'The organ carries the tune with the children.',
        [
          'support-over-lead',
          'background-as-loud',
          'background-covers',
          'crossing',
          'parallel-perfects',
          'never-rests',
          'static-part',
          'hand-span',
        ],
        ORGAN,
        5,
        17,
      ),
      clean('A choir breathes in turns.', ['breath', 'stamina'], ["Children's Choir (unis.)"]),
      clean(
        'Brass and pedal double the bass in octaves.',
        ['bass-doubled-too-close', 'parallel-perfects', 'crowded-low'],
        ['Tuba', 'Tbn', 'Org. Ped.'],
        21,
        28,
      ),
    ],
  }),
);
