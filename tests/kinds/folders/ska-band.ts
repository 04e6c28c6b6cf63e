/** A ska for singer, three horns and rhythm section, studio names; a copied trumpet track and a saxophone as written left in it. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { again, allShort, figured, instead, music, noteOf, strokes, within } from '../compose/compose.ts';
import { clean, flaw, folder, inChannels, inOneFile, lead, member, truthOf } from '../compose/folder.ts';
import { basses, chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';

const piece: Piece = {
  lastBar: 24,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [{ fromBar: 1, tempo: 148 }],
  keys: [{ fromBar: 1, fifths: 1, minor: false }],
  markers: [
    { bar: 1, text: 'Head' },
    { bar: 9, text: 'Verse' },
    { bar: 17, text: 'Chorus' },
  ],
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 G | Em | C | D | G | Em | C | D | G | G | C | G | Em | Em | C | D
   17 G | Em | C | D | G | Em | C | G`,
);
const riff = music(
  bars,
  `1 D5:1 B4:.5 D5 G5:1 -:1 | E5:1 B4:.5 E5 G5:1 -:1 | E5:1.5 G5:.5 E5:1 C5 | D5:3 -:1
   5 D5:1 B4:.5 D5 G5:1 -:1 | E5:1 B4:.5 E5 G5:1 -:1 | E5:1.5 G5:.5 A5:1 G5 | F#5:3 -:1`,
);
const under = (from: number, to: number) =>
  innerVoices(
    within(spans, from, to),
    riff,
    [],
    [
      [62, 76],
      [55, 67],
    ],
  );
const [saxHead = [], boneHead = []] = under(1, 8);
const follow = (line: typeof riff, from: number, to: number) =>
  within(riff, from, to).flatMap((note) => {
    const own = line.find((each) => each.start <= note.start + 1e-6 && each.start + each.length > note.start + 1e-6);
    return own?.pitch === undefined ? [] : [noteOf(bars, own.pitch, note)];
  });
// In the verse three long chords a phrase; the saxophone is there as written, a major sixth above its sound.
const trumpetVerse = music(bars, '9 B4:4 | D5:3 -:1 | E5:4 | D5:3 -:1 | B4:4 | G4:3 -:1 | E4:4 | F#4:3 -:1');
const saxVerse = music(bars, '9 E5:4 | G#5:3 -:1 | A5:4 | G#5:3 -:1 | C#5:4 | C#5:3 -:1 | A4:4 | B4:3 -:1');
const boneVerse = music(bars, '9 D4:4 | G3:3 -:1 | G3:4 | B3:3 -:1 | G3:4 | B3:3 -:1 | C4:4 | A3:3 -:1');
const trumpetChorus = music(
  bars,
  '17 D5:4 | G5:4 | G5:4 | A5:3 -:1 | D5:1 B4 G4 -:1 | E5:1 B4 G4 -:1 | C5:1 E5 G5 -:1 | G5:3 -:1',
);
const saxChorus = music(bars, '21 B4:1 G4 D4 -:1 | B4:1 G4 E4 -:1 | G4:1 C5 E5 -:1 | D5:3 -:1');
const boneChorus = music(bars, '21 G3:1 D3 B3 -:1 | G3:1 E3 B3 -:1 | E3:1 G3 C4 -:1 | B3:3 -:1');
const voice = music(
  bars,
  `9 -:1 D4:.5 D4 B4:1 A4 | G4:1.5 A4:.5 B4:1 -:1 | -:1 E4:.5 E4 C5:1 B4 | D5:2 B4:1 -:1
   13 -:1 E4:.5 E4 B4:1 B4 | G4:1.5 F#4:.5 E4:1 -:1 | -:1 E4:.5 G4 C5:1 B4 | A4:2 F#4:1 -:1
   17 B4:1.5 A4:.5 G4:1 D4 | E4:1 G4 B4 -:1 | C5:1.5 B4:.5 A4:1 G4 | A4:3 -:1
   21 B4:1.5 A4:.5 G4:1 D4 | E4:1 G4 B4 -:1 | C5:1.5 B4:.5 G4:1 E4 | G4:3 -:1`,
);
const roots = basses(spans, 40);
/** Root, then ahead of the third beat, root again. */
const line = figured([roots], bars, 1, 23, '0@0:1 0@1.5:1 0@2.5:.5 0@3:1');
const bass = [
  ...instead(line, 21, 22, music(bars, '21 G#2:1 -:.5 G#2:1 G#2:.5 G#2:1 | F2:1 -:.5 F2:1 F2:.5 F2:1')),
  ...music(bars, '24 G2:3 -:1'),
];
const hand = innerVoices(spans, [], roots, [
  [66, 76],
  [60, 71],
  [55, 66],
]);
const skank = allShort(figured(hand, bars, 1, 23, '012@.5:.5 012@1.5:.5 012@2.5:.5 012@3.5:.5'));
const bubble = figured(hand, bars, 9, 24, '12@.5:.25 12@1:.25 12@1.5:.25 12@2.5:.25 12@3:.25 12@3.5:.25');
const trumpet = [...riff, ...trumpetVerse, ...trumpetChorus];
const sax = [...follow(saxHead, 1, 8), ...saxVerse, ...saxChorus];
const trombone = instead([...follow(boneHead, 1, 8), ...boneVerse, ...boneChorus], 12, 12, music(bars, '12 C2:3 -:1'));
const kit = strokes(bars, 1, 23, '36@0 42@.5 38@1 42@1.5 36@2 42@2.5 38@3 42@3.5');

const VOX = ['voice', 'voice-tenor', 'voice-baritone', 'voice-alto'];
const members = inChannels([
  member(bars, 'Lead Vox', VOX, 1, 'sung', '9:mf', voice, { program: 53, latenessMs: 12, scatterMs: 18 }),
  member(bars, 'Tpt', ['trumpet-bflat'], 1, 'blown', '1:f 9:p 17:fff 21:mf', trumpet, { program: 56 }),
  member(bars, 'Tpt copy', ['trumpet-bflat'], undefined, 'blown', '1:f', again(bars, riff, 1, 8, 1), { program: 56 }),
  member(bars, 'Alto Sax', ['sax-alto'], 1, 'blown', '1:mf 9:p 21:mf', sax, { program: 65 }),
  member(bars, 'Tbone', ['trombone-tenor'], 1, 'blown', '1:mf 9:p 21:mf', trombone, { program: 57 }),
  member(bars, 'Gtr skank', ['guitar-electric', 'electric-guitar', 'guitar'], 1, 'plucked', '1:mp', skank, {
    program: 27,
  }),
  member(bars, 'Org bubble', ['organ'], 1, 'keys', '9:p', bubble, { program: 16 }),
  member(bars, 'Bass DI', ['bass-guitar'], 1, 'plucked', '1:mf', bass, { program: 33 }),
  member(bars, 'Drums', ['percussion-unpitched'], 1, 'struck', '1:mf', kit, { channel: 9 }),
]);
const RHYTHM = ['Gtr skank', 'Org bubble', 'Bass DI', 'Drums'];
const HORNS = ['Tpt', 'Tpt copy', 'Alto Sax', 'Tbone'];

export const skaBand = folder(
  'ska-band',
  'a ska for singer, three horns and rhythm section with studio names',
  inOneFile('lamp post ska 3.mid', piece, members),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'G', mode: 'major' }],
    style: 'song',
    front: [lead(1, 8, 'Tpt', 'Tpt copy'), lead(9, 24, 'Lead Vox')],
    flaws: [
      flaw('copied trumpet', 1, 8, ['Tpt copy', 'Tpt'], ['leftover-track'], 'The copy has every note of the trumpet.'),
      flaw(
        'saxophone as written',
        9,
        16,
        ['Alto Sax'],
        ['displaced-part', 'clashing-second'],
        'The saxophone stands a major sixth too high in the verse: written, not sounding.',
      ),
      flaw('trombone too low', 12, 12, ['Tbone'], ['outside-range', 'wide-leap'], 'C2 is below the slide.'),
      flaw(
        'trumpet over the singer',
        17,
        20,
        ['Tpt'],
        ['background-as-loud', 'background-covers', 'background-above-melody', 'covered-from-above'],
        'The trumpet holds long high notes as loud as it can over the chorus.',
      ),
      flaw(
        'wrong bass',
        21,
        22,
        ['Bass DI'],
        ['clashing-second', 'root-not-in-bass'],
        'G sharp under G and F under E minor: a semitone high.',
      ),
    ],
    clean: [
      clean(
        'Rhythm parts repeat.',
        [
          'never-rests',
          'static-part',
          'repeated-notes',
          'restless-part',
          'unchanged-texture',
          'parallel-perfects',
          'late-part',
          'displaced-part',
        ],
        RHYTHM,
      ),
      clean(
        'Horns play one riff in three parts.',
        ['parallel-perfects', 'support-over-lead', 'background-as-loud', 'background-above-melody', 'crossing'],
        HORNS,
        1,
        8,
      ),
      clean(
        'Guitar and organ share the chords.',
        ['leftover-track', 'incomplete-chord', 'clashing-second'],
        ['Gtr skank', 'Org bubble'],
      ),
    ],
  }),
);
