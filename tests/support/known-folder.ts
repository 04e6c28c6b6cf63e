/**
 * A small ensemble piece made from known facts: who plays what, where each part enters and leaves, and a handful of
 * flaws at known places. The facts are written here by hand; what the program says of the folder is checked against them.
 *
 * 24 bars of 3/4 at 90 quarter notes a minute, C minor, an oboe in front of strings, flute, bassoon, horn and harp.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { MidiEvent } from 'midi-file';
import { writeMidi } from 'midi-file';
import { seededRandom } from './generated-folder.ts';
import { toTrack } from './midi-track.ts';
import type { TimedEvent } from './midi-track.ts';

const TICKS = 480;
const BARS = 24;
const MS_PER_TICK = 60_000 / 90 / TICKS;

export type Language = 'English' | 'German' | 'Italian' | 'French';

export interface KnownPart {
  readonly instrument: string;
  /** Track name by language. */
  readonly names: Readonly<Record<Language, string>>;
  /** First and last bar of every span in which it plays. */
  readonly spans: readonly (readonly [number, number])[];
  readonly program: number;
}

export const KNOWN_PARTS: readonly KnownPart[] = [
  {
    instrument: 'oboe',
    names: { English: 'Oboe Solo', German: 'Oboe solo', Italian: 'Oboe solo', French: 'Hautbois solo' },
    spans: [[1, 22]],
    program: 68,
  },
  {
    instrument: 'flute',
    names: { English: 'Flute', German: 'Flöte', Italian: 'Flauto', French: 'Flûte' },
    spans: [[9, 16]],
    program: 73,
  },
  {
    instrument: 'bassoon',
    names: { English: 'Bassoon', German: 'Fagott', Italian: 'Fagotto', French: 'Basson' },
    spans: [
      [5, 12],
      [17, 24],
    ],
    program: 70,
  },
  {
    instrument: 'horn-f',
    names: { English: 'Horn in F', German: 'Waldhorn', Italian: 'Corno', French: "Cor d'harmonie" },
    spans: [[13, 20]],
    program: 60,
  },
  {
    instrument: 'harp',
    names: { English: 'Harp', German: 'Harfe', Italian: 'Arpa', French: 'Harpe' },
    spans: [[3, 8]],
    program: 46,
  },
  {
    instrument: 'violin',
    names: { English: '1st Violins', German: 'Violine I', Italian: 'Violini I', French: 'Violons 1' },
    spans: [[5, 24]],
    program: 40,
  },
  {
    instrument: 'violin',
    names: { English: '2nd Violins', German: 'Violine II', Italian: 'Violini II', French: 'Violons 2' },
    spans: [[5, 24]],
    program: 40,
  },
  {
    instrument: 'viola',
    names: { English: 'Violas', German: 'Bratschen', Italian: 'Viole', French: 'Altos' },
    spans: [[5, 24]],
    program: 41,
  },
  {
    instrument: 'cello',
    names: { English: 'Celli', German: 'Violoncelli', Italian: 'Violoncelli', French: 'Violoncelles' },
    spans: [[5, 24]],
    program: 42,
  },
  {
    instrument: 'double-bass',
    names: { English: 'Basses', German: 'Kontrabässe', Italian: 'Contrabbassi', French: 'Contrebasses' },
    spans: [[9, 24]],
    program: 43,
  },
];

/** The deliberate flaws, as a rule of the program would name them. */
export const KNOWN_FLAWS = {
  /** Viola: B2, a semitone below its lowest string, at bar 11, beat 2. */
  outsideRange: { part: 7, bar: 11, beat: 2, midi: 47 },
  /** Horn: expression stays at zero in bars 13 to 15. */
  inaudibleEntry: { part: 3, from: 13, to: 15 },
  /** Second violins far louder than the firsts. */
  supportOverLead: { part: 6, over: 5, from: 17, to: 20 },
  /** The oboe stops at the end of bar 22, the strings at the end of bar 24. */
  foregroundEndsFirst: { part: 0, soloEnds: 22, restEnds: 24 },
  /** Bassoon: 65 ms behind. */
  late: { part: 2, ms: 65 },
  /** First violins: C1 before bars 5, 13 and 21, which switch the sound of the sampler. */
  keySwitches: { part: 5, midi: 24, count: 3 },
} as const;

/** Roots of the chords, one a bar, as pitch classes; a passacaglia-like cycle in C minor. */
const CHORDS: readonly (readonly number[])[] = [
  [0, 3, 7],
  [5, 8, 0],
  [10, 2, 5],
  [3, 7, 10],
  [8, 0, 3],
  [2, 5, 8],
  [7, 11, 2],
  [0, 3, 7],
];

function nearest(key: number, pitchClass: number): number {
  return key + ((((pitchClass - key) % 12) + 18) % 12) - 6;
}

/** Where a part lies and how it moves: the key its notes stay near, the chord tone it takes, the lengths in a bar. */
const LAYOUT: readonly {
  readonly centre: number;
  readonly tone: number;
  readonly lengths: readonly number[];
  readonly dynamic: number;
}[] = [
  { centre: 78, tone: 2, lengths: [1.5, 0.5, 1], dynamic: 100 },
  { centre: 86, tone: 0, lengths: [3], dynamic: 35 },
  { centre: 48, tone: 0, lengths: [2, 1], dynamic: 40 },
  { centre: 57, tone: 1, lengths: [3], dynamic: 40 },
  { centre: 62, tone: 0, lengths: [0.5, 0.5, 0.5, 0.5, 0.5, 0.5], dynamic: 50 },
  { centre: 70, tone: 1, lengths: [3], dynamic: 45 },
  { centre: 65, tone: 2, lengths: [3], dynamic: 40 },
  { centre: 58, tone: 0, lengths: [1, 1, 1], dynamic: 40 },
  { centre: 46, tone: 0, lengths: [3], dynamic: 40 },
  { centre: 36, tone: 0, lengths: [3], dynamic: 40 },
];

function trackOf(index: number, language: Language, random: () => number): MidiEvent[] {
  const part = KNOWN_PARTS[index]!;
  const layout = LAYOUT[index]!;
  const channel = index < 9 ? index : index + 1;
  const events: TimedEvent[] = [
    {
      tick: 0,
      order: 0,
      event: {
        deltaTime: 0,
        meta: true,
        type: 'trackName',
        text: Buffer.from(part.names[language], 'utf8').toString('latin1'),
      },
    },
    { tick: 0, order: 0, event: { deltaTime: 0, type: 'programChange', channel, programNumber: part.program } },
  ];
  const controller = (tick: number, controllerType: number, value: number): void => {
    events.push({ tick, order: 1, event: { deltaTime: 0, type: 'controller', channel, controllerType, value } });
  };
  const lateTicks = index === KNOWN_FLAWS.late.part ? KNOWN_FLAWS.late.ms / MS_PER_TICK : 0;
  const note = (quarters: number, length: number, midi: number, velocity: number): void => {
    const jitter = (random() + random() + random() - 1.5) * (10 / MS_PER_TICK);
    const tick = Math.max(0, Math.round(quarters * TICKS + lateTicks + jitter));
    const end = Math.round((quarters + length) * TICKS + lateTicks - 12 + jitter);
    events.push({ tick, order: 3, event: { deltaTime: 0, type: 'noteOn', channel, noteNumber: midi, velocity } });
    events.push({
      tick: end,
      order: 2,
      event: { deltaTime: 0, type: 'noteOff', channel, noteNumber: midi, velocity: 0 },
    });
  };
  const sustaining = index !== 4;
  if (sustaining) controller(0, 1, layout.dynamic - 5);
  for (const [from, to] of part.spans) {
    for (let bar = from; bar <= to; bar++) {
      const chord = CHORDS[(bar - 1) % CHORDS.length]!;
      const start = (bar - 1) * 3;
      const loud = index === KNOWN_FLAWS.supportOverLead.part && bar >= 17 && bar <= 20 ? 110 : layout.dynamic;
      if (sustaining) controller(Math.round(start * TICKS), 1, loud + (bar % 2) * 4);
      let position = start;
      layout.lengths.forEach((length, place) => {
        const tone = layout.lengths.length > 1 ? chord[(layout.tone + place) % 3]! : chord[layout.tone]!;
        const wrong = index === KNOWN_FLAWS.outsideRange.part && bar === 11 && place === 1;
        note(
          position,
          length,
          wrong ? KNOWN_FLAWS.outsideRange.midi : nearest(layout.centre, tone),
          sustaining ? 80 : layout.dynamic,
        );
        position += length;
      });
    }
  }
  if (index === KNOWN_FLAWS.inaudibleEntry.part) {
    controller(0, 11, 0);
    controller(15 * 3 * TICKS, 11, 110);
  }
  if (index === KNOWN_FLAWS.keySwitches.part) {
    for (const bar of [5, 13, 21]) {
      const tick = Math.round((bar - 1) * 3 * TICKS - 0.25 * TICKS);
      events.push({
        tick,
        order: 3,
        event: { deltaTime: 0, type: 'noteOn', channel, noteNumber: KNOWN_FLAWS.keySwitches.midi, velocity: 1 },
      });
      events.push({
        tick: tick + 60,
        order: 2,
        event: { deltaTime: 0, type: 'noteOff', channel, noteNumber: KNOWN_FLAWS.keySwitches.midi, velocity: 0 },
      });
    }
  }
  return toTrack(events);
}

function conductor(): MidiEvent[] {
  return [
    { deltaTime: 0, meta: true, type: 'timeSignature', numerator: 3, denominator: 4, metronome: 24, thirtyseconds: 8 },
    { deltaTime: 0, meta: true, type: 'setTempo', microsecondsPerBeat: 666_667 },
    { deltaTime: BARS * 3 * TICKS, meta: true, type: 'endOfTrack' },
  ];
}

function bytesOf(tracks: MidiEvent[][]): Uint8Array {
  return Uint8Array.from(writeMidi({ header: { format: 1, numTracks: tracks.length, ticksPerBeat: TICKS }, tracks }));
}

/** Writes the folder: a first stage with the oboe alone, a second with everyone; `filePerPart` makes the second a subfolder. */
export function writeKnownFolder(folder: string, language: Language, filePerPart: boolean): void {
  const random = seededRandom(7);
  const tracks = KNOWN_PARTS.map((_, index) => trackOf(index, language, random));
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, '1 solo.mid'), bytesOf([conductor(), tracks[0]!]));
  if (!filePerPart) {
    writeFileSync(join(folder, '2 tutti.mid'), bytesOf([conductor(), ...tracks]));
    return;
  }
  mkdirSync(join(folder, '2 tutti'), { recursive: true });
  tracks.forEach((track, index) => {
    // Only one of the files carries tempo and meter, as such exports often do.
    const file = index === 0 ? [conductor(), track] : [track];
    writeFileSync(join(folder, '2 tutti', `${String(index + 1).padStart(2, '0')} part.mid`), bytesOf(file));
  });
}
