import { LONG_EFFORT_SECONDS, endurancePlacesOf } from '../../../analyse/playability/endurance.ts';
import { isPluralName } from '../../../model/words/part-grammar.ts';
import { barSpanText } from '../../../model/words/plain-words.ts';
import { awkwardRuns } from '../../awkward-runs.ts';
import { defineRule } from '../../rule.ts';
import { rounded, verb } from '../../words.ts';

/** Who plays choruses paces them by ear. Common practice, no source. */
const SOLO_FACTOR = 1.5;
/** Three times the limit is more than information. Our convention. */
const LOOK_FACTOR = 3;

export const brassEndurance = defineRule(
  {
    name: 'brass-endurance',
    title: 'Brass loud or high for long, without rest',
    looksAt:
      'Stretches of a brass part with one player that are loud (f and more) or above the practical range, pauses of less than 4 s included, with less rest after them than they lasted.',
    why: 'Lips tire: after loud or high playing they want rest of like length, first trumpets and horns most of all, or the next passage pays for it.',
    limit: { standard: LONG_EFFORT_SECONDS, unit: 'seconds', meaning: 'how long such a stretch may last' },
    source: 'S. Adler; A. Blatter (both from memory; no number is published: the limit is ours)',
    level: 'look',
  },
  (context) =>
    awkwardRuns('brass-endurance', context, (judged) =>
      // Where one velocity stands for everything nobody knows what is loud.
      context.unshaped.has(judged.part.id) || isPluralName(judged.part.name)
        ? []
        : endurancePlacesOf(judged, judged.model, context.limit * (context.idiom.kind === 'combo' ? SOLO_FACTOR : 1)),
    ).map((run) => {
      const { part } = run.judged;
      const { amount } = run.hardest;
      return {
        level: amount > context.limit * LOOK_FACTOR ? ('look' as const) : ('note' as const),
        from: run.from,
        to: run.to,
        partIds: [part.id],
        message: `${part.name} ${verb([part], 'plays', 'play')} loud or high for ${rounded(amount, 0)} s in ${barSpanText(run.from, run.to)}, from ${run.place}, with less rest than that after it.`,
        advice: 'Ask the player; rest after it, a second player to take turns, or a softer middle saves the lips.',
        notes: run.notes,
        amount,
      };
    }),
);
