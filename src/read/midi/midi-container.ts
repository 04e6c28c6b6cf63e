/**
 * Survey of a MIDI file from the outside: where its header and its track chunks really are, whatever the lengths in it
 * say. Nothing here looks into a track. Source of the layout: Standard MIDI Files 1.0 (MMA RP-001).
 */
import { quoted } from '../clean-text.ts';
import { MOST_TRACKS } from './midi-limits.ts';
import { counted } from '../../model/words/plain-words.ts';
import type { Division } from '../raw.ts';
import type { Tally } from './tally.ts';

/** The header is looked for this far into the file: some systems put a block of their own before it. */
const FARTHEST_HEADER = 4096;
const ID_AND_LENGTH = 8;

export interface MidiHeader {
  /** As the file has it, unchecked. */
  readonly format: number;
  readonly trackCount: number;
  readonly division: Division;
  /** Where the first chunk after the header begins. */
  readonly next: number;
  /** End of the MIDI data (the end of the file, or of the RIFF chunk that holds it). */
  readonly end: number;
}

export type HeaderReading =
  | { readonly kind: 'header'; readonly header: MidiHeader }
  | { readonly kind: 'refused'; readonly code: string; readonly message: string };

function isAt(bytes: Uint8Array, position: number, id: string): boolean {
  for (let index = 0; index < id.length; index++) {
    if (bytes[position + index] !== id.charCodeAt(index)) return false;
  }
  return true;
}

/** Position of the four letters at or after `from`, before `end`; -1 where they do not stand. */
function find(bytes: Uint8Array, id: string, from: number, end: number): number {
  const first = id.charCodeAt(0);
  let position = bytes.indexOf(first, from);
  while (position >= 0 && position + id.length <= end) {
    if (isAt(bytes, position, id)) return position;
    position = bytes.indexOf(first, position + 1);
  }
  return -1;
}

function uint16(bytes: Uint8Array, position: number): number {
  return ((bytes[position] ?? 0) << 8) | (bytes[position + 1] ?? 0);
}

function uint32(bytes: Uint8Array, position: number): number {
  return uint16(bytes, position) * 0x10000 + uint16(bytes, position + 2);
}

function uint32LittleEndian(bytes: Uint8Array, position: number): number {
  const [a = 0, b = 0, c = 0, d = 0] = bytes.subarray(position, position + 4);
  return a + b * 0x100 + c * 0x10000 + d * 0x1000000;
}

/**
 * Whether a chunk begins here: `MTrk`, or four printable characters and a length that stays inside the file (notes are
 * printable characters too, but do not go on with a small length).
 */
function isChunk(bytes: Uint8Array, position: number, end: number): boolean {
  if (position + ID_AND_LENGTH > end) return false;
  if (isAt(bytes, position, 'MTrk')) return true;
  if (position + ID_AND_LENGTH + uint32(bytes, position + 4) > end) return false;
  for (let index = 0; index < 4; index++) {
    const byte = bytes[position + index] ?? 0;
    if (byte < 0x20 || byte > 0x7e) return false;
  }
  return true;
}

/** The SMF inside a RIFF container of type RMID (Microsoft and IBM, 1991): the chunk `data`. */
function insideRiff(bytes: Uint8Array): { readonly start: number; readonly end: number } {
  let position = 12;
  while (position + ID_AND_LENGTH <= bytes.length) {
    const length = uint32LittleEndian(bytes, position + 4);
    if (isAt(bytes, position, 'data')) {
      const start = position + ID_AND_LENGTH;
      return { start, end: Math.min(bytes.length, start + length) };
    }
    position += ID_AND_LENGTH + length + (length % 2);
  }
  return { start: 12, end: bytes.length };
}

/** What the first bytes say where they are not MIDI, for the sentence that refuses the file. */
function looksLike(bytes: Uint8Array): string {
  if (isAt(bytes, 0, 'RIFF') && isAt(bytes, 8, 'WAVE')) return 'it is a WAVE audio file';
  if (isAt(bytes, 0, 'PK')) return 'it is a ZIP archive';
  if (isAt(bytes, 0, '<?xml') || isAt(bytes, 0, '<')) return 'it is XML or HTML text';
  if (isAt(bytes, 0, 'ID3') || isAt(bytes, 0, 'OggS') || isAt(bytes, 0, 'fLaC')) return 'it is an audio file';
  if (isAt(bytes, 0, 'version https://git-lfs')) return 'it is only a pointer to a file kept elsewhere';
  return `it begins with ${quoted(String.fromCharCode(...bytes.subarray(0, 8)), 12)}`;
}

function divisionOf(word: number): Division | undefined {
  if ((word & 0x8000) === 0) return word === 0 ? undefined : { kind: 'ppq', ticksPerQuarter: word };
  const framesPerSecond = 0x100 - (word >> 8);
  const ticksPerFrame = word & 0xff;
  if (ticksPerFrame === 0 || ![24, 25, 29, 30].includes(framesPerSecond)) return undefined;
  // -29 stands for 30 frames with dropped numbers: 29.97 a second.
  const exact = framesPerSecond === 29 ? 30_000 / 1001 : framesPerSecond;
  return { kind: 'smpte', ticksPerSecond: exact * ticksPerFrame };
}

/** Finds and reads the header; a file without one, or with an unusable division, is refused in one sentence. */
export function readHeader(bytes: Uint8Array, tally: Tally): HeaderReading {
  if (bytes.length === 0) {
    return { kind: 'refused', code: 'empty-file', message: 'The file is empty: export it again.' };
  }
  const isRiff = isAt(bytes, 0, 'RIFF') && isAt(bytes, 8, 'RMID');
  const { start, end } = isRiff ? insideRiff(bytes) : { start: 0, end: bytes.length };
  const position = find(bytes, 'MThd', start, Math.min(end, start + FARTHEST_HEADER));
  if (position < 0) {
    return {
      kind: 'refused',
      code: 'not-midi',
      message: `This is not a Standard MIDI File (${looksLike(bytes)}): export the sketch as MIDI again.`,
    };
  }
  if (position + 14 > end) {
    return {
      kind: 'refused',
      code: 'truncated-header',
      message: 'The file breaks off inside its header: export it again.',
    };
  }
  if (isRiff)
    tally.add('riff-wrapped', undefined, () => 'The file is wrapped in a RIFF container; the MIDI inside was read.');
  if (position > start) {
    tally.add('leading-bytes', undefined, () => `${counted(position - start, 'byte')} before the header were skipped.`);
  }
  const word = uint16(bytes, position + 12);
  const division = divisionOf(word);
  if (division === undefined) {
    const found = word === 0 ? '0 ticks to the quarter note' : `0x${word.toString(16)}, which is no frame rate`;
    return {
      kind: 'refused',
      code: 'bad-division',
      message: `The header gives no usable time division (${found}), so that nothing in the file has a length: export it again.`,
    };
  }
  const length = uint32(bytes, position + 4);
  const said = position + ID_AND_LENGTH + length;
  const isRight = length >= 6 && (said === end || isChunk(bytes, said, end));
  if (!isRight) {
    tally.add(
      'header-length',
      undefined,
      () => `The header says that it is ${length} bytes long, which is wrong; 6 was used.`,
    );
  }
  return {
    kind: 'header',
    header: {
      format: uint16(bytes, position + 8),
      trackCount: uint16(bytes, position + 10),
      division,
      next: isRight ? said : position + 14,
      end,
    },
  };
}

export interface TrackChunk {
  /** First byte of its events. */
  readonly start: number;
  /** One past the last byte that may belong to it. */
  readonly limit: number;
  /** Whether the length in the file leads to another chunk or to the end of the file, and so may be believed. */
  readonly isTrusted: boolean;
  readonly saidLength: number;
}

/** Reads one track; gives the position after its last byte. */
export type TrackVisitor = (chunk: TrackChunk, track: number) => number;

/**
 * Walks the chunks after the header and hands each track chunk over. A length that leads nowhere is not believed: the
 * track then reaches at most to the next `MTrk`. Gives the number of tracks found, or undefined where there are too many.
 */
export function walkTracks(
  bytes: Uint8Array,
  header: MidiHeader,
  tally: Tally,
  visit: TrackVisitor,
): number | undefined {
  const { end } = header;
  let position = header.next;
  let tracks = 0;
  while (position < end) {
    if (isAt(bytes, position, 'MTrk') && position + ID_AND_LENGTH <= end) {
      if (tracks === MOST_TRACKS) return undefined;
      tracks++;
      const saidLength = uint32(bytes, position + 4);
      const start = position + ID_AND_LENGTH;
      const said = start + saidLength;
      const isTrusted = said === end || (said < end && isChunk(bytes, said, end));
      const following = isTrusted ? said : find(bytes, 'MTrk', start, end);
      const limit = following < 0 ? end : following;
      const after = visit({ start, limit, isTrusted, saidLength }, tracks);
      position = isTrusted ? limit : after;
      continue;
    }
    const said = position + ID_AND_LENGTH + uint32(bytes, position + 4);
    if (isChunk(bytes, position, end) && (said === end || isChunk(bytes, said, end))) {
      const id = String.fromCharCode(...bytes.subarray(position, position + 4));
      tally.add(
        'unknown-chunk',
        undefined,
        (count) => `${counted(count, 'chunk')} of another kind (${quoted(id)}) skipped.`,
      );
      position = said;
      continue;
    }
    const following = find(bytes, 'MTrk', position + 1, end);
    const skipped = (following < 0 ? end : following) - position;
    tally.add(
      following < 0 ? 'trailing-bytes' : 'stray-bytes',
      undefined,
      (count) => `${counted(count, 'byte')} ${following < 0 ? 'after the last track' : 'between tracks'} ignored.`,
      skipped,
    );
    if (following < 0) break;
    position = following;
  }
  return tracks;
}
