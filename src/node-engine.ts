/** How the engine compiles and collects in a process that lives for seconds. */
import { setFlagsFromString } from 'node:v8';

/**
 * Code runs this much longer (in bytes of bytecode; V8 of Node 20 takes 67584) before it is compiled for speed: a build of a few seconds runs
 * much code a little. Whole builds of 64 bars, 12 parts, 5 stages in turn with one another, seconds of processor: 8.0 and 8.2 at 100,000,
 * 6.4 and 6.5 at 300,000, 5.7 and 5.7 here, 5.8 and 5.5 at 2,000,000; as much memory.
 */
const COMPILING_BUDGET = 800_000;

/**
 * Code that is compiled for speed takes in the functions that it calls up to so many bytes (V8 of Node 20 takes 920). Measured on reading and
 * notating ten folders of 30 to 42 bars and one of 256: an eighth less processor time.
 */
const INLINED_BYTES = 300;

/**
 * How much the heap of a large arrangement may grow between two collections, in percent of what is in use (V8 takes up to 300): it then needs a
 * fifth less memory at its peak. A small one is done sooner as V8 has it: 64 bars, 12 parts, 5 stages in turn with one another, 5.0, 5.4 and 5.2
 * seconds of processor and 227 MB, 5.2, 5.5 and 5.7 and 203 MB with this bound.
 */
const HEAP_GROWTH_PERCENT = 40;

/** Whoever reads so much MIDI is large: five stages of 1000 bars and 40 parts are 3 MB of MIDI, of 64 bars and 12 parts 60 kB. */
const LARGE_BYTES = 1_500_000;

/** Sets the running engine up for builds; what is compiled already stays as it is. */
export function tuneEngine(): void {
  setFlagsFromString(`--interrupt-budget=${String(COMPILING_BUDGET)}`);
  setFlagsFromString(`--max-inlined-bytecode-size-cumulative=${String(INLINED_BYTES)}`);
}

/**
 * Sets the engine up for a large arrangement. Its young objects are collected by one thread: the helpers take a little more of processor together, and
 * where the machine has other work the program waits for each of them thousands of times. 550 bars, 40 parts, 5 stages in turn, beside other work: 43.7 and
 * 43.9 s of processor, 43 and 109 s on the clock, with helpers 44.4 and 44.8, 113 and 147; at 1000 bars 81.6 for
 * 82.3 s of processor, and on the clock nothing that can be told from the other work.
 */
function boundHeap(): void {
  setFlagsFromString('--no-parallel-scavenge');
  setFlagsFromString(`--heap-growing-percent=${String(HEAP_GROWTH_PERCENT)}`);
}

/** True of a Standard MIDI File, by the name of its first chunk. */
function isMidi(bytes: Uint8Array): boolean {
  return new TextDecoder('latin1').decode(bytes.subarray(0, 4)) === 'MThd';
}

/** The same reading of files, which bounds the heap once much MIDI was read; a file that is read again counts once. */
export function boundingHeap(
  read: (path: string) => Promise<Uint8Array>,
  bound = boundHeap,
): (path: string) => Promise<Uint8Array> {
  const sizes = new Map<string, number>();
  let isBounded = false;
  return async (path) => {
    const bytes = await read(path);
    if (isBounded || !isMidi(bytes)) return bytes;
    sizes.set(path, bytes.length);
    isBounded = [...sizes.values()].reduce((sum, size) => sum + size, 0) >= LARGE_BYTES;
    if (isBounded) bound();
    return bytes;
  };
}
