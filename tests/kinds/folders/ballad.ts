/** A song: voice, piano, electric bass, drums, pad; a sketch, then a full stage with leftovers in it. */
import type { KindFolder } from '../kind.ts';
import type { Piece } from '../write/export.ts';
import { notesOfPlans, oneFile, piecesBars } from '../write/export.ts';
import type { Plan } from '../write/perform.ts';
import { again, chordsFrom, leads } from '../write/plans.ts';

const PIECE: Piece = {
  lastBar: 36,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [{ fromBar: 1, tempo: 72 }],
  keys: [{ fromBar: 1, fifths: 2, minor: false }],
  ticksPerQuarter: 960,
};

const VERSE = 'D | A/C# | Bm | G | D/F# | G | Em7 | A7';
const CHORUS = 'G | A | F#m | Bm | G | A | D | D';
const CHORDS = `1 D | A/C# | Bm | G:2 A7\n5 ${VERSE}\n13 ${CHORUS}\n21 D | A/C# | Bm | G:2 A7\n25 ${VERSE}\n33 D | A/C# | G | D`;

/** Low to high: the bass of the left hand, then what the hands break. */
const HANDS: Readonly<Record<string, readonly [string, string, string, string]>> = {
  D: ['D3', 'A3', 'D4', 'F#4'],
  'A/C#': ['C#3', 'A3', 'C#4', 'E4'],
  Bm: ['B2', 'F#3', 'B3', 'D4'],
  G: ['G2', 'D3', 'G3', 'B3'],
  'D/F#': ['F#2', 'D3', 'F#3', 'A3'],
  Em7: ['E2', 'B2', 'G3', 'D4'],
  A7: ['A2', 'E3', 'G3', 'C#4'],
  A: ['A2', 'E3', 'A3', 'C#4'],
  'F#m': ['F#2', 'C#3', 'F#3', 'A3'],
};
const CHORD_SPANS = chordsFrom(piecesBars(PIECE), CHORDS);
/** Quavers up and down the chord of each bar. */
function broken(from: number, to: number): string {
  const bars = Array.from({ length: to - from + 1 }, (_, index) => {
    const chords = CHORD_SPANS.filter((chord) => chord.bar === from + index);
    return chords
      .map(({ symbol, length }) => {
        const [low, a, b, c] = HANDS[symbol]!;
        return `${low}:.5 ${(length > 2 ? [a, b, c, b, c, b, a] : [a, b, a]).join(' ')}`;
      })
      .join(' ');
  });
  return `${from} ${bars.join(' | ')}`;
}
/** Full chords in crotchets, right hand over octaves in the left. */
const CHORUS_RIGHT = `13 G4+B4+D5:1 G4+B4+D5 G4+B4+D5 G4+B4+D5 | A4+C#5+E5 A4+C#5+E5 A4+C#5+E5 A4+C#5+E5 | A4+C#5+F#5 A4+C#5+F#5 A4+C#5+F#5 A4+C#5+F#5 | B4+D5+F#5 B4+D5+F#5 B4+D5+F#5 B4+D5+F#5
  17 B3+D4+G4:2 B3+D4+G4 | C#4+E4+A4 C#4+E4+A4 | D4+F#4+A4:4 | D4+F#4+A4:4`;
const CHORUS_LEFT = `13 G2+G3:2 D3 | A2+A3 E3 | F#2+F#3 C#3 | B2+B3 F#3 | G2:2 D3 | A2 E3 | D3:4 | D3:4`;
const RIGHT = `1 A5:1 F#5:.5 G5 A5:1 D6 | C#6:2 A5 | B5:1 A5:.5 B5 D6:1 F#5 | G5:2 E5
  21 A5:1 F#5:.5 G5 A5:1 D6 | C#6:2 A5 | B5:1 A5:.5 B5 D6:1 F#5 | G5:2 E5
  33 A5:1 F#5:.5 G5 A5:1 D6 | C#6:2 A5 | B5:1 A5:.5 G5 D5:2 | F#5:4`;
const PIANO = [RIGHT, CHORUS_RIGHT, `${broken(1, 12)}\n${CHORUS_LEFT}\n${broken(21, 35)}\n36 D3+A3+D4:4`];

const VERSE_TUNE = `5 -:1 F#4:.5 F#4 G4 A4 F#4:1 | E4:2 -:1 E4:.5 F#4 | D4:1 F#4 B4 A4 | G4:3 -:1
  9 -:1 A4:.5 A4 B4 C#5 D5:1 | B4:2 -:1 A4:.5 B4 | G4:1.5 F#4:.5 E4:1 G4 | E4:3 -:1`;
const VOICE = `${VERSE_TUNE}
  13 D5:1.5 B4:.5 B4:1 A4 | C#5:1.5 A4:.5 E4:1 A4 | A4 C#5 A4 F#4 | F#4:1.5 B4 -:1 | D5:1 D5:.5 E5 D5:1 B4 | C#5 C#5:.5 D5 C#5:1 A4 | A4:.5 G4 F#4:3 | -:4
  25 F#4:1 F#4:.5 F#4 G4 A4 F#4:1 | E4:2 E4:1 E4:.5 F#4 | D4:1 F#4 B4 A4 | G4:3 G4:1
  29 A4 A4:.5 A4 B4 C#5 D5:1 | B4:3 A4:.5 B4 | G4:1.5 F#4:.5 E4:1 G4 | E4:3 -:1`;

export const BALLAD_WORDS = `When the lamp is low and the boats come in from sea home
  I will wait for you till the day be-gins to glow slow
  o-ver the wa-ter, o-ver the hill, the wind is sing-ing tell-ing all the mor-ning that we may go home _ _
  When the eve-ning bell rings and the tide turns slow-ly a-way from me
  I shall hear you call-ing far _ so wide and qui-et sea`;

const BASS = `5 D2:1.5 D2:.5 A2:1 D2 | C#2:1.5 C#2:.5 E2:1 C#2 | B1:1.5 B1:.5 F#2:1 B1 | G2:1.5 G2:.5 D2:1 G2
  9 F#2:1.5 F#2:.5 A2:1 F#2 | G2:1.5 G2:.5 D2:1 G2 | E2:1.5 E2:.5 B1:1 E2 | A1:1.5 A1:.5 E2:1 A1
  13 G1:.5 G1 G1 G1 G1 G1 D2 G1 | A1 A1 A1 A1 A1 A1 E2 A1 | F#1 F#1 F#1 F#1 F#1 F#1 C#2 F#1 | B1 B1 B1 B1 B1 B1 F#2 B1
  17 G1 G1 G1 G1 G1 G1 D2 G1 | A1 A1 A1 A1 A1 A1 E2 A1 | D2:1.5 D2:.5 A2:1 D2 | D1:4
  ${again(25, 32, 5)}
  28 C#2:1.5 C#2:.5 F#2:1 C#2`;

const PAD = `5 A3+D4+F#4:4 | A3+C#4+E4 | B3+D4+F#4 | B3+D4+G4
  9 A3+D4+F#4:4 | B3+D4+G4 | B3+D4+E4+G4 | C#4+E4+G4
  13 B3+D4+G4 | C#4+E4+A4 | C#4+F#4+A4 | D4+F#4+B4 | D4+G4+B4 | C#4+E4+A4 | D4+F#4+A4 | D4+F#4+A4
  25 A3+D4+F#4 | A3+C#4+E4 | B3+D4+F#4 | B3+D4+G4 | A3+D4+F#4 | B3+D4+G4 | B3+D4+E4+G4 | C#4+E4+G4`;
const PAD_OF_CHORUS = PAD.split('\n').find((line) => line.trim().startsWith('13'))!;

const GROOVE = `9 k:1 s k:.5 k s:1 | % | % | %\n${again(13, 19, 9)}\n20 k:1 s s:.5 s s T\n${again(25, 31, 9)}\n32 k:4`;
const HATS = `9 h:.5 h h h h h h h | % | % | % | o:.5 h h h h h h h | h h h h h h h h | % | % | % | % | % | %\n${again(25, 31, 10)}`;

const CLICK = `1 n:1 n n n | % | % | % | % | % | % | % | % | % | % | % | % | % | % | %`;

const PLANS: readonly Plan[] = [
  {
    name: 'Lead Vox',
    lines: [VOICE],
    words: BALLAD_WORDS,
    touch: 'sung',
    dynamics: '1:mf 13:mp 17:f 25:mf',
    channel: 0,
    program: 53,
    scatterMs: 18,
  },
  {
    name: 'Piano',
    lines: PIANO,
    touch: 'keys',
    dynamics: '1:mp 5:p 13:fff 17:mf 19:mp 21:mp 25:p 33:mp',
    channel: 1,
    program: 0,
    pedal: { bars: [1, 36], everyQuarters: 4 },
  },
  { name: 'E-Bass', lines: [BASS], touch: 'plucked', dynamics: '1:mp 13:mf 25:mp', channel: 2, program: 33 },
  {
    name: 'Pad Warm',
    lines: [PAD],
    touch: 'keys',
    dynamics: '1:p 13:mp 25:p',
    channel: 3,
    program: 89,
    volume: 84,
    drawn: [
      { controller: 11, bar: 1, setting: 0 },
      { controller: 11, bar: 9, setting: 90 },
    ],
  },
  { name: 'Drums', lines: [GROOVE, HATS], touch: 'struck', dynamics: '1:p 13:mf 25:mp', channel: 9 },
  { name: 'Chords OLD', lines: [PAD_OF_CHORUS], touch: 'keys', dynamics: '1:mp', channel: 4, program: 89, volume: 84 },
  { name: 'Click', lines: [CLICK], touch: 'struck', dynamics: '1:f', channel: 9, scatterMs: 0 },
  { name: 'Vox Dbl', lines: [''], touch: 'sung', dynamics: '1:mf', channel: 5, program: 53 },
];

const BAND = ['Piano', 'E-Bass', 'Pad Warm', 'Drums'];

export const ballad: KindFolder = {
  id: 'ballad',
  trade:
    'A ballad for voice, piano, bass, drums and pad in two stages, with a click, an empty track and old chords left in the second.',
  half: 'tuning',
  files: (seed) =>
    new Map([
      ['01 voice + piano.mid', oneFile(PIECE, PLANS.slice(0, 2), { seed: seed + 50 })],
      ['02 full band.mid', oneFile(PIECE, PLANS, { seed, offAsZero: true })],
    ]),
  truth: {
    parts: {
      'Lead Vox': ['voice', 'voice-soprano', 'voice-mezzo', 'voice-alto'],
      Piano: ['piano'],
      'E-Bass': ['bass-guitar'],
      'Pad Warm': [],
      Drums: ['percussion-unpitched'],
      'Chords OLD': [],
      Click: [],
    },
    players: { 'Lead Vox': 1, Piano: 1, 'E-Bass': 1, Drums: 1 },
    notes: notesOfPlans(PIECE, PLANS),
    chords: CHORD_SPANS,
    meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
    keys: [{ fromBar: 1, tonic: 'D', mode: 'major' }],
    onGrid: true,
    swing: 1,
    style: 'song',
    front: leads(['Piano', 1, 4], ['Lead Vox', 5, 19], ['Piano', 21, 24], ['Lead Vox', 25, 32], ['Piano', 33, 36]),
    flaws: [
      {
        id: 'piano-over-the-voice',
        bars: [13, 16],
        parts: ['Piano'],
        rules: ['background-as-loud', 'background-covers', 'background-above-melody', 'support-over-lead'],
        say: 'The chorus begins with hammered chords at and over the pitch of a voice that is still mezzo piano.',
        weigh: true,
      },
      {
        id: 'bass-below-its-lowest-string',
        bars: [20, 20],
        parts: ['E-Bass'],
        rules: ['outside-range', 'edge-of-range'],
        say: 'D1 lies below the lowest string of a bass with four.',
        weigh: true,
      },
      {
        id: 'voice-without-breath',
        bars: [25, 32],
        parts: ['Lead Vox'],
        rules: ['breath', 'never-rests', 'stamina'],
        say: 'Eight slow bars without a rest, 26 seconds: where does she breathe?',
        weigh: true,
      },
      {
        id: 'pad-not-heard',
        bars: [5, 8],
        parts: ['Pad Warm'],
        rules: ['inaudible-entry'],
        say: 'The pad plays from bar 5 with expression at zero until bar 9.',
        weigh: true,
      },
      {
        id: 'old-chords',
        bars: [13, 20],
        parts: ['Chords OLD', 'Pad Warm'],
        rules: ['leftover-track', 'leftover-double', 'doubled-track', 'leftover'],
        say: 'A track of old chords doubles the pad note for note.',
        weigh: true,
      },
      {
        id: 'bass-on-the-wrong-root',
        bars: [28, 28],
        parts: ['E-Bass'],
        rules: ['root-not-in-bass', 'clashing-second', 'crowded-low'],
        say: 'C sharp under a chord of G: the bass of another bar.',
        weigh: true,
      },
    ],
    clean: [
      {
        rules: [
          'incomplete-chord',
          'parallel-perfects',
          'hole-between-parts',
          'unresolved-tone',
          'hollow-without-foreground',
        ],
        say: 'Accompaniment of a song, not a hymn: broken chords with pedal, pads in blocks.',
      },
      {
        rules: [
          'never-rests',
          'breath',
          'static-part',
          'restless-part',
          'repeated-notes',
          'unchanged-texture',
          'all-at-once',
        ],
        parts: BAND,
        say: 'A rhythm section repeats its figure.',
      },
      { rules: ['background-above-melody'], parts: ['Pad Warm'], say: 'A soft pad around the voice.' },
      { rules: ['late-part'], say: 'Nobody is late.' },
      {
        rules: ['double-stop', 'too-many-notes', 'hand-span'],
        say: 'Two hands and the pedal reach it; a pad has no fingers.',
      },
      { rules: 'any', parts: ['Click'], say: 'A click is no part of the music.' },
      {
        rules: ['outside-range', 'tessitura', 'edge-of-range', 'high-entry'],
        parts: ['Lead Vox', 'Piano', 'Pad Warm'],
        say: "D4 to E5 suits a woman's voice.",
      },
      { rules: ['foreground-ends-first'], say: 'The piano has the last word: it leads from bar 33.' },
      {
        rules: ['bass-doubled-too-close', 'crowded-low'],
        bars: [1, 24],
        say: 'Bass and left hand share the root at the octave.',
      },
    ],
  },
};
