import type { PlacedNote } from '../../../analyse/placed-notes/placed-notes.ts';
import { firstReaching } from '../../../model/sorted-search.ts';
import { areStruckTogether, NINTH, spanPlacesOf, THIRD_HAND } from '../../../analyse/playability/hand-span.ts';
import { counted, listText } from '../../../model/words/plain-words.ts';
import { awkwardRuns } from '../../awkward-runs.ts';
import type { JudgedPart } from '../../rule.ts';
import { defineRule } from '../../rule.ts';
import { pitchText, verb } from '../../words.ts';

/** A tenth is in reach of large hands. */
const TENTH_OVER = 2;
/** A single chord up to an eleventh is broken without a word. */
const ELEVENTH_OVER = 3;
/** One chord can be rolled, a row of them cannot. */
const A_ROW = 3;

/** A twelfth is out of every hand's reach, and has to be rolled. */
const TWELFTH = 19;
/** A roll over it and the way back to the next chord want so many seconds. Our convention. */
const ROLL_SECONDS = 0.6;

/** True of a chord that is struck at once and followed too soon for a roll. */
function isStruckInPassing(notes: readonly PlacedNote[], judged: JudgedPart): boolean {
  const [first] = notes;
  if (first === undefined) return false;
  const starts = notes.map(({ played }) => played.startSecond);
  const next =
    judged.notes[firstReaching(judged.notes, ({ startQuarters }) => startQuarters > first.startQuarters + 1e-6)];
  const isSoon = next !== undefined && next.played.startSecond - Math.min(...starts) < ROLL_SECONDS;
  return isSoon && areStruckTogether(notes);
}

export const handSpan = defineRule(
  {
    name: 'hand-span',
    title: 'A chord wider than a hand',
    looksAt:
      'Notes that a keyboard player strikes together, divided between two hands as well as they can be. A rolled chord begins note by note and is left out; an organist has the feet for the lowest note. To check is a chord for which both hands are too small at once, or that leaves more than two octaves to one, a twelfth and more that is struck at once too soon before the next for a roll, and a row of wide ones. To fix is one with keys in the middle, two and more, that lie out of reach of both hands: a third hand.',
    why: 'A ninth is the practical ceiling: a tenth needs a hand of about 21.6 cm, which three men in four and one woman in eight have.',
    limit: {
      standard: NINTH,
      unit: 'semitones',
      meaning:
        'widest chord of one hand that is not mentioned (a major ninth); a single chord up to an eleventh is broken and not mentioned',
    },
    source: 'R. Boyle, R. Boyle & E. Booker, hand spans of 473 adult pianists (abstract)',
    level: 'look',
  },
  (context) =>
    awkwardRuns('hand-span', context, (judged) => spanPlacesOf(judged, context.limit)).flatMap((run) => {
      const { part } = run.judged;
      const { amount, isOfBoth, middle } = run.hardest;
      if (run.count === 1 && amount <= context.limit + ELEVENTH_OVER) return [];
      const isStruck = amount >= TWELFTH && isStruckInPassing(run.hardest.notes, run.judged);
      const isFar =
        isOfBoth || isStruck || amount > THIRD_HAND || (run.count >= A_ROW && amount > context.limit + TENTH_OVER);
      const chords = `${part.name} ${verb([part], 'has', 'have')} ${counted(run.count, 'chord')} in ${run.bars}`;
      const found = {
        from: run.from,
        to: run.to,
        partIds: [part.id],
        notes: run.notes,
        amount: amount - context.limit,
      };
      if (middle.length > 0) {
        const keys = listText(middle.map(({ written }) => pitchText(written.pitch, part)));
        return {
          ...found,
          level: 'fix' as const,
          message: `${chords} that two hands cannot strike: ${keys} at ${run.place} lie more than a tenth from the lowest key and from the highest; divided as well as can be, ${counted(amount, 'semitone')} are left to one hand.`,
          advice: `Leave the middle out (${keys}) or give it to somebody else; or write the chord broken, so that a hand can move to it.`,
        };
      }
      return {
        ...found,
        level: isFar ? ('look' as const) : ('note' as const),
        message: `${chords} ${run.count === 1 ? 'that wants' : 'that want'} more than a ninth of one hand, however the two divide it, the widest ${counted(amount, 'semitone')}: ${listText(run.pitches)} at ${run.place}${isOfBoth ? ', while the other hand has more than a ninth too' : isStruck ? ', struck at once and too soon before the next for a roll' : ''}.`,
        advice: 'Ask the player; roll the chord, leave a note out, or close it by an octave.',
      };
    }),
);
