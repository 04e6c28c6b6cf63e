import { instrumentById } from '../../model/catalogue.ts';
import { barSpanText } from '../../model/plain-words.ts';
import { defineRule } from '../rule.ts';
import { rounded, verb } from '../words.ts';

export const neverRests = defineRule(
  {
    name: 'never-rests',
    title: 'A wind part without a rest',
    looksAt: 'The longest run of bars in which a wind, brass or vocal part of one player has no whole bar of rest.',
    why: 'Lips and breath need regular rests, strings do not; and a colour that never pauses stops being one.',
    limit: { standard: 48, unit: 'bars', meaning: 'how long a part may go on without a bar of rest' },
    source:
      'N. Rimsky-Korsakov, Principles of Orchestration, ch. I (winds and brass need regular rests; no number is given: the limit is ours)',
    level: 'note',
  },
  ({ readings, partById, limit, stage: { timeline } }) =>
    readings.presence.flatMap(({ partId, from, to }) => {
      const part = partById.get(partId)?.part;
      const count = to - from + 1;
      if (part === undefined || part.players > 1 || count <= limit) return [];
      if (instrumentById(part.instrument)?.breathSeconds === undefined) return [];
      const first = timeline.bars[0]?.number ?? 1;
      const [start, end] = [timeline.bars[from - first], timeline.bars[to - first]];
      const minutes =
        start === undefined || end === undefined ? 0 : (end.startSecond + end.lengthSeconds - start.startSecond) / 60;
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
