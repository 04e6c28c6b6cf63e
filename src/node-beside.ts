/** Work on stages in a second thread, while this one notates the next. */
import { availableParallelism } from 'node:os';
import { fileURLToPath } from 'node:url';
import { Worker } from 'node:worker_threads';
import type { Judgement, StageOrder, StagePieces, StageResults, StageWork, WorkBeside } from './stage-work.ts';

/** What is sent to the thread, and what it answers, in pieces. */
export type Numbered = { readonly number: number } & (
  { readonly order: StageOrder } | { readonly judgement: Judgement }
);

export interface NumberedResult {
  readonly number: number;
  readonly made: StagePieces;
}

const THREAD = fileURLToPath(new URL('../dist/stage-thread.js', import.meta.url));

export interface NodeBeside {
  readonly beside: WorkBeside;
  /** Ends the thread, where one was begun. */
  readonly end: () => void;
}

/**
 * A thread that begins with the first stage and lasts until it is ended. Whatever fails there gives undefined, for that stage and all
 * others; on a machine of one processor there is none.
 */
export function nodeBeside(file = THREAD): NodeBeside {
  let thread: Worker | undefined;
  let hasFailed = availableParallelism() < 2;
  let orders = 0;
  const waiting = new Map<string, (made: unknown) => void>();
  const giveUp = (): void => {
    hasFailed = true;
    for (const answer of waiting.values()) answer(undefined);
    waiting.clear();
  };
  const take = ({ number, made }: NumberedResult): void => {
    for (const [kind, result] of Object.entries(made)) {
      const key = `${kind} ${String(number)}`;
      waiting.get(key)?.(result);
      waiting.delete(key);
    }
    // What only waits for orders keeps no program alive.
    if (waiting.size === 0) thread?.unref();
  };
  const begin = (): Worker => {
    const begun = new Worker(file);
    begun.on('message', take);
    for (const end of ['error', 'messageerror', 'exit'] as const) begun.on(end, giveUp);
    begun.unref();
    return begun;
  };
  const answerTo = <Kind extends keyof StageResults>(kind: Kind, number: number): StageWork['given'][Kind] =>
    new Promise((answer) => {
      // The thread gives under a kind what the kind says.
      if (hasFailed) answer(undefined);
      else waiting.set(`${kind} ${String(number)}`, answer as (made: unknown) => void);
    }) as StageWork['given'][Kind];
  const send = (message: Numbered): void => {
    if (!hasFailed) thread?.postMessage(message);
  };
  const beside: WorkBeside = () => {
    if (!hasFailed) thread ??= begin();
    return (order) => {
      const number = orders++;
      send({ number, order });
      if (!hasFailed) thread?.ref();
      return {
        given: {
          judged: answerTo('judged', number),
          scores: answerTo('scores', number),
          fullScores: answerTo('fullScores', number),
          pictured: answerTo('pictured', number),
          texts: answerTo('texts', number),
        },
        giveJudgement: (judgement) => {
          send({ number, judgement });
        },
      };
    };
  };
  const end = (): void => {
    giveUp();
    void thread?.terminate();
  };
  return { beside, end };
}
