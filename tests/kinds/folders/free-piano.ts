/** A piano improvised without a click, and strings laid to it by ear without any dynamics. Two stages, the first the piano alone. */
import type { WrittenTrack } from '../../../sample-input/midi-writer.ts';
import { meterEvent, midiFile, tempoEvent } from '../../../sample-input/midi-writer.ts';
import { piecesBars } from '../write/export.ts';
import type { Piece } from '../write/export.ts';
import type { Plan } from '../write/perform.ts';
import { performed } from '../write/perform.ts';
import { figured, instead, music, octaves, tied, within } from '../compose/compose.ts';
import { clean, flaw, folder, inChannels, lead, member, truthOf } from '../compose/folder.ts';
import { chords, fourParts } from '../compose/harmony.ts';

const TICKS = 480;
/** As felt at the piano; the file knows nothing of it. */
const piece: Piece = {
  lastBar: 24,
  meters: [{ fromBar: 1, numerator: 3, denominator: 4 }],
  tempi: [{ fromBar: 1, tempo: 64 }],
  ticksPerQuarter: TICKS,
};
const bars = piecesBars(piece);
const FILE_TEMPO = 120;

/** Seconds at a place of the music: the beat wanders, and the ends of phrases wait. */
function secondOf(quarters: number): number {
  let second = 0.7;
  for (let beat = 0; beat < quarters; beat++) {
    const tempo = 66 + 13 * Math.sin(beat / 3.7) + 7 * Math.sin(beat * 1.9);
    const waits = beat === 23 || beat === 47 || beat === 59 ? 0.75 : 0;
    second += Math.min(1, quarters - beat) * (60 / tempo + waits);
  }
  return second;
}
const fileQuarters = (quarters: number): number => (secondOf(quarters) * FILE_TEMPO) / 60;
/** The bar that the file counts at a bar of the music: its beginning, or its end. */
const fileBar = (bar: number, edge: 'start' | 'end'): number =>
  Math.floor((fileQuarters(edge === 'start' ? (bar - 1) * 3 : bar * 3) - (edge === 'end' ? 0.2 : 0)) / 4) + 1;

const spans = chords(
  bars,
  `1 Eb | Cm | Ab | Bb7 | Gm | Ab | Fm7 | Bb7
   9 Eb | G7 | Cm | Ab | Eb/G | Fm7 | Bb7 | Eb
   17 Ab | Gm | Fm7 | Cm | Ab | Fm7 | Bb7 | Eb`,
);
const tune = music(
  bars,
  `1 G4:1.5 Bb4:.5 Eb5:1 | D5:1 C5:2 | C5:1 Eb5:1.5 C5:.5 | D5:2 Bb4:1 | Bb4:1.5 D5:.5 G5:1 | F5:1 Eb5:2 | Eb5:1 C5 Ab4 | Bb4:3
   9 G5:1.5 F5:.5 Eb5:1 | D5:1 F5:2 | Eb5:1.5 D5:.5 C5:1 | Eb5:1 C5:2 | Bb4:1 Eb5 G5 | Ab5:1.5 G5:.5 F5:1 | D5:1 F5:1.5 D5:.5 | Eb5:3
   17 C5:1 Eb5 Ab5 | G5:1.5 F5:.5 D5:1 | F5:1 Eb5 C5 | Eb5:3 | C5:1.5 Bb4:.5 Ab4:1 | C5:1 Ab4 F4 | Ab4:1.5 G4:.5 F4:1 | Eb4:3`,
);
const left = fourParts(
  spans,
  'Eb',
  [
    [57, 70],
    [52, 63],
    [45, 58],
    [34, 48],
  ],
  tune,
);
const piano = [
  ...tune,
  ...figured(left, bars, 1, 23, '3@0:.5 2@.5:.5 1@1:.5 2@1.5:.5 1@2:.5 2@2.5:.5'),
  ...figured(left, bars, 24, 24, '3@0:3'),
];

const [one = [], two = [], three = [], four = []] = fourParts(
  spans,
  'Eb',
  [
    [57, 75],
    [55, 69],
    [48, 63],
    [36, 53],
  ],
  tune,
);
const laid = (line: typeof one) => tied([...within(line, 9, 16), ...within(line, 18, 24)]);
const violins1 = instead(laid(one), 11, 11, music(bars, '11 E5:3'));
const violins2 = instead(laid(two), 20, 20, music(bars, '20 G3+C4+Eb4+G4+C5:3'));
const violas = instead(laid(three), 22, 22, music(bars, '22 A2:1.5 Bb2'));
const cellos = instead(laid(four), 14, 15, music(bars, '14 F2+Ab2+C3:3 | Bb2+D3+F3:3'));
const under = laid(four).flatMap((note) => (note.midi >= 41 ? octaves([note], -1) : [note]));
const basses = instead(under, 14, 15, music(bars, '14 F1+C2:3 | A0:1.5 Bb0'));

const members = inChannels([
  member(bars, 'Klavier (frei eingespielt)', ['piano'], 1, 'keys', '1:mf 9:f 17:mf 21:p', piano, {
    program: 0,
    pedal: { bars: [1, 24], everyQuarters: 3 },
    scatterMs: 18,
  }),
  member(bars, '1. Geigen', ['violin'], 'section', 'bowed', '1:mf', violins1, { program: 48, flat: 80, scatterMs: 35 }),
  member(bars, '2. Geigen', ['violin'], 'section', 'bowed', '1:mf', violins2, { program: 48, flat: 80, scatterMs: 35 }),
  member(bars, 'Bratschen', ['viola'], 'section', 'bowed', '1:mf', violas, { program: 48, flat: 80, scatterMs: 35 }),
  member(bars, 'Celli', ['cello'], 'section', 'bowed', '1:mf', cellos, { program: 48, flat: 80, scatterMs: 35 }),
  member(bars, 'Kontrabässe', ['double-bass'], 'section', 'bowed', '1:mf', basses, {
    program: 48,
    flat: 80,
    scatterMs: 35,
  }),
]);
const plans = members.map(({ plan }) => plan);

/** One file at 120 whose bars mean nothing. */
function freeFile(chosen: readonly Plan[], seed: number): Uint8Array {
  const clock = { bars, ticksPerQuarter: TICKS, tempoAt: () => 64, swing: 1 };
  const tickOf = (tick: number): number => Math.round(fileQuarters(tick / TICKS) * TICKS);
  const tracks = chosen.map((plan): WrittenTrack => {
    const { events, lastTick } = performed(plan, clock, seed, false);
    return {
      events: events.map((event) =>
        event.tick === 0 && event.order < 4 ? event : { ...event, tick: tickOf(event.tick) },
      ),
      lastTick: tickOf(lastTick),
    };
  });
  const lastTick = Math.max(...tracks.map((track) => track.lastTick));
  return midiFile(TICKS, [{ events: [tempoEvent(0, FILE_TEMPO), meterEvent(0, 4, 4)], lastTick }, ...tracks]);
}

const inFile = (from: number, to: number) => [fileBar(from, 'start'), fileBar(to, 'end')] as const;
const written = truthOf(piece, members, spans, {
  keys: [{ fromBar: 1, tonic: 'Eb', mode: 'major' }],
  style: 'score',
  onGrid: false,
  front: [lead(1, fileBar(24, 'end'), 'Klavier (frei eingespielt)')],
  flaws: [
    flaw(
      'false tone',
      ...inFile(11, 11),
      ['1. Geigen'],
      ['clashing-second', 'incomplete-chord', 'unresolved-tone'],
      'The first violins hold E natural above the E flats of a C minor chord.',
    ),
    flaw(
      'mud',
      ...inFile(14, 14),
      ['Celli', 'Kontrabässe'],
      ['crowded-low'],
      'A close triad of the cellos from F2 over an open fifth F1 to C2 of the basses.',
    ),
    flaw(
      'low basses',
      ...inFile(15, 15),
      ['Kontrabässe'],
      ['outside-range'],
      'A0 and B flat 0 lie below every double bass.',
    ),
    flaw(
      'five violins',
      ...inFile(20, 20),
      ['2. Geigen'],
      ['divisi', 'too-many-notes'],
      'Five notes at once for one section of violins.',
    ),
    flaw('low violas', ...inFile(22, 22), ['Bratschen'], ['outside-range'], 'A2 and B flat 2 lie below the C string.'),
  ],
  clean: [
    clean('The strings have one velocity and no curve: nothing can be said of their level.', [
      'background-as-loud',
      'background-covers',
      'support-over-lead',
      'inaudible-entry',
    ]),
    clean('Nothing was played to the bar lines, so nothing that counts beats can be said.', [
      'late-part',
      'entry-off-phrase',
      'all-at-once',
      'static-part',
      'restless-part',
      'unchanged-texture',
      'parallel-perfects',
      'root-not-in-bass',
      'foreground-ends-first',
      'displaced-part',
    ]),
    clean(
      'Two hands on a piano with the pedal.',
      ['hand-span', 'too-many-notes', 'never-rests'],
      ['Klavier (frei eingespielt)'],
    ),
    clean(
      'Long notes of a section are bowed in turn.',
      ['breath', 'never-rests'],
      ['1. Geigen', '2. Geigen', 'Bratschen', 'Celli', 'Kontrabässe'],
    ),
  ],
});

export const freePiano = folder(
  'free-piano',
  'a piano played freely against a metronome of 120 that it ignores, strings laid to it, German names, two stages',
  (seed) =>
    new Map([
      ['01 Klavier.mid', freeFile(plans.slice(0, 1), seed)],
      ['02 Streicher dazu.mid', freeFile(plans, seed)],
    ]),
  {
    ...written,
    notes: written.notes.map((note) => {
      const start = fileQuarters(note.start);
      return { ...note, start, length: fileQuarters(note.start + note.length) - start };
    }),
    chords: (written.chords ?? []).map((chord) => {
      const start = fileQuarters(chord.start);
      return {
        ...chord,
        start,
        length: fileQuarters(chord.start + chord.length) - start,
        bar: Math.floor(start / 4) + 1,
      };
    }),
    meters: [{ fromBar: 1, numerator: 4, denominator: 4 }],
  },
);
