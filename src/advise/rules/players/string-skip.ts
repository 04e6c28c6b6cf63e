import { skipPlacesOf } from '../../../analyse/playability/strings.ts';
import { counted } from '../../../model/words/plain-words.ts';
import { awkwardRuns } from '../../awkward-runs.ts';
import { COMMON_PRACTICE, defineRule } from '../../rule.ts';
import { verb } from '../../words.ts';

export const stringSkip = defineRule(
  {
    name: 'string-skip',
    title: 'Quick leaps over a string',
    looksAt:
      'Notes of bowed parts less than 0.3 s apart that lie at best on strings with another between them, as the open strings and an upper limit of a ninth on the lower strings have it.',
    why: 'The bow has to jump over a string that must not sound: once it is a gesture, in a row it is rough and loud.',
    limit: { standard: 3, unit: 'places', meaning: 'how many such leaps a passage may have before they are mentioned' },
    source: `the lower strings are used up to the octave or ninth: N. Rimsky-Korsakov, Principles of Orchestration, ch. I; otherwise ${COMMON_PRACTICE}`,
    level: 'note',
  },
  (context) =>
    awkwardRuns('string-skip', context, skipPlacesOf).flatMap((run) => {
      if (run.count <= context.limit) return [];
      const { part } = run.judged;
      return {
        level: 'note' as const,
        from: run.from,
        to: run.to,
        partIds: [part.id],
        message: `${part.name} ${verb([part], 'leaps', 'leap')} quickly over a string ${counted(run.count, 'time')} in ${run.bars}: ${run.pitches.join(' to ')} at ${run.place}, over ${counted(run.hardest.amount - 1, 'string')}.`,
        advice: 'Ask the player; close the gap by an octave, or share the figure between two parts.',
        notes: run.notes,
        amount: run.count,
      };
    }),
);
