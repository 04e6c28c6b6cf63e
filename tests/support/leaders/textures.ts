/**
 * Short textures of our own whose leader is known because it was written so. Quarters of 4/4 unless said; names of parts say nothing of
 * who leads. Half of them are for setting weights, the other half for a last look.
 */
import type { Part } from '../../../src/model/music/arrangement.ts';
import type { Timeline } from '../../../src/model/music/timeline.ts';
import { partOf, timelineOf } from '../arrangement.ts';

export interface Texture {
  readonly name: string;
  readonly half: 'tuning' | 'last-look';
  readonly parts: readonly Part[];
  readonly timeline: Timeline;
  /** Who leads, by bars; several where either would do. */
  readonly front: readonly { readonly partIds: readonly string[]; readonly from: number; readonly to: number }[];
}

const BAR = 4;
/** Chords of eight bars, low to high, as pitch classes with octaves. */
const CHORDS = ['C3 E4 G4', 'A3 C4 E4', 'F3 A4 C5', 'G3 B3 D4', 'C3 E4 G4', 'D3 F4 A4', 'G3 B3 F4', 'C3 E4 G4'];
const BASSES = ['C2', 'A2', 'F2', 'G2', 'C2', 'D2', 'G2', 'C2'];

/** `pitch:length` words in sequence from a place; `r` rests. */
function tune(text: string, from = 0, octave = 0, velocity = 76): string {
  let at = from;
  const notes: string[] = [];
  for (const [index, word] of text.trim().split(/\s+/).entries()) {
    const [pitch = 'r', length = '1'] = word.split(':');
    if (pitch !== 'r') {
      const moved = pitch.replace(/\d/, (digit) => String(Number(digit) + octave));
      notes.push(`${moved}:${String(at)}:${String(Number(length) * 0.95)}:${String(velocity + ((index * 7) % 9) - 4)}`);
    }
    at += Number(length);
  }
  return notes.join(' ');
}

type Figure = (
  chord: readonly string[],
  bass: string,
) => readonly (readonly [pitch: string, at: number, length: number])[];

/** An accompaniment over the chords from bar `from` to `to`. */
function figure(own: Figure, from = 1, to = 8, velocity = 68): string {
  const notes: string[] = [];
  for (let bar = from; bar <= to; bar++) {
    const chord = (CHORDS[(bar - 1) % CHORDS.length] ?? '').split(' ');
    for (const [index, [pitch, at, length]] of own(chord, BASSES[(bar - 1) % BASSES.length] ?? 'C2').entries())
      notes.push(
        `${pitch}:${String((bar - 1) * BAR + at)}:${String(length * 0.95)}:${String(velocity + ((index * 5 + bar) % 7) - 3)}`,
      );
  }
  return notes.join(' ');
}

const up = (pitch: string, octaves: number): string => pitch.replace(/\d/, (digit) => String(Number(digit) + octaves));
const beats = (...at: number[]): readonly number[] => at;

const held =
  (voice: number, octaves = 0): Figure =>
  (chord) => [[up(chord[voice] ?? 'C4', octaves), 0, 4]];
const pad =
  (octaves = 0): Figure =>
  (chord) =>
    chord.map((pitch) => [up(pitch, octaves), 0, 4] as const);
const repeated =
  (voice: number, length: number, octaves = 0): Figure =>
  (chord) =>
    Array.from(
      { length: 4 / length },
      (_, index) => [up(chord[voice] ?? 'C4', octaves), index * length, length] as const,
    );
const after =
  (voice: number, octaves = 0): Figure =>
  (chord) =>
    beats(1, 2, 3).map((at) => [up(chord[voice] ?? 'C4', octaves), at, 0.5] as const);
const offbeat =
  (octaves = 0): Figure =>
  (chord) =>
    beats(0.5, 1.5, 2.5, 3.5).flatMap((at) => chord.slice(1).map((pitch) => [up(pitch, octaves), at, 0.4] as const));
const comping =
  (octaves = 0): Figure =>
  (chord) =>
    beats(0, 1.5, 3.5).flatMap((at) => chord.map((pitch) => [up(pitch, octaves), at, 0.5] as const));
const broken =
  (octaves = 0, length = 0.5): Figure =>
  (chord) =>
    Array.from(
      { length: 4 / length },
      (_, index) => [up(chord[[0, 2, 1, 2][index % 4] ?? 0] ?? 'C4', octaves), index * length, length] as const,
    );
const rolling =
  (octaves = 0): Figure =>
  (chord) =>
    Array.from({ length: 16 }, (_, index) => {
      const tones = [...chord, ...chord.map((pitch) => up(pitch, 1))];
      const place = index % 10;
      return [up(tones[place < 6 ? place : 10 - place] ?? 'C4', octaves), index * 0.25, 0.25] as const;
    });
const roots: Figure = (_, bass) => [
  [bass, 0, 2],
  [bass, 2, 2],
];
const walking: Figure = (chord, bass) => [
  [bass, 0, 1],
  [up(chord[1] ?? 'E4', -2), 1, 1],
  [up(chord[2] ?? 'G4', -2), 2, 1],
  [up(chord[1] ?? 'E4', -2), 3, 1],
];
const riff: Figure = () =>
  (['C5', 'G4', 'Bb4', 'G4', 'C5', 'G4', 'D5', 'G4'] as const).map(
    (pitch, index) => [pitch, index * 0.5, 0.5] as const,
  );

/** Tunes of our own over the chords, eight bars. */
const AIR =
  'E5:1.5 D5:0.5 C5:1 G4:1 A4:1 C5:1 E5:1.5 D5:0.5 C5:2 A4:1 C5:1 B4:3 r:1 G4:1 C5:1 E5:1 G5:1 F5:1.5 E5:0.5 D5:1 A4:1 B4:1 D5:1 F5:1 D5:1 C5:3 r:1';
const SONG =
  'G4:2 E5:1 D5:0.5 E5:0.5 C5:3 r:0.5 B4:0.5 A4:1 A4:0.5 B4:0.5 C5:1 D5:1 B4:2.5 r:0.5 A4:0.5 B4:0.5 C5:2 D5:0.5 E5:1.5 F5:1 E5:1 D5:1 C5:1 B4:1.5 A4:0.5 G4:1 B4:1 C5:3 r:1';
const RIDE =
  'r:0.5 G4:0.5 A4:0.5 C5:1 E5:0.5 D5:0.5 C5:0.5 A4:1.5 C5:0.5 r:1 E5:0.5 G5:0.5 A5:1 G5:0.5 F5:0.5 E5:0.5 C5:0.5 A4:1 B4:0.5 D5:0.5 F5:0.5 D5:0.5 B4:1 r:1 E5:1.5 D5:0.5 C5:0.5 A4:0.5 G4:1 A4:0.5 D5:1 F5:0.5 A5:1 F5:1 G5:0.5 F5:0.5 D5:0.5 B4:0.5 A4:0.5 Ab4:0.5 G4:1 C5:2.5 r:1.5';
const MARCH =
  'C5:1 C5:0.75 D5:0.25 E5:1 G5:1 E5:1.5 D5:0.5 C5:2 A4:1 A4:0.75 B4:0.25 C5:1 E5:1 D5:3 r:1 E5:1 E5:0.75 F5:0.25 G5:1 C5:1 D5:1 F5:1 A5:2 G5:1 F5:1 D5:1 B4:1 C5:3 r:1';

type Lead = readonly [partIds: string | readonly string[], from: number, to: number];

function texture(
  half: Texture['half'],
  name: string,
  parts: Readonly<Record<string, readonly [instrument: string, music: string]>>,
  front: readonly Lead[],
  bars = 8,
  pickup = 0,
): Texture {
  const timeline = timelineOf(bars, { numerator: 4, denominator: 4 }, 96, pickup);
  return {
    name,
    half,
    timeline,
    parts: Object.entries(parts).map(([id, [instrument, music]]) =>
      partOf(instrument, music, timeline, { id, name: id }),
    ),
    front: front.map(([ids, from, to]) => ({ partIds: typeof ids === 'string' ? [ids] : ids, from, to })),
  };
}

export const TEXTURES: readonly Texture[] = [
  texture(
    'tuning',
    'cello tune under held violins',
    {
      v1: ['violin', figure(held(2, 1))],
      v2: ['violin', figure(held(1, 1))],
      va: ['viola', figure(repeated(1, 0.5))],
      vc: ['cello', tune(AIR, 0, -2)],
      db: ['double-bass', figure(roots)],
    },
    [['vc', 1, 8]],
  ),
  texture(
    'tuning',
    'tenor saxophone over comping and a walking bass',
    {
      sax: ['sax-tenor', tune(RIDE, 0, -1)],
      keys: ['piano', figure(comping())],
      bass: ['double-bass', figure(walking)],
    },
    [['sax', 1, 8]],
  ),
  texture(
    'tuning',
    'low voice under a picked guitar',
    {
      a: ['unknown', tune(SONG, 0, -2)],
      b: ['guitar', figure(broken(0))],
    },
    [['a', 1, 8]],
  ),
  texture(
    'tuning',
    'clarinet over broken chords and a pad',
    {
      cl: ['clarinet-bflat', tune(AIR, 0, -1)],
      pno: ['piano', figure(broken(0))],
      pad: ['string-ensemble', figure(pad())],
    },
    [['cl', 1, 8]],
  ),
  texture(
    'tuning',
    'handed from flute to oboe to violin, each with its upbeat',
    {
      fl: ['flute', tune(`G4:1 ${AIR.slice(0, -3)}`, -1, 1)],
      ob: ['oboe', tune(`G4:1 ${SONG.slice(0, -3)}`, 31)],
      vn: ['violin', `${figure(after(2), 1, 16)} ${tune(`B4:0.5 D5:0.5 ${MARCH}`, 63)}`],
      va: ['viola', figure(after(1), 1, 24)],
      vc: ['cello', figure(roots, 1, 24)],
    },
    [
      ['fl', 1, 8],
      ['ob', 9, 16],
      ['vn', 17, 24],
    ],
    24,
    1,
  ),
  texture(
    'tuning',
    'bass tune under soft chords',
    {
      bass: ['double-bass', tune(SONG, 0, -3)],
      keys: ['piano', figure(offbeat(1))],
      pad: ['string-ensemble', figure(pad(1))],
    },
    [['bass', 1, 8]],
  ),
  texture(
    'tuning',
    'violin tune under running harp',
    {
      hp: ['harp', figure(rolling(1))],
      vn: ['violin', tune(SONG)],
      hn: ['horn-f', figure(held(1))],
      vc: ['cello', figure(roots)],
    },
    [['vn', 1, 8]],
  ),
  texture(
    'tuning',
    'brass chorale: the top line',
    {
      t1: ['trumpet-bflat', tune('G4:2 A4:1 B4:1 C5:2 C5:1 D5:1 C5:2 A4:2 B4:4 C5:2 E5:2 D5:2 C5:2 D5:2 B4:2 C5:4')],
      t2: [
        'trumpet-bflat',
        tune('E4:2 F4:1 G4:1 A4:2 A4:1 A4:1 A4:2 F4:2 G4:4 G4:2 G4:2 A4:2 A4:2 G4:2 F4:2 E4:4', 0, 0, 74),
      ],
      hn: ['horn-f', tune('C4:2 C4:1 D4:1 E4:2 E4:1 F4:1 F4:2 C4:2 D4:4 E4:2 C4:2 F4:2 E4:2 D4:2 D4:2 C4:4', 0, 0, 74)],
      tb: [
        'trombone',
        tune('C3:2 F3:1 G3:1 A3:2 A3:1 D3:1 F3:2 F3:2 G3:4 C3:2 C3:2 D3:2 A2:2 B2:2 G2:2 C3:4', 0, 0, 74),
      ],
    },
    [['t1', 1, 8]],
  ),
  texture(
    'tuning',
    'piano tune with its own left hand, strings behind',
    {
      pno: ['piano', `${tune(AIR)} ${figure(broken(-1))}`],
      v1: ['violin', figure(held(2))],
      va: ['viola', figure(held(1))],
      vc: ['cello', figure(roots)],
    },
    [['pno', 1, 8]],
  ),
  texture(
    'tuning',
    'lead synthesiser over a riff',
    {
      lead: ['synthesizer', tune(SONG)],
      gtr: ['electric-guitar', figure(riff)],
      bass: ['bass-guitar', figure(repeated(0, 0.5, -1))],
    },
    [['lead', 1, 8]],
  ),

  texture(
    'last-look',
    'horn tune under repeated strings and wind after-beats',
    {
      fl: ['flute', figure(after(2, 1))],
      ob: ['oboe', figure(after(1, 1))],
      hn: ['horn-f', tune(MARCH, 0, -1)],
      v1: ['violin', figure(repeated(2, 0.25))],
      v2: ['violin', figure(repeated(1, 0.25))],
      vc: ['cello', figure(roots)],
    },
    [['hn', 1, 8]],
  ),
  texture(
    'last-look',
    'bassoon tune under plucked chords',
    {
      v1: ['violin', figure(after(2))],
      v2: ['violin', figure(after(1))],
      bn: ['bassoon', tune(MARCH, 0, -2)],
      db: ['double-bass', figure(roots)],
    },
    [['bn', 1, 8]],
  ),
  texture(
    'last-look',
    'trumpet tune under violin figuration, a flute an octave above',
    {
      fl: ['flute', tune(MARCH, 0, 1, 72)],
      tp: ['trumpet-bflat', tune(MARCH)],
      v1: ['violin', figure(rolling(1))],
      va: ['viola', figure(repeated(1, 0.5))],
      vc: ['cello', figure(roots)],
    },
    [[['tp', 'fl'], 1, 8]],
  ),
  texture(
    'last-look',
    'trombone tune under a marimba pattern',
    {
      mar: ['marimba', figure(riff)],
      tb: ['trombone', tune(SONG, 0, -2)],
      pad: ['string-ensemble', figure(pad(1))],
      bass: ['bass-guitar', figure(repeated(0, 1, -1))],
    },
    [['tb', 1, 8]],
  ),
  texture(
    'last-look',
    'violin and cello in turn, two bars each',
    {
      vn: [
        'violin',
        [0, 16]
          .map((at) => `${tune('C5:0.5 D5:0.5 E5:1 G5:1 E5:1 F5:1 E5:1 D5:2', at)} ${tune('C5:8', at + 8, 0, 66)}`)
          .join(' '),
      ],
      vc: [
        'cello',
        [0, 16]
          .map((at) => `${tune('C3:8', at, 0, 66)} ${tune('A3:0.5 B3:0.5 C4:1 E4:1 C4:1 D4:1 C4:1 B3:2', at + 8)}`)
          .join(' '),
      ],
      pno: ['piano', figure(comping())],
    },
    [
      ['vn', 1, 2],
      ['vc', 3, 4],
      ['vn', 5, 6],
      ['vc', 7, 8],
    ],
  ),
  texture(
    'last-look',
    'waltz-like accompaniment, clarinet tune in the low register',
    {
      fl: ['flute', figure(held(2, 1))],
      cl: ['clarinet-bflat', tune(AIR, 0, -1)],
      v1: ['violin', figure(after(2, 1))],
      va: ['viola', figure(after(1))],
      db: ['double-bass', figure(roots)],
    },
    [['cl', 1, 8]],
  ),
  texture(
    'last-look',
    'flugelhorn, then the bass solo, over vibraphone chords',
    {
      fh: ['flugelhorn', tune(RIDE)],
      vib: ['vibraphone', figure(comping(1), 1, 16)],
      bass: ['double-bass', `${figure(walking)} ${tune(RIDE, 32, -3)}`],
    },
    [
      ['fh', 1, 8],
      ['bass', 9, 16],
    ],
    16,
  ),
  texture(
    'last-look',
    'choir of four: the soprano',
    {
      s: [
        'voice-soprano',
        tune('C5:1 D5:1 E5:2 E5:1 D5:1 C5:2 A4:1 C5:1 F5:2 D5:4 E5:1 D5:1 C5:2 F5:2 E5:1 D5:1 D5:2 B4:2 C5:4'),
      ],
      a: [
        'voice-alto',
        tune(
          'G4:1 G4:1 G4:2 A4:1 A4:1 A4:2 F4:1 A4:1 A4:2 G4:4 G4:1 G4:1 G4:2 A4:2 A4:1 A4:1 G4:2 F4:2 E4:4',
          0,
          0,
          76,
        ),
      ],
      t: [
        'voice-tenor',
        tune(
          'E4:1 D4:1 C4:2 C4:1 F4:1 E4:2 C4:1 F4:1 C4:2 B3:4 C4:1 B3:1 E4:2 D4:2 C4:1 D4:1 B3:2 D4:2 G3:4',
          0,
          0,
          76,
        ),
      ],
      b: [
        'voice-bass',
        tune(
          'C3:1 B2:1 C3:2 A3:1 D3:1 A2:2 F3:1 F3:1 F3:2 G3:4 C3:1 G3:1 C3:2 D3:2 A3:1 F3:1 G3:2 G2:2 C3:4',
          0,
          0,
          76,
        ),
      ],
    },
    [['s', 1, 8]],
  ),
  texture(
    'last-look',
    'viola tune between offbeat violins and a held flute',
    {
      fl: ['flute', figure(held(2, 1))],
      v1: ['violin', figure(offbeat(0))],
      va: ['viola', tune(SONG, 0, -1)],
      vc: ['cello', figure(roots)],
    },
    [['va', 1, 8]],
  ),
  texture(
    'last-look',
    'guitar tune over an organ that moves in chords',
    {
      gtr: ['electric-guitar', tune(AIR, 0, -1)],
      org: ['organ', figure(pad())],
      bass: ['bass-guitar', figure(walking)],
    },
    [['gtr', 1, 8]],
  ),
];
