/** Key switches set aside. */
import type { Instrument } from '../model/instrument.ts';
import type { PlacedNote } from './group-parts.ts';

export interface SortedOut {
  /** For each track the notes that are music. */
  readonly music: readonly (readonly PlacedNote[])[];
  readonly switches: readonly { readonly note: PlacedNote; readonly reason: string }[];
}

export function setSwitchesAside(
  tracks: readonly (readonly PlacedNote[])[],
  _instrument: Instrument | undefined,
): SortedOut {
  return { music: tracks, switches: [] };
}
