/** Why the head of a file of plain samples is of no use: one sentence each, of WAV and AIFF alike. */
import type { InputError } from '../../problems/problem.ts';
import { audioFault } from './audio-fault.ts';

export type PcmKind = 'WAV' | 'AIFF';

export function otherFile(path: string, kind: PcmKind): InputError {
  return audioFault(path, 'audio-head', `This is no ${kind} file, whatever its name says: export it again.`);
}

export function cutHead(path: string, kind: PcmKind): InputError {
  return audioFault(path, 'audio-head', `The head of this ${kind} file is cut short: export it again.`);
}

/** `missing`: what the file does not say. */
export function lackingHead(path: string, kind: PcmKind, missing: 'format' | 'data'): InputError {
  const words = missing === 'format' ? 'how its sound is written' : 'where its sound is';
  return audioFault(path, 'audio-head', `This ${kind} file does not say ${words}: export it again.`);
}

export function unreadBits(path: string, bits: number): InputError {
  return audioFault(
    path,
    'audio-form',
    `The file says that a sample has ${String(bits)} bits, and 8, 16, 24, 32 or floating 32 and 64 are read: export it again.`,
  );
}
