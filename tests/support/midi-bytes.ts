/**
 * Standard MIDI Files byte by byte, written by hand for tests: right ones, and wrong ones on purpose. Nothing here goes
 * through the libraries that the reader uses.
 */

export type Bytes = readonly number[];

/** Characters as bytes; for text beyond Latin-1 give bytes instead. */
export function latin1(text: string): number[] {
  return Array.from(text, (character) => character.charCodeAt(0) & 0xff);
}

export function utf8(text: string): number[] {
  return [...new TextEncoder().encode(text)];
}

/** Variable-length quantity, most significant seven bits first. */
export function vlq(amount: number): number[] {
  const bytes = [amount % 128];
  for (let rest = Math.floor(amount / 128); rest > 0; rest = Math.floor(rest / 128)) bytes.unshift((rest % 128) | 0x80);
  return bytes;
}

export function uint32(amount: number): number[] {
  return [amount >>> 24, (amount >>> 16) & 255, (amount >>> 8) & 255, amount & 255];
}

function uint16(amount: number): number[] {
  return [(amount >>> 8) & 255, amount & 255];
}

/** Any chunk; `saidLength` lies about its length. */
export function chunk(id: string, content: Bytes, saidLength = content.length): number[] {
  return [...latin1(id), ...uint32(saidLength), ...content];
}

export function header(format: number, tracks: number, division: number): number[] {
  return chunk('MThd', [...uint16(format), ...uint16(tracks), ...uint16(division)]);
}

export function meta(type: number, content: Bytes, delta = 0): number[] {
  return [...vlq(delta), 0xff, type, ...vlq(content.length), ...content];
}

export const trackName = (text: string | Bytes): number[] => meta(3, typeof text === 'string' ? utf8(text) : text);
export const tempo = (microseconds: number, delta = 0): number[] => meta(0x51, uint32(microseconds).slice(1), delta);
export const meter = (numerator: number, power: number, delta = 0): number[] =>
  meta(0x58, [numerator, power, 24, 8], delta);
export const endOfTrack = (delta = 0): number[] => meta(0x2f, [], delta);

export const noteOn = (delta: number, midi: number, velocity = 80, channel = 0): number[] => [
  ...vlq(delta),
  0x90 | channel,
  midi,
  velocity,
];
export const noteOff = (delta: number, midi: number, channel = 0): number[] => [
  ...vlq(delta),
  0x80 | channel,
  midi,
  64,
];
/** A note of its own, started at once and ended after `ticks`. */
export const note = (midi: number, ticks: number, velocity = 80, channel = 0): number[] => [
  ...noteOn(0, midi, velocity, channel),
  ...noteOff(ticks, midi, channel),
];
export const control = (delta: number, controller: number, setting: number, channel = 0): number[] => [
  ...vlq(delta),
  0xb0 | channel,
  controller,
  setting,
];
export const program = (delta: number, number: number, channel = 0): number[] => [
  ...vlq(delta),
  0xc0 | channel,
  number,
];

/** A track chunk of these events, closed by an end of track. */
export function track(...events: readonly Bytes[]): number[] {
  return chunk('MTrk', [...events.flat(), ...endOfTrack()]);
}

/** A file of whole chunks. */
export function midiFile(format: number, division: number, ...tracks: readonly Bytes[]): Uint8Array {
  return Uint8Array.from([...header(format, tracks.length, division), ...tracks.flat()]);
}

/** A small piece as most programs export it: a track for tempo and meter, then a violin and a cello of four bars. */
export function smallPiece(): Uint8Array {
  const conductor = track(
    trackName('Small piece'),
    tempo(600_000),
    meter(3, 2),
    meta(6, latin1('Opening')),
    meta(6, latin1('Close'), 2880),
  );
  const violin = track(
    trackName('Violin I'),
    program(0, 40, 0),
    control(0, 7, 100),
    ...[67, 69, 71, 72, 74, 76, 77, 79].flatMap((midi, index) => [control(0, 1, 40 + 8 * index), note(midi, 720)]),
  );
  const cello = track(
    trackName('Violoncello'),
    program(0, 42, 1),
    ...[43, 45, 47, 48].map((midi) => note(midi, 1440, 70, 1)),
  );
  return midiFile(1, 480, conductor, violin, cello);
}
