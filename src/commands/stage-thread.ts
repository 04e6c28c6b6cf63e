/** Works in a thread of its own on what `node-beside` sends. Whatever fails here ends the thread, and is done and told over there. */
import { parentPort } from 'node:worker_threads';
import type { Numbered, NumberedResult } from '../node-beside.ts';
import { sharedOrder, workOnStage, type NotatedStage, type OrderUnderWay } from '../stage-work.ts';

/** Stages whose texts are not made yet. */
const underWay = new Map<number, OrderUnderWay>();

let before: NotatedStage | undefined;

function begin(message: Numbered): OrderUnderWay {
  const { number } = message;
  const known = underWay.get(number);
  if (known !== undefined && 'judgement' in message) {
    known.takeJudgement(message.judgement);
    return known;
  }
  if (!('order' in message)) throw new Error('a judgement came of a stage that nobody ordered');
  const order = sharedOrder(message.order, before);
  before = order;
  const begun = workOnStage(order, (made) => {
    const result: NumberedResult = { number, made };
    parentPort?.postMessage(result);
  });
  underWay.set(number, begun);
  return begun;
}

parentPort?.on('message', (message: Numbered) => {
  const work = begin(message);
  if (!work.isJudged()) return;
  // Orders that have come meanwhile are worked on first.
  setImmediate(() => {
    work.makeTexts();
    underWay.delete(message.number);
  });
});
