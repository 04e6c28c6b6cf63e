/** A swing tune for five saxophones, four trumpets, four trombones and rhythm: soli of saxes, trumpets, a tenor solo, a shout chorus. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { again, allShort, figured, instead, moved, music, octaves, strokes, tied, within } from '../compose/compose.ts';
import { clean, flaw, folder, inChannels, inOneFile, lead, member, truthOf } from '../compose/folder.ts';
import { basses, blocks, chords, fourParts, rootless, walking } from '../compose/harmony.ts';

const piece: Piece = {
  lastBar: 40,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [{ fromBar: 1, tempo: 144 }],
  markers: [
    { bar: 1, text: 'Intro' },
    { bar: 5, text: 'A saxes' },
    { bar: 13, text: 'A2 brass' },
    { bar: 21, text: 'Bridge, tenor solo' },
    { bar: 29, text: 'Shout' },
    { bar: 37, text: 'Tag' },
  ],
  swing: 1.8,
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);
const CHORUS = 'F6 | D7 | Gm7 | C7 | F6 | D7 | Gm7 C7 | F6';
const spans = chords(
  bars,
  `1 Gm7 C7 | F6 D7 | Gm7 | C7
   5 ${CHORUS}
   13 ${CHORUS}
   21 Cm7 | F7 | Bb6 | Bb6 | Dm7 | G7 | Gm7 | C7
   29 ${CHORUS}
   37 Bb6 | Bdim7 | F6/C | F6`,
);

const head = music(
  bars,
  `5 C5:1 D5:.5 F5:1 D5:.5 C5:1 | A4:1.5 C5:.5 A4:1 F#4 | G4:.5 A4 Bb4 D5 F5:1.5 D5:.5 | E5:1 D5:.5 Bb4:1.5 -:1
   9 C5:1 D5:.5 F5:1 D5:.5 C5:1 | A4:1.5 C5:.5 E5:1 D5 | D5:.5 Bb4 G4:1 E4:.5 G4 Bb4:1 | A4:1 F4:2 -:1`,
);
const headAgain = again(bars, head, 5, 12, 13);
const tenorSolo = music(
  bars,
  `21 -:.5 Eb4 G4 Bb4 D5:1 C5 | A4:.5 C5 Eb4 C5 A4:1 F4 | D5:1.5 C5:.5 A4:1 F4 | G4:.5 A4 Bb4 D5 G4:2
   25 -:.5 F4 A4 C5 D5:1 A4 | B3:.5 D4 F4 A4 B4:1 G4 | Bb4:.5 A4 G4 F4 D4:1 Bb3 | C4:.5 E4 G4 Bb4 A4:1 G4`,
);
const shout = music(
  bars,
  `29 -:1 F5:.5 A5:1 F5:.5 C5:1 | F#5:1.5 A5:.5 C6:1 A5 | Bb5:1 G5:.5 D5:1.5 -:1 | G5:.5 A5 Bb5 G5 E5:1 -
   33 -:1 A5:.5 C6:1 A5:.5 F5:1 | F#5:1.5 A5:.5 C6:1 A5 | Bb5:.5 G5 D5:1 E5:.5 G5 Bb5:1 | A5:2 F5:1 -
   37 D5:2 F5 | Ab5:2 F5 | F5:2 A5 | A5:1' -:3`,
);

const [, alto2Head = [], tenor1Head = [], tenor2Head = []] = blocks(head, spans);
const [, trumpet2Head = [], trumpet3Head = [], trumpet4Head = []] = blocks(headAgain, spans);
const [, trumpet2Shout = [], trumpet3Shout = [], trumpet4Shout = []] = blocks(shout, spans);
const [bone1Shout = [], bone2Shout = [], bone3Shout = []] = blocks(octaves(shout, -1), spans);

// Behind the trumpets the saxes hold, and behind the tenor the trombones.
const held = fourParts(
  spans,
  'F',
  [
    [58, 68],
    [53, 64],
    [48, 60],
    [41, 53],
  ],
  headAgain,
);
const saxPad = (voice: number, from: number, to: number) => figured(held, bars, from, to, `${String(voice)}@0:3.5`);
const bonePad = (voice: number) => figured(held, bars, 21, 28, `${String(voice)}@0:4`);
const stabs = (voice: number) =>
  allShort(figured(held, bars, 13, 20, `${String(voice)}@1.5:.5 ${String(voice)}@3.5:.5`));
const introStabs = (voice: number) =>
  allShort(figured(held, bars, 1, 4, `${String(voice)}@.5:.5 ${String(voice)}@2.5:.5`));
const roots = basses(spans, 45);

const alto1 = [...head, ...saxPad(0, 13, 20), ...saxPad(0, 29, 36), ...figured(held, bars, 37, 40, '0@0:2')];
const alto2 = instead(
  [...alto2Head, ...saxPad(1, 13, 20), ...saxPad(1, 29, 36), ...figured(held, bars, 37, 40, '1@0:2')],
  15,
  16,
  music(bars, '15 Bb2:3.5 -:.5 | A2:3.5 -:.5'),
);
const tenor1 = [
  ...tenor1Head,
  ...saxPad(2, 13, 20),
  ...tenorSolo,
  ...saxPad(2, 29, 36),
  ...figured(held, bars, 37, 40, '2@0:2'),
];
const tenor2 = [
  ...tenor2Head,
  ...saxPad(3, 13, 20).filter(({ midi }) => midi >= 44),
  ...saxPad(2, 29, 36),
  ...figured(held, bars, 37, 40, '2@0:2'),
];
const bari = [
  ...octaves(head, -1),
  ...figured([roots], bars, 13, 20, '0@0:3'),
  ...figured([roots], bars, 29, 36, '0@0:1.5 0@2:1.5'),
  ...music(bars, '37 D2:4 | D2:4 | C3:4 | F2:2 -:2'),
];

const gaps = figured([roots], bars, 29, 36, '0@0:1 0@1.5:.5 0@2:1');
const trumpet4 = instead([...trumpet4Head, ...trumpet4Shout], 18, 18, music(bars, '18 F#4+A4+C5:2 D4+F#4+A4:2'));
const bassTrombone = [
  ...stabs(3),
  ...figured([roots], bars, 21, 28, '0@0:4'),
  ...gaps,
  ...music(bars, '37 Bb1:4 | B1:4 | C2:4 | F2:1 -:3'),
];

const comp = rootless(spans, 58);
const piano = [
  ...music(
    bars,
    '1 D5+F5:1 Bb4+D5:.5 G4+Bb4:1 Bb4+E5:1.5 | C5+F5:1.5 A4+D5:.5 A4+C5:1 F#4+C5:1 | D5:.5 F5 D5 Bb4 G4:2 | E5:.5 G5 E5 C5 Bb4:2',
  ),
  ...figured(comp, bars, 5, 40, '0123@.5:1 0123@2.5:.5'),
];
const guitarAll = figured(held, bars, 5, 40, "012@0:1' 012@1:1' 012@2:1' 012@3:1'");
const guitar = instead(guitarAll, 29, 36, moved(bars, within(guitarAll, 28, 35), 4));
const bass = walking(bars, spans, 28, 50);
const drums = [
  ...strokes(bars, 1, 39, '51@0 51@1 51@1.5 51@2 51@3 51@3.5 44@1 44@3'),
  ...strokes(bars, 29, 36, '36@0 38@1.5 38@3.5'),
  ...strokes(bars, 40, 40, '49@0 36@0'),
];

const SAX = '5:mf 13:p 29:f 37:ff';
const BRASS = '1:mf 13:mf 29:f 37:ff';
const members = inChannels([
  member(bars, 'Alto 1', ['sax-alto'], 1, 'blown', SAX, alto1, { program: 65 }),
  member(bars, 'Alto 2', ['sax-alto'], 1, 'blown', SAX, alto2, { program: 65 }),
  member(bars, 'Tenor 1', ['sax-tenor'], 1, 'blown', '5:mf 13:p 21:mf 29:f 37:ff', tenor1, { program: 66 }),
  member(bars, 'Tenor 2', ['sax-tenor'], 1, 'blown', SAX, tenor2, { program: 66 }),
  member(bars, 'Bari', ['sax-baritone'], 1, 'blown', SAX, bari, { program: 67 }),
  member(bars, 'Tpt 1', ['trumpet-bflat', 'trumpet-c'], 1, 'blown', '13:mf 29:ff', [...headAgain, ...shout], {
    program: 56,
  }),
  member(bars, 'Tpt 2', ['trumpet-bflat', 'trumpet-c'], 1, 'blown', BRASS, [...trumpet2Head, ...trumpet2Shout], {
    program: 56,
  }),
  member(bars, 'Tpt 3', ['trumpet-bflat', 'trumpet-c'], 1, 'blown', BRASS, [...trumpet3Head, ...trumpet3Shout], {
    program: 56,
  }),
  member(bars, 'Tpt 4', ['trumpet-bflat', 'trumpet-c'], 1, 'blown', BRASS, trumpet4, { program: 56 }),
  member(
    bars,
    'Bone 1',
    ['trombone-tenor'],
    1,
    'blown',
    '1:p 13:mp 21:ff 29:f 37:ff',
    [...introStabs(0), ...stabs(0), ...bonePad(0), ...bone1Shout],
    { program: 57 },
  ),
  member(
    bars,
    'Bone 2',
    ['trombone-tenor'],
    1,
    'blown',
    '1:p 13:mp 21:ff 29:f 37:ff',
    [...introStabs(1), ...stabs(1), ...bonePad(1), ...bone2Shout],
    { program: 57, latenessMs: 120 },
  ),
  member(
    bars,
    'Bone 3',
    ['trombone-tenor'],
    1,
    'blown',
    '1:p 13:mp 21:ff 29:f 37:ff',
    instead([...introStabs(2), ...stabs(2), ...bonePad(2), ...bone3Shout], 37, 38, music(bars, '37 F2:4 | F2:4')),
    { program: 57 },
  ),
  member(bars, 'Bass Tbn', ['trombone-bass'], 1, 'blown', '13:mp 21:ff 29:f 37:ff', bassTrombone, { program: 57 }),
  member(bars, 'Gtr', ['guitar', 'electric-guitar'], 1, 'plucked', '5:mp 29:mf', guitar, { program: 26 }),
  member(bars, 'Piano', ['piano'], 1, 'keys', '1:mf 5:mp 21:p 29:mf', piano, { program: 0 }),
  member(bars, 'Bass', ['double-bass', 'bass-guitar'], 1, 'plucked', '1:mf', tied(bass), { program: 32 }),
  member(bars, 'Drums', ['percussion-unpitched'], 1, 'struck', '1:mp 5:mf 21:mp 29:f', drums, { channel: 9 }),
]);
const saxes = ['Alto 1', 'Alto 2', 'Tenor 1', 'Tenor 2', 'Bari'];
const trumpets = ['Tpt 1', 'Tpt 2', 'Tpt 3', 'Tpt 4'];
const bones = ['Bone 1', 'Bone 2', 'Bone 3'];

export const bigBand = folder(
  'big-band',
  'a swing tune for big band with the names of the trade, one file',
  inOneFile('Corner Booth v7.mid', piece, members, { conductorName: 'Corner Booth' }),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'F', mode: 'major' }],
    style: 'jazz',
    front: [
      lead(1, 4, 'Piano'),
      lead(5, 12, ...saxes),
      lead(13, 20, ...trumpets),
      lead(21, 28, 'Tenor 1'),
      lead(29, 40, ...trumpets, ...bones),
    ],
    flaws: [
      flaw(
        'covered tenor',
        21,
        28,
        ['Bone 1', 'Bone 2', 'Bone 3', 'Bass Tbn'],
        ['background-as-loud', 'background-covers'],
        'Four trombones hold chords ff, without a breath, behind a tenor solo mf in its middle.',
      ),
      flaw('low alto', 15, 16, ['Alto 2'], ['outside-range'], 'The alto has B flat 2 and A2; it ends at D flat 3.'),
      flaw('chord for a trumpet', 18, 18, ['Tpt 4'], ['too-many-notes'], 'Three notes at once on one trumpet.'),
      flaw(
        'mud',
        37,
        38,
        ['Bari', 'Bass Tbn', 'Bone 3'],
        ['crowded-low', 'bass-doubled-too-close'],
        'B flat 1, D2 and F2 in three low winds ff.',
      ),
      flaw(
        'guitar a bar late',
        29,
        36,
        ['Gtr'],
        ['displaced-part', 'clashing-second', 'incomplete-chord'],
        'The guitar has the chords of the bar before throughout the shout chorus.',
      ),
      flaw('late trombone', 1, 40, ['Bone 2'], ['late-part'], 'The second trombone is 120 ms behind everybody.'),
    ],
    clean: [
      clean('Voicings without roots over a bass.', ['incomplete-chord', 'root-not-in-bass']),
      clean(
        'Block harmony moves in parallel; it is the style.',
        ['parallel-perfects', 'crossing', 'clashing-second', 'support-over-lead', 'background-as-loud'],
        [...saxes, ...trumpets],
        5,
        20,
      ),
      clean(
        'A walking bass steps into its roots.',
        ['root-not-in-bass', 'wide-leap', 'unresolved-tone', 'clashing-second', 'restless-part'],
        ['Bass'],
      ),
      clean(
        'A rhythm section plays throughout.',
        ['never-rests', 'static-part', 'unchanged-texture'],
        ['Gtr', 'Piano', 'Bass', 'Drums'],
      ),
      clean(
        'A first trumpet has C6 in a shout chorus.',
        ['edge-of-range', 'tessitura', 'outside-range', 'high-entry'],
        ['Tpt 1', 'Tpt 2'],
        29,
        40,
      ),
      clean(
        'The whole band on the tune: the saxes are no rivals of the brass.',
        ['background-as-loud', 'support-over-lead', 'background-above-melody'],
        undefined,
        29,
        40,
      ),
      clean(
        'The baritone doubles the lead alto an octave lower.',
        ['crowded-low', 'bass-doubled-too-close', 'parallel-perfects'],
        ['Bari'],
        5,
        12,
      ),
    ],
  }),
);
