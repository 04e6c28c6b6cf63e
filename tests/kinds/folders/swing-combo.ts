/** A swing quintet: tenor saxophone, trumpet, piano, string bass, drums; head, piano chorus, tag. Velocity says all of the dynamics. */
import type { KindFolder } from '../kind.ts';
import type { Piece } from '../write/export.ts';
import { notesOfPlans, oneFile, piecesBars } from '../write/export.ts';
import type { Plan } from '../write/perform.ts';
import { again, chordsFrom, leads } from '../write/plans.ts';

const PIECE: Piece = {
  lastBar: 42,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [{ fromBar: 1, tempo: 152 }],
  markers: [
    { bar: 1, text: 'A1' },
    { bar: 9, text: 'A2' },
    { bar: 17, text: 'Bridge' },
    { bar: 25, text: 'A3' },
    { bar: 33, text: 'Piano' },
    { bar: 41, text: 'Tag' },
  ],
  swing: 1.8,
  ticksPerQuarter: 480,
};

const CHORDS = `1 F6 | D7 | Gm7 | C7 | Am7:2 D7 | Gm7:2 C7 | F6:2 D7 | Gm7:2 C7
  9 F6 | D7 | Gm7 | C7 | Am7:2 D7 | Gm7:2 C7 | F6 | F6
  17 Cm7 | F7 | Bbmaj7 | Bbmaj7 | Dm7 | G7 | Gm7 | C7
  25 F6 | D7 | Gm7 | C7 | Am7:2 D7 | Gm7:2 C7 | F6:2 D7 | Gm7:2 C7
  33 F6 | D7 | Gm7 | C7 | Am7:2 D7 | Gm7:2 C7 | F6:2 D7 | Gm7:2 C7 | F6 | F6`;

/** Voicings of the left hand without the root. */
const VOICINGS: Readonly<Record<string, string>> = {
  F6: 'A3+C4+D4+G4',
  D7: 'F#3+B3+C4+E4',
  Gm7: 'F3+A3+Bb3+D4',
  C7: 'E3+A3+Bb3+D4',
  Am7: 'G3+B3+C4+E4',
  Cm7: 'Bb3+D4+Eb4+G4',
  F7: 'A3+D4+Eb4+G4',
  Bbmaj7: 'A3+C4+D4+F4',
  Dm7: 'C4+E4+F4+A4',
  G7: 'B3+E4+F4+A4',
};
/** Three rhythms of comping in turn; where a bar has two chords each gets its place. */
function comping(from: number, to: number): string {
  const chords = chordsFrom(piecesBars(PIECE), CHORDS);
  const bars = Array.from({ length: to - from + 1 }, (_, index) => {
    const [first, second] = chords.filter((chord) => chord.bar === from + index).map(({ symbol }) => VOICINGS[symbol]!);
    if (first === undefined) throw new Error(`bar ${from + index} has no chord`);
    if (second !== undefined) return `${first}:1.5' ${second}:.5 =:1 -:1`;
    return [
      `${first}:1.5' ${first}:.5' -:2`,
      `-:1.5 ${first}:.5' -:1 ${first}:1`,
      `-:.5 ${first}:1 -:1 ${first}:.5' -:1`,
    ][index % 3];
  });
  return `${from} ${bars.join(' | ')}`;
}

const HEAD = `1 -:.5 C4 D4 F4 A4:1 G4:.5 F4 | F#4:1.5 A4:.5 C5:1 - | Bb4 A4:.5 G4 D4:1 - | E4:1.5 G4:.5 Bb4:1 -
  5 G4:.5 A4 C5:1 A4 F#4 | F4:.5 G4 Bb4:1 G4 E4 | F4:.5 A4 C5:1 Eb5:.5 D5 C5 A4 | Bb4:1 G4:.5 E4 -:2`;
const HEAD_END = `15 F4:.5 A4 C5:1 D5 C5 | F4:2 -:2`;

const TENOR = `${HEAD}\n${again(9, 14, 1)}\n${HEAD_END}
  17 Bb3:4 | A3:4 | A3:4 | A3:2 - | C4:4 | B3:4 | Bb3:4 | G2:4
  ${again(25, 32, 1)}
  41 -:1.5 C4:.5 D4 F4 A4:1 | G4:4`;
// Bars 13 and 14 were pasted from the part for the player: they stand as written for a trumpet in B flat, a tone too high.
const TRUMPET = `9 -:.5 C4 D4 F4 A4:1 G4:.5 F4 | F#4:1.5 A4:.5 C5:1 - | Bb4 A4:.5 G4 D4:1 - | E4:1.5 G4:.5 Bb4:1 -
  13 A4:.5 B4 D5:1 B4 G#4 | G4:.5 A4 C5:1 A4 F#4
  ${HEAD_END}
  17 -:1 G4:.5 Bb4 D5:1 Eb5 | Eb5:.5 D5 C5 A4 F4:2 | -:1 F4:.5 A4 C5:1 D5 | D5:3 -:1 | - A4:.5 C5 E5:1 F5 | F5:.5 E5 D5 B4 G4:2
  23 -:.5 D5 Bb4 G4 F4:1 D5 | E5:1.5 D5:.5 C5:1 -
  25 G5:4 | F#5:4 | F5:4 | E5:4
  41 -:1.5 C5:.5 D5 F5 A5:1 | D5:4`;

const PIANO_LEFT = `${comping(1, 40)}\n41 -:4 | A3+C4+D4+G4:4`;
const PIANO_RIGHT = `33 -:.5 F5 A5 C6 D6 C6 A5 F5 | F#5 A5 C6 Eb6 D6 C6 A5 F#5 | G5:1 Bb5:.5 D6 F6:1 D6 | E6:.5 D6 Bb5 G5 E5:1 -
  37 C6:.5 A5 G5 E5 F#5 A5 C6 Eb6 | D6 Bb5 G5 F5 E5 G5 Bb5 Db6 | C6:1 A5:.5 F5 F#5 A5 C6:1 | D6:.5 Bb5 G5 E5 C6:2`;

const BASS = `1 F2:1 G2 A2 C3 | D3 C3 A2 F#2 | G2 A2 Bb2 D3 | C3 Bb2 G2 E2 | A2 E2 D2 F#2 | G2 Bb2 C3 E2 | F2 A2 D3 F#2 | G2 D2 C2 E2
  9 F2 A2 C3 D3 | D2 E2 F#2 A2 | G2 F2 D2 Bb1 | C2 E2 G2 Bb2 | A2 G2 F#2 D2 | G2 F2 E2 C2 | F2 A2 C3 A2 | F2 Eb2 D2 Db2
  17 C2 Eb2 G2 Bb2 | A2 G2 F2 Eb2 | D2 F2 Bb2 A2 | Bb2 A2 F2 C#2 | D2 F2 A2 C3 | B2 A2 G2 F2 | G2 A2 Bb2 D3 | C3 Bb2 G2 E2
  ${again(25, 32, 1)}
  ${again(33, 38, 9)}\n39 %7 | %8
  41 F2 C2 F2 A2 | F1:4`;

const RIDE = `1 r:1 r:.5 r r:1 r:.5 r | % | % | % | % | % | % | %\n${again(9, 40, 1)}\n41 r:1.5 -:.5 r:.5 r r:1 | c:4`;
const HAT = `1 -:1 x - x | % | % | % | % | % | % | %\n${again(9, 40, 1)}`;
const SNARE = `1 -:4 | -:2.5 s:.5 -:1 | -:4 | -:1.5 s:.5 -:1.5 s:.5 | -:4 | -:2.5 s:.5 -:1 | -:4 | -:2 s:.5 s s:1\n${again(9, 40, 1)}\n41 -:1.5 s:.5^ s^ s^ k:1^ | k:4`;

const horn = (name: string, line: string, channel: number, program: number, dynamics: string): Plan => ({
  name,
  lines: [line],
  touch: 'blown',
  dynamics,
  channel,
  program,
});

const PLANS: readonly Plan[] = [
  { ...horn('Tenor Sax', TENOR, 0, 66, '1:f 17:p 25:mp 29:f 41:f'), latenessMs: 8 },
  horn('Trumpet', TRUMPET, 1, 56, '1:f 17:f 25:fff 29:mf 41:f'),
  {
    name: 'Piano',
    lines: [PIANO_RIGHT, PIANO_LEFT],
    touch: 'keys',
    dynamics: '1:mp 33:f 41:mf',
    channel: 2,
    program: 0,
  },
  { name: 'Upright Bass', lines: [BASS], touch: 'plucked', dynamics: '1:mf', channel: 3, program: 32, latenessMs: 62 },
  { name: 'Drums', lines: [RIDE, HAT, SNARE], touch: 'struck', dynamics: '1:mp 33:mp 41:f', channel: 9 },
];

const RHYTHM = ['Piano', 'Upright Bass', 'Drums'];

export const swingCombo: KindFolder = {
  id: 'swing-combo',
  trade: 'A swing tune for two horns and a rhythm section, one file, no controllers.',
  half: 'tuning',
  files: (seed) =>
    new Map<string, Uint8Array | string>([
      ['Corner Table (head + pno).mid', oneFile(PIECE, PLANS, { seed, conductorName: 'Corner Table' })],
      ['notes.md', '# Bars 33-40\n\nPiano takes half a chorus; horns out.\n'],
    ]),
  truth: {
    parts: {
      'Tenor Sax': ['sax-tenor'],
      Trumpet: ['trumpet-bflat', 'trumpet-c'],
      Piano: ['piano'],
      'Upright Bass': ['double-bass'],
      Drums: ['percussion-unpitched'],
    },
    players: { 'Tenor Sax': 1, Trumpet: 1, Piano: 1, 'Upright Bass': 1, Drums: 1 },
    notes: notesOfPlans(PIECE, PLANS),
    chords: chordsFrom(piecesBars(PIECE), CHORDS),
    meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
    keys: [{ fromBar: 1, tonic: 'F', mode: 'major' }],
    onGrid: true,
    swing: 1.8,
    style: 'jazz',
    front: leads(
      ['Tenor Sax', 1, 8],
      [['Tenor Sax', 'Trumpet'], 9, 16],
      ['Trumpet', 17, 24],
      ['Tenor Sax', 25, 32],
      ['Piano', 33, 40],
      [['Tenor Sax', 'Trumpet'], 41, 42],
    ),
    flaws: [
      {
        id: 'tenor-too-low',
        bars: [24, 24],
        parts: ['Tenor Sax'],
        rules: ['outside-range'],
        say: 'G2 is a semitone under the lowest note of the tenor.',
        weigh: true,
      },
      {
        id: 'trumpet-over-the-tenor',
        bars: [25, 28],
        parts: ['Trumpet'],
        rules: ['background-as-loud', 'background-covers', 'background-above-melody', 'support-over-lead'],
        say: 'The trumpet sustains high and at full strength over the tune of the tenor.',
        weigh: true,
      },
      {
        id: 'trumpet-not-transposed',
        bars: [13, 14],
        parts: ['Trumpet'],
        rules: ['displaced-part', 'clashing-second', 'crossing', 'background-above-melody'],
        say: 'Two bars of the trumpet stand a tone too high beside the tenor: pasted as written, not as sounding.',
        weigh: true,
      },
      {
        id: 'bass-drags',
        bars: [1, 42],
        parts: ['Upright Bass'],
        rules: ['late-part'],
        say: 'The bass lies some 60 ms behind the ride cymbal throughout.',
        weigh: true,
      },
    ],
    clean: [
      {
        rules: ['incomplete-chord', 'root-not-in-bass', 'hollow-without-foreground'],
        say: 'Rootless voicings over a walking bass are whole.',
      },
      {
        rules: ['parallel-perfects', 'unresolved-tone', 'hole-between-parts', 'far-from-foreground'],
        say: 'Neither voice leading nor spacing of a hymn is asked of a combo.',
      },
      {
        rules: ['never-rests', 'breath', 'static-part', 'restless-part', 'unchanged-texture', 'wide-leap'],
        parts: RHYTHM,
        say: 'A rhythm section plays throughout.',
      },
      {
        rules: ['clashing-second', 'crowded-low', 'hand-span', 'too-many-notes'],
        parts: ['Piano'],
        say: 'Close voicings with a second in them, under one hand.',
      },
      { rules: ['late-part'], parts: ['Tenor Sax', 'Trumpet', 'Piano', 'Drums'], say: 'They are with the beat.' },
      {
        rules: ['outside-range', 'edge-of-range'],
        parts: ['Trumpet', 'Upright Bass', 'Piano'],
        say: 'All within reach.',
      },
      {
        rules: ['background-as-loud', 'background-covers', 'support-over-lead'],
        bars: [9, 16],
        parts: ['Trumpet'],
        say: 'The trumpet doubles the tenor: it leads too.',
      },
      { rules: ['background-above-melody'], parts: ['Piano'], say: 'Comping in the middle of the piano.' },
      { rules: ['all-at-once', 'entry-off-phrase'], parts: RHYTHM, say: 'The rhythm section starts together.' },
    ],
  },
};
