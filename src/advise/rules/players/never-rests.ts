import { instrumentById } from '../../../model/music/catalogue.ts';
import { isPluralName } from '../../../model/words/part-grammar.ts';
import { barSpanText } from '../../../model/words/plain-words.ts';
import { defineRule } from '../../rule.ts';
import { rounded, verb } from '../../words.ts';

/** In quick bars the lips have not worked for long. Our convention. */
const LEAST_MINUTES = 2.75;
const LEAST_MINUTES_OF_BRASS = 1.75;

export const neverRests = defineRule(
  {
    name: 'never-rests',
    title: 'A wind part without a rest',
    looksAt:
      'The longest run of bars in which a wind, brass or vocal part of one player has no whole bar of rest, where it lasts for nearly three minutes, with brass two; choirs take turns.',
    why: 'Lips and breath need regular rests, strings do not; and a timbre that never pauses stops being one.',
    limit: { standard: 48, unit: 'bars', meaning: 'how long a part may go on without a bar of rest' },
    source:
      'N. Rimsky-Korsakov, Principles of Orchestration, ch. I (winds and brass need regular rests; no number is given: the limit is ours)',
    level: 'note',
  },
  ({ readings, partById, limit, stage: { timeline }, idiom }) =>
    readings.presence.flatMap(({ partId, from, to }) => {
      const part = partById.get(partId)?.part;
      const count = to - from + 1;
      if (part === undefined || part.players > 1 || isPluralName(part.name) || count <= limit) return [];
      if (part.family === 'voice' && idiom.kind === 'choir') return [];
      if (instrumentById(part.instrument)?.breathSeconds === undefined) return [];
      const first = timeline.bars[0]?.number ?? 1;
      const [start, end] = [timeline.bars[from - first], timeline.bars[to - first]];
      const minutes =
        start === undefined || end === undefined ? 0 : (end.startSecond + end.lengthSeconds - start.startSecond) / 60;
      if (minutes < (part.family === 'brass' ? LEAST_MINUTES_OF_BRASS : LEAST_MINUTES)) return [];
      return {
        level: 'note' as const,
        from,
        to,
        partIds: [partId],
        message: `${part.name} ${verb([part], 'has', 'have')} no bar of rest in ${barSpanText(from, to)} (${count} bars, ${rounded(minutes, 1)} min).`,
        advice: 'Look for a phrase that does without it: its next entry will count for more.',
        amount: count,
      };
    }),
);
