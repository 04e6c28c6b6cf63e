/** A cue of synthesisers with a felt piano and one cello: pads, a sequence in sixteenths, a lead, a riser, hits and a texture. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { figured, instead, moved, music, octaves, strokes, within } from '../compose/compose.ts';
import { clean, flaw, folder, inChannels, inOneFile, lead, member, truthOf } from '../compose/folder.ts';
import { basses, chords, fourParts } from '../compose/harmony.ts';

const piece: Piece = {
  lastBar: 32,
  meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  tempi: [{ fromBar: 1, tempo: 100 }],
  markers: [
    { bar: 1, text: 'Orbit' },
    { bar: 17, text: 'Burn' },
    { bar: 25, text: 'Drift' },
  ],
  ticksPerQuarter: 96,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 Am | F | C | G | Am | F | Dm | E
   9 Am | F | C | G | Dm | Am | E | Am
   17 F | G | Am | Am | F | G | Em | Am
   25 Am | F | C | G | Dm | F | E | Am`,
);
const pianoTune = music(
  bars,
  `1 E5:2 C5:1 A4 | C5:3 A4:1 | G4:2 E5:1 C5 | D5:3 B4:1 | E5:2 A5:1 E5 | F5:2 C5:1 A4 | A4:1 D5 F5 D5 | E5:2 B4:1 G#4`,
);
const celloTune = music(
  bars,
  `9 A3:2 C4:1 E4 | F4:3 E4:1 | E4:2 C4:1 G3 | B3:3 D4:1 | F4:2 D4:1 A3 | A2:1 E2 C2 B1 | G#3:1 B3 E4:2 | A3:4
   25 E4:2 C4:1 A3 | C4:3 A3:1 | G3:2 E4:1 C4 | D4:3 B3:1 | A3:1 D4 F4 D4 | C2+E2:4 | E3:2 G#3:1 B3 | A3:4`,
);
const leadTune = music(
  bars,
  `17 A4:.5 C5 F5:1 E5 C5 | D5:.5 G5 B5:1 A5 G5 | E5:3 C5:1 | A4:4 | C5:.5 F5 A5:1 G5 F5 | G5:.5 B5 D6:1 B5 G5 | E5:2 G5:1 B5 | A5:4`,
);
const lines = fourParts(spans, 'A', [
  [60, 72],
  [55, 67],
  [50, 62],
  [43, 55],
]);
const roots = basses(spans, 34);
const pad = instead(
  figured(lines, bars, 5, 32, '0123@0:4'),
  17,
  20,
  music(bars, '17 F2+A2+C3:4 | G2+B2+D3:4 | A2+C3+E3:4 | A2+C3+E3:4'),
);
const sequence = figured(
  lines,
  bars,
  9,
  24,
  '3@0:.25 2@.25:.25 1@.5:.25 0@.75:.25 3@1:.25 2@1.25:.25 1@1.5:.25 0@1.75:.25 3@2:.25 2@2.25:.25 1@2.5:.25 0@2.75:.25 3@3:.25 2@3.25:.25 1@3.5:.25 0@3.75:.25',
);
const voices = figured(lines, bars, 21, 32, '01@0:4');
const vox = instead(voices, 26, 32, moved(bars, within(voices, 25, 31), 4));
const left = figured(lines, bars, 1, 8, '3@0:2 12@1:1 3@2:2 12@3:1');
const felt = [...pianoTune, ...left, ...figured(lines, bars, 31, 32, '012@0:4')];

const members = inChannels([
  member(bars, 'Felt Piano', ['piano'], 1, 'keys', '1:mp 5:p', felt, {
    program: 0,
    pedal: { bars: [1, 8], everyQuarters: 4 },
  }),
  member(bars, 'Solo Cello', ['cello'], 1, 'bowed', '9:mf 25:mf', celloTune, { program: 42, curves: [1, 11] }),
  member(
    bars,
    'Lead Mono Synth',
    ['synthesizer', 'synth-lead'],
    undefined,
    'keys',
    '17:f 25:mp',
    [...leadTune, ...octaves(within(celloTune, 25, 29), 1)],
    { program: 81 },
  ),
  member(bars, 'Pad Warm', ['synthesizer', 'synth-pad'], undefined, 'keys', '5:ff 9:pp 17:mp 25:p', pad, {
    program: 89,
  }),
  member(bars, 'ARP 16ths', ['synthesizer'], undefined, 'keys', '9:p 17:mp', sequence, { program: 80, scatterMs: 1 }),
  member(bars, 'ARP 16ths copy', ['synthesizer'], undefined, 'keys', '9:p 17:mp', sequence, {
    program: 80,
    scatterMs: 1,
  }),
  member(
    bars,
    'Sub Bass',
    ['synth-bass', 'synthesizer'],
    undefined,
    'keys',
    '9:p 17:mf 25:p',
    figured([roots], bars, 9, 32, '0@0:4'),
    { program: 38, scatterMs: 1 },
  ),
  member(bars, 'Vox Airy', ['choir', 'voice', 'synthesizer'], undefined, 'keys', '21:p', vox, { program: 91 }),
  member(bars, 'Riser 8 bars', [], undefined, 'keys', '13:mp> 16:f', strokes(bars, 13, 13, '60@0', 16)),
  member(bars, 'Impact Hits', [], undefined, 'struck', '1:f', [
    ...strokes(bars, 17, 17, '36@0', 2),
    ...strokes(bars, 21, 21, '37@0', 2),
    ...strokes(bars, 25, 25, '36@0', 2),
  ]),
  member(bars, 'Drone Texture', [], undefined, 'keys', '1:pp', strokes(bars, 1, 1, '33@0', 32)),
  member(
    bars,
    'E-Kit',
    ['percussion-unpitched'],
    undefined,
    'struck',
    '17:mp',
    strokes(bars, 17, 24, '36@0 42@.5 38@1 42@1.5 36@2 42@2.5 38@3 42@3.5'),
    { channel: 9 },
  ),
]);

export const synthScore = folder(
  'synth-score',
  'a cue of synthesisers and effects with a felt piano and a cello, one file at 96 ticks a quarter',
  inOneFile('m14 orbit v3.mid', piece, members),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'A', mode: 'minor' }],
    style: 'score',
    front: [
      lead(1, 8, 'Felt Piano'),
      lead(9, 16, 'Solo Cello'),
      lead(17, 24, 'Lead Mono Synth'),
      lead(25, 32, 'Solo Cello', 'Lead Mono Synth'),
    ],
    flaws: [
      flaw(
        'covered piano',
        5,
        8,
        ['Pad Warm'],
        ['background-as-loud', 'background-covers'],
        'The pad stands at ff over a felt piano that plays p.',
      ),
      flaw('low cello', 14, 14, ['Solo Cello'], ['outside-range'], 'B1 lies below the C string.'),
      flaw('mud', 17, 20, ['Pad Warm'], ['crowded-low'], 'Close triads of the pad from F2 and G2 over the sub bass.'),
      flaw(
        'copy',
        9,
        24,
        ['ARP 16ths copy', 'ARP 16ths'],
        ['leftover-track'],
        'The copy plays the sequence again note for note.',
      ),
      flaw(
        'voices a bar late',
        26,
        32,
        ['Vox Airy'],
        ['displaced-part', 'clashing-second', 'incomplete-chord'],
        'The voices have the chords of the bar before.',
      ),
      flaw(
        'double stop',
        30,
        30,
        ['Solo Cello'],
        ['double-stop', 'one-string'],
        'C2 and E2 are both on the lowest string.',
      ),
    ],
    clean: [
      clean('Risers, hits and textures have neither range nor harmony nor level.', 'any', [
        'Riser 8 bars',
        'Impact Hits',
        'Drone Texture',
      ]),
      clean(
        'A sequence repeats, a pad and a sub bass hold.',
        ['static-part', 'never-rests', 'breath', 'repeated-notes', 'restless-part', 'unchanged-texture'],
        ['ARP 16ths', 'ARP 16ths copy', 'Pad Warm', 'Sub Bass', 'Vox Airy'],
      ),
      clean(
        'A synthesiser has no hands and no range.',
        ['hand-span', 'too-many-notes', 'outside-range', 'edge-of-range', 'wide-leap'],
        ['ARP 16ths', 'ARP 16ths copy', 'Pad Warm', 'Sub Bass', 'Vox Airy', 'Lead Mono Synth'],
      ),
      clean(
        'The lead doubles the cello an octave higher.',
        ['support-over-lead', 'background-above-melody', 'parallel-perfects'],
        ['Lead Mono Synth', 'Solo Cello'],
        25,
        29,
      ),
      clean('The pad and the sequence go above the cello.', ['background-above-melody', 'crossing'], undefined, 9, 16),
      clean('A kit has no harmony.', ['outside-range', 'crowded-low'], ['E-Kit']),
    ],
  }),
);
