/** How far the hands of a keyboard player have to reach. */
import type { AwkwardPlaces } from '../../model/readings.ts';
import type { Timeline } from '../../model/timeline.ts';
import type { PlacedNote, PlacedPart } from '../placed-notes.ts';
import type { AwkwardPlace } from './gather-awkward.ts';
import { gatherAwkward } from './gather-awkward.ts';

/**
 * A major ninth, the practical ceiling: a tenth needs a hand of about 21.6 cm, which 76 % of men and 13 % of women have (R. Boyle,
 * R. Boyle and E. Booker, pianist hand spans of 473 adults; abstract).
 */
const NINTH = 14;

/** Chords struck together on one staff that are wider than a ninth; a rolled chord begins note by note and is none. */
export function spanPlacesOf({ part, notes }: PlacedPart, timeline: Timeline): readonly AwkwardPlaces[] {
  if (part.family !== 'keyboard') return [];
  const chords = new Map<string, PlacedNote[]>();
  for (const note of notes) {
    const key = `${note.written.staff}/${note.startQuarters}`;
    const chord = chords.get(key);
    if (chord === undefined) chords.set(key, [note]);
    else chord.push(note);
  }
  const places = [...chords.values()].flatMap((chord): AwkwardPlace[] => {
    const keys = chord.map(({ midi }) => midi).sort((a, b) => a - b);
    const span = (keys.at(-1) ?? 0) - (keys[0] ?? 0);
    return span > NINTH ? [{ quarters: chord[0]?.startQuarters ?? 0, midi: keys, amount: span }] : [];
  });
  return gatherAwkward('hand-span', NINTH, places, timeline);
}
