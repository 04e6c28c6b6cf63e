/** Notes of the musician. */
import type { Problem } from '../problems/problem.ts';
import type { RawMemo } from './raw.ts';

export function readMemos(
  bytes: Uint8Array,
  file: string,
  stage: string | undefined,
): { readonly memos: readonly RawMemo[]; readonly problems: readonly Problem[] } {
  const markdown = new TextDecoder().decode(bytes).trim();
  const place = stage === undefined ? {} : { stage: { content: stage, line: 1, column: 1 } };
  return { memos: [{ file, line: 1, heading: '', markdown, parts: [], kind: 'remark', ...place }], problems: [] };
}
