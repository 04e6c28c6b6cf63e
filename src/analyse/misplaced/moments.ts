/** What sounds together, as pitch classes by part: the texture as the search for displaced parts reads it. */
import type { PlacedPart } from '../placed-notes/placed-notes.ts';
import type { Slice } from '../placed-notes/slices.ts';
import { firstReaching } from '../../model/sorted-search.ts';

/** Pitch classes as bits: 1 is C, 2 is C sharp, and so on. */
export type ClassBits = number;

/** What one part sounds. */
interface OwnClasses {
  /** Lowest note first. */
  readonly classes: readonly number[];
  readonly bits: ClassBits;
  readonly leads: boolean;
}

/** What several parts sound together: each class of theirs, and each that two of them have. */
interface JointClasses {
  readonly any: ClassBits;
  readonly shared: ClassBits;
}

/** Pitch classes that sound from a place on. */
export interface Moment {
  readonly startQuarters: number;
  readonly endQuarters: number;
  /** By part; undefined where one is silent. */
  readonly byPart: readonly (OwnClasses | undefined)[];
  readonly everybody: JointClasses;
  readonly behindLead: JointClasses;
}

/** The bit of a pitch class. */
export function bitOf(pitchClass: number): ClassBits {
  return 1 << pitchClass;
}

/** How many pitch classes there are. */
export function classCount(bits: ClassBits): number {
  let count = 0;
  for (let left = bits; left !== 0; left &= left - 1) count++;
  return count;
}

function together(parts: readonly (OwnClasses | undefined)[], isHeard: (part: OwnClasses) => boolean): JointClasses {
  let any = 0;
  let shared = 0;
  for (const part of parts) {
    if (part === undefined || !isHeard(part)) continue;
    shared |= any & part.bits;
    any |= part.bits;
  }
  return { any, shared };
}

/** The texture as moments; `front` are the ids of the parts in front by bar index. */
export function momentsOf(
  slices: readonly Slice[],
  placed: readonly PlacedPart[],
  front: readonly ReadonlySet<string>[],
): readonly Moment[] {
  return slices.map(({ barIndex, startQuarters, endQuarters, sounding }) => {
    const classes = placed.map((): number[] | undefined => undefined);
    for (const { note, partIndex } of sounding) (classes[partIndex] ??= []).push(note.midi % 12);
    const byPart = classes.map((own, partIndex): OwnClasses | undefined => {
      if (own === undefined) return undefined;
      const leads = front[barIndex]?.has(placed[partIndex]?.part.id ?? '') ?? false;
      return { classes: own, bits: own.reduce((bits, pitchClass) => bits | bitOf(pitchClass), 0), leads };
    });
    const everybody = together(byPart, () => true);
    return { startQuarters, endQuarters, byPart, everybody, behindLead: together(byPart, ({ leads }) => !leads) };
  });
}

/** Index of the first moment that ends after a place. */
export function firstAfter(moments: readonly Moment[], quarters: number): number {
  return firstReaching(moments, ({ endQuarters }) => endQuarters > quarters + 1e-6);
}

/** Pitch classes of the other parts between two places, with or without who leads. */
export function othersAt(
  moments: readonly Moment[],
  from: number,
  to: number,
  partIndex: number,
  withLead: boolean,
): ClassBits {
  let others = 0;
  for (let index = firstAfter(moments, from); index < moments.length; index++) {
    const moment = moments[index];
    if (moment === undefined || moment.startQuarters >= to - 1e-6) break;
    const own = moment.byPart[partIndex];
    const isAmong = own !== undefined && (withLead || !own.leads);
    const { any, shared } = withLead ? moment.everybody : moment.behindLead;
    others |= isAmong ? (any & ~own.bits) | shared : any;
  }
  return others;
}
