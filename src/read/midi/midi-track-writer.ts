/** Writes a clean track for the parser: every status in full, every length true, one end of track. */

const END_OF_TRACK = 0x2f;

/** Writes the events of one track in order of tick. */
export interface TrackWriter {
  readonly event: (tick: number, ...bytes: number[]) => void;
  readonly text: (tick: number, type: number, text: Uint8Array) => void;
  readonly finish: (tick: number) => Uint8Array;
}

/** A writer into a buffer of `capacity` bytes that grows where it must. */
export function makeTrackWriter(capacity: number): TrackWriter {
  let buffer = new Uint8Array(Math.max(64, capacity));
  let length = 0;
  let lastTick = 0;
  const reserve = (bytes: number): void => {
    if (length + bytes <= buffer.length) return;
    const larger = new Uint8Array(2 * buffer.length + bytes);
    larger.set(buffer.subarray(0, length));
    buffer = larger;
  };
  const quantity = (amount: number): void => {
    for (let shift = 21; shift > 0; shift -= 7) {
      if (amount >> shift > 0) buffer[length++] = ((amount >> shift) & 0x7f) | 0x80;
    }
    buffer[length++] = amount & 0x7f;
  };
  const delta = (tick: number): void => {
    quantity(tick - lastTick);
    lastTick = tick;
  };
  return {
    event: (tick, ...bytes) => {
      reserve(4 + bytes.length);
      delta(tick);
      for (const byte of bytes) buffer[length++] = byte;
    },
    text: (tick, type, text) => {
      reserve(10 + text.length);
      delta(tick);
      buffer[length++] = 0xff;
      buffer[length++] = type;
      quantity(text.length);
      buffer.set(text, length);
      length += text.length;
    },
    finish: (tick) => {
      reserve(8);
      delta(tick);
      buffer.set([0xff, END_OF_TRACK, 0], length);
      return buffer.slice(0, length + 3);
    },
  };
}
