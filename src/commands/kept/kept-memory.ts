/**
 * A memory that outlives the program: results lie in a store under a hash of everything that they were made from, the version of the program
 * included. A thing that was made from known things is itself known by what it was made from, however it came back.
 */
import { sha256Of } from '../../model/hashes.ts';
import { memoryOver, type Memory } from '../../model/memory.ts';
import { entryOf, madeOf } from './kept-entry.ts';

/** Where results lie. Neither function throws: what cannot be read was never kept, and what cannot be written is made again. */
export interface KeptStore {
  readonly read: (address: string) => Uint8Array | undefined;
  readonly write: (address: string, entry: Uint8Array) => void;
}

/**
 * Purposes whose results are worth their room on a disk: small beside the time that they take (64 bars, 12 parts, 5 stages: 5 s of processor in
 * 1.7 MB, read in 0.1 s). MP3 made of a WAV file is 1 MB a minute and takes 0.7 s.
 */
const KEPT: ReadonlySet<string> = new Set(['judged', 'engraving', 'charts', 'comparison', 'written', 'audio']);

/** `version`: changes with anything in the program that a result depends on. */
export function keptMemory(store: KeptStore, version: string): Memory {
  const known = new WeakMap<object, string>();
  /** A text that only equal keys have; undefined where that is not known of one of them. */
  const addressOf = (purpose: string, keys: readonly unknown[]): string | undefined => {
    const texts = keys.map((key) =>
      typeof key === 'object' && key !== null ? known.get(key) : `=${typeof key} ${String(key)}`,
    );
    if (texts.includes(undefined)) return undefined;
    return sha256Of(JSON.stringify([version, purpose, ...texts]));
  };
  const remember = (address: string, made: unknown): void => {
    if (typeof made === 'object' && made !== null) known.set(made, address);
  };
  return memoryOver({
    find: (purpose, keys) => {
      const address = KEPT.has(purpose) ? addressOf(purpose, keys) : undefined;
      const entry = address === undefined ? undefined : store.read(address);
      if (address === undefined || entry === undefined) return undefined;
      const made = madeOf(address, entry);
      remember(address, made);
      return made;
    },
    keep: (purpose, keys, made) => {
      const address = addressOf(purpose, keys);
      if (address === undefined) return;
      remember(address, made);
      if (KEPT.has(purpose)) store.write(address, entryOf(address, made));
    },
  });
}
