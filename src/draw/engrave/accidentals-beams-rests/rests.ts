/** Where rests stand. */
import type { Clef } from '../../../model/music/instrument.ts';
import type { WrittenEvent } from '../../../model/music/written.ts';
import { lineOf } from './clef-signs.ts';

/**
 * Line (1 = lowest) on which a rest is placed. Alone on the staff, a whole rest hangs from the fourth line and every other
 * sits on the middle one; of two voices the upper one's rests go up and the lower one's down, far enough from the notes of
 * the other (E. Gould, Behind Bars, from memory).
 */
export function restLine(
  event: WrittenEvent,
  direction: 1 | -1 | 0,
  other: readonly WrittenEvent[] | undefined,
  clef: Clef,
): number {
  const alone = event.figure.base === 1 ? 4 : 3;
  if (direction === 0 || other === undefined) return alone;
  // Both voices rest alike: one rest in the usual place serves both.
  const alike = other.some(
    (candidate) => candidate.kind === 'rest' && candidate.start === event.start && candidate.length === event.length,
  );
  if (alike) return alone;
  const end = event.start + event.length;
  const lines = other
    .filter(
      (candidate) =>
        candidate.kind === 'notes' && candidate.start < end && candidate.start + candidate.length > event.start,
    )
    .flatMap((candidate) => candidate.heads.map((head) => lineOf(head.pitch, clef)));
  if (direction === 1) return Math.ceil(Math.max(alone + 2, ...lines.map((line) => line + 2.5)));
  return Math.floor(Math.min(alone - 2, ...lines.map((line) => line - 2.5)));
}
