/** A bulgar for a klezmer band: clarinet, two fiddles, accordion, trombone, tuba and drum, names as such a band writes them; a guide track left. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { again, allShort, figured, instead, music, strokes, within } from '../compose/compose.ts';
import { clean, flaw, inChannels, inOneFile, keptAside, lead, member, truthOf } from '../compose/folder.ts';
import { basses, chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';
import { empty } from '../compose/leftovers.ts';

const piece: Piece = {
  lastBar: 32,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [{ fromBar: 1, tempo: 138 }],
  keys: [{ fromBar: 1, fifths: -2, minor: true }],
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 D | D | Gm | D | D | Cm D | D Gm | D | Gm | Cm | D7 | D | Gm | Gm | Cm | Cm | D7 | D7 | Gm | D
   21 D | Cm D | D Gm | D | Gm | Cm | D7 | D | D | Gm D | Cm | D`,
);
const strain = music(
  bars,
  `5 D5:1 F#5:.5 G5 A5:1 G5:.5 F#5 | Eb5:1 G5:.5 Eb5 D5:2 | D5:.5 Eb5 F#5 G5 A5:.5 G5 Bb5:1 | A5:3 -:1
   9 G5:1 Bb5:.5 A5 G5:1 D5 | G5:.5 F5 Eb5 D5 C5:1 Eb5 | F#5:1 A5 G5:.5 F#5 Eb5 C5 | D5:3 -:1`,
);
const clarinetRight = [
  ...strain,
  ...again(bars, strain, 5, 12, 21),
  ...music(bars, '29 D5:.5 Eb5 F#5 G5 A5:1 A5 | Bb5:1 A5:.5 G5 F#5:1 A5 | G5:.5 F5 Eb5 D5 C5:1 Eb5 | D5:1 A5 D6 -:1'),
];
const clarinet = instead(clarinetRight, 28, 28, music(bars, '28 D5:2 C3:1 -:1'));
const fiddle = [
  ...music(
    bars,
    `13 D5:1 G5 Bb5:1.5 A5:.5 | G5:1 D5 Bb4:2 | C5:1 Eb5 G5:1.5 F5:.5 | Eb5:2 C5:1 -:1
     17 A4:1 C5 F#5:1.5 Eb5:.5 | D5:1 A4 F#4:2 | G4:.5 A4 Bb4 C5 D5:1 Bb4 | A4:3 -:1`,
  ),
  // Under the clarinet, a third or a sixth below.
  ...music(
    bars,
    `21 A4:1 D5:.5 Eb5 F#5:1 Eb5:.5 D5 | C5:1 Eb5:.5 C5 A4:2 | A4:.5 C5 D5 Eb5 F#5:.5 D5 G5:1 | F#5:3 -:1
     25 D5:1 G5:.5 F5 D5:1 Bb4 | Eb5:.5 D5 C5 Bb4 G4:1 C5 | D5:1 F#5 Eb5:.5 D5 C5 A4 | F#4:3 -:1
     29 A4:.5 C5 D5 Eb5 F#5:1 F#5 | G5:1 F#5:.5 Eb5 D5:1 F#5 | Eb5:.5 D5 C5 Bb4 G4:1 C5 | A4:1 F#5 A5 -:1`,
  ),
];
const KONTRA: Readonly<Record<string, string>> = { D: 'A3+F#4', D7: 'C4+F#4', Gm: 'Bb3+G4', Cm: 'G3+Eb4' };
/** Two strings of the fiddle after each beat of a half bar, and chord tones of the left pair of voices. */
const kontra = instead(
  spans.flatMap(({ bar, start, length, symbol }) => {
    const { start: barStart } = bars.find(({ number }) => number === bar) ?? { start: 0 };
    const offset = start - barStart;
    const stroke = `${KONTRA[symbol] ?? ''}:.5'`;
    const half = `-:1 ${stroke} -:.5`;
    if (length > 2) return music(bars, `${String(bar)} ${half} ${half}`);
    return music(bars, `${String(bar)} ${offset > 0 ? `-:2 ${half}` : `${half} -:2`}`);
  }),
  16,
  16,
  music(bars, "16 -:1 G3+C4:.5' -:.5 -:1 G3+C4:.5' -:.5"),
);
const roots = basses(spans, 40);
const squeeze = innerVoices(spans, [], roots, [
  [62, 72],
  [57, 67],
  [53, 64],
]);
const accordion = [
  ...music(bars, '1 F#4:.5 G4 A4 G4 F#4 Eb4 D4:1 | F#4:.5 G4 A4 Bb4 A4:2 | Bb4:.5 A4 G4 A4 Bb4:1 G4 | A4:3 -:1'),
  ...allShort(figured(squeeze, bars, 5, 31, '012@.5:.5 012@1.5:.5 012@2.5:.5 012@3.5:.5')),
  ...music(bars, "32 F#4+A4+D5:1' F#4+A4+D5:1' F#4+A4+D5:1' -:1"),
];
const [slide = []] = innerVoices(spans, [], roots, [[48, 60]]);
const trombone = [
  ...within(slide, 5, 12).filter(({ bar }) => bar !== 8 && bar !== 12),
  ...music(bars, '13 G3:2 Bb3 | D4:3 -:1 | G3:2 C4 | Eb4:3 -:1'),
  ...within(slide, 21, 31).filter(({ bar }) => bar !== 24 && bar !== 28),
  ...music(bars, "32 D3:1' A3:1' D4:1' -:1"),
];
const tuba = instead(
  [...figured([roots], bars, 1, 31, '0@0:1 0@2:1'), ...music(bars, "32 D2:1' A2:1' D2:1' -:1")],
  25,
  25,
  music(bars, '25 Ab2:1 -:1 Ab2:1 -:1'),
);

const members = inChannels([
  member(bars, 'Klarnet (lead)', ['clarinet-bflat'], 1, 'blown', '5:f 21:f', clarinet, {
    program: 71,
    scatterMs: 18,
  }),
  member(bars, 'Guide cl', ['clarinet-bflat'], undefined, 'blown', '5:mf', within(clarinet, 5, 12), {
    program: 71,
    scatterMs: 2,
  }),
  member(bars, 'Fidl 1', ['violin'], 1, 'bowed', '13:mf 21:mp', fiddle, { program: 40, latenessMs: 8 }),
  member(bars, 'Fidl 2 (kontra)', ['violin'], 1, 'bowed', '5:p', within(kontra, 5, 31), { program: 40 }),
  member(bars, 'Akordeon', ['accordion'], 1, 'keys', '1:mf 5:p', accordion, { program: 21 }),
  member(bars, 'Trombon', ['trombone-tenor'], 1, 'blown', '5:p 13:fff 21:mp', trombone, { program: 57 }),
  member(bars, 'Tuba', ['tuba'], 1, 'blown', '1:mp', tuba, { program: 58 }),
  member(bars, 'Poyk', ['percussion-unpitched'], 1, 'struck', '1:mp', strokes(bars, 1, 31, '36@0 49@1.5 36@2 49@3'), {
    channel: 9,
  }),
  empty(bars, 'Tsimbl'),
]);
const BACK = ['Fidl 2 (kontra)', 'Akordeon', 'Tuba', 'Poyk'];

export const klezmerKapelye = keptAside(
  'klezmer-kapelye',
  'a bulgar for a klezmer band led by the clarinet, a guide track left in it',
  inOneFile('Bulgar in D freygish.mid', piece, members),
  truthOf(piece, members, spans, {
    // On D with a raised third, written with the signature of G minor.
    keys: [{ fromBar: 1, tonic: 'G', mode: 'minor' }],
    style: 'song',
    front: [
      lead(1, 4, 'Akordeon'),
      lead(5, 12, 'Klarnet (lead)', 'Guide cl'),
      lead(13, 20, 'Fidl 1'),
      lead(21, 32, 'Klarnet (lead)'),
    ],
    flaws: [
      flaw(
        'guide track',
        5,
        12,
        ['Guide cl', 'Klarnet (lead)'],
        ['leftover-track'],
        'The guide doubles the clarinet note for note.',
      ),
      flaw(
        'trombone over the fiddle',
        13,
        16,
        ['Trombon'],
        ['background-as-loud', 'background-covers', 'support-over-lead'],
        'The trombone slides as loud as it can under a single fiddle.',
      ),
      flaw(
        'two notes on the G string',
        16,
        16,
        ['Fidl 2 (kontra)'],
        ['one-string', 'double-stop'],
        'G3 and C4 both need the lowest string.',
      ),
      flaw('wrong tuba', 25, 25, ['Tuba'], ['root-not-in-bass', 'clashing-second'], 'A flat under a chord of G minor.'),
      flaw('clarinet too low', 28, 28, ['Klarnet (lead)'], ['outside-range'], 'C3 is under the clarinet.'),
    ],
    clean: [
      clean(
        'Bass on the beat and chords after it repeat all through.',
        [
          'static-part',
          'never-rests',
          'repeated-notes',
          'restless-part',
          'unchanged-texture',
          'breath',
          'hollow-without-foreground',
          'incomplete-chord',
          'parallel-perfects',
          'entry-off-phrase',
        ],
        BACK,
      ),
      clean('The scale has an augmented second.', ['unresolved-tone', 'wide-leap']),
      clean(
        'The fiddle goes under the clarinet in thirds and sixths.',
        ['support-over-lead', 'background-as-loud', 'crossing', 'parallel-perfects'],
        ['Fidl 1'],
        21,
        32,
      ),
      clean('The clarinet has rests enough.', ['breath'], ['Klarnet (lead)']),
      clean('The empty track is no part.', 'any', ['Tsimbl']),
    ],
  }),
);
