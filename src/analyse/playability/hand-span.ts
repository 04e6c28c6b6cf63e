/** How far the hands of a keyboard player have to reach. */
import { groupedBy } from '../../model/grouped.ts';
import type { PlacedNote, PlacedPart } from '../placed-notes/placed-notes.ts';
import type { AwkwardPlace } from './gather-awkward.ts';

/**
 * A major ninth in semitones, the practical ceiling: a tenth needs a hand of about 21.6 cm, which 76 % of men and 13 % of women
 * have (R. Boyle, R. Boyle and E. Booker, pianist hand spans of 473 adults; abstract).
 */
export const NINTH = 14;

/** An organist has the feet for the lowest note. */
const WITH_PEDALS: readonly string[] = ['organ'];

/** The hand that reaches further where two hands divide a chord as well as they can, its notes from low to high. */
function widerHand(sorted: readonly PlacedNote[]): readonly PlacedNote[] {
  const span = (hand: readonly PlacedNote[]): number => (hand.at(-1)?.midi ?? 0) - (hand[0]?.midi ?? 0);
  return sorted.reduce<readonly PlacedNote[]>((best, _, at) => {
    const [left, right] = [sorted.slice(0, at), sorted.slice(at)];
    const wider = span(left) > span(right) ? left : right;
    return span(wider) < span(best) ? wider : best;
  }, sorted);
}

/**
 * Chords that want more than so many semitones of one hand, however two hands divide them: only notes struck together
 * count, as a rolled chord begins note by note and the pedal holds what a hand has left. Amounts are semitones.
 */
export function spanPlacesOf({ part, notes }: PlacedPart, widest = NINTH): readonly AwkwardPlace[] {
  if (part.family !== 'keyboard') return [];
  const chords = groupedBy(notes, ({ startQuarters }) => startQuarters);
  return [...chords.values()].flatMap((chord): AwkwardPlace[] => {
    // A key struck twice is one key to reach.
    const keys = [...new Map(chord.map((note) => [note.midi, note])).values()];
    const sorted = keys.sort((a, b) => a.midi - b.midi).slice(WITH_PEDALS.includes(part.instrument) ? 1 : 0);
    const hand = widerHand(sorted);
    const span = (hand.at(-1)?.midi ?? 0) - (hand[0]?.midi ?? 0);
    return span > widest ? [{ notes: hand, amount: span, usual: widest }] : [];
  });
}
