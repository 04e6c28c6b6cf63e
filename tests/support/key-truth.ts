/** The keys and signatures that are heard in the open scores, beside those that people name and print. */
import { pitchClassOf } from '../../src/model/music/pitch.ts';
import type { KeySpan } from '../../src/model/music/written.ts';
import { keysOf } from '../../src/notate/keys/key.ts';
import { scoreTimeOf } from '../../src/notate/score-time/score-time.ts';
import { signatureByBar } from '../../src/notate/clefs-and-signatures/signatures.ts';
import type { ReadScore } from './musicxml-score.ts';
import { timelineOfScore } from './musicxml-score.ts';
import type { Share } from './notation-truth.ts';

export interface NamedKey {
  /** Pitch class. */
  readonly tonic: number;
  readonly mode: 'major' | 'minor';
}

/** Keys in which movements open, as catalogues of works name them (from memory); the symphony in D major has an introduction in D minor. */
export const OPENING_KEYS: Readonly<Record<string, NamedKey>> = {
  'Bach_BWV.1049_2': { tonic: 4, mode: 'minor' },
  'Beethoven_Op.21_2': { tonic: 5, mode: 'major' },
  'Beethoven_Op.21_3': { tonic: 0, mode: 'major' },
  'Beethoven_Op.36_3': { tonic: 2, mode: 'major' },
  Haydn_104_1: { tonic: 2, mode: 'minor' },
  'Schubert_D.485_1': { tonic: 10, mode: 'major' },
};

/** Keys found in what is written, exactly played; no key is stated. */
export function keysHeard(score: ReadScore): readonly KeySpan[] {
  const sounds = score.parts.flatMap((part) =>
    part.notes.map(({ midi, start, length }) => ({
      midi,
      start: Math.round(start * 480),
      end: Math.round((start + length) * 480),
    })),
  );
  return keysOf(sounds, scoreTimeOf(timelineOfScore(score, 90).bars), [], []).keys;
}

/**
 * The key that a song is printed in: its lowest last note where it is the tonic of the first signature, in major or in minor. Undefined where
 * the song ends elsewhere.
 */
export function printedKey(score: ReadScore): NamedKey | undefined {
  const notes = score.parts.flatMap((part) => part.notes);
  const end = Math.max(...notes.map((note) => note.start + note.length));
  const last = notes.filter((note) => note.start + note.length > end - 0.02);
  const bass = Math.min(...last.map((note) => note.midi)) % 12;
  const major = ((((score.signatures[0]?.fifths ?? 0) * 7) % 12) + 12) % 12;
  if (bass === major) return { tonic: major, mode: 'major' };
  return bass === (major + 9) % 12 ? { tonic: bass, mode: 'minor' } : undefined;
}

export function isKey(span: KeySpan | undefined, key: NamedKey): boolean {
  return span !== undefined && pitchClassOf(span.tonic) === key.tonic && span.mode === key.mode;
}

/** Bars under the printed signature. */
export function signedBars(score: ReadScore, keys: readonly KeySpan[]): Share {
  const numbers = score.bars.map((bar) => bar.number);
  const found = signatureByBar(keys, [], numbers);
  const right = score.bars.filter((bar) => {
    const printed = score.signatures.filter((signature) => signature.start <= bar.start + 0.01).at(-1);
    return printed?.fifths === found.get(bar.number);
  });
  return { right: right.length, all: score.bars.length };
}
