import type { PlacedNote } from '../../analyse/placed-notes.ts';
import { rangeLimitsOf, rangeVerdict } from '../../analyse/ranges.ts';
import { barSpanText, counted } from '../../model/plain-words.ts';
import { barAndBeat } from '../../model/timeline.ts';
import { barRuns } from '../bar-runs.ts';
import { defineRule } from '../rule.ts';
import { keyText, pitchText, placeText } from '../words.ts';

/** Passages parted by no more than this many easy bars are one remark. */
const BRIDGED_BARS = 1;

export const edgeOfRange = defineRule(
  {
    name: 'edge-of-range',
    title: 'Notes at the edge of the range',
    looksAt: 'Written notes between the comfortable range of the instrument and the last note it has.',
    why: 'Notes at the edge are there, but cost effort, security or softness: whether that is meant is worth a question.',
    source: 'ranges of the instrument catalogue, each with its source in the range appendix',
    level: 'note',
  },
  ({ parts, stage: { timeline } }) =>
    parts
      .filter(({ part }) => !part.unpitched)
      .flatMap(({ part, notes }) => {
        const limits = rangeLimitsOf(part);
        const { comfortable } = limits;
        if (comfortable === undefined) return [];
        const beyond = (note: PlacedNote): number =>
          Math.max(comfortable.low - note.midi, note.midi - comfortable.high);
        const edge = notes.filter((note) => rangeVerdict(note.midi, limits) === 'edge');
        return barRuns(edge, (note) => barAndBeat(timeline.bars, note.startQuarters).bar, BRIDGED_BARS).flatMap(
          ({ from, to, items }) => {
            const furthest = items.reduce<PlacedNote | undefined>(
              (far, note) => (far === undefined || beyond(note) > beyond(far) ? note : far),
              undefined,
            );
            if (furthest === undefined) return [];
            const usual = `${keyText(comfortable.low, part)} to ${keyText(comfortable.high, part)}`;
            const where = `${pitchText(furthest.written.pitch, part)} at ${placeText(timeline, furthest.startQuarters)}`;
            return {
              level: 'note' as const,
              from,
              to,
              partIds: [part.id],
              message: `${part.name} plays ${counted(items.length, 'note')} at the edge of its range in ${barSpanText(from, to)}, the furthest ${where}; the usual range is ${usual}.`,
              advice: 'Ask the player, and think of dynamics and rests: a strong player may not mind at all.',
              source: limits.sources.join('; '),
              amount: beyond(furthest),
            };
          },
        );
      }),
);
