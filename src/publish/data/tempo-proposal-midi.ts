/**
 * A proposed tempo map with the notes that it fits, as a Standard MIDI File (MMA RP-001): one track for tempo and meter, one for each track of the
 * export, with name, program, notes, pedal and the controllers that the dossier reads.
 */
import { writeMidi, type MidiEvent } from 'midi-file';
import type { Part, TrackRecord } from '../../model/music/arrangement.ts';
import { quartersAt, secondAt, type Timeline } from '../../model/music/timeline.ts';
import type { TempoProposal } from '../../notate/free-time/tempo-proposal.ts';

/** Path inside the dossier. */
export const TEMPO_PROPOSAL = 'tempo-proposal.mid';

/** Fine enough that no note moves by more than half a millisecond at a beat of a second. */
const TICKS_PER_QUARTER = 960;
const PEDAL = 64;
const SWITCH_TICKS = 60;

interface Timed {
  readonly tick: number;
  /** At one tick: names and settings first, then ends of notes, then beginnings. */
  readonly order: 0 | 1 | 2;
  readonly event: MidiEvent;
}

/** Event without its delta time, which `trackOf` gives. */
type Bare<Type extends MidiEvent['type']> = Omit<Extract<MidiEvent, { type: Type }>, 'deltaTime'>;

function meta<Type extends MidiEvent['type']>(event: Bare<Type>): MidiEvent {
  return { ...event, deltaTime: 0 } as unknown as MidiEvent;
}

/** Name as bytes of UTF-8, one letter each, as `midi-file` writes them. */
function nameBytes(name: string): string {
  return Buffer.from(name, 'utf8').toString('latin1');
}

function trackOf(events: readonly Timed[], lastTick: number): MidiEvent[] {
  const sorted = [...events].sort((a, b) => a.tick - b.tick || a.order - b.order);
  let tick = 0;
  const timed = sorted.map(({ tick: at, event }): MidiEvent => {
    const deltaTime = at - tick;
    tick = at;
    return { ...event, deltaTime };
  });
  return [...timed, { deltaTime: Math.max(0, lastTick - tick), type: 'endOfTrack', meta: true }];
}

function conductor({ bars, tempo }: Timeline, tickOf: (quarters: number) => number): readonly Timed[] {
  const tempos = tempo.map(({ startQuarters, secondsPerQuarter }): Timed => ({
    tick: tickOf(startQuarters),
    order: 0,
    event: meta<'setTempo'>({
      type: 'setTempo',
      meta: true,
      microsecondsPerBeat: Math.max(1, Math.min(0xffffff, Math.round(secondsPerQuarter * 1e6))),
    }),
  }));
  const meters = bars.flatMap((bar, index): readonly Timed[] => {
    // A pickup is a first bar of a shorter meter that lasts one bar.
    const isPickup = bar.number === 0;
    const { denominator } = bar.meter;
    const numerator = isPickup ? Math.round((bar.lengthQuarters * denominator) / 4) : bar.meter.numerator;
    const before = bars[index - 1];
    const isSame =
      before !== undefined &&
      before.number !== 0 &&
      before.meter.numerator === numerator &&
      before.meter.denominator === denominator;
    if (isSame) return [];
    const event = meta<'timeSignature'>({
      type: 'timeSignature',
      meta: true,
      numerator,
      denominator,
      metronome: 24,
      thirtyseconds: 8,
    });
    return [{ tick: tickOf(bar.startQuarters), order: 0, event }];
  });
  return [...meters, ...tempos];
}

/** From when to when the pedal must be down for the notes to sound as long as they do. */
function pedalSpans(part: Part, index: number): readonly (readonly [number, number])[] {
  const spans = part.notes
    .filter((note) => note.trackIndex === index && note.soundingEndSecond > note.endSecond + 1e-6)
    .map((note): [number, number] => [note.endSecond, note.soundingEndSecond])
    .sort(([a], [b]) => a - b);
  const joined: [number, number][] = [];
  for (const [from, to] of spans) {
    const last = joined.at(-1);
    if (last !== undefined && from < last[1]) last[1] = Math.max(last[1], to);
    else joined.push([from, to]);
  }
  return joined;
}

/** The events of one track of the export; `tickOfOld` gives the place of one on its own clock. */
function eventsOf(
  part: Part,
  track: TrackRecord,
  index: number,
  tickAtSecond: (second: number) => number,
  tickOfOld: (quarters: number) => number,
  originSecond: number,
): readonly Timed[] {
  const { channel } = track;
  const controller = (tick: number, order: 0 | 1, controllerType: number, setting: number): Timed => ({
    tick,
    order,
    event: meta<'controller'>({ type: 'controller', channel, controllerType, value: setting }),
  });
  const name: Timed = {
    tick: 0,
    order: 0,
    event: meta<'trackName'>({ type: 'trackName', meta: true, text: nameBytes(track.name) }),
  };
  const program: readonly Timed[] =
    track.program === undefined
      ? []
      : [
          {
            tick: 0,
            order: 0,
            event: meta<'programChange'>({ type: 'programChange', channel, programNumber: track.program }),
          },
        ];
  const notes = part.notes
    .filter(({ trackIndex }) => trackIndex === index)
    .flatMap(({ midi, velocity, startSecond, endSecond }): readonly Timed[] => {
      const on = tickAtSecond(startSecond);
      const off = Math.max(on + 1, tickAtSecond(endSecond));
      return [
        { tick: on, order: 2, event: meta<'noteOn'>({ type: 'noteOn', channel, noteNumber: midi, velocity }) },
        { tick: off, order: 1, event: meta<'noteOff'>({ type: 'noteOff', channel, noteNumber: midi, velocity: 64 }) },
      ];
    });
  // Key switches go along; how long they were held is not kept.
  const switches = (index === 0 ? part.controlNotes : []).flatMap(({ midi, second }): readonly Timed[] => {
    const on = tickAtSecond(second - originSecond);
    return [
      { tick: on, order: 2, event: meta<'noteOn'>({ type: 'noteOn', channel, noteNumber: midi, velocity: 64 }) },
      {
        tick: on + SWITCH_TICKS,
        order: 1,
        event: meta<'noteOff'>({ type: 'noteOff', channel, noteNumber: midi, velocity: 64 }),
      },
    ];
  });
  const pedal = pedalSpans(part, index).flatMap(([from, to]) => [
    // Down a moment before the key is let go, up at the end of the sound.
    controller(Math.max(0, tickAtSecond(from) - 1), 0, PEDAL, 127),
    controller(tickAtSecond(to), 1, PEDAL, 0),
  ]);
  const curves = track.curves.flatMap(({ controller: number, points }) =>
    points.map(({ quarters, setting }) => controller(tickOfOld(quarters), 0, number, setting)),
  );
  return [name, ...program, ...curves, ...pedal, ...switches, ...notes];
}

/** Bytes of the file; `played` is the clock of the export, on which its controllers count. */
export function tempoProposalMidi({ stage: proposed, originSecond }: TempoProposal, played: Timeline): Uint8Array {
  const { timeline } = proposed;
  const start = timeline.bars[0]?.startQuarters ?? 0;
  const tickOf = (quarters: number): number => Math.max(0, Math.round((quarters - start) * TICKS_PER_QUARTER));
  const tickAtSecond = (second: number): number => tickOf(quartersAt(timeline, second));
  const tickOfOld = (quarters: number): number => tickAtSecond(secondAt(played, quarters) - originSecond);
  const last = timeline.bars.at(-1);
  const lastTick = last === undefined ? 0 : tickOf(last.startQuarters + last.lengthQuarters);
  const tracks = proposed.parts.flatMap((part) =>
    part.tracks.map((track, index) =>
      trackOf(eventsOf(part, track, index, tickAtSecond, tickOfOld, originSecond), lastTick),
    ),
  );
  return Uint8Array.from(
    writeMidi({
      header: { format: 1, numTracks: tracks.length + 1, ticksPerBeat: TICKS_PER_QUARTER },
      tracks: [trackOf(conductor(timeline, tickOf), lastTick), ...tracks],
    }),
  );
}
