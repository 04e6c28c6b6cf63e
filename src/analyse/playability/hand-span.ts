/** How far the hands of a keyboard player have to reach. */
import { groupedBy } from '../../model/grouped.ts';
import type { PlacedNote, PlacedPart } from '../placed-notes/placed-notes.ts';
import type { AwkwardPlace } from './gather-awkward.ts';

/** A chord that one hand or both cannot reach. */
export interface SpanPlace extends AwkwardPlace {
  /** True where the other hand is as far beyond its reach, so that neither is free for a roll. */
  readonly isOfBoth: boolean;
  /** The keys that neither hand has within a tenth of its outermost one, where they are a chord of their own that wants a third hand; else empty. */
  readonly middle: readonly PlacedNote[];
}

/**
 * A major ninth in semitones, the practical ceiling: a tenth needs a hand of about 21.6 cm, which 76 % of men and 13 % of women
 * have (R. Boyle, R. Boyle and E. Booker, pianist hand spans of 473 adults; abstract).
 */
export const NINTH = 14;

/** What large hands reach: a tenth. */
const TENTH = 16;
/** No roll reaches so much from one hand's outermost key without leaving it: two octaves. Our convention. */
export const THIRD_HAND = 24;
/** Two keys and more, which no thumb adds. */
const FEWEST_OF_MIDDLE = 2;
/** Keys that come within this are struck together; a roll takes longer. Our convention. */
const TOGETHER_SECONDS = 0.06;
/** One player's two hands have each key within reach on these; elsewhere buttons, splits or feet may have the rest. */
const TWO_HANDS: readonly string[] = ['piano', 'celesta', 'harpsichord', 'clavichord', 'clavi', 'harmonium'];

/** An organist has the feet for the lowest note. */
const WITH_PEDALS: readonly string[] = ['organ'];

type Hand = readonly PlacedNote[];

function spanOf(hand: Hand): number {
  return (hand.at(-1)?.midi ?? 0) - (hand[0]?.midi ?? 0);
}

/** Both hands where they divide a chord as well as they can, its notes from low to high; the one that reaches further first. */
function handsOf(sorted: Hand): readonly [wider: Hand, other: Hand] {
  return sorted.reduce<readonly [Hand, Hand]>(
    (best, _, at) => {
      const [left, right] = [sorted.slice(0, at), sorted.slice(at)];
      const hands: readonly [Hand, Hand] = spanOf(left) > spanOf(right) ? [left, right] : [right, left];
      return spanOf(hands[0]) < spanOf(best[0]) ? hands : best;
    },
    [sorted, []],
  );
}

/** True of keys that are struck at once, not rolled. */
export function areStruckTogether(keys: Hand): boolean {
  const seconds = keys.map(({ played }) => played.startSecond);
  return Math.max(...seconds) - Math.min(...seconds) <= TOGETHER_SECONDS;
}

/** The keys of a chord, from low to high, that want a third hand of one player: empty where two are enough, or a roll may be. */
function middleOf({ part }: PlacedPart, sorted: Hand, span: number): Hand {
  if (span <= THIRD_HAND || part.players > 1 || !TWO_HANDS.includes(part.instrument)) return [];
  if (!areStruckTogether(sorted)) return [];
  const [low, high] = [sorted[0]?.midi ?? 0, sorted.at(-1)?.midi ?? 0];
  const middle = sorted.filter(({ midi }) => midi - low > TENTH && high - midi > TENTH);
  return middle.length < FEWEST_OF_MIDDLE ? [] : middle;
}

/**
 * Chords that want more than so many semitones of one hand, however two hands divide them: only notes struck together
 * count, as a rolled chord begins note by note and the pedal holds what a hand has left. Amounts are semitones.
 */
export function spanPlacesOf(placed: PlacedPart, widest = NINTH): readonly SpanPlace[] {
  const { part, notes } = placed;
  if (part.family !== 'keyboard') return [];
  const chords = groupedBy(notes, ({ startQuarters }) => startQuarters);
  return [...chords.values()].flatMap((chord): SpanPlace[] => {
    // A key struck twice is one key to reach.
    const keys = [...new Map(chord.map((note) => [note.midi, note])).values()];
    const sorted = keys.sort((a, b) => a.midi - b.midi).slice(WITH_PEDALS.includes(part.instrument) ? 1 : 0);
    const [hand, other] = handsOf(sorted);
    const span = spanOf(hand);
    const isOfBoth = spanOf(other) > widest;
    return span > widest
      ? [{ notes: hand, amount: span, usual: widest, isOfBoth, middle: middleOf(placed, sorted, span) }]
      : [];
  });
}
