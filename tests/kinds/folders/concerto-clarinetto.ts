/** From a clarinet concerto in E flat with crooked horns and trumpets, named in Italian with a German "Es" and "B"; controller 11. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { again, figured, instead, music, octaves, tied, within } from '../compose/compose.ts';
import { clean, flaw, inChannels, inOneFile, folder, lead, member, truthOf } from '../compose/folder.ts';
import { basses, chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';
import { empty } from '../compose/leftovers.ts';

const piece: Piece = {
  lastBar: 32,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [{ fromBar: 1, tempo: 112 }],
  keys: [{ fromBar: 1, fifths: -3, minor: false }],
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 Eb | Bb7 | Eb | Ab Bb7 | Eb | Cm | F7 | Bb | Eb | Ab | Bb7 | Eb | Cm | Fm | Bb7 | Eb
   17 Bb | F7 | Bb | Gm | Cm | F7 | Bb | Bb7 | Eb | Bb7 | Eb | Ab Bb7 | Cm | Fm | Bb7 | Eb`,
);
const opening = music(
  bars,
  `1 Eb5:2 G5:1 Bb5 | Ab5:1.5 F5:.5 D5:2 | G5:2 Eb5:1 Bb4 | C5:1 Eb5 D5:2 | Eb5:1 G5 Bb5 G5 | Eb5:2 G5:1 C6 | A5:1 F5 Eb5 C5 | D5:3 -:1`,
);
const violins = [
  ...opening,
  ...again(bars, opening, 1, 4, 25),
  ...music(bars, '29 Eb5:2 G5:1 C6 | Ab5:2 F5 | D5:1 F5 Ab5 D5 | Eb5:3 -:1'),
];
const soloTune = music(
  bars,
  `9 Bb4:2 Eb5:1 G5 | C6:1.5 Bb5:.5 Ab5:2 | F5:1 Ab5 D5 F5 | G5:3 -:1 | Eb5:1 G5 C6 G5 | Ab5:1.5 G5:.5 F5:2 | D5:1 F5 Ab5 D5 | Eb5:2 C3:1 -:1
   21 Eb5:.5 G5 Eb5 C5 G4 C5 Eb5 G5 | F5 A5 C6 A5 F5 Eb5 C5 A4 | Bb4 D5 F5 Bb5 F5 D5 Bb4 F4 | Ab4:2 D5:1 -:1`,
);
const oboeTune = music(bars, '17 D5:2 F5 | Eb5:1 C5 A4 C5 | D5:2 Bb4 | Bb4:1 D5 G5:2');
const front = [...violins, ...soloTune.filter(({ midi }) => midi > 60), ...oboeTune];
const roots = basses(spans, 46);
const [first = [], second = [], third = []] = innerVoices(spans, front, roots, [
  [58, 75],
  [55, 70],
  [50, 65],
]);
const violin1 = [...violins, ...figured([first], bars, 9, 24, '0@1:1 0@2:1 0@3:1')];
const violin2 = [
  ...figured([second], bars, 1, 8, '0@0:1 0@1:1 0@2:1 0@3:1'),
  ...figured([second], bars, 9, 24, '0@1:1 0@2:1 0@3:1'),
  ...figured([second], bars, 25, 31, '0@0:1 0@1:1 0@2:1 0@3:1'),
  ...figured([second], bars, 32, 32, '0@0:3'),
];
const viola = [
  ...figured([third], bars, 1, 8, '0@0:1 0@1:1 0@2:1 0@3:1'),
  ...figured([third], bars, 9, 24, '0@1:1 0@2:1 0@3:1'),
  ...figured([third], bars, 25, 31, '0@0:1 0@1:1 0@2:1 0@3:1'),
  ...figured([third], bars, 32, 32, '0@0:3'),
];
const cello = [
  ...figured([roots], bars, 1, 8, '0@0:2 0@2:2'),
  ...figured([roots], bars, 9, 24, '0@0:1'),
  ...figured([roots], bars, 25, 31, '0@0:2 0@2:2'),
  ...figured([roots], bars, 32, 32, '0@0:3'),
];
const contrabass = octaves(cello, -1);
const horns = music(
  bars,
  `1 Eb4+G4:4 | Bb3+F4:4 | Eb4+G4:4 | Eb4:2 Bb3+F4 | Eb4+G4:4 | Eb4+G4:4 | -:4 | Bb3+F4:3 -:1
   25 Eb4+G4:4 | Bb3+F4:4 | Eb4+G4:4 | Eb4:2 Bb3+F4 | Eb4+G4:4 | F4:4 | Bb3+F4:4 | Eb4+G4:3 -:1`,
);
const trumpets = music(
  bars,
  `1 Bb4:1 -:1 Bb4:1 -:1 | F4+Bb4:1 -:1 F4+Bb4:1 -:1 | Bb4:1 -:1 Bb4:1 -:1
   14 F4+F5:4 | D5+F5:4
   25 Bb4:1 -:1 Bb4:1 -:1 | F4+Bb4:1 -:1 F4+Bb4:1 -:1 | Bb4:1 -:1 Bb4:1 -:1
   31 F4+Bb4:1 -:1 F4+Bb4:1 -:1 | Bb4:3 -:1`,
);
const timpani = music(
  bars,
  `1 Eb3:1 -:1 Eb3:1 -:1 | Bb2:1 -:1 Bb2:1 -:1 | Eb3:1 -:1 Eb3:1 -:1
   25 Eb3:1 -:1 Eb3:1 -:1 | Bb2:1 -:1 Bb2:1 -:1 | Eb3:1 -:1 Eb3:1 -:1 | -:2 Bb2:1 -:1 | C3:1 -:1 C3:1 -:1 | F3:1 -:1 F3:1 -:1 | Bb2:1 -:1 Bb2:1 -:1 | Eb3:3 -:1`,
);
const oboe1 = [...octaves(within(opening, 1, 4), 0), ...oboeTune];
const oboe2 = instead([...tied(within(first, 1, 4)), ...tied(within(first, 25, 28))], 11, 11, music(bars, '11 A4:4'));
const bassoons = [
  ...instead(tied(within(roots, 1, 6)), 5, 5, music(bars, '5 Eb3+G3+Bb3:4')),
  ...tied(within(roots, 25, 28)),
];

const drawn = { curves: [11] as const };
const members = inChannels([
  member(bars, 'Clarinetto principale in B', ['clarinet-bflat'], 1, 'blown', '9:mf 21:mf', soloTune, drawn),
  member(bars, 'Oboe I', ['oboe'], 1, 'blown', '1:f 17:mf', oboe1, drawn),
  member(bars, 'Oboe II', ['oboe'], 1, 'blown', '1:mf 11:p 25:mf', oboe2, drawn),
  member(bars, 'Fagotti', ['bassoon'], 2, 'blown', '1:mf 25:mf', bassoons, drawn),
  member(bars, 'Corni in Es', ['horn-f'], 2, 'blown', '1:mf 25:mf', horns, drawn),
  member(bars, 'Trombe in B', ['trumpet-bflat', 'trumpet-c'], 2, 'blown', '1:mf 14:ff 25:mf', trumpets, drawn),
  member(bars, 'Timpani in Es, B', ['timpani'], 1, 'struck', '1:mf 25:mf', timpani),
  member(bars, 'Violini I', ['violin'], 'section', 'bowed', '1:f 9:p 25:f', violin1, drawn),
  member(bars, 'Violini II', ['violin'], 'section', 'bowed', '1:mf 9:p 25:mf', violin2, drawn),
  member(bars, 'Viole', ['viola'], 'section', 'bowed', '1:mf 9:p 25:mf', viola, { ...drawn, scatterMs: 16 }),
  member(bars, 'Violoncelli', ['cello'], 'section', 'bowed', '1:mf 9:p 25:mf', cello, drawn),
  member(bars, 'Contrabbassi', ['double-bass'], 'section', 'bowed', '1:mf 9:p 25:mf', contrabass, {
    ...drawn,
    latenessMs: 12,
  }),
  empty(bars, 'Flauto (tacet)'),
]);
const STRINGS = ['Violini I', 'Violini II', 'Viole', 'Violoncelli', 'Contrabbassi'];

export const concertoClarinetto = folder(
  'concerto-clarinetto',
  'from a clarinet concerto with a classical orchestra, crooked horns and trumpets',
  inOneFile('Concerto I.mid', piece, members),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'Eb', mode: 'major' }],
    style: 'classical',
    front: [
      lead(1, 4, 'Violini I', 'Oboe I'),
      lead(5, 8, 'Violini I'),
      lead(9, 16, 'Clarinetto principale in B'),
      lead(17, 20, 'Oboe I'),
      lead(21, 24, 'Clarinetto principale in B'),
      lead(25, 32, 'Violini I'),
    ],
    flaws: [
      flaw('three bassoons', 5, 5, ['Fagotti'], ['too-many-notes', 'divisi'], 'Three notes for two bassoons.'),
      flaw(
        'A natural',
        11,
        11,
        ['Oboe II'],
        ['clashing-second', 'unresolved-tone'],
        'A natural in a chord of B flat seven.',
      ),
      flaw(
        'trumpets over the solo',
        14,
        15,
        ['Trombe in B'],
        ['background-as-loud', 'background-covers', 'support-over-lead'],
        'Two trumpets fortissimo over a clarinet.',
      ),
      flaw(
        'clarinet too low',
        16,
        16,
        ['Clarinetto principale in B'],
        ['outside-range'],
        'C3 is below a clarinet in B flat.',
      ),
      flaw(
        'timpani retuned at once',
        28,
        31,
        ['Timpani in Es, B'],
        ['timpani-tuning'],
        'Two drums in E flat and B flat are asked for C and F from bar to bar.',
      ),
    ],
    clean: [
      clean('Strings play on without a breath.', ['never-rests', 'breath', 'static-part', 'repeated-notes'], STRINGS),
      clean(
        'Horns and trumpets have their open notes alone.',
        ['static-part', 'outside-range'],
        ['Corni in Es', 'Trombe in B'],
        1,
        13,
      ),
      clean(
        'The first oboe doubles the violins.',
        ['support-over-lead', 'background-as-loud', 'parallel-perfects'],
        ['Oboe I'],
        1,
        4,
      ),
      clean(
        'Cellos and basses are one bass in octaves.',
        ['bass-doubled-too-close', 'crowded-low', 'parallel-perfects'],
        ['Contrabbassi', 'Violoncelli'],
      ),
      clean('Bass and after-beats.', ['hollow-without-foreground', 'incomplete-chord'], undefined, 9, 24),
    ],
  }),
);
