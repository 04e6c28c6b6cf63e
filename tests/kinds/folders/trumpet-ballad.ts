/** A ballad for muted trumpet, rhythm section and a pad of strings: breath control, expression, and velocities for the rest. */
import { Note } from 'tonal';
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { figured, instead, moved, music, octaves, strokes, tied, within } from '../compose/compose.ts';
import { clean, flaw, folder, inChannels, inOneFile, lead, member, truthOf } from '../compose/folder.ts';
import { basses, chords, rootless } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';
import { click } from '../compose/leftovers.ts';

const piece: Piece = {
  lastBar: 40,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [
    { fromBar: 1, tempo: 62 },
    { fromBar: 39, tempo: 56 },
  ],
  markers: [
    { bar: 1, text: 'Intro' },
    { bar: 5, text: 'A' },
    { bar: 13, text: 'A2' },
    { bar: 21, text: 'Bridge' },
    { bar: 29, text: 'A3' },
    { bar: 37, text: 'Tag' },
  ],
  swing: 1.5,
  ticksPerQuarter: 960,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 Abmaj7 Fm7 | Bbm7 Eb7 | Abmaj7 Fm7 | Bbm7 Eb7
   5 Abmaj7 | Fm7 | Bbm7 | Eb7 | Cm7 F7 | Bbm7 Eb7 | Abmaj7 Fm7 | Bbm7 Eb7
   13 Abmaj7 | Fm7 | Bbm7 | Eb7 | Cm7 F7 | Bbm7 Eb7 | Dbmaj7 | Abmaj7
   21 Ebm7 | Ab7 | Dbmaj7 | Gb7 | Cm7 | F7 | Bbm7 | Eb7
   29 Abmaj7 | Fm7 | Bbm7 | Eb7 | Cm7 F7 | Bbm7 Eb7 | Dbmaj7 | Abmaj7
   37 Bbm7 Eb7 | Cm7 F7 | Bbm7 Eb7 | Ab6`,
);
// From bar 9 to bar 20 the tune does not stop once.
const song = music(
  bars,
  `5 Eb4:1 G4:.5 C5 Eb5:1.5 C5:.5 | Ab4:2 -:1 C5:.5 Eb5 | F5:1.5 Db5:.5 Bb4:1 Ab4 | G4:2 -:1 Bb4:.5 G4
   9 Bb4:.5 Eb5 G5:1 F5:.5 Eb5 C5 A4 | Db5:1.5 Bb4:.5 G4:1 Db5 | C5:2 Ab4:1 Eb4 | F4:1 Ab4 G4:2
   13 Eb4:1 G4:.5 C5 Eb5:1.5 C5:.5 | Ab4:2 G4:.5 Ab4 C5 Eb5 | F5:1.5 Db5:.5 Bb4:1 Ab4 | G4:2 F4:.5 G4 Bb4 Db5
   17 Bb4:.5 Eb5 G5:1 F5:.5 Eb5 C5 A4 | Db5:1.5 C5:.5 Bb4:1 G4 | Ab4:2 F4:1 Ab4 | C5:3 -:1
   25 -:1 G4:.5 Bb4 Eb5:1 D5 | C5:1.5 A4:.5 Eb5:1 -:1 | -:1 F4:.5 Ab4 Db5:1 C5 | Bb4:1.5 G4:.5 Bb4:1 -:1
   29 Eb4:1 G4:.5 C5 Eb5:1.5 C5:.5 | Ab4:2 -:1 C5:.5 Eb5 | F5:1.5 Db5:.5 Bb4:1 Ab4 | G4:2 -:2
   33 Bb4:.5 Eb5 G5:1 F5:.5 Eb5 C5 A4 | Db5:1.5 Bb4:.5 G4:1 -:1 | C5:2 Ab4:1 F4 | Eb4:2 -:2
   37 -:1 F4:.5 Ab4 G4:1 Bb4 | G5:1.5 Eb5:.5 C5:1 -:1 | Db5:1 Bb4 G4 F4 | C5:3 -:1`,
);
const trumpet = instead(song, 36, 36, music(bars, '36 Eb4:1 C3:2 -:1'));
const pianoSolo = music(
  bars,
  `1 Eb5:1.5 C5:.5 Ab5:1.5 G5:.5 | F5:1.5 Db5:.5 G5:1 Bb5 | C6:1.5 G5:.5 Ab5:1 Eb5 | Db5:1 F5 Eb5 Db5
   21 -:.5 Bb5 Gb5 Db6 Bb5:1 Gb5:.5 F5 | Gb5:1.5 Eb5:.5 C6 Bb5 Gb5 Eb5 | F5:1 Ab5:.5 C6 Eb6:1 C6:.5 Ab5 | Bb5:1.5 Ab5:.5 Gb5:1 Db5`,
);
const roots = basses(spans, 35);
// A minor seventh keeps its root in the hand: the ninth would grind under its third in the tune.
const hand = rootless(spans, 58).map((line) =>
  line.map((note) => {
    const { symbol } = spans.find(({ start }) => start === note.start) ?? { symbol: '' };
    const root = Note.chroma(symbol.slice(0, symbol.indexOf('m7')));
    if (!/^[A-G]b?m7$/.test(symbol) || note.midi % 12 !== (root + 2) % 12) return note;
    const pitch = Note.transpose(note.pitch ?? '', '-2M');
    return { ...note, pitch, midi: note.midi - 2 };
  }),
);
/** Triads that complete the chords over their roots. */
const OVER: Readonly<Record<string, string>> = {
  Abmaj7: 'Cm',
  Fm7: 'Ab',
  Bbm7: 'Db',
  Eb7: 'Gdim',
  Cm7: 'Eb',
  F7: 'Adim',
  Dbmaj7: 'Fm',
  Ebm7: 'Gb',
  Ab7: 'Cdim',
  Gb7: 'Bbdim',
  Ab6: 'Ab',
};
const upper = spans.map((span) => ({ ...span, symbol: OVER[span.symbol] ?? span.symbol }));
const COMPING = [
  '0123@0:1.5 0123@2:1',
  "0123@.5:1 0123@2:1.5 0123@3.5:.5'",
  '0123@0:1 0123@2.5:1',
  '0123@0:2 0123@2:2',
];
const comping = (from: number, to: number) =>
  Array.from({ length: to - from + 1 }, (_, index) => from + index).flatMap((bar) =>
    figured(hand, bars, bar, bar, COMPING[bar % 4] ?? ''),
  );
const piano = [...pianoSolo, ...comping(1, 39), ...figured(hand, bars, 40, 40, '0123@0:4')];
const bassRight = [
  ...figured([roots], bars, 3, 39, '0@0:1.5 0@1.5:.5 0@2:1.5 0@3.5:.5'),
  ...figured([roots], bars, 40, 40, '0@0:3'),
];
const bass = instead(bassRight, 7, 7, music(bars, '7 B1:1.5 B1:.5 B1:1.5 B1:.5'));
const [string1 = [], string2 = [], string3 = []] = innerVoices(upper, song, roots, [
  [58, 75],
  [53, 69],
  [48, 63],
]);
const strings = [string1, string2, string3];
const whole = (from: number, to: number) => strings.flatMap((line) => tied(within(line, from, to)));
const pad = [
  ...whole(13, 20),
  // Put down a bar too late.
  ...moved(bars, whole(20, 23), 4),
  ...whole(25, 28),
  // The copy that was meant for the big ending.
  ...octaves(whole(29, 32), 1),
  ...octaves(
    [string1, string2].flatMap((line) => tied(within(line, 29, 32))),
    2,
  ),
  ...whole(33, 40),
];
const drums = [
  ...strokes(bars, 5, 39, '38@0 38@1 38@1.5 38@2 38@3 38@3.5 44@1 44@3 36@0'),
  ...strokes(bars, 40, 40, '38@0 49@0'),
];

const members = inChannels([
  member(
    bars,
    'Tpt (harmon)',
    ['trumpet-bflat', 'trumpet-c'],
    1,
    'blown',
    '5:mf 13:mf> 17:f> 20:mp 25:mf 29:p 33:mf 37:mp> 40:p',
    trumpet,
    { program: 59, curves: [2], latenessMs: 42, scatterMs: 18 },
  ),
  member(
    bars,
    'Pad Strings',
    ['string-ensemble', 'synthesizer', 'synth-pad', 'keyboard'],
    undefined,
    'keys',
    '13:pp 29:fff 33:pp> 38:p> 40:pp',
    pad,
    {
      program: 48,
      curves: [11],
      scatterMs: 4,
    },
  ),
  member(bars, 'Pno', ['piano'], 1, 'keys', '1:mf 5:p 21:mf 25:p 37:p> 40:pp', piano, {
    program: 0,
    pedal: { bars: [1, 40], everyQuarters: 2 },
    scatterMs: 15,
  }),
  member(bars, 'Ac. Bass', ['double-bass'], 1, 'plucked', '3:mp', bass, { program: 32, scatterMs: 10 }),
  member(bars, 'Drs - brushes', ['percussion-unpitched'], 1, 'struck', '5:pp 13:p 37:pp', drums, { channel: 9 }),
  click(bars, 'Click', 1, 4, '76@0 77@1 77@2 77@3'),
]);
const RHYTHM = ['Pno', 'Ac. Bass', 'Drs - brushes'];

export const trumpetBallad = folder(
  'trumpet-ballad',
  'a slow ballad for muted trumpet with rhythm section and a pad of strings, one file with a click for the count',
  inOneFile('Last Boat Home v3.mid', piece, members, { conductorName: 'Last Boat Home' }),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'Ab', mode: 'major' }],
    style: 'jazz',
    front: [lead(1, 4, 'Pno'), lead(5, 20, 'Tpt (harmon)'), lead(21, 24, 'Pno'), lead(25, 40, 'Tpt (harmon)')],
    flaws: [
      flaw(
        'wrong bass',
        7,
        7,
        ['Ac. Bass'],
        ['clashing-second', 'root-not-in-bass'],
        'B natural for a whole bar under B flat minor seven.',
      ),
      flaw(
        'trumpet without breath',
        9,
        20,
        ['Tpt (harmon)'],
        ['breath', 'stamina', 'brass-endurance'],
        'Twelve slow bars, more than forty seconds, without a rest.',
      ),
      flaw(
        'strings a bar late',
        21,
        24,
        ['Pad Strings'],
        ['displaced-part', 'clashing-second', 'incomplete-chord'],
        'The pad has the chords of the bar before through the piano solo.',
      ),
      flaw(
        'strings over the trumpet',
        29,
        32,
        ['Pad Strings'],
        [
          'background-as-loud',
          'background-covers',
          'background-above-melody',
          'covered-from-above',
          'support-over-lead',
        ],
        'The pad jumps up an octave and to full strength while the muted trumpet plays softly.',
      ),
      flaw('trumpet too low', 36, 36, ['Tpt (harmon)'], ['outside-range', 'wide-leap'], 'C3 is below the trumpet.'),
    ],
    clean: [
      clean(
        'The bass has the root; the piano leaves it out and adds sixths and ninths.',
        ['incomplete-chord', 'root-not-in-bass', 'clashing-second', 'hand-span', 'crowded-low'],
        ['Pno'],
      ),
      clean('A soloist lays back in a ballad.', ['late-part', 'displaced-part'], ['Tpt (harmon)']),
      clean(
        'A rhythm section goes on, brushes above all.',
        ['static-part', 'never-rests', 'repeated-notes', 'unchanged-texture', 'restless-part', 'breath'],
        RHYTHM,
      ),
      clean(
        'Voicings move in parallel; that is the style.',
        ['parallel-perfects', 'unresolved-tone'],
        ['Pno', 'Pad Strings', 'Ac. Bass'],
      ),
      clean(
        'A pad has no fingers and no lungs.',
        ['too-many-notes', 'hand-span', 'breath', 'double-stop', 'divisi'],
        ['Pad Strings'],
      ),
      clean(
        'Comping lies about the low notes of the tune, softly.',
        ['crossing', 'background-above-melody'],
        ['Pno'],
        5,
        20,
      ),
      clean('The count is no part.', 'any', ['Click']),
    ],
  }),
);
