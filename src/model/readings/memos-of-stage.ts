/** Which notes stand on the page of a stage. */
import type { Memo } from '../music/arrangement.ts';

/** The notes of a stage, in order; with those of the current stage also those of the whole piece. They are numbered from 1 in this order. */
export function memosOfStage(memos: readonly Memo[], stageId: string, isCurrent: boolean): readonly Memo[] {
  return memos.filter((memo) => memo.stageId === stageId || (memo.stageId === undefined && isCurrent));
}
