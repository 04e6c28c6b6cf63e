/** A slow waltz for five accordions, named in German, the bellows drawn as expression, an old version of one part left in. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { again, allShort, figured, instead, moved, music, octaves, tied, within } from '../compose/compose.ts';
import type { Line } from '../compose/compose.ts';
import { clean, flaw, folder, inChannels, inOneFile, lead, member, truthOf } from '../compose/folder.ts';
import { basses, chords } from '../compose/harmony.ts';
import type { Compass } from '../compose/inner-voices.ts';
import { innerVoices } from '../compose/inner-voices.ts';

const piece: Piece = {
  lastBar: 48,
  meters: [{ fromBar: 1, numerator: 3, denominator: 4 }],
  tempi: [
    { fromBar: 1, tempo: 138 },
    { fromBar: 21, tempo: 132 },
    { fromBar: 37, tempo: 138 },
    { fromBar: 47, tempo: 112 },
  ],
  markers: [
    { bar: 1, text: 'Vorspiel' },
    { bar: 5, text: 'A' },
    { bar: 21, text: 'B' },
    { bar: 37, text: 'A' },
  ],
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 Dm | Dm | A7 | A7
   5 Dm | Dm | Gm | Gm | A7 | A7 | Dm | Dm | Dm | D7 | Gm | Gm | Dm/A | A7 | Dm | Dm
   21 F | F | C7 | C7 | C7 | C7 | F | F | F | F7 | Bb | Bb | F/C | C7 | F | A7
   37 Dm | Dm | Gm | Gm | A7 | A7 | Dm | Gm | Dm/A | A7 | Dm | Dm`,
);
const prelude = music(bars, '1 D5:1 A4 D5 | F5:2 D5:1 | E5:1 C#5 E5 | G5:1 E5 C#5');
const songA = music(
  bars,
  `5 D5:1 F5 A5 | A5:2 F5:1 | Bb5:2 A5:1 | G5:3 | C#5:1 E5 G5 | G5:2 E5:1 | F5:2 E5:1 | D5:2 -:1
   13 D5:1 F5 A5 | C6:2 A5:1 | Bb5:2 A5:1 | G5:3 | F5:1 A5 F5 | E5:1 G5 C#5 | D5:3 | =:2 -:1`,
);
const songB = music(
  bars,
  '21 A4:1.5 Bb4:.5 A4:1 | C5:2 A4:1 | G4:1.5 A4:.5 G4:1 | Bb4:2 G4:1 | E4:1 G4 Bb4 | D5:1.5 C5:.5 Bb4:1 | A4:3 | =:2 -:1',
);
const songB2 = music(
  bars,
  '29 C6:1.5 Bb5:.5 A5:1 | A5:1 C6 Eb6 | D6:2 Bb5:1 | F5:3 | A5:1 C6 A5 | G5:1 Bb5 E5 | F5:2 -:1 | E5:1 A5 C#6',
);
const songEnd = [
  ...again(bars, songA, 5, 6, 37),
  ...music(bars, '39 Bb5:2 G5:1 | G5:3'),
  ...again(bars, songA, 9, 10, 41),
  ...music(bars, '43 F5:2 D5:1 | D5:1 G5 Bb5 | A5:2 F5:1 | E5:1 G5 C#5 | D5:3 | =:2 -:1'),
];
const low = basses(spans, 41);
const song = [...prelude, ...songA, ...songB, ...songB2];
/** Voices with thirds and sevenths of their own, whatever the tune has. */
const under = (from: number, to: number, compasses: readonly Compass[]) =>
  innerVoices(within(spans, from, to), [], low, compasses, [[...song, ...songEnd]]);
const voicesA = under(1, 20, [
  [62, 72],
  [57, 67],
  [53, 64],
]);
const voicesB = under(21, 36, [
  [57, 67],
  [54, 64],
  [53, 62],
]);
const [held0 = [], held1 = [], held2 = []] = voicesA.map((line, index) => [...line, ...(voicesB[index] ?? [])]);
const [end0 = [], end1 = []] = under(37, 48, [
  [60, 72],
  [55, 67],
]);
const after = (line: Line, from: number, to: number) => allShort(figured([line], bars, from, to, '0@1:1 0@2:1'));
const held = (line: Line, from: number, to: number) => figured([line], bars, from, to, '0@0:3');

const first = [...songA, ...songB2, ...songEnd];
const second = [
  ...prelude,
  ...tied(held(held0, 5, 8)),
  // The counter-voice stands an octave too high: over the tune.
  ...octaves(music(bars, '9 E4:1 A4:2 | A4:2 G4:1 | A4:3 | F4:2 -:1'), 1),
  ...tied(held(held0, 13, 19)),
  ...songB,
  ...tied(held(held0, 29, 36)),
  ...octaves(songEnd, -1),
];
const third = [
  ...after(held1, 1, 20),
  ...held(held0, 21, 28),
  ...held(held1, 29, 36),
  ...after(end0, 37, 46),
  ...held(end0, 47, 48),
];
const fourthRight = [
  ...after(held2, 1, 20),
  ...held(held1, 21, 28),
  ...held(held2, 29, 36),
  ...after(end1, 37, 46),
  ...held(end1, 47, 48),
];
const fourth = instead(fourthRight, 25, 26, music(bars, '25 B3:3 | B3:3'));
const bassRight = [
  ...figured([low], bars, 1, 36, '0@0:1'),
  ...figured([low], bars, 37, 47, '0@0:3'),
  ...figured([low], bars, 48, 48, '0@0:2'),
];
// Six bars begin on the second beat.
const bass = instead(bassRight, 41, 46, moved(bars, within(bassRight, 41, 46), 1)).map((note) =>
  note.bar === 46 ? { ...note, length: 2 } : note,
);

const accordion = (
  name: string,
  players: number | undefined,
  dynamics: string,
  notes: Line,
  scatterMs: number,
  latenessMs = 0,
) =>
  member(bars, name, ['accordion'], players, 'keys', dynamics, notes, {
    program: 21,
    curves: [11],
    scatterMs,
    latenessMs,
  });
const members = inChannels([
  accordion('Akkordeon 1', 1, '5:mf> 14:f> 20:mf 29:mp 37:mf> 44:f> 48:p', first, 11),
  accordion('Akkordeon 2', 1, '1:mf 5:p 9:f 13:p 21:mf 29:p 37:mp 47:mp> 48:p', second, 13, 6),
  accordion('Akkordeon 3', 1, '1:p 21:p 29:fff 37:p', third, 14, 8),
  accordion('Akkordeon 4', 1, '1:p 21:p 37:p', fourth, 14, 4),
  accordion('Bass-Akkordeon', 1, '1:mp 21:p 29:mp 47:p', bass, 12, 10),
  accordion('Akkordeon 3 (alte Fassung)', undefined, '1:p', after(held1, 1, 20), 5),
]);
const ALL = members.map(({ plan }) => plan.name);

export const akkordeonQuintett = folder(
  'akkordeon-quintett',
  'a waltz for five accordions with German names and an old version of one part, one file',
  inOneFile('Abend am Kanal - Partitur.mid', piece, members, { offAsZero: true }),
  truthOf(piece, members, spans, {
    keys: [
      { fromBar: 1, tonic: 'D', mode: 'minor' },
      { fromBar: 21, tonic: 'F', mode: 'major' },
      { fromBar: 36, tonic: 'D', mode: 'minor' },
    ],
    style: 'song',
    front: [
      lead(1, 4, 'Akkordeon 2'),
      lead(5, 20, 'Akkordeon 1'),
      lead(21, 28, 'Akkordeon 2'),
      lead(29, 36, 'Akkordeon 1'),
      lead(37, 48, 'Akkordeon 1', 'Akkordeon 2'),
    ],
    flaws: [
      flaw(
        'old version left in',
        1,
        20,
        ['Akkordeon 3 (alte Fassung)', 'Akkordeon 3'],
        ['leftover-track', 'leftover', 'doubled-track', 'leftover-double'],
        'The old version of the third part plays the same notes as the new one.',
      ),
      flaw(
        'second accordion an octave too high',
        9,
        12,
        ['Akkordeon 2'],
        ['background-above-melody', 'crossing', 'background-as-loud', 'background-covers', 'covered-from-above'],
        'The counter-voice of the second stands an octave too high, and forte: over the tune of the same instrument.',
      ),
      flaw(
        'B natural',
        25,
        26,
        ['Akkordeon 4'],
        ['clashing-second', 'incomplete-chord'],
        'B natural held for two bars against the B flat of the tune and of the chord of C seven.',
      ),
      flaw(
        'third accordion far too loud',
        29,
        36,
        ['Akkordeon 3'],
        ['background-as-loud', 'background-covers', 'support-over-lead'],
        'The held notes of the third at full bellows under a tune mezzo piano.',
      ),
      flaw(
        'bass a beat late',
        41,
        46,
        ['Bass-Akkordeon'],
        ['displaced-part', 'out-of-step', 'late-part', 'clashing-second', 'root-not-in-bass'],
        'The bass comes on the second beat and holds the root of the bar before into the next.',
      ),
    ],
    clean: [
      clean(
        'Bass and after-beats of a waltz stay as they are.',
        ['static-part', 'repeated-notes', 'never-rests', 'unchanged-texture', 'hollow-without-foreground'],
        ['Akkordeon 3', 'Akkordeon 4', 'Bass-Akkordeon'],
      ),
      clean('Bellows do not breathe as lungs do.', ['breath', 'stamina', 'brass-endurance']),
      clean(
        'The second doubles the first an octave below in the last part.',
        ['parallel-perfects', 'support-over-lead', 'background-as-loud', 'background-covers', 'crossing'],
        ['Akkordeon 1', 'Akkordeon 2'],
        37,
        48,
      ),
      clean(
        'The third has the counter-voice of the second when that leads, close about it, softly.',
        ['crossing', 'background-above-melody'],
        ['Akkordeon 3', 'Akkordeon 4'],
        21,
        24,
      ),
      clean(
        'All inside a keyboard of 41 keys.',
        ['outside-range', 'edge-of-range', 'hand-span', 'too-many-notes'],
        ALL,
      ),
      clean(
        'A root struck on the first beat and let go is a whole bass.',
        ['root-not-in-bass', 'incomplete-chord'],
        undefined,
        1,
        20,
      ),
    ],
  }),
);
