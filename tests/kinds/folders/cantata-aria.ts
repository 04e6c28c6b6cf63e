/** An aria of a cantata in B minor: oboe d'amore, strings, tenor and continuo, one file a part, not a dynamic in it. */
import { fileByPart, piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { figured, instead, moved, music, octaves, within } from '../compose/compose.ts';
import { clean, flaw, folder, inChannels, lead, member, truthOf } from '../compose/folder.ts';
import { chords, fourParts } from '../compose/harmony.ts';

const piece: Piece = {
  lastBar: 40,
  meters: [{ fromBar: 1, numerator: 3, denominator: 4 }],
  tempi: [{ fromBar: 1, tempo: 76 }],
  keys: [{ fromBar: 1, fifths: 2, minor: true }],
  ticksPerQuarter: 240,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 Bm | Em | A | D | G | C#m7b5 | F#7 | Bm | Bm | F#7/A# | Em | F#
   13 Bm | Em | A | D | G | C#m7b5 | F#7 | Bm | D | A/C# | Bm | F#
   25 D | G | A7 | D | Bm | Em | A7 | D
   33 Bm | Em | A | D | G | C#m7b5 | F#7 | Bm`,
);
const CADENCE = 'B4:.5 D5 G5:1 F#5:.5 D5 | E5:1.5 D5:.5 C#5:1 | A#4:.5 C#5 E5 D5 C#5 A#4 | B4:3';
const oboe = music(
  bars,
  `1 F#5:1 B4:.5 C#5 D5 E5 | G5:1 E5 B4 | C#5:.5 D5 E5 G5 F#5 E5 | F#5:1 D5 A4 | ${CADENCE}
   9 D5:.5 E5 F#5 D5 B4 F#5 | E5:1 C#5 A#4 | G5:1.5 F#5:.5 E5:1 | F#5:3
   25 A5:1 D5:.5 E5 F#5 G5 | B5:1 G5 D5 | E5:.5 F#5 G5 E5 C#5 A4 | F#5:1 D5 A4
   29 D5:.5 F#5 B5:1 A5:.5 F#5 | G5:1.5 F#5:.5 E5:1 | C#5:.5 E5 G5 E5 A4 C#5 | D5:3
   34 -:1 E3:1 G3:1
   36 -:1 F#4:1 A4:1 | ${CADENCE}`,
);
const tenor = music(
  bars,
  `13 F#4:1 B3:.5 C#4 D4 E4 | G4 F#4 E4 D4 C#4 B3 | C#4 D4 E4 G4 F#4 E4 | F#4 E4 D4 C#4 B3 A3 | B3 D4 G4 F#4 E4 D4 | E4 D4 C#4 B3 G3 C#4
   19 A#3 C#4 E4 D4 C#4 A#3 | B3 C#4 D4 E4 F#4 D4 | A4 F#4 D4 E4 F#4 D4 | E4 C#4 A3 B3 C#4 E4 | D4 C#4 B3 C#4 D4 B3 | C#4:3
   33 F#4:2 D4:1 | E4:2 -:1 | E4:1 A3 C#4 | D4:2 -:1`,
);
const lines = fourParts(
  spans,
  'B',
  [
    [62, 76],
    [57, 69],
    [52, 64],
    [38, 52],
  ],
  within(oboe, 1, 32),
);
const [first = [], second = [], third = [], fourth = []] = lines;
const strokesOf = (line: typeof first) => [
  ...figured([line], bars, 1, 12, '0@0:1 0@1:1 0@2:1'),
  ...figured([line], bars, 13, 16, '0@0:1'),
  ...figured([line], bars, 21, 24, '0@0:1'),
  ...figured([line], bars, 25, 39, '0@0:1 0@1:1 0@2:1'),
  ...within(line, 40, 40),
];
const bass = [...figured([fourth], bars, 1, 39, '0@0:2 0@2:1'), ...within(fourth, 40, 40)];
// The half close has no third in any part.
const bare = (text: string) => music(bars, `12 ${text}`);
const violin1 = instead(strokesOf(first), 12, 12, bare('C#5:1 C#5 C#5'));
const violin2 = instead(
  instead(strokesOf(second), 12, 12, bare('F#4:1 F#4 F#4')),
  26,
  27,
  music(bars, '26 B3:1 B3 B3 | C#4:1 C#4 C#4'),
);
const viola = instead(instead(strokesOf(third), 12, 12, bare('C#4:1 C#4 C#4')), 8, 8, music(bars, '8 B2:1 B2 B2'));
const cello = instead(bass, 26, 27, music(bars, '26 B2:2 B2:1 | C#3:2 C#3:1'));
const under = cello.flatMap((note) => (note.midi >= 40 ? octaves([note], -1) : [note]));
const violone = instead(under, 29, 32, moved(bars, within(under, 28, 31), 3));
const organ = [...instead(figured(lines, bars, 1, 40, '012@0:3'), 12, 12, bare('F#3+C#4+F#4:3')), ...cello];

const flat = { flat: 72 };
const members = inChannels([
  member(bars, "Oboe d'amore", ['oboe-damore'], 1, 'blown', '1:mf', oboe, flat),
  member(bars, 'Violino I', ['violin'], 'section', 'bowed', '1:mf', violin1, flat),
  member(bars, 'Violino II', ['violin'], 'section', 'bowed', '1:mf', violin2, flat),
  member(bars, 'Viola', ['viola'], 'section', 'bowed', '1:mf', viola, flat),
  member(bars, 'Tenore', ['voice-tenor'], 1, 'sung', '1:mf', tenor, flat),
  member(bars, 'Continuo (Violoncello)', ['cello'], 1, 'bowed', '1:mf', cello, flat),
  member(bars, 'Violone', ['double-bass', 'violone', 'viol-bass'], 1, 'bowed', '1:mf', violone, flat),
  member(bars, 'Organo', ['organ'], 1, 'keys', '1:mf', organ, flat),
]).map((each) => (each.players === 'section' ? { ...each, players: undefined } : each));

export const cantataAria = folder(
  'cantata-aria',
  "an aria of a cantata with oboe d'amore, tenor, strings and continuo, a file a part, no dynamics",
  (seed) =>
    fileByPart(
      piece,
      members.map(({ plan }) => plan),
      { seed },
      (plan, index) => `Aria/${String(index + 1).padStart(2, '0')} ${plan.name}.mid`,
    ),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'B', mode: 'minor' }],
    style: 'classical',
    front: [
      lead(1, 12, "Oboe d'amore"),
      lead(13, 24, 'Tenore'),
      lead(25, 32, "Oboe d'amore"),
      lead(33, 36, 'Tenore'),
      lead(37, 40, "Oboe d'amore"),
    ],
    flaws: [
      flaw('low viola', 8, 8, ['Viola'], ['outside-range'], 'B2 lies below the C string.'),
      flaw('no third', 12, 12, [], ['incomplete-chord'], 'The half close on F sharp has no third in any part.'),
      flaw(
        'no breath',
        13,
        24,
        ['Tenore'],
        ['breath', 'stamina'],
        'The tenor has nearly half a minute of running quavers and no place to breathe.',
      ),
      flaw(
        'octaves',
        26,
        27,
        ['Violino II', 'Continuo (Violoncello)', 'Violone', 'Organo'],
        ['parallel-perfects'],
        'Second violins and bass step up together in octaves.',
      ),
      flaw(
        'violone late',
        29,
        32,
        ['Violone'],
        ['displaced-part', 'root-not-in-bass', 'clashing-second', 'incomplete-chord'],
        'The violone has the bass of the bar before.',
      ),
      flaw('low oboe', 34, 34, ["Oboe d'amore"], ['outside-range'], 'E3 and G3 lie below the oboe d’amore.'),
    ],
    clean: [
      clean('One velocity everywhere and no curve: nothing can be said of levels.', [
        'background-as-loud',
        'background-covers',
        'support-over-lead',
        'inaudible-entry',
      ]),
      clean(
        'The organ realises the continuo: it doubles everybody.',
        ['crossing', 'never-rests', 'static-part', 'hand-span', 'too-many-notes', 'bass-doubled-too-close'],
        ['Organo'],
      ),
      clean(
        'A continuo does not rest.',
        ['never-rests', 'static-part', 'breath'],
        ['Continuo (Violoncello)', 'Violone', 'Organo'],
      ),
      clean(
        'Violins above the tenor.',
        ['background-above-melody', 'crossing'],
        ['Violino I', 'Violino II', 'Viola', 'Organo'],
      ),
      clean(
        'Cello and violone an octave apart are one bass.',
        ['bass-doubled-too-close', 'crowded-low', 'parallel-perfects'],
        ['Violone'],
        1,
        25,
      ),
      clean('A ritornello is meant to come again.', ['unchanged-texture', 'entry-off-phrase', 'all-at-once']),
    ],
  }),
);
