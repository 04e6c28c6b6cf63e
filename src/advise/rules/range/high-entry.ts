import { rangeLimitsOf, rangeVerdict } from '../../../analyse/parts/ranges.ts';
import { topLineOf } from '../../../analyse/lines/top-line.ts';
import { barAndBeat } from '../../../model/music/timeline.ts';
import { foundNotes } from '../../found-notes.ts';
import { defineRule } from '../../rule.ts';
import { guessText, keyText, pitchText, placeText, rounded, verb } from '../../words.ts';

/** A semitone over the everyday range is within reach of anybody. */
const FREE_SEMITONES = 1;
const FAMILIES: readonly string[] = ['brass', 'voice'];

export const highEntry = defineRule(
  {
    name: 'high-entry',
    title: 'A high entry out of silence',
    looksAt:
      'First notes of brass and voices after a rest, or at the beginning, that lie more than a semitone above the practical range of the instrument.',
    why: 'Lips and throat find a high note from its neighbours; cold and without one it may crack, and everybody hears it.',
    limit: { standard: 4, unit: 'seconds', meaning: 'how long a part must have rested for its entry to count' },
    source: 'horn attacks above C5 from silence are a risk: from memory; otherwise common practice, no source',
    level: 'note',
  },
  (context) => {
    const { bars } = context.stage.timeline;
    return context.parts
      .filter(({ part }) => FAMILIES.includes(part.family))
      .flatMap((judged) => {
        const { part } = judged;
        const limits = rangeLimitsOf(part);
        const { practical } = limits;
        const line = topLineOf(judged);
        return line.flatMap((note, index) => {
          if (practical === undefined || note.midi <= practical.high + FREE_SEMITONES) return [];
          if (rangeVerdict(note.midi, limits) === 'outside') return [];
          const before = line[index - 1];
          const restSeconds = note.played.startSecond - (before?.played.endSecond ?? 0);
          if (before !== undefined && restSeconds < context.limit) return [];
          const at = barAndBeat(bars, note.startQuarters).bar;
          const after = before === undefined ? 'its first note' : `after ${rounded(restSeconds, 0)} s of rest`;
          return {
            level: 'note' as const,
            from: at,
            to: at,
            partIds: [part.id],
            message: `${part.name} ${verb([part], 'enters', 'enter')} on ${pitchText(note.written.pitch, part)} at ${placeText(context.stage.timeline, note.startQuarters)}, ${after}; the everyday range ends at ${keyText(practical.high, part)}${guessText(part)}.`,
            advice: 'Ask the player; a lower first note, a second player on it or an entry under others is safer.',
            notes: foundNotes(part, [note]),
            amount: note.midi - practical.high,
          };
        });
      });
  },
);
