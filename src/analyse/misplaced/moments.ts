/** What sounds together, as pitch classes by part: the texture as the search for displaced parts reads it. */
import type { PlacedPart } from '../placed-notes/placed-notes.ts';
import type { Slice } from '../placed-notes/slices.ts';
import { firstReaching } from '../../model/sorted-search.ts';

/** Pitch classes that sound from a place on, by part. */
export interface Moment {
  readonly startQuarters: number;
  readonly endQuarters: number;
  readonly classes: readonly (readonly [partIndex: number, pitchClass: number, leads: boolean])[];
}

/** The texture as moments; `front` are the ids of the parts in front by bar index. */
export function momentsOf(
  slices: readonly Slice[],
  placed: readonly PlacedPart[],
  front: readonly ReadonlySet<string>[],
): readonly Moment[] {
  return slices.map(({ barIndex, startQuarters, endQuarters, sounding }) => ({
    startQuarters,
    endQuarters,
    classes: sounding.map(
      ({ note, partIndex }) =>
        [partIndex, note.midi % 12, front[barIndex]?.has(placed[partIndex]?.part.id ?? '') ?? false] as const,
    ),
  }));
}

/** Index of the first moment that ends after a place. */
export function firstAfter(moments: readonly Moment[], quarters: number): number {
  return firstReaching(moments, ({ endQuarters }) => endQuarters > quarters + 1e-6);
}
