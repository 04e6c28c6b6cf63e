/**
 * Survey of one track, byte by byte, before any library sees it. What is sound is written out again as a clean track:
 * no running status, no sysex, no text longer than a name, every length true, always an end of track. The parser of
 * `midi-file` reads past the end of its data, calls a function with one argument a byte of text, keeps a running status
 * that a meta event has cancelled and throws bare strings; on clean bytes it can do none of this.
 * Source of the rules: Standard MIDI Files 1.0 (MMA RP-001).
 */
import { MOST_TEXT_BYTES, MOST_TICKS } from './midi-limits.ts';
import type { TrackChunk } from './midi-container.ts';
import { makeTrackWriter } from './midi-track-writer.ts';
import { agreeing, counted } from '../../model/words/plain-words.ts';
import type { Tally } from './tally.ts';

/** How many events and notes may still be read; counted down track by track. */
export interface EventBudget {
  notes: number;
  events: number;
}

interface TrackSurvey {
  readonly kind: 'survey';
  /** Events as in a track chunk, without its id and length. */
  readonly clean: Uint8Array;
  /** Position after the last byte read. */
  readonly next: number;
  /** Tick of the last event, end of track included. */
  readonly lastTick: number;
}

export type TrackSurveyResult = TrackSurvey | { readonly kind: 'too-many'; readonly what: 'notes' | 'events' };

/** The parser shifts 1 by the power of two that stands for a denominator; beyond this it wraps around to a sane one. */
const LARGEST_POWER = 30;

/** After so many events with impossible data the reading has lost its way. */
const MOST_BAD_EVENTS = 16;

/** Controllers that are kept: modulation, breath, volume, expression, damper pedal; and the messages that end notes. */
const KEPT_CONTROLLERS: ReadonlySet<number> = new Set([1, 2, 7, 11, 64, 120, 123, 124, 125, 126, 127]);

const META = {
  text: 0x01,
  name: 0x03,
  instrument: 0x04,
  lyric: 0x05,
  marker: 0x06,
  channelPrefix: 0x20,
  end: 0x2f,
  tempo: 0x51,
  meter: 0x58,
  key: 0x59,
};

/** Meta events that are kept, with the least length of their data; others are skipped whatever they hold. */
const KEPT_META: ReadonlyMap<number, number> = new Map([
  [META.text, 1],
  [META.name, 1],
  [META.instrument, 1],
  [META.lyric, 1],
  [META.marker, 1],
  [META.channelPrefix, 1],
  [META.tempo, 3],
  [META.meter, 2],
  [META.key, 2],
]);

function isText(type: number): boolean {
  return (
    type === META.text || type === META.name || type === META.instrument || type === META.lyric || type === META.marker
  );
}

/** What is written of the data of a meta event: names shortened, a denominator that would overflow in the parser capped. */
function keptData(type: number, data: Uint8Array, least: number): Uint8Array {
  if (isText(type)) return data.subarray(0, MOST_TEXT_BYTES);
  if (type === META.meter) return Uint8Array.of(data[0] ?? 0, Math.min(data[1] ?? 0, LARGEST_POWER));
  return data.subarray(0, least);
}

/** Number of data bytes of a channel message. */
function dataBytesOf(status: number): 1 | 2 {
  const high = status & 0xf0;
  return high === 0xc0 || high === 0xd0 ? 1 : 2;
}

/** Data bytes of the system messages that have no place in a file but stand in some. */
const SYSTEM_DATA_BYTES: Readonly<Record<number, number>> = { 0xf1: 1, 0xf2: 2, 0xf3: 1 };

const LONG_QUANTITY = (count: number): string =>
  `${counted(count, 'length')} written in more than the four bytes that the standard allows ${agreeing(count, 'was', 'were')} read all the same.`;

/**
 * Reads the events of one track and writes the sound ones out again. `placeOf` words a tick for a musician ("about 12
 * quarter notes"). Stops at the end of track, at the limit of the chunk, or where the bytes make no sense; every repair
 * goes to the tally.
 */
export function surveyTrack(
  bytes: Uint8Array,
  chunk: TrackChunk,
  track: number,
  budget: EventBudget,
  tally: Tally,
  placeOf: (tick: number) => string,
): TrackSurveyResult {
  const { start, limit } = chunk;
  const writer = makeTrackWriter(Math.min(limit - start, 4_000_000) + 16);
  let position = start;
  let tick = 0;
  let lastTick = 0;
  /** Status in force; 0 where there is none. */
  let running = 0;
  /** Last channel status, also where a system or meta event has cancelled it since. */
  let cancelled = 0;
  let badEvents = 0;
  let quantity = 0;

  /** Reads a variable-length quantity into `quantity`; false where it breaks off or is too large. */
  const readQuantity = (): boolean => {
    quantity = 0;
    for (let count = 1; count <= 8 && position < limit; count++) {
      const byte = bytes[position++] ?? 0;
      quantity = quantity * 128 + (byte & 0x7f);
      if (byte < 0x80) {
        if (count > 4) tally.add('long-quantity', track, LONG_QUANTITY);
        return quantity <= MOST_TICKS;
      }
    }
    return false;
  };

  const breaksOff = (): void => {
    tally.add(
      'truncated-track',
      track,
      () =>
        `The track breaks off in the middle of an event after ${placeOf(tick)}; what comes before was read: export it again if notes are missing.`,
    );
  };
  const losesSense = (): void => {
    tally.add(
      'unreadable-event',
      track,
      () =>
        `The track makes no sense after ${placeOf(tick)}; what comes before was read: export it again if notes are missing.`,
    );
  };
  const done = (end: number): TrackSurvey => ({ kind: 'survey', clean: writer.finish(lastTick), next: end, lastTick });

  while (position < limit) {
    if (!readQuantity()) {
      if (position >= limit) breaksOff();
      else losesSense();
      return done(limit);
    }
    const before = tick;
    tick += quantity;
    if (position >= limit) {
      tick = before;
      breaksOff();
      return done(limit);
    }
    const isFar = tick > MOST_TICKS;
    const byte = bytes[position] ?? 0;

    if (byte >= 0xf0) {
      position++;
      running = 0;
      if (byte !== 0xff && byte !== 0xf0 && byte !== 0xf7) {
        position += SYSTEM_DATA_BYTES[byte] ?? 0;
        tally.add(
          'system-message',
          track,
          (count) => `${counted(count, 'system message')} that have no place in a file skipped.`,
        );
        continue;
      }
      const type = byte === 0xff ? (bytes[position++] ?? 0) : -1;
      if (!readQuantity() || position + quantity > limit) {
        // An end of track is known by its type alone, even where the file ends before its length.
        if (type !== META.end) {
          breaksOff();
          return done(limit);
        }
        quantity = 0;
        position = Math.min(position, limit);
      }
      const data = bytes.subarray(position, position + quantity);
      position += quantity;
      if (type === META.end) {
        if (!isFar) lastTick = Math.max(lastTick, tick);
        if (chunk.isTrusted && position < limit) {
          const left = limit - position;
          tally.add('after-end', track, () => `${counted(left, 'byte')} after the end-of-track mark ignored.`);
        } else if (!chunk.isTrusted && position !== start + chunk.saidLength) {
          tally.add(
            'chunk-length',
            track,
            () =>
              `The length of the track is given as ${counted(chunk.saidLength, 'byte')}, which is wrong; it was read up to its end-of-track mark.`,
          );
        }
        return done(position);
      }
      const least = KEPT_META.get(type);
      if (least === undefined) {
        if (!isFar) lastTick = tick;
        continue;
      }
      if (isFar) {
        tally.add('too-far', track, (count) => `${counted(count, 'event')} impossibly far from the start left out.`);
        continue;
      }
      lastTick = tick;
      if (quantity < least) {
        // An empty name is no fault, only no name.
        if (!isText(type))
          tally.add(
            'bad-meta',
            track,
            (count) => `${counted(count, 'meta event')} too short for what it should say left out.`,
          );
        continue;
      }
      if (--budget.events < 0) return { kind: 'too-many', what: 'events' };
      writer.text(tick, type, keptData(type, data, least));
      continue;
    }

    let status = byte;
    if (byte >= 0x80) {
      position++;
      running = byte;
      cancelled = byte;
    } else {
      if (running === 0) {
        if (cancelled === 0) {
          losesSense();
          return done(limit);
        }
        running = cancelled;
        tally.add(
          'running-status',
          track,
          (count) =>
            `${counted(count, 'event')} without a status after a system or meta event, which cancels it, read with the status before.`,
        );
      }
      status = running;
    }
    const size = dataBytesOf(status);
    if (position + size > limit) {
      breaksOff();
      return done(limit);
    }
    const first = bytes[position] ?? 0;
    const second = size === 2 ? (bytes[position + 1] ?? 0) : 0;
    position += size;
    if (first > 127 || second > 127) {
      tally.add(
        'data-byte',
        track,
        (count) => `${counted(count, 'event')} with a number above 127, which cannot be, left out.`,
      );
      if (++badEvents > MOST_BAD_EVENTS) {
        losesSense();
        return done(limit);
      }
      continue;
    }
    if (isFar) {
      tally.add('too-far', track, (count) => `${counted(count, 'event')} impossibly far from the start left out.`);
      continue;
    }
    lastTick = tick;
    const high = status & 0xf0;
    if (high === 0xa0 || high === 0xd0 || (high === 0xb0 && !KEPT_CONTROLLERS.has(first))) continue;
    if (--budget.events < 0) return { kind: 'too-many', what: 'events' };
    if (high === 0x90 && second > 0 && --budget.notes < 0) return { kind: 'too-many', what: 'notes' };
    if (size === 1) writer.event(tick, status, first);
    else writer.event(tick, status, first, second);
  }
  tally.add('missing-end', track, () => 'The track has no end-of-track mark; it was taken to end with its last event.');
  return done(limit);
}
