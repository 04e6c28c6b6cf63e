/** A small piece in a rhythm that never comes again, and recordings of it: a tone that is struck and dies away for each note. */
import { chunk, endOfTrack, header, noteOff, noteOn, trackName } from './midi-bytes.ts';
import { wavBytes } from './sound-bytes.ts';

export const STRUCK_RATE_HZ = 16000;
const QUARTER_SECONDS = 0.5;
/** Lengths in quarters, in no pattern that comes again. */
const RHYTHM = [
  1, 0.5, 1.5, 1, 2, 0.5, 0.5, 1, 1.5, 0.5, 2, 1, 0.5, 1, 1.5, 1, 0.5, 2.5, 1, 0.5, 1.5, 0.5, 1, 2, 1, 1.5, 0.5, 1, 1,
  2,
];
export const STRUCK_SECONDS = RHYTHM.reduce((sum, length) => sum + length * QUARTER_SECONDS, 0);
/** Seconds in which a tone comes up. */
const ATTACK_SECONDS = 0.004;

const track = (name: string, midi: number, noteCount: number): number[] =>
  chunk('MTrk', [
    ...trackName(name),
    ...RHYTHM.slice(0, noteCount).flatMap((length, index) => [
      ...noteOn(0, midi + (index % 5), 90),
      ...noteOff(Math.round(length * 96), midi + (index % 5)),
    ]),
    ...endOfTrack(),
  ]);

/** The piece for parts of these names and lowest key numbers, of all notes or the first so many, at 120 quarters a minute. */
export function struckPiece(parts: readonly (readonly [name: string, midi: number, noteCount?: number])[]): Uint8Array {
  const tracks = parts.flatMap(([name, midi, noteCount = RHYTHM.length]) => track(name, midi, noteCount));
  return Uint8Array.from([...header(1, parts.length, 96), ...tracks]);
}

interface Played {
  /** Silence before the music, seconds; negative where its beginning is cut off. */
  readonly lead?: number;
  readonly gain?: number;
  readonly channels?: number;
  readonly rateHz?: number;
  /** Seconds of the music that are there. */
  readonly length?: number;
  /** Share of the tempo of the notes. */
  readonly tempo?: number;
}

/** A part of the piece as a WAV file. */
export function struckRecording({
  lead = 0,
  gain = 0.2,
  channels = 2,
  rateHz = STRUCK_RATE_HZ,
  tempo = 1,
  length = STRUCK_SECONDS / tempo + 1,
}: Played = {}): Uint8Array {
  const samples = new Float32Array(Math.round((lead + length) * rateHz));
  let second = lead;
  for (const each of RHYTHM) {
    const first = Math.round(second * rateHz);
    const seconds = (each * QUARTER_SECONDS) / tempo;
    for (let index = Math.max(0, first); index < Math.min(samples.length, first + seconds * rateHz); index++) {
      const age = (index - first) / rateHz;
      const strength = gain * Math.min(1, age / ATTACK_SECONDS) * Math.exp(-age / 0.15);
      samples[index] = strength * Math.sin(age * 2 * Math.PI * 600);
    }
    second += seconds;
  }
  return wavBytes(
    Array.from({ length: channels }, () => samples.map((sample) => Math.max(-1, Math.min(1, sample)))),
    { rateHz },
  );
}
