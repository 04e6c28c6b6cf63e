import { groupedBy } from '../../../model/grouped.ts';
import { COMMON_PRACTICE, defineRule } from '../../rule.ts';
import { counted } from '../../../model/words/plain-words.ts';
import { namesText } from '../../words.ts';

/** Fewer parts make no crowd, whatever share of the group they are. */
const FEWEST_ENTRIES = 4;
/** Classical tutti, marches and shout choruses alternate blocks. Our convention. */
const MOST_EVENTS = 2;
/** In a smaller group everybody coming in together is the normal state. */
const FEWEST_PARTS = 6;

export const allAtOnce = defineRule(
  {
    name: 'all-at-once',
    title: 'Everybody comes in at once',
    looksAt:
      'Bars in which a large share of all parts comes in together, at once and not from nothing, after at least a bar in which others play, where it happens once or twice; what happens again and again is how the piece is built, and once in the second half is its goal.',
    why: 'What comes together is heard as one event and leaves nobody to come later; too great a gap between the full group and the accompanied passage before it makes the latter sound empty.',
    limit: { standard: 50, unit: '% of the parts', meaning: 'how many may come in within one bar' },
    source: `N. Rimsky-Korsakov, Principles of Orchestration (no too great gap between tutti and accompanied passages); the share: ${COMMON_PRACTICE}`,
    level: 'note',
  },
  ({ readings: { pacing }, stage, partById, limit, idiom }) => {
    const all = stage.parts.length;
    // A band comes in as a band.
    if (pacing === undefined || all < FEWEST_PARTS || !idiom.strictHarmony) return [];
    const textures = new Map(pacing.bars.map((texture) => [texture.bar, texture]));
    const atOnce = pacing.entries.filter(({ kind }) => kind === 'at-once');
    const events = [...groupedBy(atOnce, ({ bar }) => bar)].flatMap(([bar, entries]) => {
      const partIds = entries.map(({ partId }) => partId);
      const before = textures.get(bar - 1)?.partIds.length ?? 0;
      // Where nobody played before, somebody has to begin; after a general pause it is a beginning too.
      if (before === 0 || partIds.length < FEWEST_ENTRIES || (100 * partIds.length) / all <= limit) return [];
      const parts = partIds.flatMap((id) => partById.get(id)?.part ?? []);
      return [
        {
          level: 'note' as const,
          from: bar,
          to: bar,
          partIds,
          message: `${partIds.length} of ${all} parts come in together in bar ${bar}: ${namesText(parts)}; in the bar before ${counted(before, 'part')} ${before === 1 ? 'sounds' : 'sound'}.`,
          advice:
            'If this is not the one great event, let the groups come one phrase after another: timbre first, then weight.',
          amount: partIds.length / all,
        },
      ];
    });
    // Where it happens again and again, blocks of sound are how the piece is built.
    if (events.length > MOST_EVENTS) return [];
    // The only one, in the second half: that is where the piece was going.
    const [only] = events;
    const { bars } = stage.timeline;
    const middle = bars[Math.floor(bars.length / 2)]?.number ?? 1;
    return events.length === 1 && only !== undefined && only.from >= middle ? [] : events;
  },
);
