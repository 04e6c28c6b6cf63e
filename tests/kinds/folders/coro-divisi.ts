/** An anthem for unaccompanied choir, altos and tenors divided, with a soprano solo; controller 1 drawn for every section. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { lifted } from '../compose/breathing.ts';
import { instead, music } from '../compose/compose.ts';
import { clean, flaw, inChannels, inOneFile, folder, lead, member, truthOf } from '../compose/folder.ts';
import { chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';
import { empty } from '../compose/leftovers.ts';

const piece: Piece = {
  lastBar: 24,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [
    { fromBar: 1, tempo: 72 },
    { fromBar: 23, tempo: 60 },
  ],
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 F | Dm | Bb C7 | F | Dm | Gm | C7 | F | Bb | F/A | Gm | C | Dm | Bb | Gm C7 | F
   17 Dm | A7 | Bb | F | Gm | Bb C7 | F | F`,
);
const top = music(
  bars,
  `1 A4:2 F4 | A4:2 F4 | Bb4:2 G4 | A4:3 -:1 | A4:2 F4 | G4:2 Bb4 | Bb4:2 G4 | A4:3 -:1
   9 F4:4 | F4:4 | G4:4 | G4:3 -:1 | F4:4 | F4:4 | G4:2 G4 | A4:3 -:1
   17 A4:2 F4 | E4:2 G4 | F4:2 Bb4 | A4:3 -:1 | Bb4:2 G4 | D5:2 Bb4 | A4:4 | F4:3 -:1`,
);
const low = music(
  bars,
  `1 F3:4 | D3:4 | Bb2:2 C3 | F2:3 -:1 | D3:4 | G2:4 | C3:4 | F2:3 -:1 | Bb2:4 | A2:4 | G2:4 | C3:3 -:1
   13 D3:4 | Bb2:4 | G2:2 C3 | F2:3 -:1 | D3:4 | A2:4 | Bb2:4 | F2:3 -:1 | G2:4 | Bb2:2 C3 | F2:4 | F2:3 -:1`,
);
const solo = music(
  bars,
  `9 D5:2 F5 | C5:3 A4:1 | Bb4:2 D5 | C5:3 -:1 | F5:2 A5:1 F5 | D5:3 Bb4:1 | D5:2 C5:1 E5 | F5:3 -:1`,
);
const [a1 = [], a2 = [], t1 = [], t2 = []] = innerVoices(
  spans,
  top,
  low,
  [
    [57, 72],
    [55, 69],
    [50, 66],
    [48, 62],
  ],
  [solo],
);
/** All breathe where the outer voices do. */
const breathing = (line: typeof a1) => lifted(bars, line, [4, 8, 12, 16, 20, 24]);
const alto1 = instead(breathing(a1), 11, 11, music(bars, '11 D4:2 B3:2'));
const alto2 = instead(breathing(a2), 5, 6, music(bars, '5 D4:4 | G3:4'));
const tenor1 = instead(
  instead(breathing(t1), 18, 18, music(bars, '18 E4:2 C#5:2')),
  24,
  24,
  music(bars, '24 C4:3 -:1'),
);
const last = (line: typeof a1, text: string) => instead(line, 24, 24, music(bars, text));
const bass = instead(low, 23, 23, music(bars, '23 F1:4'));

const drawn = { curves: [1] as const, program: 52, scatterMs: 18 };
const SHAPE = '1:mp 3:mf> 4:mp 9:p 17:mf 21:f> 24:p';
const members = inChannels([
  member(bars, 'S solo', ['voice-soprano'], 1, 'sung', '9:mp 13:mp', solo, drawn),
  member(bars, 'S', ['voice-soprano'], 'section', 'sung', '1:mp 3:mf> 4:mp 9:p 13:fff 17:mf 21:f> 24:p', top, drawn),
  member(bars, 'A1', ['voice-alto'], 'section', 'sung', SHAPE, last(alto1, '24 F4:3 -:1'), drawn),
  member(bars, 'A2', ['voice-alto'], 'section', 'sung', SHAPE, last(alto2, '24 C4:3 -:1'), drawn),
  member(bars, 'T1', ['voice-tenor'], 'section', 'sung', SHAPE, tenor1, drawn),
  member(bars, 'T2', ['voice-tenor'], 'section', 'sung', SHAPE, last(breathing(t2), '24 F3:3 -:1'), drawn),
  member(bars, 'B', ['voice-bass'], 'section', 'sung', SHAPE, bass, drawn),
  empty(bars, 'Org (reh. only)'),
]);
const CHOIR = ['S', 'A1', 'A2', 'T1', 'T2', 'B'];

export const coroDivisi = folder(
  'coro-divisi',
  'an anthem for unaccompanied choir with divided altos and tenors and a soprano solo',
  inOneFile('Evening anthem.mid', piece, members),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'F', mode: 'major' }],
    style: 'classical',
    front: [lead(1, 8, 'S'), lead(9, 16, 'S solo'), lead(17, 24, 'S')],
    flaws: [
      flaw('octaves', 5, 7, ['A2', 'B'], ['parallel-perfects'], 'Second altos and basses leap in octaves, D to G.'),
      flaw(
        'B natural',
        11,
        11,
        ['A1'],
        ['clashing-second', 'unresolved-tone'],
        'The first altos sing B natural in a chord of G minor.',
      ),
      flaw(
        'sopranos over the solo',
        13,
        16,
        ['S'],
        ['background-as-loud', 'background-covers', 'support-over-lead'],
        'All sopranos sing fortissimo beside one of them who sings mezzo piano.',
      ),
      flaw('high tenors', 18, 18, ['T1'], ['outside-range'], 'C sharp 5 is above every tenor of a choir.'),
      flaw('low basses', 23, 23, ['B'], ['outside-range'], 'F1 is below every bass of a choir.'),
      flaw('no third at the end', 24, 24, [], ['incomplete-chord'], 'The last chord has no third.'),
    ],
    clean: [
      clean('A choir breathes in turns, and here all together.', ['breath', 'stamina', 'never-rests'], CHOIR),
      clean(
        'The choir carries the solo.',
        ['static-part', 'unchanged-texture', 'entry-off-phrase', 'all-at-once'],
        CHOIR,
      ),
      clean('The sections breathe together at the end of a phrase.', ['foreground-ends-first', 'hole-between-parts']),
      clean('Everyday notes of these voices.', ['edge-of-range', 'tessitura'], ['S', 'A1', 'A2', 'T2', 'S solo']),
      clean('Divided sections lie close and low men are normal.', ['crowded-low', 'too-many-notes', 'divisi'], CHOIR),
    ],
  }),
);
