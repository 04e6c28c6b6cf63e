/** A printed score as a MIDI export of it would be read: one track a part under its name, one velocity, a pickup as a short first bar. */
import type { RawStage } from '../../src/read/raw.ts';
import { rawStage } from '../assemble/raw-folder.ts';
import type { ReadScore } from './musicxml-score.ts';

const TICKS = 480;
const VELOCITY = 70;
const DRUM_CHANNEL = 9;
/** Quarters in which the length of an irregular bar is counted. */
const SIXTEENTH = 1 / 4;

export function exportedScore({ parts, bars }: ReadScore, tempo = 100): RawStage {
  const origin = bars[0]?.start ?? 0;
  const tickAt = (quarters: number): number => Math.round((quarters - origin) * TICKS);
  const meters = bars.map(({ start, length, meter: { numerator, denominator } }): readonly [number, string] => {
    const isWhole = Math.abs(length - (4 * numerator) / denominator) < 1e-6;
    const meter = isWhole ? [numerator, denominator] : [Math.round(length / SIXTEENTH), 16];
    return [start - origin, meter.join('/')];
  });
  return rawStage('01', {
    meters: meters.filter(([, meter], index) => meter !== meters[index - 1]?.[1]),
    tempos: [[0, tempo]],
    tracks: parts.map(({ name, notes }, index) => ({
      name,
      channel: index % DRUM_CHANNEL,
      notes: notes
        .filter(({ length }) => length > 0)
        .map(({ midi, start, length }) => ({
          midi,
          velocity: VELOCITY,
          startTick: tickAt(start),
          endTick: tickAt(start + length),
        }))
        .sort((a, b) => a.startTick - b.startTick || a.midi - b.midi),
    })),
  });
}
