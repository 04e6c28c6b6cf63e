/** A serenade for eight winds, named in Italian, one file a player, expression drawn by hand. */
import { fileByPart, oneFile, piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { lifted } from '../compose/breathing.ts';
import { again, figured, instead, music, octaves, tied, within } from '../compose/compose.ts';
import type { Line } from '../compose/compose.ts';
import { clean, flaw, folder, inChannels, lead, member, truthOf } from '../compose/folder.ts';
import { chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';
import { Note } from 'tonal';

const piece: Piece = {
  lastBar: 40,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [
    { fromBar: 1, tempo: 104 },
    { fromBar: 17, tempo: 92 },
    { fromBar: 29, tempo: 104 },
    { fromBar: 39, tempo: 96 },
  ],
  keys: [{ fromBar: 1, fifths: -3, minor: false }],
  markers: [
    { bar: 1, text: 'A' },
    { bar: 9, text: 'B' },
    { bar: 17, text: 'Trio' },
    { bar: 29, text: 'A' },
    { bar: 37, text: 'Coda' },
  ],
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);
const FIRST = 'Eb | Bb7/D | Eb | Ab | Fm | Bb7 | Eb Bb7 | Eb';
const spans = chords(
  bars,
  `1 ${FIRST}
   9 Eb | Cm | F7 | Bb | Gm | Eb | F7 | Bb
   17 Ab | Eb7/G | Ab | Db | Db | Cm | Bbm Eb7 | Ab
   25 Cm | Fm | Bb7 | Bb7
   29 ${FIRST}
   37 Ab | Eb/Bb Bb7 | Eb | Eb`,
);
const songA = music(
  bars,
  `1 G5:1.5 Ab5:.5 Bb5:1 G5 | F5:1.5 G5:.5 Ab5:1 F5 | G5:1 Bb5 Eb5 G5 | Eb5:1 Ab5 C6:1 -:1
   5 Ab5:1.5 G5:.5 F5:1 C5 | D5:1 F5 Ab5:1.5 F5:.5 | G5:1 Eb5 F5:1.5 D5:.5 | Eb5:3 -:1`,
);
const songB = music(
  bars,
  `9 Bb4:1.5 C5:.5 Bb4:1 G4 | C5:1.5 D5:.5 Eb5:1 C5 | A4:1 C5 Eb5:1.5 C5:.5 | D5:3 -:1
   13 D5:1.5 C5:.5 Bb4:1 G4 | G5:1.5 F5:.5 Eb5:1 Bb4 | C5:1 A4 F4 Eb5 | D5:2 Bb4:1 -:1`,
);
const songC = music(
  bars,
  `17 C4:1.5 Db4:.5 Eb4:1 C4 | Bb3:1.5 C4:.5 Db4:1 Bb3 | C4:1 Eb4 Ab3:1.5 C4:.5 | F4:2 Db4:1 -:1
   21 Ab3:1 Db4 F4:1.5 Eb4:.5 | C4:1 Eb4 G4:1.5 C4:.5 | Db4:1 Bb3 G3 Bb3 | Ab3:3 -:1`,
);
const coda = music(bars, '37 C6:1.5 Bb5:.5 Ab5:1 Eb5 | G5:2 F5:1 D5 | Eb5:1 G5 Bb5 G5 | Eb5:3 -:1');
const call1 = music(bars, '25 Eb4:1.5 D4:.5 Eb4:1 G4 | F4:1.5 Eb4:.5 F4:1 Ab4 | D4:1 F4 Bb4:2 | Ab4:2 F4:1 -:1');
const call2 = music(bars, '25 C4:1.5 B3:.5 C4:1 Eb4 | Ab3:1.5 G3:.5 Ab3:1 C4 | Bb3:1 D4 F4:2 | D4:2 D4:1 -:1');
const top = [...songA, ...songB, ...again(bars, songA, 1, 8, 29), ...coda];
const low = music(
  bars,
  `1 Eb3:2 G3:1 Eb3 | D3:2 F3:1 D3 | Eb3:2 G2 | Ab2:3 -:1 | F2:2 Ab2 | Bb2:2 D3 | Eb3:2 Bb2 | Eb3:2 Eb2:1 -:1
   9 Eb3:2 Bb2 | C3:2 Eb3 | F3:2 A2 | Bb2:2 F2:1 -:1 | G2:2 Bb2 | Eb3:2 G2 | F2:2 A2 | Bb2:2 Bb2:1 -:1
   17 Ab2:2 Eb2 | G2:2 Eb2 | Ab2:2 C3 | Db3:2 F2:1 -:1 | Db3:4 | C3:4 | Bb2:2 Eb2 | Ab2:3 -:1
   25 C3:4 | F2:4 | Bb2:4 | Bb2:3 -:1
   29 Eb3:2 G3:1 Eb3 | D3:2 F3:1 D3 | Eb3:2 G2 | Ab2:3 -:1 | F2:2 Ab2 | Bb2:2 D3 | Eb3:2 Bb2 | Eb3:2 Eb2:1 -:1
   37 Ab2:2 C3 | Bb2:2 Bb2 | Eb3:2 Bb2 | Eb2:3 -:1`,
);
const outer = spans.filter(({ bar }) => bar < 17 || bar > 28);
const breathe = (notes: Line) => tied(lifted(bars, notes, [4, 8, 12, 16, 20, 24, 28, 32, 36, 40]));
const [held0 = [], held1 = [], held2 = []] = innerVoices(outer, top, low, [
  [60, 72],
  [56, 67],
  [50, 62],
]);
const [trio0 = [], trio1 = []] = innerVoices(
  within(spans, 17, 28),
  [],
  low,
  [
    [65, 75],
    [58, 68],
  ],
  [[...songC, ...call1]],
);
const hornC = music(bars, '17 Eb4:4 | Eb4:4 | Eb4:4 | Ab4:3 -:1');
const figure = (from: number, to: number) =>
  Array.from({ length: to - from + 1 }, (_, index) => from + index).flatMap((bar) =>
    figured(
      [held1, held2],
      bars,
      bar,
      bar,
      bar % 4 === 0
        ? '0@0:.5 1@.5:.5 0@1:.5 1@1.5:.5 0@2:1'
        : '0@0:.5 1@.5:.5 0@1:.5 1@1.5:.5 0@2:.5 1@2.5:.5 0@3:.5 1@3.5:.5',
    ),
  );
const afterBeats = (line: Line) => figured([line], bars, 25, 28, "0@1:.5' 0@3:.5'");

const oboe1 = [...songA, ...again(bars, songA, 1, 8, 29), ...coda];
const oboe2 = breathe([...within(held0, 5, 8), ...within(held0, 29, 40)]);
const clarinet1 = [
  ...breathe(within(held0, 1, 4)),
  ...songB,
  ...breathe(within(trio0, 17, 20)),
  ...music(bars, '21 F4:4 | Eb4:4 | Db4:4 | C4:3 -:1'),
  ...afterBeats(trio0),
  ...octaves([...again(bars, songA, 1, 8, 29), ...coda], -1),
];
// Four bars were pasted from the part on the stand: as written for B flat, a tone above what should sound.
const asWritten = figure(29, 32).map((note) => {
  const pitch = Note.transpose(note.pitch ?? '', '2M');
  return { ...note, pitch, midi: note.midi + 2 };
});
const clarinet2 = [
  ...figure(1, 16),
  ...instead(breathe(within(trio1, 17, 24)), 21, 23, music(bars, '21 Ab3:4 | G3:4 | F3:2 G3')),
  ...afterBeats(trio1),
  ...asWritten,
  ...figure(33, 39),
  ...lifted(bars, within(held1, 40, 40), [40]),
];
const horn1 = [...breathe(within(held1, 1, 16)), ...hornC, ...call1, ...breathe(within(held1, 29, 40))];
const horn2 = [...breathe(within(held2, 1, 16)), ...call2, ...breathe(within(held2, 29, 40))];
const bassoon1 = [...songC, ...within(low, 33, 40)];
const bassoon2 = instead(low, 12, 12, music(bars, '12 B2:3 -:1'));

const wind = (
  name: string,
  ids: readonly string[],
  dynamics: string,
  notes: Line,
  program: number,
  latenessMs: number,
) => member(bars, name, ids, 1, 'blown', dynamics, notes, { program, latenessMs, curves: [11], volume: 100 });
const members = inChannels([
  wind('Oboe I', ['oboe'], '1:mf 4:mf> 6:f 8:mf 29:mf 33:f 39:f> 40:mf', oboe1, 68, 0),
  wind('Oboe II', ['oboe'], '5:p 29:p 33:mp', oboe2, 68, 6),
  wind('Clarinetto I in Sib', ['clarinet-bflat'], '1:p 9:mf 14:f 16:mf 17:pp 25:p 29:mp 37:mf', clarinet1, 71, 4),
  wind('Clarinetto II in Sib', ['clarinet-bflat'], '1:p 9:p 17:pp 25:p 29:p 37:mp', clarinet2, 71, 8),
  wind('Corno I in Fa', ['horn-f'], '1:pp 17:ff 25:mf 29:pp 37:p', horn1, 60, 12),
  wind('Corno II in Fa', ['horn-f'], '1:pp 25:mp 29:pp 37:p', horn2, 60, 10),
  wind('Fagotto I', ['bassoon'], '17:mf 33:p 37:mp', bassoon1, 70, 4),
  wind('Fagotto II', ['bassoon'], '1:p 17:pp 25:p 29:p 37:mp', bassoon2, 70, 5),
]);
const sketch = members.filter(({ plan }) => ['Oboe I', 'Fagotto II'].includes(plan.name)).map(({ plan }) => plan);
const FIGURES = ['Clarinetto II in Sib', 'Corno I in Fa', 'Corno II in Fa', 'Fagotto II'];

export const ottettoFiati = folder(
  'ottetto-fiati',
  'a serenade for eight winds, a sketch and then one file a player with Italian names',
  (seed) =>
    new Map<string, Uint8Array | string>([
      ['1 Abbozzo.mid', oneFile(piece, sketch, { seed: seed + 50, conductorName: 'Serenata' })],
      ...fileByPart(
        piece,
        members.map(({ plan }) => plan),
        { seed },
        ({ name }, index) => `2 Serenata/${String(index + 1)} ${name}.mid`,
      ),
    ]),
  truthOf(piece, members, spans, {
    keys: [
      { fromBar: 1, tonic: 'Eb', mode: 'major' },
      { fromBar: 11, tonic: 'Bb', mode: 'major' },
      { fromBar: 17, tonic: 'Ab', mode: 'major' },
      { fromBar: 29, tonic: 'Eb', mode: 'major' },
    ],
    style: 'classical',
    front: [
      lead(1, 8, 'Oboe I'),
      lead(9, 16, 'Clarinetto I in Sib'),
      lead(17, 24, 'Fagotto I'),
      lead(25, 28, 'Corno I in Fa', 'Corno II in Fa'),
      lead(29, 40, 'Oboe I', 'Clarinetto I in Sib'),
    ],
    flaws: [
      flaw(
        'wrong bass',
        12,
        12,
        ['Fagotto II'],
        ['clashing-second', 'root-not-in-bass'],
        'B natural for a whole bar under the cadence in B flat: a forgotten flat.',
      ),
      flaw(
        'horn over the bassoon',
        17,
        20,
        ['Corno I in Fa'],
        ['background-as-loud', 'background-covers', 'support-over-lead', 'background-above-melody'],
        'The horn holds its notes fortissimo in the very register in which the first bassoon has its solo mezzo forte.',
      ),
      flaw(
        'fifths of clarinet and bassoon',
        21,
        23,
        ['Clarinetto II in Sib', 'Fagotto II'],
        ['parallel-perfects'],
        'D flat, C and B flat in the bass, each with its bare fifth in the second clarinet.',
      ),
      flaw(
        'clarinet as written',
        29,
        32,
        ['Clarinetto II in Sib'],
        ['displaced-part', 'clashing-second', 'untransposed-part', 'incomplete-chord'],
        'Four bars of the figure stand a tone too high: pasted as written for B flat and not as sounding.',
      ),
    ],
    clean: [
      clean(
        'Figures and held notes of an accompaniment: they stay, and the figure touches what the horns hold.',
        ['static-part', 'repeated-notes', 'restless-part', 'unchanged-texture'],
        FIGURES,
      ),
      clean(
        'The figure breaks up the chord that the horns hold: no parallels of it with them or with the tune.',
        ['parallel-perfects'],
        ['Clarinetto II in Sib'],
        1,
        16,
      ),
      clean(
        'The same figure when the first part comes again.',
        ['parallel-perfects'],
        ['Clarinetto II in Sib'],
        33,
        40,
      ),
      clean(
        'The clarinet doubles the tune of the oboe an octave below.',
        ['parallel-perfects', 'support-over-lead', 'background-as-loud', 'background-covers', 'crossing'],
        ['Clarinetto I in Sib', 'Oboe I'],
        29,
        40,
      ),
      clean(
        'Both bassoons on the bass at the end.',
        ['leftover-track', 'parallel-perfects', 'bass-doubled-too-close', 'crowded-low'],
        ['Fagotto I', 'Fagotto II'],
        33,
        40,
      ),
      clean(
        'Clarinets accompany a bassoon from above, softly.',
        ['background-above-melody', 'covered-from-above', 'crossing', 'background-as-loud', 'background-covers'],
        ['Clarinetto I in Sib', 'Clarinetto II in Sib'],
        17,
        24,
      ),
      clean('A bassoon sings in the tenor, to G4.', ['outside-range', 'edge-of-range', 'tessitura'], ['Fagotto I']),
      clean('Everybody breathes every four bars.', ['breath', 'stamina', 'brass-endurance', 'never-rests']),
      clean('A dozen milliseconds of a horn are nothing.', ['late-part']),
    ],
  }),
);
