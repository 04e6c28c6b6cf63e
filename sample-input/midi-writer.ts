/** A small writer of Standard MIDI Files (format 1), after the Standard MIDI File 1.0 specification. */

/** One event at an absolute tick. `bytes` is the whole event without its delta time. */
export interface TimedEvent {
  readonly tick: number;
  /** Smaller comes first among events of one tick. */
  readonly order: number;
  readonly bytes: readonly number[];
}

export interface WrittenTrack {
  readonly events: readonly TimedEvent[];
  readonly lastTick: number;
}

function variableLength(amount: number): number[] {
  const bytes = [amount & 0x7f];
  for (let rest = amount >> 7; rest > 0; rest >>= 7) bytes.unshift((rest & 0x7f) | 0x80);
  return bytes;
}

function chunk(kind: string, body: readonly number[]): number[] {
  const size = body.length;
  return [
    ...Buffer.from(kind, 'latin1'),
    (size >> 24) & 0xff,
    (size >> 16) & 0xff,
    (size >> 8) & 0xff,
    size & 0xff,
    ...body,
  ];
}

/** A meta event that carries text, in UTF-8. Kinds: 1 text, 3 track name, 5 lyric, 6 marker. */
export function textEvent(tick: number, kind: 1 | 3 | 5 | 6, text: string): TimedEvent {
  const bytes = [...Buffer.from(text, 'utf8')];
  return { tick, order: 0, bytes: [0xff, kind, ...variableLength(bytes.length), ...bytes] };
}

export function tempoEvent(tick: number, quartersPerMinute: number): TimedEvent {
  const micros = Math.round(60_000_000 / quartersPerMinute);
  return { tick, order: 1, bytes: [0xff, 0x51, 3, (micros >> 16) & 0xff, (micros >> 8) & 0xff, micros & 0xff] };
}

export function meterEvent(tick: number, numerator: number, denominator: number): TimedEvent {
  const clocks = denominator === 8 ? 36 : 24;
  return { tick, order: 1, bytes: [0xff, 0x58, 4, numerator, Math.log2(denominator), clocks, 8] };
}

/** `fifths`: sharps positive, flats negative. */
export function keyEvent(tick: number, fifths: number, minor: boolean): TimedEvent {
  return { tick, order: 1, bytes: [0xff, 0x59, 2, fifths & 0xff, minor ? 1 : 0] };
}

export function programEvent(tick: number, channel: number, program: number): TimedEvent {
  return { tick, order: 2, bytes: [0xc0 | channel, program] };
}

export function controllerEvent(tick: number, channel: number, controller: number, setting: number): TimedEvent {
  return { tick, order: 3, bytes: [0xb0 | channel, controller, setting] };
}

/** Key-down and key-up; the key-up is a note-on of velocity 0 where `offAsZero` is set, as many programs write it. */
export function noteEvents(
  channel: number,
  midi: number,
  velocity: number,
  startTick: number,
  endTick: number,
  offAsZero: boolean,
): TimedEvent[] {
  const off = offAsZero ? [0x90 | channel, midi, 0] : [0x80 | channel, midi, 64];
  return [
    { tick: startTick, order: 5, bytes: [0x90 | channel, midi, velocity] },
    { tick: endTick, order: 4, bytes: off },
  ];
}

function trackBody(track: WrittenTrack): number[] {
  const sorted = track.events
    .map((event, index) => ({ event, index }))
    .sort((a, b) => a.event.tick - b.event.tick || a.event.order - b.event.order || a.index - b.index);
  const body: number[] = [];
  let now = 0;
  let status = 0;
  for (const { event } of sorted) {
    const first = event.bytes[0] ?? 0;
    body.push(...variableLength(event.tick - now));
    // Running status: a channel message with the status of the one before it leaves the status byte out.
    body.push(...(first === status && first < 0xf0 ? event.bytes.slice(1) : event.bytes));
    status = first < 0xf0 ? first : 0;
    now = event.tick;
  }
  body.push(...variableLength(Math.max(0, track.lastTick - now)), 0xff, 0x2f, 0);
  return body;
}

/** The bytes of a file; format 0 has one track. */
export function midiFile(ticksPerQuarter: number, tracks: readonly WrittenTrack[], format: 0 | 1 = 1): Uint8Array {
  const header = [
    0,
    format,
    (tracks.length >> 8) & 0xff,
    tracks.length & 0xff,
    ticksPerQuarter >> 8,
    ticksPerQuarter & 0xff,
  ];
  return Uint8Array.from([...chunk('MThd', header), ...tracks.flatMap((track) => chunk('MTrk', trackBody(track)))]);
}
