/** A film cue: effects and a drone beside low strings, ostinati, horns a 4, trombones a 3, choir, solo cello; two controllers, key switches. */
import type { KindFolder } from '../kind.ts';
import type { Piece } from '../write/export.ts';
import { notesOfPlans, oneFile } from '../write/export.ts';
import type { Plan, Touch } from '../write/perform.ts';
import { again, leads, octaves } from '../write/plans.ts';

const PIECE: Piece = {
  lastBar: 36,
  meters: [
    { fromBar: 1, numerator: 4, denominator: 4 },
    { fromBar: 12, numerator: 3, denominator: 4 },
    { fromBar: 13, numerator: 4, denominator: 4 },
  ],
  tempi: [
    { fromBar: 1, tempo: 92 },
    { fromBar: 13, tempo: 104 },
    { fromBar: 29, tempo: 88 },
  ],
  markers: [
    { bar: 1, text: '1m1 start' },
    { bar: 13, text: 'chase' },
    { bar: 21, text: 'reveal' },
    { bar: 29, text: 'aftermath' },
  ],
  ticksPerQuarter: 960,
};

const SOLO_CELLO = `5 D3:2 F3:1 E3 | A3:3 G3:1 | F3:2 E3:1 D3 | C3:3 -:1 | D3:2 F3:1 A3 | Bb3:3 A3:1 | G3:2 F3:1 E3 | D3:3
  29 F3:2 D3:1 F3 | G3:3 Bb3:1 | A3:2 F3:1 D3 | C#3:3 E3:1 | D3:4 | =:3 -:1`;
const HORN_THEME = `13 D4:3 E4:1 | F4:3 D4:1 | C4:2 A3:1 C4 | E4:3 -:1 | F4:3 G4:1 | D4:2 F4 | G4:2 F4:1 D4 | E4:3 -:1
  21 D4:3 E4:1 | F4:3 D4:1 | C4:2 A3:1 C4 | E4:3 G4:1 | A4:3 G4:1 | F4:3 D4:1 | G4:2 E4`;

const OSTINATO: Readonly<Record<string, string>> = {
  Dm: 'D5:.5 A4 D5 E5 F5 E5 D5 A4',
  Bb: 'D5:.5 Bb4 D5 E5 F5 E5 D5 Bb4',
  F: 'C5:.5 A4 C5 D5 F5 D5 C5 A4',
  C: 'C5:.5 G4 C5 D5 E5 D5 C5 G4',
  Gm: 'D5:.5 Bb4 D5 F5 G5 F5 D5 Bb4',
  A: 'C#5:.5 A4 C#5 D5 E5 D5 C#5 A4',
  GmA: 'D5:.5 Bb4 D5 Bb4 C#5 A4 C#5 A4',
};
const FIFTH: Readonly<Record<string, readonly [string, string]>> = {
  Dm: ['D3', 'A3'],
  Bb: ['Bb2', 'F3'],
  F: ['F2', 'C3'],
  C: ['C3', 'G3'],
  Gm: ['G2', 'D3'],
  A: ['A2', 'E3'],
};
const RUN = ['Dm', 'Bb', 'F', 'C', 'Dm', 'Bb', 'Gm', 'A', 'Dm', 'Bb', 'F', 'C', 'Dm', 'Bb', 'GmA', 'Dm'];
const overRun = (bar: (chord: string) => string): string =>
  `13 ${RUN.map((chord) => (chord === 'GmA' ? '' : bar(chord))).join(' | ')}`;
const SPICCATO_HIGH = `13 ${RUN.map((chord) => OSTINATO[chord]!).join(' | ')}`;
const SPICCATO_VIOLAS = `${overRun((chord) => {
  const [root, fifth] = FIFTH[chord]!.map((pitch) => octaves(pitch, 1)) as [string, string];
  return `${fifth}:.5 ${fifth} ${root} ${fifth} ${fifth} ${root} ${fifth} ${root}`;
})}\n27 D4:.5 D4 G3 D4 E4 E4 A3 E4`;
const SPICCATO_CELLI = `${overRun((chord) => {
  const [root, fifth] = FIFTH[chord]!;
  return `${root}:.5 ${root} ${root} ${fifth} ${root} ${root} ${fifth} ${root}`;
})}\n27 G2:.5 G2 G2 D3 A2 A2 E3 A2`;
const BASSES = `5 D2:4 | D2 | D2 | C2 | D2 | G1 | C2 | D2:3
  ${overRun((chord) => `${octaves(FIFTH[chord]![0], -1)}:4`)}\n27 G1:2 A1
  29 Bb1:4 | G1 | D1 | A1 | D1 | =:4\n35 Bb0:4 | D1:4`;
const CELLI_DIV = `5 D2+A2:4 | D2+A2 | D2+A2 | C2+G2 | D2+A2 | G2+D3 | C2+G2 | D2+A2:3
  29 Bb2+F3:4 | G2+D3 | D2+F2 | A2+E3 | D2+F2:4 | D2+A2:3 -:1`;
const TROMBONE_CHORDS: Readonly<Record<string, string>> = {
  Dm: 'F3+A3+D4',
  Bb: 'F3+Bb3+D4',
  F: 'F3+A3+C4',
  C: 'E3+G3+C4',
  Gm: 'G3+Bb3+D4',
  A: 'E3+A3+C#4',
};
const TROMBONES = `17 ${RUN.slice(4, 14)
  .map((chord) => `${TROMBONE_CHORDS[chord]!}:4`)
  .join(' | ')} | ${TROMBONE_CHORDS.Gm!}:2 ${TROMBONE_CHORDS.A!} | ${TROMBONE_CHORDS.Dm!}:4`;
const CHOIR = `9 A3+D4:4 | Bb3+D4 | G3+C4 | A3+D4:3
  21 A3+D4+F4:4 | Bb3+D4+F4 | A3+C4+F4 | G3+C4+E4 | A3+D4+F4 | Bb3+D4+F4 | Bb3+D4+G4:2 A3+C#4+E4 | A3+D4+F4:4
  29 Bb3+D4+F4 | Bb3+D4+G4 | A3+D4+F4 | A3+C#4+E4 | A3+D4+F4 | =:3 -:1`;
const TAIKOS = `13 l:1 l:.5 l t:1 l | % | % | % | % | % | % | l:.5 l l l t t t t\n${again(21, 27, 13)}\n28 l:4`;

const plan = (
  name: string,
  lines: readonly string[],
  touch: Touch,
  channel: number,
  program: number,
  dynamics: string,
): Plan => ({
  name,
  lines,
  touch,
  dynamics,
  curves: [1, 11],
  channel,
  program,
});
const spiccato = (name: string, line: string, channel: number, program: number, dynamics: string): Plan => ({
  name,
  lines: [line],
  touch: 'bowed',
  dynamics,
  channel,
  program,
  keySwitches: [{ midi: 26, beforeBar: 13 }],
});

const PLANS: readonly Plan[] = [
  {
    name: 'FX Risers',
    lines: ['1 C3:4 | =:4 | =:4 | =:4\n11 C3:4 | =:3\n20 C3:4'],
    touch: 'keys',
    dynamics: '1:p> 4:f 11:p> 12:f 20:f',
    channel: 0,
  },
  {
    name: 'FX Impacts',
    lines: ['1 C2:4\n13 C2:4\n21 C2:4\n29 D2:4\n36 C2:4'],
    touch: 'struck',
    dynamics: '1:f 29:mf',
    channel: 1,
  },
  plan(
    'Sub Drone',
    [
      '1 D1:4 | =:4 | =:4 | =:4 | =:4 | =:4 | =:4 | =:4 | =:4 | =:4 | =:4 | =:3\n29 D1:4 | =:4 | =:4 | =:4 | =:4 | =:4 | =:4 | =:4',
    ],
    'keys',
    2,
    95,
    '1:p',
  ),
  { name: 'Taikos', lines: [TAIKOS], touch: 'struck', dynamics: '13:mf 21:f', channel: 9 },
  plan('Solo Vc', [SOLO_CELLO], 'bowed', 3, 42, '1:mf 29:mp'),
  spiccato('Vlns Spicc Ost', SPICCATO_HIGH, 4, 48, '13:p 21:mp'),
  spiccato('Vlas Spicc Ost', SPICCATO_VIOLAS, 5, 48, '13:p 21:mp'),
  spiccato('Vcs Spicc Ost', SPICCATO_CELLI, 6, 48, '13:mp 21:mp'),
  plan('Vlns Leg', [octaves(HORN_THEME.split('\n')[1]!, 1) + '\n28 D5:4'], 'bowed', 7, 48, '21:ff'),
  plan('Low Str - Vcs div', [CELLI_DIV], 'bowed', 8, 48, '1:pp 29:pp'),
  plan('Low Str - Basses', [BASSES], 'bowed', 10, 43, '1:pp 13:mp 21:mf 29:pp'),
  plan('Hns a4', [HORN_THEME, '28 D3+F3+A3+D4+F4:4'], 'blown', 11, 60, '13:f 21:ff'),
  plan('Tbns a3', [TROMBONES], 'blown', 12, 57, '17:mp 21:mf'),
  plan('Choir Ahs', [CHOIR], 'sung', 13, 52, '1:pp 21:mf 29:fff'),
];
const FX = ['FX Risers', 'FX Impacts', 'Sub Drone'];
const OSTINATI = ['Vlns Spicc Ost', 'Vlas Spicc Ost', 'Vcs Spicc Ost', 'Taikos'];

export const filmCue: KindFolder = {
  id: 'film-cue',
  trade:
    'A film cue with effects, drone, ostinati, low strings divided, horns a 4 and choir, as such a template names them.',
  half: 'tuning',
  files: (seed) => new Map([['1m1 The Lock v4.mid', oneFile(PIECE, PLANS, { seed, conductorName: '1m1 The Lock' })]]),
  truth: {
    parts: {
      'FX Risers': [],
      'FX Impacts': [],
      'Sub Drone': [],
      Taikos: ['percussion-unpitched'],
      'Solo Vc': ['cello'],
      'Vlns Spicc Ost': ['violin'],
      'Vlas Spicc Ost': ['viola'],
      'Vcs Spicc Ost': ['cello'],
      'Vlns Leg': ['violin'],
      'Low Str - Vcs div': ['cello'],
      'Low Str - Basses': ['double-bass'],
      'Hns a4': ['horn-f'],
      'Tbns a3': ['trombone-tenor'],
      'Choir Ahs': ['choir'],
    },
    players: {
      'Solo Vc': 1,
      'Vlns Spicc Ost': 'section',
      'Vlas Spicc Ost': 'section',
      'Vcs Spicc Ost': 'section',
      'Vlns Leg': 'section',
      'Low Str - Vcs div': 'section',
      'Low Str - Basses': 'section',
      'Hns a4': 4,
      'Tbns a3': 3,
      'Choir Ahs': 'section',
    },
    notes: notesOfPlans(PIECE, PLANS),
    meters: PIECE.meters,
    keys: [{ fromBar: 1, tonic: 'D', mode: 'minor' }],
    onGrid: true,
    swing: 1,
    style: 'score',
    front: leads(['Solo Vc', 5, 12], ['Hns a4', 13, 20], [['Hns a4', 'Vlns Leg'], 21, 28], ['Solo Vc', 29, 34]),
    flaws: [
      {
        id: 'five-notes-for-four-horns',
        bars: [28, 28],
        parts: ['Hns a4'],
        rules: ['too-many-notes', 'divisi'],
        say: 'A chord of five notes for four horns.',
        weigh: true,
      },
      {
        id: 'basses-below-their-strings',
        bars: [35, 35],
        parts: ['Low Str - Basses'],
        rules: ['outside-range'],
        say: 'B flat 0 lies under every string of a double bass, extension or none.',
        weigh: true,
      },
      {
        id: 'trombones-without-breath',
        bars: [17, 28],
        parts: ['Tbns a3'],
        rules: ['breath', 'brass-endurance', 'never-rests'],
        say: 'Twelve bars of long chords without a rest for three trombones: mark where they breathe.',
        weigh: false,
      },
      {
        id: 'choir-over-the-cello',
        bars: [29, 34],
        parts: ['Choir Ahs'],
        rules: ['background-as-loud', 'background-covers', 'support-over-lead'],
        say: 'A full choir fortissimo over one cello that plays mezzo piano.',
        weigh: true,
      },
      {
        id: 'thirds-of-the-cellos',
        bars: [31, 33],
        parts: ['Low Str - Vcs div', 'Low Str - Basses'],
        rules: ['crowded-low'],
        say: 'Minor thirds on D2 in the divided cellos: mud.',
        weigh: true,
      },
    ],
    clean: [
      { rules: 'any', parts: FX.slice(0, 2), say: 'Effects have no pitch and no place in range, harmony or balance.' },
      {
        rules: [
          'outside-range',
          'never-rests',
          'static-part',
          'breath',
          'crowded-low',
          'unresolved-tone',
          'clashing-second',
          'parallel-perfects',
        ],
        parts: ['Sub Drone'],
        say: 'A drone holds.',
      },
      {
        rules: [
          'static-part',
          'restless-part',
          'never-rests',
          'repeated-notes',
          'unchanged-texture',
          'background-above-melody',
          'string-skip',
        ],
        parts: OSTINATI,
        say: 'An ostinato repeats, and may lie above the tune.',
      },
      { rules: ['parallel-perfects'], say: 'Open fifths in parallel are the sound that is meant.' },
      {
        rules: ['incomplete-chord', 'root-not-in-bass', 'hole-between-parts', 'far-from-foreground'],
        bars: [1, 12],
        say: 'Bare fifths over a drone.',
      },
      { rules: ['late-part'], say: 'Nobody is late.' },
      {
        rules: ['background-as-loud', 'background-covers', 'background-above-melody', 'support-over-lead'],
        parts: ['Vlns Leg'],
        bars: [21, 28],
        say: 'The violins double the horns an octave higher.',
      },
      {
        rules: ['double-stop', 'too-many-notes'],
        parts: ['Low Str - Vcs div', 'Choir Ahs', 'Tbns a3'],
        say: 'A section divides; three trombones play three notes; a choir sings chords.',
      },
      { rules: ['breath'], parts: ['Choir Ahs'], say: 'A choir breathes in turns.' },
      {
        rules: ['outside-range', 'edge-of-range'],
        parts: ['Vlns Spicc Ost', 'Vlas Spicc Ost', 'Vcs Spicc Ost'],
        say: 'The low notes are key switches.',
      },
      { rules: ['all-at-once'], bars: [13, 21], say: 'The hits of the film.' },
    ],
  },
};
