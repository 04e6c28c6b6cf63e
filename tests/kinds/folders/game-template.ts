/** A cue for a game from a template: a track an articulation, key switches, controllers 1 and 11, effects, and many tracks that stayed empty. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { allShort, figured, instead, music, octaves, strokes, tied, within } from '../compose/compose.ts';
import { clean, flaw, inChannels, inOneFile, folder, lead, member, truthOf } from '../compose/folder.ts';
import { basses, chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';
import { empty } from '../compose/leftovers.ts';

const piece: Piece = {
  lastBar: 24,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [{ fromBar: 1, tempo: 100 }],
  markers: [
    { bar: 1, text: 'Explore' },
    { bar: 9, text: 'Combat' },
    { bar: 17, text: 'Victory' },
  ],
  ticksPerQuarter: 960,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 Cm | Ab | Eb | Bb | Cm | Fm | Ab | G | Cm | Ab | Fm | G | Cm | Ab | Fm | G
   17 Eb | Bb | Cm | Ab | Eb | Fm | Bb | Eb`,
);
const flute = music(
  bars,
  '1 G5:2 Eb5:1 G5 | Ab5:3 -:1 | Bb5:2 G5:1 Eb5 | F5:3 -:1 | G5:2 C6:1 G5 | Ab5:2 F5:1 -:1 | Eb5:2 C5:1 Eb5 | D5:3 -:1',
);
const horns = music(
  bars,
  '9 C4:3 G3:1 | Ab3:2 C4:1 Eb4 | F4:3 Eb4:1 | D4:3 -:1 | Eb4:3 D4:1 | C4:2 Eb4:1 Ab4 | F4:2 Ab4:1 F4 | G4:3 -:1',
);
const violins = music(
  bars,
  '17 G5:2 Bb5:1 Eb6 | D6:2 Bb5:1 F5 | G5:2 Eb5:1 C5 | Eb5:2 Ab5:1 C6 | Bb5:2 G5:1 Bb5 | Ab5:2 F5:1 C6 | D6:2 Bb5:1 F5 | G5:3 -:1',
);
const roots = basses(spans, 43);
const [first = [], second = [], third = []] = innerVoices(spans, [...flute, ...violins], roots, [
  [60, 72],
  [55, 68],
  [50, 63],
]);
const held = (line: typeof first, from: number, to: number) => tied(within(line, from, to));
const EIGHTHS = '0@0:.5 0@.5:.5 0@1:.5 0@1.5:.5 0@2:.5 0@2.5:.5 0@3:.5 0@3.5:.5';
const short = (line: typeof first) => allShort(figured([line], bars, 9, 16, EIGHTHS));
const deep = roots.flatMap((note) => (note.midi >= 40 ? octaves([note], -1) : [note]));
const drawn = { curves: [1, 11] as const };
const keys = {
  keySwitches: [
    { midi: 24, beforeBar: 9 },
    { midi: 26, beforeBar: 12 },
  ],
};
const violin2Short = instead(short(second), 11, 11, allShort(music(bars, '11 F3:.5 F3 F3 F3 F3 F3 F3 F3')));
const tbn = [...figured([second, third, roots], bars, 17, 24, '012@0:3'), ...held(third, 5, 8)];
const tpt = [...octaves(within(horns, 13, 16), 1), ...held(first, 17, 23)];
const members = inChannels([
  member(bars, 'FL1 - Legato', ['flute'], 1, 'blown', '1:mp', flute, drawn),
  member(bars, 'OB1 - Sus', ['oboe'], 1, 'blown', '17:mp', held(first, 17, 20), drawn),
  member(bars, 'BSN a2 - Sus', ['bassoon'], 2, 'blown', '17:mp', held(roots, 17, 20), drawn),
  member(bars, 'HN a4 - Legato', ['horn-f'], 4, 'blown', '9:f', instead(horns, 16, 16, music(bars, '16 G5:3 -:1')), {
    ...drawn,
    ...keys,
  }),
  member(bars, 'TPT a2 - Sus', ['trumpet-bflat', 'trumpet-c'], 2, 'blown', '13:mf 17:mp', tpt, drawn),
  member(bars, 'TBN a3 - Sus', ['trombone-tenor'], 3, 'blown', '5:ff 17:mp', tbn, drawn),
  member(bars, 'TUBA - Sus', ['tuba'], 1, 'blown', '17:mp', within(deep, 17, 22), drawn),
  member(bars, 'VN1 - Legato', ['violin'], 'section', 'bowed', '17:f', violins, drawn),
  member(bars, 'VN1 - Spicc', ['violin'], 'section', 'bowed', '9:p', short(first), keys),
  member(
    bars,
    'VN2 - Sus',
    ['violin'],
    'section',
    'bowed',
    '1:p 17:mp',
    [...held(first, 1, 8), ...held(first, 17, 24)],
    drawn,
  ),
  member(bars, 'VN2 - Spicc', ['violin'], 'section', 'bowed', '9:p', violin2Short, keys),
  member(
    bars,
    'VA - Sus',
    ['viola'],
    'section',
    'bowed',
    '1:p 17:mp',
    [...held(second, 1, 8), ...held(second, 17, 24)],
    drawn,
  ),
  member(bars, 'VA - Spicc', ['viola'], 'section', 'bowed', '9:p', short(third), keys),
  member(
    bars,
    'VC - Sus',
    ['cello'],
    'section',
    'bowed',
    '1:p 17:mp',
    [...held(roots, 1, 8), ...held(roots, 17, 24)],
    drawn,
  ),
  member(bars, 'VC - Spicc', ['cello'], 'section', 'bowed', '9:mp', short(roots), keys),
  member(
    bars,
    'CB - Sus',
    ['double-bass'],
    'section',
    'bowed',
    '9:p 17:mp',
    instead([...held(deep, 9, 16), ...held(deep, 17, 24)], 20, 20, music(bars, '20 A1:4')),
    drawn,
  ),
  member(
    bars,
    'HARP',
    ['harp'],
    1,
    'plucked',
    '1:p',
    figured([first, second, third], bars, 1, 8, '2@0:1 1@1:1 0@2:1 1@3:1'),
  ),
  member(
    bars,
    'ENS PERC - Toms',
    ['percussion-unpitched'],
    undefined,
    'struck',
    '9:mf',
    strokes(bars, 9, 16, '41@0 41@1.5 45@3'),
    { channel: 9 },
  ),
  member(bars, 'SFX - Whoosh', [], undefined, 'keys', '8:p', music(bars, '8 C3:4'), {}),
  member(bars, 'SFX - Sub Boom', [], undefined, 'struck', '9:f', music(bars, '9 C1:4\n17 C1:4'), {}),
  member(bars, 'SYN - Atmos Texture', [], undefined, 'keys', '1:pp', music(bars, '1 C3:4 | =:4 | =:4 | =:4'), {}),
  ...[
    'FL1 - Stac',
    'CL1 - Legato',
    'CL1 - Stac',
    'EH - Legato',
    'HN a4 - Stac',
    'TPT a2 - Stac',
    'TBN a3 - Stac',
    'VN1 - Pizz',
    'VN1 - Trem',
    'VN2 - Pizz',
    'VA - Trem',
    'VC - Pizz',
    'CB - Pizz',
    'CHOIR - Ooh',
    'PNO',
    'CEL',
    'GLOCK',
    'TIMP - Rolls',
    'REF MIX',
  ].map((name) => empty(bars, name)),
]);
const STRINGS = members.map(({ plan }) => plan.name).filter((name) => /^(VN|VA|VC|CB).*(Sus|Spicc|Legato)/.test(name));

export const gameTemplate = folder(
  'game-template',
  'a cue for a game from a template of forty tracks, a track an articulation, effects, key switches',
  inOneFile('m04_explore_combat_v7.mid', piece, members, { conductorName: 'TEMPO' }),
  truthOf(piece, members, spans, {
    keys: [
      { fromBar: 1, tonic: 'C', mode: 'minor' },
      { fromBar: 17, tonic: 'Eb', mode: 'major' },
    ],
    style: 'score',
    front: [
      lead(1, 8, 'FL1 - Legato'),
      lead(9, 12, 'HN a4 - Legato'),
      lead(13, 16, 'HN a4 - Legato', 'TPT a2 - Sus'),
      lead(17, 24, 'VN1 - Legato'),
    ],
    flaws: [
      flaw(
        'trombones over the flute',
        5,
        8,
        ['TBN a3 - Sus'],
        ['background-as-loud', 'background-covers', 'support-over-lead'],
        'Three trombones fortissimo under one flute.',
      ),
      flaw('second violins too low', 11, 11, ['VN2 - Spicc'], ['outside-range'], 'F3 is under the G string.'),
      flaw('horns too high', 16, 16, ['HN a4 - Legato'], ['outside-range'], 'G5 is above the horns.'),
      flaw(
        'wrong bass',
        20,
        20,
        ['CB - Sus'],
        ['clashing-second', 'root-not-in-bass', 'crowded-low'],
        'A natural under a chord of A flat.',
      ),
    ],
    clean: [
      clean(
        'Articulations of one section are one part and an ostinato repeats.',
        ['static-part', 'repeated-notes', 'never-rests', 'breath', 'entry-off-phrase', 'restless-part'],
        STRINGS,
      ),
      clean('Effects have no pitch.', 'any', ['SFX - Whoosh', 'SFX - Sub Boom', 'SYN - Atmos Texture']),
      clean('Octaves and fifths in parallel are the sound of such a cue.', ['parallel-perfects']),
      clean('As many notes as players.', ['too-many-notes'], ['TBN a3 - Sus']),
      clean('Everybody at once is a hit of the game.', ['all-at-once']),
    ],
  }),
);
