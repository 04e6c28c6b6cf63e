/** An easy arrangement for a school orchestra: flutes, clarinets, trumpets, strings, glockenspiel and a piano that fills in; velocities, notes beside it. */
import { oneFile, piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { lifted } from '../compose/breathing.ts';
import { again, figured, instead, moved, music, octaves, strokes, within } from '../compose/compose.ts';
import { clean, flaw, inChannels, keptAside, lead, member, truthOf } from '../compose/folder.ts';
import { basses, chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';

const piece: Piece = {
  lastBar: 24,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [{ fromBar: 1, tempo: 100 }],
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 D | A7 | D | G | D | Bm | Em A7 | D | G | D | A7 | D | G | D | E7 | A | D | A7 | D | G | D | Bm | Em A7 | D`,
);
const tune = music(
  bars,
  `1 F#4:1 A4 D5:2 | C#5:1 B4 A4:2 | F#4:1 A4 D5 F#5 | D5:1 B4 G4:2 | A4:1 D5 F#5:2 | D5:1 B4 F#4:2 | G4:1 B4 A4 C#5 | D5:3 -:1`,
);
const reprise = again(bars, tune, 1, 8, 17);
const fluteTune = music(
  bars,
  `9 B4:1 D5 G5:2 | F#5:1 D5 A4:2 | C#5:1 E5 G5 E5 | F#5:3 -:1
   13 B5:1.5 A5:.5 G5:1 D5 | A5:1.5 G5:.5 F#5:1 D5 | E5:1 G#5 B5 G#5 | A5:3 -:1`,
);
const roots = basses(spans, 46);
const ENDS = [4, 8, 12, 16, 20, 24];
const [second1 = [], viola1 = []] = innerVoices(within(spans, 1, 8), tune, roots, [
  [57, 71],
  [50, 64],
]);
const middle = innerVoices(within(spans, 9, 16), fluteTune, roots, [
  [62, 74],
  [57, 69],
  [50, 64],
]);
const [first2 = [], second2 = [], viola2 = []] = middle;
const [second3 = [], viola3 = []] = innerVoices(within(spans, 17, 24), reprise, roots, [
  [57, 71],
  [50, 64],
]);
const plucked = (line: typeof roots) => figured([line], bars, 9, 16, '0@0:1 0@2:1');
const violins1 = [...tune, ...plucked(first2), ...reprise];
const violins2 = [...instead(second1, 6, 6, music(bars, '6 F#3:4')), ...plucked(second2), ...second3];
const violas = [...viola1, ...plucked(viola2), ...viola3];
const cellosRight = [...within(roots, 1, 8), ...plucked(roots), ...within(roots, 17, 24)];
// In bars 17 to 20 the cellos are a bar ahead.
const cellos = instead(cellosRight, 17, 20, moved(bars, within(roots, 18, 21), -4));
const trumpets = music(
  bars,
  `13 B4:4 | A4:4 | B4:4 | C#5:3 -:1
   17 D4:4 | E4:4 | D4:4 | D4:3 -:1 | D4:4 | D4:4 | E4:4 | D4:3 -:1`,
);
const piano = [
  ...figured(
    [
      [...second1, ...second2, ...second3],
      [...viola1, ...viola2, ...viola3],
    ],
    bars,
    1,
    24,
    '01@0:2 01@2:2',
  ),
  ...octaves(roots, -1),
];

const members = inChannels([
  member(bars, 'Flutes', ['flute'], 'section', 'blown', '9:mp 17:mf', [...fluteTune, ...lifted(bars, reprise, [20])], {
    program: 73,
    scatterMs: 18,
  }),
  member(
    bars,
    'Clarinets in Bb - 1',
    ['clarinet-bflat'],
    'section',
    'blown',
    '5:p 17:mp',
    lifted(bars, [...within(second1, 5, 8), ...second3], ENDS),
    { program: 71, scatterMs: 18 },
  ),
  member(
    bars,
    'Clarinets in Bb - 2 (low notes only)',
    ['clarinet-bflat'],
    'section',
    'blown',
    '5:p 17:mp',
    lifted(bars, [...within(viola1, 5, 8), ...viola3], ENDS),
    { program: 71, scatterMs: 18 },
  ),
  member(bars, 'Trumpets in Bb', ['trumpet-bflat'], 'section', 'blown', '13:fff 17:p', trumpets, {
    program: 56,
    scatterMs: 18,
  }),
  member(bars, 'Glock', ['glockenspiel'], 1, 'struck', '17:p', octaves(reprise, 2), { program: 9 }),
  member(bars, 'Side Drum', ['percussion-unpitched'], 1, 'struck', '17:p', strokes(bars, 17, 24, '38@0 38@2 38@3'), {
    channel: 9,
  }),
  member(bars, 'Violins 1', ['violin'], 'section', 'bowed', '1:mf 9:p 17:f', violins1, { program: 48, scatterMs: 16 }),
  member(bars, 'Violins 1 (copy)', ['violin'], undefined, 'bowed', '1:mf 9:p', within(violins1, 1, 8), {
    program: 48,
    scatterMs: 4,
  }),
  member(bars, 'Violins 2', ['violin'], 'section', 'bowed', '1:mp 9:p 17:mp', lifted(bars, violins2, ENDS), {
    program: 48,
    scatterMs: 16,
  }),
  member(bars, 'Violas', ['viola'], 'section', 'bowed', '1:mp 9:p 17:mp', lifted(bars, violas, ENDS), {
    program: 48,
    scatterMs: 16,
  }),
  member(bars, 'Cellos', ['cello'], 'section', 'bowed', '1:mp 9:p 17:mp', lifted(bars, cellos, ENDS), {
    program: 48,
    scatterMs: 16,
  }),
  member(bars, 'Piano (opt.)', ['piano'], 1, 'keys', '1:p', piano, { program: 0 }),
]);
const EVERYBODY = members.map(({ plan }) => plan.name);
const plans = members.map(({ plan }) => plan);

export const schoolOrchestra = keptAside(
  'school-orchestra',
  'an easy piece for a school orchestra with an optional piano, velocities alone, two stages',
  (seed) =>
    new Map<string, Uint8Array | string>([
      ['1 strings only.mid', oneFile(piece, plans.slice(6, 11), { seed: seed + 40 })],
      ['2 with winds.mid', oneFile(piece, plans, { seed })],
      [
        'notes.md',
        '# Everybody\n\nGrade 1. First position for all strings. The piano is there for whoever is away.\n\n# Bars 9-16, flutes\n\nThe flutes have the tune here, strings pluck.\n',
      ],
    ]),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'D', mode: 'major' }],
    style: 'classical',
    front: [
      lead(1, 8, 'Violins 1', 'Violins 1 (copy)'),
      lead(9, 16, 'Flutes'),
      lead(17, 24, 'Violins 1', 'Flutes', 'Glock'),
    ],
    flaws: [
      flaw(
        'copy of the first violins',
        1,
        8,
        ['Violins 1 (copy)', 'Violins 1'],
        ['leftover-track'],
        'A copy of the first violins was left in and doubles them note for note.',
      ),
      flaw('second violins too low', 6, 6, ['Violins 2'], ['outside-range'], 'F sharp 3 is under the G string.'),
      flaw(
        'trumpets over the flutes',
        13,
        16,
        ['Trumpets in Bb'],
        ['background-as-loud', 'background-covers', 'support-over-lead'],
        'Trumpets blow held notes as loud as they can under flutes that play mezzo piano.',
      ),
      flaw(
        'cellos a bar ahead',
        17,
        20,
        ['Cellos'],
        ['displaced-part', 'root-not-in-bass', 'clashing-second'],
        'The cellos have the bass of the bar that follows.',
      ),
    ],
    clean: [
      clean(
        'The piano fills in for players who are away: it doubles on purpose.',
        ['leftover-track', 'bass-doubled-too-close', 'support-over-lead', 'never-rests', 'parallel-perfects'],
        ['Piano (opt.)'],
      ),
      clean(
        'Flutes have the tune of the violins with them, the glockenspiel two octaves higher.',
        [
          'support-over-lead',
          'background-as-loud',
          'background-above-melody',
          'background-covers',
          'parallel-perfects',
          'covered-from-above',
          'far-from-foreground',
          'hole-between-parts',
        ],
        ['Flutes', 'Glock', 'Violins 1'],
        17,
        24,
      ),
      clean('Easy parts are plain parts.', ['static-part', 'unchanged-texture', 'never-rests'], EVERYBODY),
      clean(
        'Clarinets double second violins and violas.',
        ['leftover-track', 'parallel-perfects'],
        ['Clarinets in Bb - 1', 'Clarinets in Bb - 2 (low notes only)'],
      ),
      clean(
        'Strings pluck below the flutes.',
        ['background-above-melody', 'entry-off-phrase', 'static-part'],
        undefined,
        9,
        12,
      ),
      clean('Sections breathe in turns, and at each phrase end.', ['breath', 'stamina'], EVERYBODY),
    ],
  }),
);
