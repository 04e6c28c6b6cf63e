/** A French song for baritone and string quartet, a file a player, expression drawn by hand; "Alto" is the viola. */
import { fileByPart, piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { figured, instead, music, within } from '../compose/compose.ts';
import { clean, flaw, inChannels, folder, lead, member, truthOf } from '../compose/folder.ts';
import { chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';

const piece: Piece = {
  lastBar: 36,
  meters: [{ fromBar: 1, numerator: 3, denominator: 4 }],
  tempi: [
    { fromBar: 1, tempo: 88 },
    { fromBar: 21, tempo: 84 },
    { fromBar: 25, tempo: 88 },
    { fromBar: 35, tempo: 70 },
  ],
  keys: [{ fromBar: 1, fifths: 1, minor: true }],
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 Em | C | F#m7b5 | B7 | Em | Am | D7 | G | C | Am | F#m7b5 | B7
   13 Em | Am | D7 | G | C | F#m7b5 | B7 | Em | G | D/F# | Em | B7
   25 C | G/B | Am | Em | F#m7b5 | B7 | Em | Em | Am | B7 | Em | Em`,
);
const chant = music(
  bars,
  `5 B3:2 A3:1 | C4:1.5 B3:.5 A3:1 | F#3:2 A3:1 | G3:2 -:1 | E3:1 G3 C4 | E4:1.5 D4:.5 C4:1 | A3:1 C4 A3 | B3:2 -:1
   13 B3:2 G3:1 | C4:1.5 B3:.5 A3:1 | D4:1 C4 A3 | B3:2 -:1 | C4:2 G3:1 | A3:1.5 B3:.5 C4:1 | B3:1 A3 F#3 | E2:2 -:1
   25 E4:2 C4:1 | D4:1.5 C4:.5 B3:1 | C4:1 B3 A3 | G3:2 -:1 | A3:1 C4 E4 | D#4:1 B3 A3 | G3:1.5 F#3:.5 E3:1 | E3:2 -:1`,
);
const high = music(
  bars,
  `1 B4:1 E5 G5 | G5:2 E5:1 | A5:1 F#5:.5 E5 C5:1 | B4:2 -:1 | G4:3 | C5:3 | C5:3 | B4:3 | G4:3 | A4:3 | C5:3 | B4:2 -:1
   13 G4:3 | A4:3 | A4:3 | B4:3 | C5:3 | C5:3 | B4:3 | B4:3 | D5:3 | A5:3 | G5:3 | F#5:2 -:1
   25 C5:1.5 D5:.5 E5:1 | D5:2 B4:1 | E5:1.5 D5:.5 C5:1 | B4:2 -:1 | C5:3 | B4:3 | B4:3 | B4:2 -:1
   33 C5:1 E5 A5 | F#5:1.5 D#5:.5 B4:1 | G5:2 E5:1 | E5:3`,
);
const low = music(
  bars,
  `1 E3:3 | C3:3 | F#2:3 | B2:3 | E3:3 | A2:3 | D3:3 | G2:3 | C3:3 | A2:3 | F#2:3 | B2:3
   13 E3:3 | A2:3 | D3:3 | G2:3 | C3:3 | F#2:3 | B2:3 | E3:3 | G2:3 | F#2:3 | E2:3 | B2:3
   25 C3:3 | B2:3 | A2:3 | E3:3 | F#2:3 | B2:3 | E3:3 | E2:3 | A2:3 | B2:3 | E3:3 | E2:3`,
);
const [second = [], third = []] = innerVoices(
  spans,
  high,
  low,
  [
    [55, 74],
    [50, 67],
  ],
  [chant],
);
const AFTERBEATS = '0@1:1 0@2:1';
const violin1 = instead(high, 13, 20, figured([high], bars, 13, 20, AFTERBEATS));
const inner2 = instead(second, 13, 20, figured([second], bars, 13, 20, AFTERBEATS));
const violin2 = instead(instead(inner2, 19, 19, music(bars, '19 -:1 D#4:1 F#3:1')), 21, 36, [
  ...music(bars, '21 B4:3 | D5:3 | B4:3 | A4:2 -:1'),
  ...within(second, 25, 32),
  ...music(bars, '33 E4:3 | A4:3 | B4:3 | G3+B3:3'),
]);
const inner3 = instead(third, 13, 20, figured([third], bars, 13, 20, AFTERBEATS));
const viola = instead(inner3, 21, 36, [
  ...music(bars, '21 G3:3 | F#3:3 | E3:3 | A3:2 -:1'),
  ...within(third, 25, 32),
  ...music(bars, '33 E3:3 | F#3:3 | G3:3 | B3:3'),
]);
const cello = instead(
  instead(
    instead(
      low,
      9,
      12,
      music(bars, '9 C3:.5 E3 G3 C4 G3 E3 | A2 C3 E3 A3 E3 C3 | F#2 A2 C3 E3 C3 A2 | B2 D#3 F#3 A3 F#3 D#3'),
    ),
    13,
    20,
    figured([low], bars, 13, 20, '0@0:1'),
  ),
  21,
  24,
  music(bars, '21 D4:1.5 C4:.5 B3:1 | A3:2 D4:1 | G4:1 F#4:.5 E4 B3:1 | B2:1 F#3 B3'),
);

const bowed = { curves: [11] as const };
const members = inChannels([
  member(bars, 'Chant (baryton)', ['voice-baritone'], 1, 'sung', '5:mf 9:mp 13:mf 25:f> 32:mf', chant, {
    program: 53,
    scatterMs: 20,
    latenessMs: 14,
  }),
  member(bars, '1er violon', ['violin'], 1, 'bowed', '1:mf 5:p 25:mp 29:p 33:mf> 36:p', violin1, bowed),
  member(bars, '2d violon', ['violin'], 1, 'bowed', '1:p 33:p', violin2, { ...bowed, scatterMs: 15 }),
  member(bars, 'Alto', ['viola'], 1, 'bowed', '1:p 33:p', viola, bowed),
  member(bars, 'Violoncelle', ['cello'], 1, 'bowed', '1:p 9:ff 13:p 21:mf 25:p', cello, bowed),
]);
const QUARTET = ['1er violon', '2d violon', 'Alto', 'Violoncelle'];

export const melodieQuatuor = folder(
  'melodie-quatuor',
  'a French song for baritone and string quartet, one file a player',
  (seed) =>
    fileByPart(
      piece,
      members.map(({ plan }) => plan),
      { seed },
      (plan, index) => `Chanson du moulin/${String(index + 1)} - ${plan.name}.mid`,
    ),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'E', mode: 'minor' }],
    style: 'classical',
    front: [
      lead(1, 4, '1er violon'),
      lead(5, 20, 'Chant (baryton)'),
      lead(21, 24, 'Violoncelle'),
      lead(25, 32, 'Chant (baryton)'),
      lead(33, 36, '1er violon'),
    ],
    flaws: [
      flaw(
        'cello over the singer',
        9,
        12,
        ['Violoncelle'],
        ['background-as-loud', 'background-covers', 'support-over-lead'],
        'The cello runs fortissimo through the very notes of a singer who is marked mezzo piano.',
      ),
      flaw('second violin too low', 19, 19, ['2d violon'], ['outside-range'], 'F sharp 3 lies under the G string.'),
      flaw('singer too low', 20, 20, ['Chant (baryton)'], ['outside-range'], 'E2 is a note for a deep bass.'),
      flaw('half close without third', 24, 24, [], ['incomplete-chord'], 'The dominant has no D sharp in any part.'),
      flaw(
        'fifths',
        33,
        34,
        ['Alto', 'Violoncelle'],
        ['parallel-perfects'],
        'Viola and cello step up together in fifths.',
      ),
      flaw(
        'two notes on the G string',
        36,
        36,
        ['2d violon'],
        ['one-string', 'double-stop'],
        'G3 and B3 both need the lowest string of the violin.',
      ),
    ],
    clean: [
      clean('A quartet has one player to a part and goes on while it accompanies.', ['never-rests', 'breath'], QUARTET),
      clean(
        'Violins accompany above a baritone.',
        ['background-above-melody', 'crossing', 'far-from-foreground', 'covered-from-above'],
        ['1er violon', '2d violon', 'Alto'],
      ),
      clean('The cello sings in its high register and the viola has the bass.', ['crossing'], undefined, 21, 24),
      clean(
        'After-beats are short chords of three and the cello strikes alone.',
        ['hollow-without-foreground', 'incomplete-chord', 'entry-off-phrase', 'static-part'],
        undefined,
        13,
        20,
      ),
      clean('The singer breathes in every fourth bar.', ['breath', 'stamina'], ['Chant (baryton)']),
      clean('B3 to E4 is a good place for a baritone.', ['tessitura', 'edge-of-range'], ['Chant (baryton)'], 5, 19),
      clean('A soft dynamic of the accompaniment is intended.', ['inaudible-entry'], QUARTET),
    ],
  }),
);
