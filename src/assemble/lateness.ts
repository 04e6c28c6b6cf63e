/** Lateness of parts: performed minus written onset. */
import type { PlayedNote } from '../model/arrangement.ts';
import type { Timeline } from '../model/timeline.ts';

export interface Lateness {
  readonly median: number;
  readonly spread: number;
}

export function latenessOf(parts: readonly (readonly PlayedNote[])[], _timeline: Timeline): readonly Lateness[] {
  return parts.map(() => ({ median: 0, spread: 0 }));
}
