/**
 * A stage as something that can be edited: bars, and parts whose notes know where they are written and how they were played there.
 * Bars and parts keep their ids whatever is done to them, so that an edit says what it did in terms that later edits do not move.
 */
import { midiFile, type TimedEvent, type WrittenTrack } from '../../sample-input/midi-writer.ts';
import {
  controllerEvent,
  meterEvent,
  noteEvents,
  programEvent,
  tempoEvent,
  textEvent,
} from '../../sample-input/midi-writer.ts';
import type { Part, Stage } from '../../src/model/music/arrangement.ts';
import { barIndexAt, type Meter } from '../../src/model/music/timeline.ts';

export interface SheetBar {
  readonly id: number;
  readonly quarters: number;
  readonly meter: Meter;
  readonly tempo: number;
}

export interface SheetNote {
  /** Id of the bar in which it is written, and quarters from its start. */
  readonly bar: number;
  readonly onset: number;
  readonly midi: number;
  readonly velocity: number;
  /** Quarters by which it is played after its written place, and for which it is held. */
  readonly late: number;
  readonly held: number;
}

export interface SheetControl {
  readonly bar: number;
  readonly onset: number;
  readonly controller: number;
  readonly setting: number;
}

export interface SheetPart {
  readonly key: number;
  readonly name: string;
  readonly instrument: string;
  readonly program: number | undefined;
  readonly isDrums: boolean;
  readonly dynamics: Part['dynamics'];
  readonly notes: readonly SheetNote[];
  readonly controls: readonly SheetControl[];
}

export interface Sheet {
  readonly bars: readonly SheetBar[];
  /** Number of the first bar: 0 for a pickup. */
  readonly firstNumber: 0 | 1;
  readonly parts: readonly SheetPart[];
}

/** Written places in quarters by part and index of the played note; undefined for a note without one. */
export type PlaceOf = (part: Part, note: number) => number | undefined;

/** The sheet of a stage as it was read. Notes without a written place are left out. */
export function sheetOf(stage: Stage, placeOf: PlaceOf): Sheet {
  const { bars } = stage.timeline;
  const placed = (quarters: number): { bar: number; onset: number } => {
    const bar = Math.max(0, barIndexAt(bars, quarters));
    return { bar, onset: quarters - (bars[bar]?.startQuarters ?? 0) };
  };
  const parts = stage.parts.flatMap((part, key): SheetPart[] => {
    const notes = part.notes.flatMap((note, index): SheetNote[] => {
      const place = placeOf(part, index);
      if (place === undefined) return [];
      const held = Math.max(0.02, note.endQuarters - note.startQuarters);
      return [{ ...placed(place), midi: note.midi, velocity: note.velocity, late: note.startQuarters - place, held }];
    });
    const track = part.tracks[0];
    if (notes.length === 0 || track === undefined) return [];
    // Restated in every bar, as programs do that move bars with their curves.
    const controls = track.curves.flatMap(({ controller, points }) => [
      ...points.map(({ quarters, setting }): SheetControl => ({ ...placed(quarters), controller, setting })),
      ...bars.flatMap(({ startQuarters }, bar): SheetControl[] => {
        const last = points.findLast((point) => point.quarters <= startQuarters);
        return last === undefined ? [] : [{ bar, onset: 0, controller, setting: last.setting }];
      }),
    ]);
    const { instrument, dynamics } = part;
    const isDrums = track.channel === 9;
    return [
      { key, name: track.name || part.name, instrument, program: track.program, isDrums, dynamics, notes, controls },
    ];
  });
  return {
    bars: bars.map((bar, id) => ({ id, quarters: bar.lengthQuarters, meter: bar.meter, tempo: bar.tempo })),
    firstNumber: bars[0]?.number === 0 ? 0 : 1,
    parts,
  };
}

/** Bar ids in order, each with its number. */
export function numbersOf({ bars, firstNumber }: Sheet): ReadonlyMap<number, number> {
  return new Map(bars.map(({ id }, index) => [id, index + firstNumber]));
}

const CHANNELS = [0, 1, 2, 3, 4, 5, 6, 7, 8, 10, 11, 12, 13, 14, 15] as const;
const DRUM_CHANNEL = 9;

/** The bytes of a file with a track a part. */
export function bytesOf({ bars, parts }: Sheet, ticksPerQuarter: number): Uint8Array {
  const startOf = new Map<number, number>();
  let end = 0;
  for (const bar of bars) {
    startOf.set(bar.id, end);
    end += bar.quarters;
  }
  const tickOf = (quarters: number): number => Math.max(0, Math.round(quarters * ticksPerQuarter));
  const lastTick = tickOf(end);
  const conductor: TimedEvent[] = [];
  bars.forEach((bar, index) => {
    const last = bars[index - 1];
    const tick = tickOf(startOf.get(bar.id) ?? 0);
    const isShort = bar.quarters < (4 * bar.meter.numerator) / bar.meter.denominator - 1e-6;
    // A pickup is written as a short bar of its own.
    const meter = isShort ? { numerator: Math.round(bar.quarters * 2), denominator: 8 } : bar.meter;
    const wasShort = last !== undefined && last.quarters < (4 * last.meter.numerator) / last.meter.denominator - 1e-6;
    if (
      last === undefined ||
      wasShort ||
      last.meter.numerator !== meter.numerator ||
      last.meter.denominator !== meter.denominator
    )
      conductor.push(meterEvent(tick, meter.numerator, meter.denominator));
    if (last?.tempo !== bar.tempo) conductor.push(tempoEvent(tick, bar.tempo));
  });
  const tracks = parts.map((part, index): WrittenTrack => {
    const channel = part.isDrums ? DRUM_CHANNEL : CHANNELS[index % CHANNELS.length]!;
    const events: TimedEvent[] = [textEvent(0, 3, part.name)];
    if (part.program !== undefined) events.push(programEvent(0, channel, part.program));
    for (const { bar, onset, controller, setting } of part.controls) {
      const start = startOf.get(bar);
      if (start !== undefined) events.push(controllerEvent(tickOf(start + onset), channel, controller, setting));
    }
    const sounds = part.notes
      .flatMap(({ bar, onset, midi, velocity, late, held }) => {
        const start = startOf.get(bar);
        if (start === undefined) return [];
        const from = Math.max(0, start + onset + late);
        return [
          { midi, velocity, from: tickOf(from), to: Math.max(tickOf(from) + 1, tickOf(Math.min(end, from + held))) },
        ];
      })
      .sort((a, b) => a.from - b.from || a.midi - b.midi);
    const next = new Map<number, number>();
    for (const sound of [...sounds].reverse()) {
      // One key cannot go down twice: an earlier note of the same pitch is let go before.
      const to = Math.max(sound.from + 1, Math.min(sound.to, (next.get(sound.midi) ?? Infinity) - 1));
      next.set(sound.midi, sound.from);
      events.push(...noteEvents(channel, sound.midi, sound.velocity, sound.from, to, false));
    }
    return { events, lastTick };
  });
  return midiFile(ticksPerQuarter, [{ events: conductor, lastTick }, ...tracks]);
}
