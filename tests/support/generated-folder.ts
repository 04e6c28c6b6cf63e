/**
 * Arrangements of any size, for benchmarks and for tests of what is huge: a chorale-like texture over a slow chord
 * sequence, with human timing and controller curves. The same arguments always give the same bytes.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { MidiEvent } from 'midi-file';
import { writeMidi } from 'midi-file';
import { toTrack } from './midi-track.ts';
import type { TimedEvent } from './midi-track.ts';

const TICKS = 480;

/** Name, General MIDI program (zero-based), lowest and highest key used. */
const PLAYERS: readonly (readonly [string, number, number, number])[] = [
  ['Clarinet in Bb solo', 71, 62, 84],
  ['Violin I', 40, 62, 84],
  ['Violin II', 40, 58, 79],
  ['Viola', 41, 50, 70],
  ['Violoncello', 42, 38, 60],
  ['Contrabass', 43, 28, 43],
  ['Flute 1', 73, 67, 91],
  ['Oboe 1', 68, 62, 84],
  ['Bassoon 1', 70, 36, 60],
  ['Horn in F 1', 60, 45, 70],
  ['Harp', 46, 40, 90],
  ['Trumpet 1', 56, 58, 78],
  ['Trombone 1', 57, 43, 64],
  ['Tuba', 58, 31, 50],
];

const CHORDS: readonly (readonly number[])[] = [
  [0, 4, 7],
  [9, 0, 4],
  [5, 9, 0],
  [2, 5, 9],
  [7, 11, 2],
  [4, 7, 11],
];

/** Small linear congruential generator (constants: Numerical Recipes, from memory), 0..1. */
export function seededRandom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

function partTrack(player: number, bars: number, random: () => number): MidiEvent[] {
  const [name, program, low, high] = PLAYERS[player % PLAYERS.length]!;
  const channel = player % 15 < 9 ? player % 15 : (player % 15) + 1;
  const copy = Math.floor(player / PLAYERS.length);
  const events: TimedEvent[] = [
    {
      tick: 0,
      order: 0,
      event: {
        deltaTime: 0,
        meta: true,
        type: 'trackName',
        text: copy === 0 ? name : `${name.replace(/\d/, '')} ${copy + 1}`,
      },
    },
    { tick: 0, order: 1, event: { deltaTime: 0, type: 'programChange', channel, programNumber: program } },
  ];
  let key = Math.round((low + high) / 2);
  for (let bar = 0; bar < bars; bar++) {
    // Every part but the first rests now and then, in four-bar groups.
    if (player > 0 && (Math.floor(bar / 4) + player) % 5 === 0) continue;
    const chord = CHORDS[(bar * 7 + Math.floor(bar / 8)) % CHORDS.length]!;
    events.push({
      tick: bar * 4 * TICKS,
      order: 1,
      event: {
        deltaTime: 0,
        type: 'controller',
        channel,
        controllerType: 11,
        value: 70 + ((bar * 13 + player * 5) % 50),
      },
    });
    const pattern = [[4], [2, 2], [1, 1, 2], [1, 1, 1, 1], [0.5, 0.5, 1, 2], [1.5, 0.5, 1, 1]][
      Math.floor(random() * 6)
    ]!;
    let position = bar * 4;
    for (const length of pattern) {
      const wanted = chord[Math.floor(random() * 3)]!;
      const candidates = [-1, 0, 1]
        .map((octave) => Math.round((key - wanted) / 12 + octave) * 12 + wanted)
        .filter((candidate) => candidate >= low && candidate <= high);
      key = candidates.sort((a, b) => Math.abs(a - key) - Math.abs(b - key))[0] ?? key;
      const start = Math.max(0, Math.round((position + (random() - 0.5) * 0.04) * TICKS));
      const end = Math.round((position + length * 0.95) * TICKS);
      events.push({
        tick: start,
        order: 2,
        event: { deltaTime: 0, type: 'noteOn', channel, noteNumber: key, velocity: 50 + Math.floor(random() * 40) },
      });
      events.push({
        tick: end,
        order: 0,
        event: { deltaTime: 0, type: 'noteOff', channel, noteNumber: key, velocity: 0 },
      });
      position += length;
    }
  }
  return toTrack(events);
}

/** Bytes of one stage with this many bars and parts. */
export function generatedMidi(bars: number, parts: number, seed = 1): Uint8Array {
  const random = seededRandom(seed);
  const conductor = toTrack([
    {
      tick: 0,
      order: 0,
      event: {
        deltaTime: 0,
        meta: true,
        type: 'timeSignature',
        numerator: 4,
        denominator: 4,
        metronome: 24,
        thirtyseconds: 8,
      },
    },
    { tick: 0, order: 0, event: { deltaTime: 0, meta: true, type: 'setTempo', microsecondsPerBeat: 666_667 } },
  ]);
  const tracks = [conductor, ...Array.from({ length: parts }, (_, player) => partTrack(player, bars, random))];
  return Uint8Array.from(writeMidi({ header: { format: 1, numTracks: tracks.length, ticksPerBeat: TICKS }, tracks }));
}

/** Writes a folder of stages that grow to the full number of parts, or all have it, each then other music. */
export function writeGeneratedFolder(folder: string, bars: number, parts: number, stages: number, full = false): void {
  mkdirSync(folder, { recursive: true });
  for (let stage = 1; stage <= stages; stage++) {
    const grown = full ? parts : Math.max(1, Math.round((parts * stage) / stages));
    writeFileSync(
      join(folder, `${String(stage).padStart(2, '0')} stage.mid`),
      generatedMidi(bars, grown, full ? stage : 1),
    );
  }
}
