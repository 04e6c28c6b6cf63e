/** A hymn setting for brass band in the English order: cornet hymn, solo of the euphonium, solo of the flugel, tutti. No controllers but volume. */
import type { KindFolder } from '../kind.ts';
import type { Piece } from '../write/export.ts';
import { notesOfPlans, oneFile, piecesBars } from '../write/export.ts';
import type { Plan } from '../write/perform.ts';
import { chordsFrom, leads, octaves } from '../write/plans.ts';

const PIECE: Piece = {
  lastBar: 34,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [
    { fromBar: 1, tempo: 80 },
    { fromBar: 9, tempo: 88 },
    { fromBar: 25, tempo: 80 },
    { fromBar: 33, tempo: 66 },
  ],
  keys: [{ fromBar: 1, fifths: -4, minor: false }],
  ticksPerQuarter: 480,
};

const HYMN = {
  soprano: `1 C5:2 Bb4:1 Ab4 | Db5:2 C5 | Bb4:1 C5 Db5 Bb4 | C5:4 | C5:2 Eb5:1 Db5 | C5:2 Bb4:1 Ab4 | Db5 C5 Bb4:2 | Ab4:4`,
  alto: `1 Ab4:2 G4:1 F4 | Ab4:2 Ab4 | G4:1 Ab4 Bb4 G4 | Ab4:4 | Ab4:2 Ab4:1 Ab4 | Ab4:2 G4:1 F4 | Ab4 Ab4 G4:2 | Eb4:4`,
  tenor: `1 Eb4:2 Eb4:1 C4 | F4:2 Eb4 | Eb4:1 Eb4 F4 Db4 | C4:4 | Eb4:2 Eb4:1 F4 | Eb4:2 Eb4:1 C4 | F4 Eb4 Db4:2 | C4:4`,
  bass: `1 Ab2:2 Eb3:1 F3 | Db3:2 Ab2 | Eb3:1 C3 Bb2 Eb3 | Ab2:4 | Ab2:2 C3:1 Db3 | Ab2:2 Eb3:1 F3 | Db3 Eb3 Eb3:2 | Ab2:4`,
};
const AMEN = { soprano: '33 Db5:4 | C5', alto: '33 Ab4:4 | Ab4', tenor: '33 F4:4 | Eb4', bass: '33 Db3:4 | Ab2' };
type Voice = keyof typeof HYMN;
const opening = (voice: Voice, by = 0): string => octaves(HYMN[voice], by);
const tutti = (voice: Voice, by = 0): string => {
  const last = octaves(HYMN[voice], by).replace(/^1 /, '25 ');
  return `${last}\n${octaves(AMEN[voice], by)}`;
};
const both = (voice: Voice, by = 0): string => `${opening(voice, by)}\n${tutti(voice, by)}`;

/** Four short chords off the beat in each bar, one or two pitches a bar. */
function offbeats(from: number, pitches: string): string {
  const bars = pitches.split(' ').map((word) => {
    const [first = '', second = first] = word.split('/');
    return `-:.5 ${first}' - ${first}' - ${second}' - ${second}'`;
  });
  return `${from} ${bars.join(' | ')}`;
}

const SOLO_OF_EUPHONIUM = `9 C4:1 F3:.5 G3 Ab3:1 C4 | Db4:2 Bb3:1 F3 | G3 C4 Bb3:.5 Ab3 G3:1 | Ab3:2 F3:1 -
  13 F4:1.5 Eb4:.5 Db4:1 Ab3 | C4 Eb4:2 C4:1 | Bb3 Db4 G3 Bb3 | Ab3:3 -:1`;
const SOLO_OF_FLUGEL = `17 Ab4:1 Db5 F5:1.5 Eb5:.5 | Db5:2 Bb4 | C5:1 Eb5 Gb5:1.5 F5:.5 | F5:3 -:1
  21 F5:1.5 Eb5:.5 Db5:1 Bb4 | Bb4 Eb5 Gb4:2 | Ab4:1 C5 Eb5:2 | Db5:2 Bb4:1 -`;
const BASS_STEPS = `9 F2:1' - C3' - | Bb2' - F2' - | C3' - G2' - | F2' - C3' - | Db3' - Ab2' - | C3' - Ab2' - | Bb2' - Eb3' - | Ab2:3 -:1`;
/** Pasted a beat late. */
const LATE_BARITONE = `29 -:1 Eb3:2 Eb3:1 | F3 Eb3:2 Eb3:1 | C3 F3 Eb3 Db3 | =:1 C3:3`;

const brass = (name: string, lines: readonly string[], channel: number, program: number, dynamics: string): Plan => ({
  name,
  lines: [lines.join('\n')],
  touch: 'blown',
  dynamics,
  channel,
  program,
  volume: 96,
});
const INNER_MARKS = '1:p 9:p 25:mf';

const PLANS: readonly Plan[] = [
  brass('Soprano Cornet', [tutti('alto', 1), '32 Ab5:4'], 0, 56, '1:p 25:mf'),
  brass('Solo Cornet', [both('soprano')], 1, 56, '1:mp> 5:mf> 8:mp 25:ff'),
  brass('Repiano', [tutti('soprano')], 2, 56, '1:p 25:f'),
  brass('2nd Cornet', [both('alto'), '9 C4:4 | Db4 | C4 | C3:3 -:1'], 3, 56, INNER_MARKS),
  brass('3rd Cornet', [both('tenor')], 4, 56, INNER_MARKS),
  brass('Flugel', [both('alto'), SOLO_OF_FLUGEL], 5, 56, '1:p 17:mf 25:mf'),
  brass('Solo Horn', [both('tenor'), offbeats(9, 'F4 F4 E4 F4 F4 Eb4 F4/Eb4 Eb4')], 6, 60, '1:p 9:p 13:fff 17:p 25:mf'),
  brass('1st Horn', [both('alto', -1), offbeats(9, 'C4 Db4 C4 C4 Db4 C4 Db4 C4')], 7, 60, '1:p 9:p 13:fff 17:p 25:mf'),
  brass(
    '2nd Horn',
    [both('tenor', -1), offbeats(9, 'Ab3 Bb3 Bb3 Ab3 Ab3 Ab3 Bb3/G3 Ab3')],
    8,
    60,
    '1:p 9:p 13:fff 17:p 25:mf',
  ),
  brass('1st Baritone', [both('alto', -1)], 10, 58, INNER_MARKS),
  brass('2nd Baritone', [both('tenor', -1), LATE_BARITONE], 11, 58, INNER_MARKS),
  brass('Euphonium', [both('bass'), SOLO_OF_EUPHONIUM], 12, 58, '1:p 9:mf 13:mp 17:p 25:mf'),
  brass(
    '1st Trombone',
    [tutti('alto', -1), '17 Ab3:4 | Bb3 | Ab3 | Ab3 | Db4 | Eb4 | C4 | Bb3:3 -:1'],
    13,
    57,
    '1:p 25:mf',
  ),
  brass(
    '2nd Trombone',
    [tutti('tenor', -1), '17 F3:4 | Gb3 | Gb3 | F3 | F3 | Bb3 | Ab3 | G3:3 -:1'],
    14,
    57,
    '1:p 25:mf',
  ),
  brass(
    'Bass Trombone',
    [tutti('bass'), '17 Db3:4 | Gb2 | Ab2 | Db3 | Bb2 | Eb3 | C3 | Eb3:3 -:1', '34 C2:4'],
    15,
    57,
    '1:p 25:mf',
  ),
  brass('Eb Bass', [both('bass'), BASS_STEPS, '34 Ab1:4'], 0, 58, '1:p 9:p 25:mf'),
  brass('Bb Bass', [both('bass', -1), octaves(BASS_STEPS, -1)], 1, 58, '1:p 9:p 25:mf'),
  {
    name: 'Timps',
    lines: ['25 Ab2:1 -:3 | -:4 | Eb3:1 -:3 | -:4 | Ab2:1 -:3 | -:4 | -:2 Eb3:1 Eb3 | Ab2:1 -:3 | -:4 | Ab2:4'],
    touch: 'struck',
    dynamics: '1:mf',
    channel: 2,
    program: 47,
  },
];

const HORNS = ['Solo Horn', '1st Horn', '2nd Horn'];
const LEADING = ['Solo Cornet', 'Repiano', 'Soprano Cornet'];

export const brassBand: KindFolder = {
  id: 'brass-band',
  trade: 'A hymn setting for brass band, eighteen tracks in the English order in one file, velocity alone shaping it.',
  half: 'tuning',
  files: (seed) =>
    new Map([['Quiet Water - band set 3.mid', oneFile(PIECE, PLANS, { seed, conductorName: 'Conductor' })]]),
  truth: {
    parts: {
      'Soprano Cornet': ['cornet-bflat', 'cornet-eflat', 'cornet-soprano'],
      'Solo Cornet': ['cornet-bflat'],
      Repiano: ['cornet-bflat'],
      '2nd Cornet': ['cornet-bflat'],
      '3rd Cornet': ['cornet-bflat'],
      Flugel: ['flugelhorn'],
      'Solo Horn': ['alto-horn-eflat'],
      '1st Horn': ['alto-horn-eflat'],
      '2nd Horn': ['alto-horn-eflat'],
      '1st Baritone': ['baritone-horn'],
      '2nd Baritone': ['baritone-horn'],
      Euphonium: ['euphonium'],
      '1st Trombone': ['trombone-tenor'],
      '2nd Trombone': ['trombone-tenor'],
      'Bass Trombone': ['trombone-bass'],
      'Eb Bass': ['tuba'],
      'Bb Bass': ['tuba'],
      Timps: ['timpani'],
    },
    players: {
      'Soprano Cornet': 1,
      Repiano: 1,
      Flugel: 1,
      'Solo Horn': 1,
      '1st Horn': 1,
      '2nd Horn': 1,
      '1st Baritone': 1,
      '2nd Baritone': 1,
      '1st Trombone': 1,
      '2nd Trombone': 1,
      'Bass Trombone': 1,
      Timps: 1,
    },
    notes: notesOfPlans(PIECE, PLANS),
    chords: chordsFrom(
      piecesBars(PIECE),
      `1 Ab:2 Eb:1 Fm | Db:2 Ab | Eb:1 Ab/C:1 Bbm:1 Eb7 | Ab | Ab:2 Ab/C:1 Db | Ab:2 Eb:1 Fm | Db:1 Ab/Eb:1 Eb7 | Ab
       9 Fm | Bbm | C7 | Fm | Db | Ab/C | Bbm:2 Eb7 | Ab
       17 Db | Gb | Ab7 | Db | Bbm | Ebm | Ab/C | Eb7
       25 Ab:2 Eb:1 Fm | Db:2 Ab | Eb:1 Ab/C:1 Bbm:1 Eb7 | Ab | Ab:2 Ab/C:1 Db | Ab:2 Eb:1 Fm | Db:1 Ab/Eb:1 Eb7 | Ab | Db | Ab`,
    ),
    meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
    keys: [
      { fromBar: 1, tonic: 'Ab', mode: 'major' },
      { fromBar: 9, tonic: 'F', mode: 'minor' },
      { fromBar: 17, tonic: 'Db', mode: 'major' },
      { fromBar: 25, tonic: 'Ab', mode: 'major' },
    ],
    onGrid: true,
    swing: 1,
    style: 'classical',
    front: leads(['Solo Cornet', 1, 8], ['Euphonium', 9, 16], ['Flugel', 17, 24], [LEADING.slice(0, 2), 25, 34]),
    flaws: [
      {
        id: 'second-cornet-too-low',
        bars: [12, 12],
        parts: ['2nd Cornet'],
        rules: ['outside-range'],
        say: 'C3 lies under the lowest note of a cornet in B flat.',
        weigh: true,
      },
      {
        id: 'horns-over-the-euphonium',
        bars: [13, 16],
        parts: HORNS,
        rules: ['background-as-loud', 'background-covers', 'support-over-lead'],
        say: 'Three horns hammer their offbeats while the euphonium sings mezzo piano.',
        weigh: true,
      },
      {
        id: 'fifths-of-the-trombones',
        bars: [21, 22],
        parts: ['2nd Trombone', 'Bass Trombone'],
        rules: ['parallel-perfects'],
        say: 'Second and bass trombone go up a fourth in open fifths.',
        weigh: true,
      },
      {
        id: 'baritone-a-beat-late',
        bars: [29, 32],
        parts: ['2nd Baritone'],
        rules: ['displaced-part', 'out-of-step', 'late-part', 'clashing-second'],
        say: 'The second baritone was pasted a beat late and grinds against the hymn.',
        weigh: true,
      },
      {
        id: 'third-in-the-cellar',
        bars: [34, 34],
        parts: ['Bass Trombone', 'Eb Bass', 'Bb Bass'],
        rules: ['crowded-low'],
        say: 'A major third at the very bottom of the last chord: C2 over A flat 1.',
        weigh: true,
      },
    ],
    clean: [
      {
        rules: ['background-as-loud', 'background-covers', 'background-above-melody', 'support-over-lead', 'crossing'],
        parts: LEADING,
        bars: [25, 34],
        say: 'Repiano doubles the tune, the soprano has its descant above it.',
      },
      {
        rules: ['late-part'],
        parts: ['Solo Cornet', 'Euphonium', ...HORNS, 'Flugel', 'Eb Bass', 'Bb Bass'],
        say: 'Nobody is late but the second baritone.',
      },
      { rules: ['static-part', 'repeated-notes'], parts: HORNS, say: 'Offbeats are what band horns do.' },
      {
        rules: ['incomplete-chord', 'hollow-without-foreground'],
        bars: [9, 21],
        say: 'The solo completes the chords.',
      },
      { rules: ['too-many-notes', 'hand-span'], say: 'Single lines.' },
      {
        rules: ['parallel-perfects'],
        bars: [1, 16],
        say: 'The four voices of the hymn are led cleanly; what doubles a voice at the octave is no parallel.',
      },
      { rules: ['inaudible-entry'], say: 'Every entry can be heard.' },
      { rules: ['bass-doubled-too-close', 'crowded-low'], bars: [1, 32], say: 'Basses in octaves, as in any band.' },
      {
        rules: ['outside-range'],
        parts: ['Soprano Cornet', 'Solo Cornet', 'Eb Bass', 'Bb Bass', 'Euphonium', 'Flugel', ...HORNS],
        say: 'All within the compass of the instruments.',
      },
      { rules: ['all-at-once'], bars: [25, 25], say: 'The tutti is the goal of the piece.' },
    ],
  },
};
