/** A soul tune for lead and three backing singers, three horns and rhythm section, named as in a studio; velocities only, a click left. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { again, allShort, figured, instead, music, strokes, within } from '../compose/compose.ts';
import { clean, flaw, inChannels, inOneFile, folder, lead, member, truthOf } from '../compose/folder.ts';
import { basses, chords, rootless } from '../compose/harmony.ts';
import { click, empty } from '../compose/leftovers.ts';

const piece: Piece = {
  lastBar: 24,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [{ fromBar: 1, tempo: 104 }],
  markers: [
    { bar: 1, text: 'Intro' },
    { bar: 5, text: 'Verse' },
    { bar: 13, text: 'Chorus' },
    { bar: 21, text: 'Out' },
  ],
  ticksPerQuarter: 960,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 Am7 | D7 | Am7 | D7 | Am7 | D7 | Am7 | D7 | Fmaj7 | Em7 | Dm7 | E7 | Am7 | D7 | Am7 | D7 | Fmaj7 | G7 | Am7 | E7 | Am7 | D7 | Am7 | D7`,
);
const riff = music(
  bars,
  '1 -:.5 A4 C5 A4 E5:1 D5 | C5:.5 A4 -:1 F#4:.5 A4 C5:1 | -:.5 A4 C5 A4 E5:1 G5 | F#5:1 D5 A4 -:1',
);
const out = again(bars, riff, 1, 4, 21);
const vocal = music(
  bars,
  `5 A4:1.5 C5:.5 A4:1 G4 | F#4:2 -:1 A4 | C5:1 A4:.5 G4 E4:2 | F#4:2 -:2 | A4:1 C5 A4 F4 | G4:2 -:1 E4 | F4:1 A4 D5 C5 | B4:2 -:2
   13 C5:1 E5 D5 C5 | A4:2 -:1 A4 | C5:1 E5 G5 E5 | D5:2 -:2 | A4:1 C5 E5 C5 | D5:2 B4:1 G4 | C5:2 A4:1 E4 | B4:2 -:2`,
);
const backing = (text: string) => music(bars, text);
const bv1 = backing('13 E4:2 -:2 | F#4:2 -:2 | E4:2 -:2 | F#4:2 -:2 | C5:2 -:2 | B4:2 -:2 | C5:2 -:2 | B4:2 -:2');
const bv2 = backing('13 C4:2 -:2 | D4:2 -:2 | C4:2 -:2 | D4:2 -:2 | A4:2 -:2 | G4:2 -:2 | G4:2 -:2 | G#4:2 -:2');
const bv3 = backing('13 A3:2 -:2 | C4:2 -:2 | A3:2 -:2 | C4:2 -:2 | F4:2 -:2 | F4:2 -:2 | E4:2 -:2 | E4:2 -:2');
const stabs = (voice: string) => allShort(music(bars, voice));
const trumpet = [
  ...riff,
  ...music(bars, '9 E5:4 | D5:4 | F5:4 | E5:3 -:1'),
  ...stabs('13 -:3.5 E5:.5 | -:4 | -:3.5 E5:.5 | -:4 | -:3.5 E5:.5 | -:4 | -:4 | -:2 E5:1 G6:1'),
  ...out,
];
const tenor = [
  ...within(riff, 1, 4).map((note) => ({
    ...note,
    midi: note.midi - 12,
    pitch: (note.pitch ?? '').replace(/\d/, (octave) => String(Number(octave) - 1)),
  })),
  ...music(bars, '9 A4:4 | G4:4 | A4:4 | G#4:3 -:1'),
  ...stabs('13 -:3.5 C5:.5 | -:4 | -:3.5 C5:.5 | -:4 | -:3.5 C5:.5 | -:4 | -:4 | -:2 B4:1 B4:1'),
  ...again(
    bars,
    music(bars, '1 -:.5 A3 C4 A3 E4:1 D4 | C4:.5 A3 -:1 F#3:.5 A3 C4:1 | -:.5 A3 C4 A3 E4:1 G4 | F#4:1 D4 A3 -:1'),
    1,
    4,
    21,
  ),
];
const bone = [
  ...music(bars, '9 C4:4 | B3:4 | D4:4 | B3:3 -:1'),
  ...stabs('13 -:3.5 G4:.5 | -:4 | -:3.5 G4:.5 | -:4 | -:3.5 A4:.5 | -:4 | -:4 | -:2 G#4:1 G#4:1'),
];
const voicing = rootless(spans, 62);
const rhodes = instead(
  figured(voicing, bars, 1, 24, '0123@0:1.5 0123@2.5:1'),
  5,
  8,
  music(bars, '5 A2+C3+E3+G3:4 | F#2+A2+C3+D3:4 | A2+C3+E3+G3:4 | F#2+A2+C3+D3:4'),
);
const chops = allShort(figured(voicing.slice(0, 3), bars, 5, 24, '012@1:.25 012@1.75:.25 012@3:.25'));
const roots = basses(spans, 33);
const groove = figured([roots], bars, 1, 24, '0@0:.75 0@.75:.25 0@1.5:.5 0@2.5:.5 0@3.5:.5');
const bass = instead(
  instead(groove, 18, 18, music(bars, '18 G#1:.75 G#1:.25 -:.5 G#1:.5 -:.5 G#1:.5 -:.5 G#1:.5')),
  24,
  24,
  music(bars, '24 D2:2 D1:2'),
);
const kit = strokes(bars, 1, 24, '36@0 42@0 42@.5 38@1 42@1 42@1.5 36@1.75 36@2.5 42@2 42@2.5 38@3 42@3 46@3.5');

const members = inChannels([
  member(bars, 'LD VOX', ['voice', 'voice-soprano', 'voice-mezzo', 'voice-alto'], 1, 'sung', '5:mf 9:mp 13:f', vocal, {
    program: 53,
    latenessMs: 15,
    scatterMs: 18,
  }),
  member(bars, 'BV 1', ['voice', 'voice-soprano', 'voice-mezzo', 'voice-alto'], 1, 'sung', '13:mp', bv1, {
    program: 53,
  }),
  member(bars, 'BV 2', ['voice', 'voice-mezzo', 'voice-alto', 'voice-soprano'], 1, 'sung', '13:mp', bv2, {
    program: 53,
  }),
  member(bars, 'BV 3', ['voice', 'voice-alto', 'voice-mezzo', 'voice-soprano'], 1, 'sung', '13:mp', bv3, {
    program: 53,
  }),
  member(bars, 'Hns - Tpt', ['trumpet-bflat', 'trumpet-c'], 1, 'blown', '1:f 9:ff 13:mf 21:f', trumpet, {
    program: 56,
  }),
  member(bars, 'Hns - Tnr Sx', ['sax-tenor'], 1, 'blown', '1:mf 9:f 13:mp 21:mf', tenor, { program: 66 }),
  member(bars, 'Hns - Bone', ['trombone-tenor'], 1, 'blown', '9:f 13:mp', bone, { program: 57 }),
  member(bars, 'Rhds', ['piano'], 1, 'keys', '1:mp', rhodes, { program: 4 }),
  member(bars, 'Gtr chk', ['guitar'], 1, 'plucked', '5:mp', chops, { program: 28 }),
  member(bars, 'Bass DI', ['bass-guitar'], 1, 'plucked', '1:mf', bass, { program: 33, latenessMs: 10 }),
  member(bars, 'Kit', ['percussion-unpitched'], 1, 'struck', '1:mf', kit, { channel: 9 }),
  click(bars, 'CLICK', 1, 24, '76@0 77@1 77@2 77@3'),
  empty(bars, 'Gtr solo (TBC)'),
]);
const RHYTHM = ['Rhds', 'Gtr chk', 'Bass DI', 'Kit'];

export const soulBand = folder(
  'soul-band',
  'a soul tune with backing singers, three horns and rhythm section, studio names, a click',
  inOneFile('hold the line v3.mid', piece, members),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'A', mode: 'minor' }],
    style: 'song',
    front: [lead(1, 4, 'Hns - Tpt', 'Hns - Tnr Sx'), lead(5, 20, 'LD VOX'), lead(21, 24, 'Hns - Tpt', 'Hns - Tnr Sx')],
    flaws: [
      flaw('mud', 5, 8, ['Rhds'], ['crowded-low'], 'Close sevenths of the electric piano in the octave of the bass.'),
      flaw(
        'horns over the singer',
        9,
        12,
        ['Hns - Tpt'],
        ['background-as-loud', 'background-covers', 'background-above-melody', 'support-over-lead'],
        'The horns hold loud chords above a verse that is marked mezzo piano.',
      ),
      flaw('wrong bass', 18, 18, ['Bass DI'], ['root-not-in-bass', 'clashing-second'], 'G sharp under a chord of G.'),
      flaw(
        'trumpet too high',
        20,
        20,
        ['Hns - Tpt'],
        ['outside-range'],
        'G6 at the end of a stab is above the trumpet.',
      ),
      flaw('bass too low', 24, 24, ['Bass DI'], ['outside-range'], 'D1 is below a bass of four strings.'),
    ],
    clean: [
      clean(
        'A rhythm section repeats its figure.',
        [
          'never-rests',
          'static-part',
          'repeated-notes',
          'restless-part',
          'unchanged-texture',
          'late-part',
          'parallel-perfects',
        ],
        RHYTHM,
      ),
      clean('Voicings without a root, parallel horns and singers belong to the style.', [
        'incomplete-chord',
        'parallel-perfects',
        'hollow-without-foreground',
        'hole-between-parts',
        'unresolved-tone',
      ]),
      clean(
        'The horns lead in octaves.',
        ['support-over-lead', 'background-as-loud'],
        ['Hns - Tpt', 'Hns - Tnr Sx'],
        1,
        4,
      ),
      clean('The ninth lies beside the third in such voicings.', ['clashing-second'], ['Rhds', 'Gtr chk'], 1, 17),
      clean('The click is no part.', 'any', ['CLICK']),
      clean(
        'Backing singers answer in short phrases.',
        ['entry-off-phrase', 'inaudible-entry', 'crossing'],
        ['BV 1', 'BV 2', 'BV 3'],
      ),
    ],
  }),
);
