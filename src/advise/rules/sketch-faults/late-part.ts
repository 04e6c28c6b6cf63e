import { barSpanText } from '../../../model/words/plain-words.ts';
import { COMMON_PRACTICE, defineRule } from '../../rule.ts';
import { playsOrSings, rounded } from '../../words.ts';

/** A few onsets make no delay. */
const FEWEST_NOTES = 4;

export const latePart = defineRule(
  {
    name: 'late-part',
    title: 'A part consistently early or late',
    looksAt: 'The median distance of performed from written onsets of each part, late or early.',
    why: 'A constant delay comes from the sound or the recording, not from the music, and blurs chords that should be together.',
    limit: { standard: 40, unit: 'ms', meaning: 'median distance from the written onsets' },
    source: COMMON_PRACTICE,
    level: 'look',
  },
  ({ parts, readings, limit }) =>
    parts.flatMap(({ part, notes }) => {
      const { median, spread } = part.latenessMs;
      if (notes.length < FEWEST_NOTES || part.unpitched || Math.abs(median) <= limit) return [];
      const spans = readings.presence.filter((span) => span.partId === part.id);
      const from = Math.min(...spans.map((span) => span.from));
      const to = Math.max(...spans.map((span) => span.to));
      if (spans.length === 0) return [];
      // Where the onsets scatter more than they are displaced, it is free playing and no constant delay.
      const constant = spread <= Math.abs(median);
      return {
        level: constant ? ('look' as const) : ('note' as const),
        from,
        to,
        partIds: [part.id],
        message: `${part.name} ${playsOrSings([part])} about ${rounded(Math.abs(median), 0)} ms ${median > 0 ? 'late' : 'early'} in ${barSpanText(from, to)} (median; spread ${rounded(spread, 0)} ms).`,
        advice: constant
          ? 'Shift the track by that much; written notes in this dossier already have it taken out.'
          : 'The onsets scatter, as in free playing: leave it if it is meant.',
        amount: Math.abs(median) / Math.max(limit, 1),
      };
    }),
);
