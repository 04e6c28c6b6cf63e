import { groupedBy } from '../../../model/grouped.ts';
import { barSpanText } from '../../../model/words/plain-words.ts';
import type { RegisterReading } from '../../../model/readings/readings.ts';
import { barRuns } from '../../bar-runs.ts';
import { areLed } from '../../leads.ts';
import type { RuleContext } from '../../rule.ts';
import { COMMON_PRACTICE, defineRule } from '../../rule.ts';
import { namesText } from '../../words.ts';

/** A bar or two are a breath, no lay-out. */
const FEWEST_BARS = 3;

interface Gap {
  readonly bar: number;
  readonly semitones: number;
  readonly isBelow: boolean;
  readonly partId: string;
}

/** Distance between two spans of pitch; 0 where they touch or overlap. */
function distance(one: RegisterReading, other: RegisterReading): number {
  return Math.max(0, one.low - other.high, other.low - one.high);
}

/** The background part nearest to the foreground in each bar where both sound. */
function gapsOf({ readings, front, stage }: RuleContext): readonly Gap[] {
  const first = stage.timeline.bars[0]?.number ?? 1;
  const byBar = groupedBy(readings.register, ({ bar }) => bar);
  return [...byBar].flatMap(([bar, inBar]) => {
    const isFront = ({ partId }: RegisterReading): boolean => front[bar - first]?.has(partId) ?? false;
    const ahead = inBar.filter(isFront);
    let nearest: Gap | undefined;
    for (const back of inBar.filter((reading) => !isFront(reading))) {
      for (const lead of ahead) {
        const semitones = distance(back, lead);
        if (nearest !== undefined && semitones >= nearest.semitones) continue;
        nearest = { bar, semitones, isBelow: back.high < lead.low, partId: back.partId };
      }
    }
    return nearest ?? [];
  });
}

export const farFromForeground = defineRule(
  {
    name: 'far-from-foreground',
    title: 'The background far away from the foreground',
    looksAt:
      'The distance between the register of the foreground and the nearest background part, bar by bar, for three bars or more where it is sure who leads; songs, jazz and film, where it is a device, are left out.',
    why: 'An accompaniment in a similar register feels like one body with the soloist; far above or below it, the two fall apart.',
    limit: { standard: 24, unit: 'semitones', meaning: 'widest empty space between the two (two octaves)' },
    source: COMMON_PRACTICE,
    level: 'note',
  },
  (context) => {
    const { limit, partById, idiom } = context;
    if (!idiom.strictHarmony) return [];
    const far = gapsOf(context).filter(({ semitones }) => semitones > limit);
    return barRuns(far, ({ bar }) => bar).flatMap(({ from, to, items }) => {
      if (to - from + 1 < FEWEST_BARS || !areLed(context, from, to)) return [];
      const widest = items.reduce((most, gap) => (gap.semitones > most.semitones ? gap : most));
      const ids = [...new Set(items.map(({ partId }) => partId))];
      const named = ids.flatMap((id) => partById.get(id)?.part ?? []);
      return {
        level: 'note' as const,
        from,
        to,
        partIds: ids,
        message: `Nothing of the background comes nearer to the foreground than ${widest.semitones} semitones in ${barSpanText(from, to)}; nearest is ${namesText(named)}, ${widest.isBelow ? 'below' : 'above'}.`,
        advice: 'Bring a part of the background into the octave of the foreground, unless the distance is the idea.',
        amount: widest.semitones - limit,
      };
    });
  },
);
