import { stopPlacesOf } from '../../../analyse/playability/strings.ts';
import { counted, listText } from '../../../model/words/plain-words.ts';
import { awkwardRuns } from '../../awkward-runs.ts';
import { defineRule } from '../../rule.ts';
import { instrumentText, verb } from '../../words.ts';

export const doubleStop = defineRule(
  {
    name: 'double-stop',
    title: 'A double stop that no hand seems to hold',
    looksAt:
      'Chords of one bowed player: whether each note has a string of its own, the strings side by side, and the stopped ones within a hand (about an octave on two strings for violin and viola, less on cello and double bass). Sections divide and are left out.',
    why: 'Two notes that lie on one string only cannot sound together, and a stretch beyond the hand will be broken or thinned out.',
    limit: {
      standard: 0,
      unit: 'semitones',
      meaning: 'how much further than a usual hand the fingers may have to reach',
    },
    source:
      'double stops on two neighboring strings: N. Rimsky-Korsakov, Principles of Orchestration, ch. I; K. W. Gehrkens, 1914, Appendix B; reach of a hand: from memory',
    level: 'look',
    yieldsTo: ['too-many-notes'],
  },
  (context) =>
    awkwardRuns('double-stop', context, (judged) => stopPlacesOf(judged, context.limit)).map((run) => {
      const { part } = run.judged;
      return {
        level: 'look' as const,
        from: run.from,
        to: run.to,
        partIds: [part.id],
        message: `${part.name} ${verb([part], 'has', 'have')} ${counted(run.count, 'chord')} in ${run.bars} that one ${instrumentText(part)} does not seem to hold: ${listText(run.pitches)} at ${run.place}.`,
        advice: 'Ask the player; divide the notes between two players, or use a sixth, an octave or an open string.',
        notes: run.notes,
        amount: run.count,
      };
    }),
);
