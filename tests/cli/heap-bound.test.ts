/** Which arrangements are large, so that the engine is asked to hold less memory. */
import { expect, it } from 'vitest';
import { boundingHeap } from '../../src/node-engine.ts';

/** Five stages of 1000 bars and 40 parts are 3 MB of MIDI, of 64 bars and 12 parts 60 kB (`node-engine`). */
const LARGE_STAGE = 600_000;
const SMALL_STAGE = 12_000;

/** How often the heap was bounded after files of this size and beginning were read. */
async function boundedBy(paths: readonly string[], size: number, beginning = 'MThd'): Promise<number> {
  let count = 0;
  const content = new Uint8Array(size);
  content.set(new TextEncoder().encode(beginning));
  const read = boundingHeap(
    () => Promise.resolve(content),
    () => (count += 1),
  );
  for (const path of paths) expect(await read(path)).toBe(content);
  return count;
}

const FIVE = ['1.mid', '2.mid', '3.mid', '4.mid', '5.mid'];

it('an arrangement is large by its MIDI, and that is seen once', async () => {
  expect(await boundedBy(FIVE, LARGE_STAGE)).toBe(1);
  expect(await boundedBy(FIVE, SMALL_STAGE)).toBe(0);
});

it('a small arrangement stays small beside long recordings and pages, and however often it is built again', async () => {
  expect(await boundedBy(FIVE, 50_000_000, 'RIFF')).toBe(0);
  expect(await boundedBy(Array.from({ length: 100 }, () => FIVE).flat(), SMALL_STAGE)).toBe(0);
});
