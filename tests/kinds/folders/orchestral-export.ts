/** A cue for orchestra as exported from a template: a track for each articulation, two controllers drawn by hand, key switches. Two stages. */
import { oneFile, piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { allShort, figured, instead, music, octaves, strokes, tied, within } from '../compose/compose.ts';
import { clean, flaw, folder, inChannels, lead, member, truthOf } from '../compose/folder.ts';
import { chords, fourParts } from '../compose/harmony.ts';

const piece: Piece = {
  lastBar: 40,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [
    { fromBar: 1, tempo: 96 },
    { fromBar: 9, tempo: 84 },
    { fromBar: 17, tempo: 96 },
    { fromBar: 33, tempo: 76 },
  ],
  markers: [
    { bar: 1, text: 'Harbour at night' },
    { bar: 9, text: 'The letter' },
    { bar: 17, text: 'Running' },
    { bar: 25, text: 'Full sail' },
    { bar: 33, text: 'Empty quay' },
  ],
  ticksPerQuarter: 960,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 Dm | Bb | F | C | Dm | Gm | A | A
   9 F | C/E | Dm | Bb | Gm | F/A | Bb | C
   17 Dm | Bb | F | C | Gm | Dm/F | Eb | A
   25 Dm | Bb | F | C | Gm | Bb | A | Dm
   33 Bb | F/A | Gm | Dm | Bb | Gm | A | Dm`,
);
const hornTheme = music(
  bars,
  `1 D4:3 A3:1 | D4:1 F4 Bb4:2 | A4:3 G4:.5 F4 | G4:2 E4 | F4:3 E4:.5 D4 | D4:1 G4 Bb4:2 | A4:3 G4:1 | E4:2 C#4:1 -:1`,
);
const oboeTune = music(bars, `9 C5:1.5 D5:.5 F5:2 | E5:2 G5:1 E5 | F5:1.5 E5:.5 D5:2 | D5:1 F5 Bb5:2`);
const fluteTune = music(bars, `13 D6:1.5 C6:.5 Bb5:1 G5 | A5:2 F5:1 C6 | D6:1.5 C6:.5 Bb5:2 | C6:3 -:1`);
const violinTune = music(
  bars,
  `17 D5:1 E5 F5 A5 | Bb5:3 A5:1 | A5:2 F5:1 C6 | G5:3 -:1 | Bb5:1 A5 G5 D6 | D6:2 A5 | G5:1.5 F5:.5 Eb5:1 G5 | E5:2 C#5`,
);
const brassTune = music(
  bars,
  `25 D5:3 A4:1 | D5:1 F5 F5:2 | A5:3 G5:.5 F5 | G5:2 E5 | G5:3 F5:.5 G5 | F5:1 G5 F5:2 | E5:2 C#5:1 E5 | D5:3 -:1`,
);
const clarinetTune = music(
  bars,
  `33 D5:1.5 C5:.5 Bb4:2 | A4:1 C5 F4:2 | G4:1 Bb4 D5:1.5 C5:.5 | A4:3 -:1 | F4:1 Bb4 D5:2 | Bb4:1 G4:1.5 A4:.5 Bb4:1 | A4:2 G4:1 E4 | D4:4`,
);
// The strings close above the clarinet.
const tunes = [...oboeTune, ...fluteTune, ...violinTune, ...within(clarinetTune, 33, 38)];

const [high = [], second = [], middle = [], low = []] = fourParts(
  spans,
  'D',
  [
    [58, 74],
    [55, 69],
    [50, 62],
    [38, 53],
  ],
  tunes,
);
const lines = [high, second, middle, low];
const held = (voice: number, from: number, to: number) => tied(within(lines[voice] ?? [], from, to));
const spiccato = (voice: number, from: number, to: number, strokesText: string) =>
  allShort(figured(lines, bars, from, to, strokesText.replaceAll('v', String(voice))));
const GALLOP = 'v@0:.5 v@.5:.25 v@.75:.25 v@1:.5 v@1.5:.25 v@1.75:.25 v@2:.5 v@2.5:.25 v@2.75:.25 v@3:.5 v@3.5:.5';
const EIGHTHS = 'v@0:.5 v@.5:.5 v@1:.5 v@1.5:.5 v@2:.5 v@2.5:.5 v@3:.5 v@3.5:.5';
const bass = (from: number, to: number) =>
  held(3, from, to).flatMap((note) => (note.midi >= 40 ? octaves([note], -1) : [note]));

const violin1Sus = [
  ...held(0, 9, 12),
  ...violinTune,
  ...octaves(within(brassTune, 25, 32), 1),
  ...music(bars, '37 F6:4 | D6:2 G6:2 | E6:4 | A5:4'),
];
const violin1Spic = spiccato(0, 1, 8, GALLOP);
const violin2Sus = [...held(0, 13, 16), ...held(1, 17, 24), ...held(0, 25, 32), ...held(1, 33, 40)];
const violin2Spic = instead(
  spiccato(1, 1, 8, GALLOP),
  4,
  4,
  allShort(music(bars, '4 E3:.5 E3:.25 E3 E3:.5 E3:.25 E3 E3:.5 E3:.25 E3 E3:.5 E3')),
);
const violaSus = instead(
  [...held(1, 9, 16), ...held(2, 17, 24), ...held(1, 25, 32), ...held(2, 33, 40)],
  19,
  20,
  music(bars, '19 F3+A3+C4+F4+A4:4 | E3+G3+C4+E4+G4:4'),
);
const violaSpic = spiccato(2, 1, 8, EIGHTHS);
const celloSus = [...held(3, 9, 16), ...held(3, 33, 40)];
const celloSpic = [...spiccato(3, 1, 8, EIGHTHS), ...spiccato(3, 17, 32, EIGHTHS)];
const hornLow = octaves(within(brassTune, 25, 32), -1);
const horns = [...hornTheme, ...held(2, 17, 20), ...instead(hornLow, 29, 29, music(bars, '29 G5:3 F5:.5 G5'))];
const trombones = [...figured(lines, bars, 9, 12, '123@0:4'), ...figured(lines, bars, 25, 32, '123@0:4')];
const tuba = [...music(bars, '25 D2:4 | =:4 | =:4 | =:4 | =:4 | =:4 | =:4 | =:4')];
const woodwindPads = {
  flute: [
    ...fluteTune,
    ...octaves(violinTune, 1).filter(({ midi, bar }) => midi <= 96 && bar >= 21),
    ...within(octaves(brassTune, 1), 25, 32),
  ],
  oboe: [...oboeTune, ...held(0, 17, 20), ...within(brassTune, 25, 32)],
  clarinet: [...held(1, 13, 16), ...held(1, 17, 24), ...clarinetTune],
  bassoon: [...held(3, 9, 16), ...held(3, 21, 24), ...held(3, 25, 28)],
};

const drawn = { curves: [1, 11] as const };
const TUTTI = '25:f';
const members = inChannels([
  member(bars, 'Fl 1 Leg', ['flute'], 1, 'blown', '13:mf 21:mp 25:f', woodwindPads.flute, {
    ...drawn,
    keySwitches: [
      { midi: 24, beforeBar: 13 },
      { midi: 26, beforeBar: 25 },
    ],
  }),
  member(bars, 'Ob 1 Leg', ['oboe'], 1, 'blown', '9:mp 17:p 25:f', woodwindPads.oboe, drawn),
  member(bars, 'Cl 1 Leg', ['clarinet-bflat', 'clarinet-a'], 1, 'blown', '13:p 33:p', woodwindPads.clarinet, drawn),
  member(bars, 'Bsn 1 Leg', ['bassoon'], 1, 'blown', '9:p 21:mp 25:f', woodwindPads.bassoon, drawn),
  member(bars, 'Hn a4 Sus', ['horn-f'], 4, 'blown', `1:mf 17:mp ${TUTTI}`, horns, {
    ...drawn,
    keySwitches: [
      { midi: 12, beforeBar: 2 },
      { midi: 13, beforeBar: 17 },
    ],
  }),
  member(bars, 'Tpt a3 Sus', ['trumpet-bflat', 'trumpet-c'], 3, 'blown', TUTTI, brassTune, drawn),
  member(bars, 'Tbn a3 Sus', ['trombone-tenor'], 3, 'blown', `9:f ${TUTTI}`, trombones, drawn),
  member(bars, 'Tuba Sus', ['tuba'], 1, 'blown', '25:ff', tuba, drawn),
  member(
    bars,
    'Timp',
    ['timpani'],
    1,
    'struck',
    '24:mp> 25:f',
    [
      ...strokes(bars, 24, 24, '45@0 45@1 45@2 45@2.5 45@3 45@3.5', 0.5),
      ...strokes(bars, 25, 32, '50@0 50@2', 1).filter(({ bar }) => bar !== 27 && bar !== 28 && bar !== 31),
      ...strokes(bars, 31, 31, '45@0 45@2', 1),
    ].map((note) => ({ ...note, pitch: note.midi === 45 ? 'A2' : 'D3' })),
  ),
  member(
    bars,
    'Perc (BD, Cym)',
    ['percussion-unpitched'],
    undefined,
    'struck',
    '17:p 25:f',
    [
      ...strokes(bars, 17, 24, '36@0 36@2.5'),
      ...strokes(bars, 25, 25, '49@0 36@0'),
      ...strokes(bars, 29, 29, '49@0 36@0'),
    ],
    { channel: 9 },
  ),
  member(bars, 'Harp', ['harp'], 1, 'plucked', '9:mp 33:mp', [
    ...figured(lines, bars, 9, 16, '3@0:.5 2@.5:.5 1@1:.5 0@1.5:.5 1@2:.5 2@2.5:.5'),
    ...figured(lines, bars, 33, 36, '3@0:1 2@1:1 1@2:1'),
  ]),
  member(bars, 'Vln I Sus', ['violin'], 'section', 'bowed', `9:pp 17:f ${TUTTI} 37:mf 40:pp`, violin1Sus, drawn),
  member(bars, 'Vln I Spic', ['violin'], 'section', 'bowed', '1:p', violin1Spic, {
    keySwitches: [{ midi: 36, beforeBar: 5 }],
  }),
  member(bars, 'Vln II Sus', ['violin'], 'section', 'bowed', `13:p 17:mp ${TUTTI} 33:pp`, violin2Sus, drawn),
  member(bars, 'Vln II Spic', ['violin'], 'section', 'bowed', '1:p', violin2Spic),
  member(bars, 'Vla Sus', ['viola'], 'section', 'bowed', `9:pp 17:mp ${TUTTI} 33:pp`, violaSus, drawn),
  member(bars, 'Vla Spic', ['viola'], 'section', 'bowed', '1:p', violaSpic),
  member(bars, 'Vc Sus', ['cello'], 'section', 'bowed', '9:pp 33:pp', celloSus, drawn),
  member(bars, 'Vc Spic', ['cello'], 'section', 'bowed', '1:p 17:mp 25:mf', celloSpic),
  member(
    bars,
    'Db Sus',
    ['double-bass'],
    'section',
    'bowed',
    `9:pp 17:mp ${TUTTI} 33:pp`,
    [...bass(13, 16), ...bass(17, 32), ...bass(37, 40)],
    drawn,
  ),
  member(
    bars,
    'Db Pizz',
    ['double-bass'],
    'section',
    'plucked',
    '1:p',
    figured([bass(1, 8)], bars, 1, 8, '0@0:1 0@2:1'),
  ),
]);
const plans = members.map(({ plan }) => plan);
const sketch = plans.filter(({ name }) => /^(Vln|Vla|Vc|Db|Hn)/.test(name));

const strings = members.map(({ plan }) => plan.name).filter((name) => /^(Vln|Vla|Vc|Db)/.test(name));

export const orchestralExport = folder(
  'orchestral-export',
  'a cue for orchestra from a template, a track an articulation, two drawn controllers, key switches, two stages',
  (seed) =>
    new Map([
      ['v1 strings and horns.mid', oneFile(piece, sketch, { seed: seed + 3 })],
      ['v2 full.mid', oneFile(piece, plans, { seed, conductorName: 'Tempo' })],
    ]),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'D', mode: 'minor' }],
    style: 'score',
    front: [
      lead(1, 8, 'Hn a4 Sus'),
      lead(9, 12, 'Ob 1 Leg'),
      lead(13, 16, 'Fl 1 Leg'),
      lead(17, 24, 'Vln I Sus', 'Fl 1 Leg'),
      lead(25, 32, 'Tpt a3 Sus', 'Hn a4 Sus', 'Vln I Sus', 'Ob 1 Leg', 'Fl 1 Leg'),
      lead(33, 40, 'Cl 1 Leg'),
    ],
    flaws: [
      flaw(
        'covered oboe',
        9,
        12,
        ['Tbn a3 Sus'],
        ['background-as-loud', 'background-covers'],
        'Three trombones hold chords f over a solo of one oboe.',
      ),
      flaw('low violins', 4, 4, ['Vln II Spic', 'Vln II Sus'], ['outside-range'], 'E3 is below the G string.'),
      flaw(
        'five violas',
        19,
        20,
        ['Vla Sus', 'Vla Spic'],
        ['divisi', 'too-many-notes'],
        'Chords of five notes for one section of violas.',
      ),
      flaw(
        'horns too high',
        29,
        29,
        ['Hn a4 Sus'],
        ['outside-range'],
        'G5 is above every horn; the doubling was meant an octave lower.',
      ),
      flaw(
        'tuba without breath',
        25,
        32,
        ['Tuba Sus'],
        ['breath', 'stamina'],
        'One note ff for eight bars, twenty seconds, on one tuba.',
      ),
      flaw(
        'violins over clarinet',
        37,
        39,
        ['Vln I Sus', 'Vln I Spic'],
        ['covered-from-above', 'background-as-loud', 'background-covers', 'background-above-melody'],
        'The clarinet plays p in its throat and the violins lie mf an octave and more above it on the E string.',
      ),
    ],
    clean: [
      clean(
        'Articulations of one section are one part: it rests nowhere between them.',
        ['entry-off-phrase', 'late-part'],
        strings,
      ),
      clean('Sections bow in turn and may hold for ever.', ['breath', 'never-rests', 'static-part'], strings),
      clean('Spiccato on one pitch is an accompaniment.', ['static-part', 'repeated-notes'], strings, 1, 8),
      clean(
        'The full orchestra on the tune in octaves.',
        [
          'support-over-lead',
          'background-above-melody',
          'parallel-perfects',
          'background-as-loud',
          'background-covers',
        ],
        ['Tpt a3 Sus', 'Hn a4 Sus', 'Vln I Sus', 'Vln I Spic', 'Ob 1 Leg', 'Fl 1 Leg'],
        25,
        32,
      ),
      clean(
        'Four horns, three trumpets, three trombones in one track.',
        ['too-many-notes'],
        ['Hn a4 Sus', 'Tpt a3 Sus', 'Tbn a3 Sus'],
      ),
      clean('The horns lead above and among the strings.', ['crossing', 'background-above-melody'], undefined, 1, 8),
      clean(
        'Bass drum and cymbals have no harmony.',
        ['outside-range', 'crowded-low', 'static-part'],
        ['Perc (BD, Cym)'],
      ),
    ],
  }),
);
