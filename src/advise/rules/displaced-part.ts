import { displacedPassages } from '../../analyse/displaced-parts.ts';
import { barSpanText } from '../../model/plain-words.ts';
import { COMMON_PRACTICE, defineRule } from '../rule.ts';
import { rounded, verb } from '../words.ts';

export const displacedPart = defineRule(
  {
    name: 'displaced-part',
    title: 'A part beside its harmony',
    looksAt:
      'Four bars and more in which the notes of a background part do not belong to what the others play there, and do to what they play a bar or a beat earlier or later; three bars beside a line that the part doubles everywhere else.',
    why: 'A passage pasted to a wrong place grinds in every bar, and each clash alone looks like a wrong note.',
    limit: { standard: 60, unit: 'per cent', meaning: 'how much of its time may be in the harmony of its own place' },
    source: COMMON_PRACTICE,
    level: 'look',
  },
  ({ parts, slices, front, limit, readings, stage: { timeline } }) =>
    displacedPassages(parts, slices, front, timeline, limit / 100, readings.doublings).map((passage) => {
      const { part } = passage;
      const from = timeline.bars[passage.from]?.number ?? 0;
      const to = timeline.bars[passage.to]?.number ?? 0;
      const percent = (share: number): string => rounded(share * 100, 0);
      return {
        level: 'look' as const,
        from,
        to,
        partIds: [part.id],
        message: `${part.name} ${verb([part], 'seems', 'seem')} to be ${passage.displacement} in ${barSpanText(from, to)}: ${percent(passage.fitsHere)} % of the time its notes are among those of the others there, ${percent(passage.fitsThere)} % where it would then belong.`,
        advice: 'Look whether the passage was put down at the wrong place; if so, move it as a whole.',
        amount: (passage.fitsThere - passage.fitsHere) * (to - from + 1),
      };
    }),
);
