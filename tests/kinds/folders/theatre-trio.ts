/** A song out of a play for voice with reed, cello and piano, as a small theatre has them; pit names, velocities. */
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import { figured, instead, music } from '../compose/compose.ts';
import { clean, flaw, folder, inChannels, inOneFile, lead, member, truthOf } from '../compose/folder.ts';
import { basses, chords } from '../compose/harmony.ts';
import { innerVoices } from '../compose/inner-voices.ts';

const piece: Piece = {
  lastBar: 24,
  meters: [{ fromBar: 1, numerator: 3, denominator: 4 }],
  tempi: [{ fromBar: 1, tempo: 92 }],
  keys: [{ fromBar: 1, fifths: -2, minor: false }],
  ticksPerQuarter: 480,
};
const bars = piecesBars(piece);
const spans = chords(
  bars,
  `1 Bb | Gm | Eb | F | Bb | Gm | Eb | F | Bb | Dm | Eb | F | Gm | Eb | Cm | F
   17 Bb | Gm | Eb | F | Bb | Eb | F | Bb`,
);
const voice = music(
  bars,
  `5 D4:1 F4 Bb4 | Bb4:2 A4:1 | G4:1 Bb4 Eb5 | C5:2 -:1 | D5:1 Bb4 F4 | A4:2 F4:1 | G4:1 Bb4 G4 | F4:2 -:1
   13 G4:1 Bb4 D5 | Eb5:2 D5:1 | C5:1 G4 Eb4 | F4:2 -:1 | D4:1 F4 Bb4 | Bb4:2 D5:1 | Eb5:1 Bb4 G4 | A4:2 -:1
   21 Bb4:1 F4 D4 | G4:2 Bb4:1 | A4:1 C5 F4 | Bb4:3`,
);
// Written pitches in 9 to 12: a tone above the sound of a clarinet in B flat.
const reed = music(
  bars,
  `1 F5:1.5 D5:.5 Bb4:1 | D5:2 Bb4:1 | G4:1 Bb4 Eb5 | C5:2 -:1 | F4:3 | D4:2 -:1 | Bb4:3 | A4:2 -:1
   9 C5:2 G4:1 | E4:2 G4:1 | C5:2 A4:1 | G4:2 -:1 | D4:3 | G4:2 -:1 | Eb4:3 | C4:2 -:1
   17 F4:3 | D4:2 -:1 | G4:3 | C5:2 -:1 | F4:3 | G4:2 -:1 | F4:2 A4:1 | F4:3`,
);
const roots = basses(spans, 45);
const cello = instead(figured([roots], bars, 1, 24, '0@0:3'), 15, 15, music(bars, '15 C2+E2:3'));
const hand = innerVoices(spans, [], roots, [
  [60, 70],
  [56, 66],
  [52, 62],
]);
const piano = instead(
  [...figured(hand, bars, 1, 24, '012@1:1 012@2:1'), ...figured([basses(spans, 40)], bars, 1, 24, '0@0:1')],
  20,
  20,
  music(bars, '20 F#2:1 A3+C4+F4 A3+C4+F4'),
);
const members = inChannels([
  member(bars, 'VOX (Nell)', ['voice', 'voice-soprano', 'voice-mezzo', 'voice-alto'], 1, 'sung', '5:mf', voice, {
    program: 53,
    scatterMs: 18,
  }),
  member(bars, 'REED (Bb Cl)', ['clarinet-bflat'], 1, 'blown', '1:mf 5:p', reed, { program: 71 }),
  member(bars, 'CELLO', ['cello'], 1, 'bowed', '1:mp', cello, { program: 42 }),
  member(bars, 'PIANO-COND', ['piano'], 1, 'keys', '1:mp 13:fff 17:mp', piano, { program: 0 }),
]);

export const theatreTrio = folder(
  'theatre-trio',
  'a song out of a play for voice with clarinet, cello and piano, pit names, velocities alone',
  inOneFile('07 Nell (pit).mid', piece, members),
  truthOf(piece, members, spans, {
    keys: [{ fromBar: 1, tonic: 'Bb', mode: 'major' }],
    style: 'song',
    front: [lead(1, 4, 'REED (Bb Cl)'), lead(5, 24, 'VOX (Nell)')],
    flaws: [
      flaw(
        'clarinet as written',
        9,
        12,
        ['REED (Bb Cl)'],
        ['displaced-part', 'clashing-second'],
        'A tone too high: written pitches.',
      ),
      flaw(
        'piano over the singer',
        13,
        16,
        ['PIANO-COND'],
        ['background-as-loud', 'background-covers'],
        'The piano strikes as hard as it can under the voice.',
      ),
      flaw(
        'two notes on the C string',
        15,
        15,
        ['CELLO'],
        ['one-string', 'double-stop', 'clashing-second'],
        'C2 and E2 both need the C string.',
      ),
      flaw(
        'wrong bass',
        20,
        20,
        ['PIANO-COND'],
        ['clashing-second', 'root-not-in-bass', 'crowded-low'],
        'F sharp under F, which the cello has.',
      ),
    ],
    clean: [
      clean(
        'Cello and left hand share the bass.',
        ['bass-doubled-too-close', 'parallel-perfects', 'leftover-track'],
        ['CELLO', 'PIANO-COND'],
      ),
      clean(
        'A waltz accompaniment repeats.',
        ['static-part', 'never-rests', 'unchanged-texture', 'hollow-without-foreground', 'incomplete-chord'],
        ['PIANO-COND', 'CELLO'],
      ),
      clean('The reed crosses the singer.', ['crossing', 'support-over-lead'], ['REED (Bb Cl)']),
    ],
  }),
);
