/** A template of sixty tracks in library shorthand, of which fourteen hold notes; several tracks are articulations of one section. */
import type { KindFolder } from '../kind.ts';
import type { Piece } from '../write/export.ts';
import { notesOfPlans, oneFile, piecesBars } from '../write/export.ts';
import type { Plan, Touch } from '../write/perform.ts';
import { chordsFrom, leads, octaves } from '../write/plans.ts';

const PIECE: Piece = {
  lastBar: 24,
  meters: [{ fromBar: 1, numerator: 3, denominator: 4 }],
  tempi: [{ fromBar: 1, tempo: 92 }],
  keys: [{ fromBar: 1, fifths: 3, minor: false }],
  ticksPerQuarter: 960,
};

/** The template in its order; what is not in `PLANS` is empty. */
const TEMPLATE =
  `PICC Leg|FL1 Leg|FL1 Stac|FL2 Leg|FL2 Stac|OB1 Leg|OB1 Stac|OB2 Leg|EH Leg|CL1 Leg|CL1 Stac|CL2 Leg|BCL Leg|BSN1 Leg|BSN1 Stac|BSN2 Leg|CBSN Sus
HN 1-4 Sus|HN 1-4 Stac|HN Solo Leg|TPT 1-3 Sus|TPT 1-3 Stac|TPT Solo Leg|TBN 1-3 Sus|TBN 1-3 Stac|BTBN Sus|TUBA Sus|TUBA Stac
TIMP Hits|TIMP Rolls|PERC Low|PERC Metals|GLK|XYL|VIB|TUB BELLS|CEL|HP|PNO
V1 Leg|V1 Spic|V1 Pizz|V1 Trem|V2 Leg|V2 Spic|V2 Pizz|V2 Trem|VA Leg|VA Spic|VA Pizz|VA Trem|VC Leg|VC Spic|VC Pizz|VC Trem|CB Leg|CB Spic|CB Pizz|CHOIR SA|CHOIR TB`
    .split(/[|\n]/)
    .map((name) => name.trim());

const TUNE = `1 E5:1 A5 C#6 | B5:2 A5:1 | F#5 A5 D6 | C#6:2 -:1 | D6 C#6 B5 | A5 F#5 D5 | B5 G#5 E5 | A5:2 -:1`;
const tuneAt17 = (by: number): string => octaves(TUNE, by).replace(/^1 /, '17 ');

const after = (pitches: string): string =>
  pitches
    .split(' ')
    .map((pitch) => `-:1 ${pitch}' ${pitch}'`)
    .join(' | ');
const held = (pitches: string): string =>
  pitches
    .split(' ')
    .map((pitch) => `${pitch}:3`)
    .join(' | ');
const first = (pitches: string): string =>
  pitches
    .split(' ')
    .map((pitch) => `${pitch}:1' - -`)
    .join(' | ');

const V1_LEG = `9 C#5:1.5 D5:.5 E5:1 | C#5 A4 F#4 | A4:1.5 B4:.5 D5:1 | B4:2 -:1 | E5:1.5 F#5:.5 E5:1 | F#5 D5 A4 | G#4 B4 D5 | C#5:2 -:1`;
const V1_SPIC = `17 A4:.5 C#5 E5 C#5 E5 C#5 | G#4 B4 E5 B4 E5 B4 | F#4 A4 D5 A4 D5 A4 | A4 C#5 E5 C#5 E5 C#5 | F#4 B4 D5 B4 D5 B4 | F#4 A4 D5 A4 D5 A4 | G#4 B4 D5 B4 D5 B4 | A4:1 -:2`;
const HARP = `17 A2:.5 E3 A3 C#4 E4 A4 | G#2 E3 B3 E4 G#4 B4 | F#2 D3 A3 D4 F#4 A4 | E2 C#3 A3 C#4 E4 A4 | B2 F#3 B3 D4 F#4 B4 | D3 F#3 A3 D4 F#4 A4 | E2 E3 G#3 B3 D4 G#4 | A2+E3+A3+C#4:3`;

const plan = (
  name: string,
  lines: readonly string[],
  touch: Touch,
  program: number,
  dynamics: string,
  more: Partial<Plan> = {},
): Plan => ({
  name,
  lines,
  touch,
  dynamics,
  curves: ['plucked', 'struck'].includes(touch) || / Spic$/.test(name) ? [] : [1, 11],
  channel: 0,
  program,
  ...more,
});

const PLANS: readonly Plan[] = [
  plan('FL1 Leg', [`${TUNE}\n${tuneAt17(0)}`], 'blown', 73, '1:mf 17:mp'),
  plan('OB1 Leg', [tuneAt17(-1)], 'blown', 68, '17:mp'),
  plan('HN 1-4 Sus', [`13 ${held('E3+A3 F#3+A3 E3+G#3 E3+A3')}\n15 E3+G#3+B3+D4+E4:3`], 'blown', 60, '13:p'),
  plan(
    'GLK',
    ['17 E6:1 -:2 | B6:1 -:2 | A6:1 -:2 | E6:1 -:2 | F#6:1 -:2 | A6:1 -:2 | B6:1 -:2 | A6:1 -:2'],
    'struck',
    9,
    '17:p',
  ),
  plan('HP', [HARP], 'plucked', 46, '17:mp', { latenessMs: 0 }),
  plan('V1 Leg', [V1_LEG], 'bowed', 48, '9:mf', { keySwitches: [{ midi: 24, beforeBar: 9 }] }),
  plan('V1 Spic', [V1_SPIC], 'bowed', 48, '17:fff 21:p'),
  plan('V2 Leg', [`9 ${held('A4 C#4 F#4 F#3 A4 F#4 E4 E4')}`], 'bowed', 48, '9:p', {
    keySwitches: [{ midi: 24, beforeBar: 9 }],
  }),
  plan('V2 Pizz', [`1 ${after('A4 B4 A4 A4 F#4 A4 G#4')} | -:1 A4' -`], 'plucked', 45, '1:p'),
  plan(
    'VA Leg',
    [`9 ${held('E4 A3 D4 E4 C#4 D4 D4 C#4')}\n17 ${held('E4 B3 A3 C#4 B3 A3 B3 C#4')}`],
    'bowed',
    48,
    '9:p',
    {
      drawn: [
        { controller: 7, bar: 1, setting: 0 },
        { controller: 7, bar: 13, setting: 100 },
      ],
    },
  ),
  plan('VA Pizz', [`1 ${after('C#4 E4 D4 C#4 D4 F#4 D4')} | -:1 C#4' -`], 'plucked', 45, '1:p'),
  plan(
    'VC Leg',
    [`9 ${held('A2 F#2 D3 E3 C#3 D3 E3 A2')}\n17 ${held('A2 G#2 F#2 E2 B2 D3 E2 A2')}`],
    'bowed',
    48,
    '9:p',
  ),
  plan('VC Pizz', [`1 ${first('A2 G#2 F#2 E2 B2 D3 E2 A2')}`], 'plucked', 45, '1:p'),
  plan(
    'CB Pizz',
    [`9 ${first('A1 F#1 D2 E2 C#2 D2 E2 A1')}\n17 ${first('A1 G#1 F#1 E1 B1 D2 E1 A1')}`],
    'plucked',
    45,
    '9:p',
    { latenessMs: 0 },
  ),
];
/** Channels do not tell sections apart in such a template: everything is on the first. */
const ALL: readonly Plan[] = TEMPLATE.map(
  (name) =>
    PLANS.find((each) => each.name === name) ?? plan(name, [''], 'blown', 48, '1:mp', { curves: [], volume: 100 }),
);

const STRINGS = ['V1 Leg', 'V1 Spic', 'V2 Leg', 'V2 Pizz', 'VA Leg', 'VA Pizz', 'VC Leg', 'VC Pizz', 'CB Pizz'];

export const sixtyTracks: KindFolder = {
  id: 'sixty-tracks',
  trade: 'A template of sixty tracks in library shorthand, most of them empty, all on one channel with one program.',
  half: 'tuning',
  files: (seed) =>
    new Map<string, Uint8Array | string>([
      ['Lantern waltz TEMPLATE.mid', oneFile(PIECE, ALL, { seed, conductorName: 'TEMPO' })],
      ['todo.md', '# Bars 17-24\n\nDouble the oboe at the octave only if the flute is too thin.\n'],
    ]),
  truth: {
    parts: {
      'FL1 Leg': ['flute'],
      'OB1 Leg': ['oboe'],
      'HN 1-4 Sus': ['horn-f'],
      GLK: ['glockenspiel'],
      HP: ['harp'],
      'V1 Leg': ['violin'],
      'V1 Spic': ['violin'],
      'V2 Leg': ['violin'],
      'V2 Pizz': ['violin'],
      'VA Leg': ['viola'],
      'VA Pizz': ['viola'],
      'VC Leg': ['cello'],
      'VC Pizz': ['cello'],
      'CB Pizz': ['double-bass'],
    },
    players: {
      'FL1 Leg': 1,
      'OB1 Leg': 1,
      'HN 1-4 Sus': 4,
      HP: 1,
      ...Object.fromEntries(STRINGS.map((name) => [name, 'section' as const])),
    },
    notes: notesOfPlans(PIECE, PLANS),
    chords: chordsFrom(
      piecesBars(PIECE),
      `1 A | E/G# | D/F# | A/E | Bm | D | E7 | A
       9 A | F#m | D | E | A/C# | D | E7 | A
       17 A | E/G# | D/F# | A/E | Bm | D | E7 | A`,
    ),
    meters: PIECE.meters,
    keys: [{ fromBar: 1, tonic: 'A', mode: 'major' }],
    onGrid: true,
    swing: 1,
    style: 'score',
    front: leads(['FL1 Leg', 1, 8], ['V1 Leg', 9, 16], [['FL1 Leg', 'OB1 Leg'], 17, 24]),
    flaws: [
      {
        id: 'seconds-below-their-strings',
        bars: [12, 12],
        parts: ['V2 Leg'],
        rules: ['outside-range'],
        say: 'F sharp 3 is under the lowest string of a violin.',
        weigh: true,
      },
      {
        id: 'five-notes-for-four-horns',
        bars: [15, 15],
        parts: ['HN 1-4 Sus'],
        rules: ['too-many-notes', 'divisi'],
        say: 'Five notes for four horns.',
        weigh: true,
      },
      {
        id: 'spiccato-over-the-winds',
        bars: [17, 20],
        parts: ['V1 Spic'],
        rules: ['background-as-loud', 'background-covers', 'support-over-lead'],
        say: 'The figure of the first violins is at full strength over flute and oboe at mezzo piano.',
        weigh: true,
      },
      {
        id: 'violas-not-heard',
        bars: [9, 12],
        parts: ['VA Leg'],
        rules: ['inaudible-entry'],
        say: 'The fader of the violas is down until bar 13.',
        weigh: true,
      },
    ],
    clean: [
      {
        rules: ['all-at-once', 'never-rests', 'static-part', 'unchanged-texture'],
        say: 'Three textures of eight bars each.',
      },
      { rules: ['late-part'], say: 'Nobody is late.' },
      {
        rules: ['incomplete-chord', 'root-not-in-bass'],
        bars: [1, 8],
        say: 'A waltz: bass first, then the chord; the bass moves in steps on purpose.',
      },
      { rules: ['double-stop', 'too-many-notes', 'string-skip'], parts: STRINGS, say: 'Single lines of sections.' },
      {
        rules: ['background-above-melody'],
        parts: ['GLK', 'HP'],
        say: 'A few notes of glockenspiel as colour, two octaves up.',
      },
      {
        rules: ['outside-range'],
        parts: ['V1 Leg', 'FL1 Leg', 'OB1 Leg', 'HP', 'GLK', 'VC Leg', 'VC Pizz', 'CB Pizz', 'VA Leg', 'VA Pizz'],
        say: 'All within range; what lies below is a key switch.',
      },
      {
        rules: ['background-as-loud', 'background-covers', 'support-over-lead', 'parallel-perfects'],
        parts: ['OB1 Leg'],
        bars: [17, 24],
        say: 'The oboe doubles the flute an octave below.',
      },
      { rules: ['bass-doubled-too-close', 'crowded-low'], say: 'Basses an octave below the cellos.' },
      { rules: ['harp-pedals', 'hand-span'], parts: ['HP'], say: 'No pedal moves: everything is diatonic.' },
    ],
  },
};
