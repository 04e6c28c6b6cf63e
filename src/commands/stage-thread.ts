/** Works in a thread of its own on what `node-beside` sends. Whatever fails here ends the thread, and is done and told over there. */
import { parentPort } from 'node:worker_threads';
import type { NumberedOrder, NumberedResult } from '../node-beside.ts';
import { workOnStage } from '../stage-work.ts';

parentPort?.on('message', ({ number, order }: NumberedOrder) => {
  const makeTexts = workOnStage(order, (made) => {
    const result: NumberedResult = { number, made };
    parentPort?.postMessage(result);
  });
  // Orders that have come meanwhile are worked on first.
  setImmediate(makeTexts);
});
