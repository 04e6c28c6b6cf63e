/** A salsa for singer, two coro voices, trumpets and trombones, piano, bass and percussion, Spanish names; bass and piano anticipate. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { again, figured, instead, music, noteOf, octaves, strokes } from '../compose/compose.ts';
import { clean, flaw, inChannels, inOneFile, keptAside, lead, member, truthOf } from '../compose/folder.ts';
import { basses, chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';
import { empty } from '../compose/leftovers.ts';

const piece: Piece = {
  lastBar: 32,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [{ fromBar: 1, tempo: 184 }],
  keys: [{ fromBar: 1, fifths: -3, minor: true }],
  markers: [
    { bar: 1, text: 'Intro' },
    { bar: 9, text: 'Tema' },
    { bar: 17, text: 'Coro y pregón' },
    { bar: 25, text: 'Mambo' },
  ],
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 Cm | Fm | G7 | Cm | Cm | Fm | G7 | Cm | Cm | Fm | Bb7 | Eb | Ab | Fm | G7 | Cm
   17 Cm | Fm | G7 | Cm | Cm | Fm | G7 | Cm | Cm | Fm | G7 | Cm | Cm | Fm | G7 | Cm`,
);
const call = (text: string) => {
  const line = music(bars, text);
  return [...line, ...again(bars, line, 1, 4, 5), ...again(bars, line, 1, 4, 25), ...again(bars, line, 1, 4, 29)];
};
const high1 = call('1 -:1 G5:.5 G5 G5:1 Eb5 | -:.5 F5 Ab5 F5 C5:1 -:1 | -:1 F5:.5 F5 D5:1 B4 | C5:.5 D5 Eb5:1 C5 -:1');
const high2 = call('1 -:1 Eb5:.5 Eb5 Eb5:1 C5 | -:.5 C5 F5 C5 Ab4:1 -:1 | -:1 D5:.5 D5 B4:1 G4 | G4:.5 B4 C5:1 G4 -:1');
const low1 = call('1 -:1 C4:.5 C4 C4:1 G3 | -:.5 Ab3 C4 Ab3 F3:1 -:1 | -:1 B3:.5 B3 G3:1 F3 | Eb3:.5 F3 G3:1 Eb3 -:1');
const low2 = call('1 -:1 G3:.5 G3 G3:1 Eb3 | -:.5 F3 Ab3 F3 C3:1 -:1 | -:1 F3:.5 F3 D3:1 B2 | C3:.5 D3 Eb3:1 C3 -:1');
const trumpet1 = [
  ...instead(high1, 30, 30, music(bars, '30 -:.5 F5 Ab5 Ab6 C6:1 -:1')),
  ...music(bars, '13 Eb5:4 | Ab5:4 | G5:4 | G5:3 -:1'),
];
const trumpet2 = [...high2, ...music(bars, '13 C5:4 | F5:4 | D5:4 | Eb5:3 -:1')];
const trombone1 = low1;
const trombone2 = instead(low2, 8, 8, music(bars, '8 C3:.5 D3 Eb3:1 C2 -:1'));
const voice = music(
  bars,
  `9 -:1 G4:.5 G4 G4:1 Eb4 | F4:1.5 Eb4:.5 C4:1 -:1 | -:1 F4:.5 F4 F4:1 D4 | Eb4:1.5 F4:.5 G4:1 -:1
   13 -:1 Ab4:.5 Ab4 Ab4:1 Eb4 | F4:1.5 Ab4:.5 F4:1 -:1 | -:1 D4:.5 F4 G4:1 F4 | Eb4:2 -:2
   19 -:1 G4:.5 F4 D4:1 B3 | Eb4:1 C4:.5 D4 Eb4:1 -:1
   23 -:1 G4:.5 F4 D4:1 B3 | C4:1 Eb4:.5 D4 C4:1 -:1`,
);
const answer = (text: string) => {
  const line = music(bars, text);
  return [...line, ...again(bars, line, 17, 18, 21)];
};
const coro1 = answer('17 G4:1 G4:.5 F4 Eb4:1 G4 | Ab4:1.5 F4:.5 -:2');
const coro2 = answer('17 Eb4:1 Eb4:.5 D4 C4:1 Eb4 | F4:1.5 C4:.5 -:2');
const roots = basses(spans, 36);
/** The root on the fourth beat of the bar before, held over; the fifth on the second half of the second beat. */
const tumbao = spans.flatMap(({ bar, start, symbol }, index) => {
  const root = roots[index];
  const next = roots[index + 1];
  if (root?.pitch === undefined) return [];
  const fifths: Readonly<Record<string, string>> = {
    Cm: 'G2',
    Fm: 'C2',
    G7: 'D2',
    Bb7: 'F2',
    Eb: 'Bb1',
    Ab: 'Eb2',
  };
  const fifth = noteOf(bars, fifths[symbol] ?? root.pitch, { start: start + 1.5, length: 1.5 });
  const first = bar === 1 ? [noteOf(bars, root.pitch, { start, length: 1.5 })] : [];
  if (next?.pitch === undefined) return [noteOf(bars, root.pitch, { start: start + 2, length: 1 })];
  return [...first, fifth, noteOf(bars, next.pitch, { start: start + 3, length: bar === 31 ? 2 : 2.5 })];
});
// A semitone too high from the anticipation before bar 22 on.
const isWrong = (start: number) => start >= 83 - 1e-6 && start < 87 - 1e-6;
const bass = tumbao.map((note) =>
  isWrong(note.start)
    ? noteOf(bars, note.midi % 12 === 5 ? 'F#2' : 'C#2', { start: note.start, length: note.length })
    : note,
);
const hand = innerVoices(spans, [], roots, [
  [62, 72],
  [58, 68],
  [53, 64],
]);
const MONTUNO = '2@0:.5 01@.5:.5 2@1:.5 01@1.5:.5 2@2.5:.5 01@3:.5 2@3.5:.5';
const montuno = figured(hand, bars, 1, 31, MONTUNO);
const piano = [...montuno, ...octaves(montuno, 1), ...music(bars, "32 C4+Eb4+G4:1' C4+Eb4+G4:1' C4+Eb4+G4:1' -:1")];
const VOICE = ['voice', 'voice-tenor', 'voice-baritone'];
// One singer or several: the name leaves it open.
const CORO = [...VOICE, 'choir'];
const horns = { latenessMs: 5, scatterMs: 14 };
const members = inChannels([
  member(bars, 'Voz (sonero)', VOICE, 1, 'sung', '9:mf', voice, { program: 53, latenessMs: 15, scatterMs: 20 }),
  member(bars, 'Coro 1', CORO, undefined, 'sung', '17:mf', coro1, { program: 52 }),
  member(bars, 'Coro 2', CORO, undefined, 'sung', '17:mf', coro2, { program: 52 }),
  member(bars, 'Tpta 1', ['trumpet-bflat', 'trumpet-c'], 1, 'blown', '1:f 13:fff 25:f', trumpet1, {
    program: 56,
    ...horns,
  }),
  member(bars, 'Tpta 2', ['trumpet-bflat', 'trumpet-c'], 1, 'blown', '1:mf 13:ff 25:mf', trumpet2, {
    program: 56,
    ...horns,
  }),
  member(bars, 'Tbn 1', ['trombone-tenor'], 1, 'blown', '1:mf 25:mf', trombone1, { program: 57, ...horns }),
  member(bars, 'Tbn 2', ['trombone-tenor'], 1, 'blown', '1:mf 25:mf', trombone2, { program: 57, ...horns }),
  member(bars, 'Piano (tumbao)', ['piano'], 1, 'keys', '1:mp', piano, { program: 0 }),
  member(bars, 'Bajo', ['bass-guitar', 'double-bass'], 1, 'plucked', '1:mf', bass, { program: 33, latenessMs: -5 }),
  member(
    bars,
    'Congas',
    ['percussion-unpitched'],
    1,
    'struck',
    '1:mp',
    strokes(bars, 1, 31, '62@0 62@.5 62@1 62@1.5 62@2 62@2.5 63@3 64@3.5'),
    { channel: 9 },
  ),
  member(
    bars,
    'Campana/Timbal',
    ['percussion-unpitched'],
    1,
    'struck',
    '1:mp 9:p 17:mp',
    strokes(bars, 1, 31, '56@0 56@1 56@1.5 56@2 56@3 56@3.5 65@2.5'),
    { channel: 9 },
  ),
  member(
    bars,
    'Clave 2-3',
    ['percussion-unpitched'],
    undefined,
    'struck',
    '1:p',
    [
      ...strokes(bars, 1, 31, '75@1 75@2').filter(({ bar }) => bar % 2 === 1),
      ...strokes(bars, 1, 31, '75@0 75@1.5 75@3').filter(({ bar }) => bar % 2 === 0),
    ],
    { channel: 9 },
  ),
  empty(bars, 'Güiro (doblar)'),
]);
const RHYTHM = ['Piano (tumbao)', 'Bajo', 'Congas', 'Campana/Timbal', 'Clave 2-3'];
const HORNS = ['Tpta 1', 'Tpta 2', 'Tbn 1', 'Tbn 2'];

export const salsaOrquesta = keptAside(
  'salsa-orquesta',
  'a salsa for singer, coro, four brass and rhythm section, with Spanish names',
  inOneFile('La esquina (salsa) v2.mid', piece, members),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'C', mode: 'minor' }],
    style: 'song',
    front: [
      lead(1, 8, ...HORNS),
      lead(9, 16, 'Voz (sonero)'),
      lead(17, 18, 'Coro 1', 'Coro 2'),
      lead(19, 20, 'Voz (sonero)'),
      lead(21, 22, 'Coro 1', 'Coro 2'),
      lead(23, 24, 'Voz (sonero)'),
      lead(25, 32, ...HORNS),
    ],
    flaws: [
      flaw(
        'second trombone too low',
        8,
        8,
        ['Tbn 2'],
        ['outside-range', 'wide-leap'],
        'C2 is below the slide of a tenor trombone.',
      ),
      flaw(
        'trumpets over the singer',
        13,
        16,
        ['Tpta 1', 'Tpta 2'],
        [
          'background-as-loud',
          'background-covers',
          'background-above-melody',
          'support-over-lead',
          'covered-from-above',
        ],
        'The trumpets hold fortissimo above the words.',
      ),
      flaw(
        'bass a semitone high',
        21,
        22,
        ['Bajo'],
        ['root-not-in-bass', 'clashing-second'],
        'F sharp and C sharp under a chord of F minor.',
      ),
      flaw(
        'trumpet too high',
        30,
        30,
        ['Tpta 1'],
        ['outside-range', 'wide-leap'],
        'A flat 6 in passing: an octave slip.',
      ),
    ],
    clean: [
      clean(
        'Bass and piano come before the bar.',
        ['displaced-part', 'root-not-in-bass', 'clashing-second', 'entry-off-phrase', 'late-part', 'unresolved-tone'],
        ['Bajo', 'Piano (tumbao)'],
        1,
        20,
      ),
      clean(
        'Tumbao, cáscara and clave repeat.',
        ['never-rests', 'static-part', 'repeated-notes', 'restless-part', 'unchanged-texture', 'parallel-perfects'],
        RHYTHM,
      ),
      clean(
        'The brass play one call in octaves and close chords; they lead together.',
        [
          'parallel-perfects',
          'support-over-lead',
          'background-as-loud',
          'background-above-melody',
          'background-covers',
          'crossing',
        ],
        HORNS,
        1,
        8,
      ),
      clean(
        'The same in the mambo.',
        [
          'parallel-perfects',
          'support-over-lead',
          'background-as-loud',
          'background-above-melody',
          'background-covers',
          'crossing',
        ],
        HORNS,
        25,
        32,
      ),
      clean('The coro answers in thirds and the singer in its rests.', ['entry-off-phrase', 'all-at-once']),
      clean('The piano plays in octaves with both hands.', ['hand-span', 'parallel-perfects'], ['Piano (tumbao)']),
      clean('The empty track is no part.', 'any', ['Güiro (doblar)']),
    ],
  }),
);
