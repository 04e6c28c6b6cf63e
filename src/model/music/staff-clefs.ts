/** Which clef is in force on a staff. */
import type { Clef } from './instrument.ts';
import type { StaffBar } from './written.ts';

/** Clef in force at a place of the bar, in divisions. */
export function clefAt({ clef, clefChanges }: StaffBar, start: number): Clef {
  return clefChanges?.findLast((change) => change.start <= start)?.clef ?? clef;
}

/** Clef in force at the end of the bar. */
export function lastClef({ clef, clefChanges }: StaffBar): Clef {
  return clefChanges?.at(-1)?.clef ?? clef;
}
