/**
 * Tracks of one part that hold the same notes at the same time: a copy left in the export, or a second layer of sound. A player has
 * them once. Only whole tracks are looked at: where two lines of a part merely meet on a note, both notes stay.
 */
import type { PlacedNote } from './group-parts.ts';
import { firstReaching } from '../../model/sorted-search.ts';

/** Quarter notes between onsets that are still one, a copy moved or humanised included; less than half a sixteenth. */
const SAME_ONSET_QUARTERS = 0.1;
/** In a track that is known to be a copy, a note so near is the same one, further from the click than its fellows; less than a sixteenth. */
const SAME_IN_A_COPY_QUARTERS = 0.18;
/** Share of a track's notes that another track must have. */
const COPY_SHARE = 0.9;
const FEWEST_NOTES = 4;

interface DoubledTrack {
  /** Places among the tracks of the part. */
  readonly copy: number;
  readonly original: number;
}

interface CountedOnce {
  readonly tracks: readonly (readonly PlacedNote[])[];
  readonly doubled: readonly DoubledTrack[];
}

type Onsets = ReadonlyMap<number, readonly number[]>;

/** Onsets by key, in order. */
function onsetsByKey(notes: readonly PlacedNote[]): Onsets {
  const found = new Map<number, number[]>();
  for (const note of notes) {
    const starts = found.get(note.midi);
    if (starts === undefined) found.set(note.midi, [note.startQuarters]);
    else starts.push(note.startQuarters);
  }
  return found;
}

function startsIn(onsets: Onsets, note: PlacedNote, within = SAME_ONSET_QUARTERS): boolean {
  const starts = onsets.get(note.midi) ?? [];
  const nearest = starts[firstReaching(starts, (start) => start >= note.startQuarters - within)];
  return nearest !== undefined && nearest <= note.startQuarters + within;
}

/** The tracks of a part, each sorted by start, with the notes of copies taken out of the copy; and which tracks are copies of which. */
export function countedOnce(tracks: readonly (readonly PlacedNote[])[]): CountedOnce {
  if (tracks.length < 2) return { tracks, doubled: [] };
  const onsets = tracks.map(onsetsByKey);
  const kept = [...tracks];
  const doubled: DoubledTrack[] = [];
  // The track with fewer notes is the copy; of equal ones the later.
  const bySize = tracks
    .map((notes, place) => ({ notes, place }))
    .sort((a, b) => a.notes.length - b.notes.length || b.place - a.place);
  bySize.forEach(({ notes, place: copy }, rank) => {
    if (notes.length < FEWEST_NOTES) return;
    for (const { place: original } of bySize.slice(rank + 1)) {
      const others = onsets[original] ?? new Map<number, readonly number[]>();
      const own = notes.filter((note) => !startsIn(others, note));
      if (own.length > (1 - COPY_SHARE) * notes.length) continue;
      kept[copy] = own.filter((note) => !startsIn(others, note, SAME_IN_A_COPY_QUARTERS));
      doubled.push({ copy, original });
      return;
    }
  });
  return { tracks: kept, doubled: doubled.sort((a, b) => a.copy - b.copy) };
}
