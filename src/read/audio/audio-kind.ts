/** What an audio file is by its first bytes, whatever its name says. */
import type { AudioKind } from '../../model/recordings/audio-kinds.ts';
import { lettersAt } from './chunks.ts';

/** How far an MPEG stream may begin behind padding. */
const MOST_PADDING_BYTES = 4096;

/** An MPEG frame of layer III: eleven bits of synchronisation, then version, layer, bit rate and sampling rate (ISO/IEC 11172-3, 2.4.1.3). */
function isMpegFrame(bytes: Uint8Array, at: number): boolean {
  const [sync = 0, version = 0, rate = 0] = bytes.subarray(at, at + 3);
  if (sync !== 0xff || (version & 0xe6) !== 0xe2 || (version & 0x18) === 0x08) return false;
  return rate >> 4 !== 0 && rate >> 4 !== 15 && (rate & 0x0c) !== 0x0c;
}

/**
 * The kind of an audio file; undefined for what is none that is known here. Marks: RIFF and its 64-bit forms (EBU Tech 3285, 3306; ITU-R BS.2088), AIFF,
 * Ogg (RFC 3533), FLAC (RFC 9639), ISO base media (ISO/IEC 14496-12), ID3v2 (id3.org).
 */
export function audioKindOf(bytes: Uint8Array): AudioKind | undefined {
  const mark = lettersAt(bytes, 0);
  const form = lettersAt(bytes, 8);
  if (['RIFF', 'RF64', 'BW64'].includes(mark)) return form === 'WAVE' ? 'wav' : undefined;
  if (mark === 'FORM') return form === 'AIFF' || form === 'AIFC' ? 'aiff' : undefined;
  if (mark === 'OggS') return 'ogg';
  if (mark === 'fLaC') return 'flac';
  if (lettersAt(bytes, 4) === 'ftyp') return 'm4a';
  if (mark.startsWith('ID3')) return 'mp3';
  const first = bytes.subarray(0, MOST_PADDING_BYTES).findIndex((byte) => byte !== 0);
  return first >= 0 && isMpegFrame(bytes, first) ? 'mp3' : undefined;
}
