import { barRuns } from '../../bar-runs.ts';
import { barSpanText } from '../../../model/words/plain-words.ts';
import type { EnsembleKind } from '../../../model/music/ensemble.ts';
import type { RuleContext } from '../../rule.ts';
import { defineRule } from '../../rule.ts';

/** In a smaller group everybody playing is the normal state. */
const FEWEST_PARTS = 6;

/** A shorter while is no monotony, however many bars it has. Our convention. */
const LEAST_SECONDS = 60;
/** Ensembles that play together as a rule. */
const TOGETHER: readonly EnsembleKind[] = ['choir'];

/** For every bar the ids of the parts that are present in it, as one text. */
function presentByBar({ readings, stage }: RuleContext): readonly { readonly bar: number; readonly ids: string[] }[] {
  const { bars } = stage.timeline;
  const first = bars[0]?.number ?? 1;
  const ids = bars.map((): string[] => []);
  for (const { partId, from, to } of readings.presence) {
    for (let index = from - first; index <= to - first; index++) ids[index]?.push(partId);
  }
  return bars.map((bar, index) => ({ bar: bar.number, ids: (ids[index] ?? []).sort() }));
}

export const unchangedTexture = defineRule(
  {
    name: 'unchanged-texture',
    title: 'The same players for too long',
    looksAt:
      'Runs of bars, a minute or more, in which exactly the same parts are present, six or more of them. Choirs and bands, which play together as a rule, are left out.',
    why: 'Timbre lives by change: a group that was silent is new when it enters, one that is always there is not heard any more.',
    limit: { standard: 24, unit: 'bars', meaning: 'how long the same parts may play without an entry or an exit' },
    source:
      'N. Rimsky-Korsakov, Principles of Orchestration (a silent group gains interest; full four-part harmony is not to go on all the time); no number is given: the limit is ours',
    level: 'note',
  },
  (context) => {
    const { bars } = context.stage.timeline;
    if (!context.idiom.strictHarmony || TOGETHER.includes(context.idiom.kind)) return [];
    const present = presentByBar(context).filter(({ ids }) => ids.length >= FEWEST_PARTS);
    const runs: { readonly key: string; readonly items: typeof present }[] = [];
    for (const { items } of barRuns(present, ({ bar }) => bar)) {
      for (const item of items) {
        const key = item.ids.join(' ');
        const open = runs.at(-1);
        const follows = open?.items.at(-1)?.bar === item.bar - 1;
        if (open?.key === key && follows) runs[runs.length - 1] = { key, items: [...open.items, item] };
        else runs.push({ key, items: [item] });
      }
    }
    return runs.flatMap(({ items }) => {
      const from = items[0]?.bar;
      const to = items.at(-1)?.bar;
      if (from === undefined || to === undefined || items.length <= context.limit) return [];
      const [start, end] = [from, to].map((bar) => bars[bar - (bars[0]?.number ?? 1)]);
      if (start === undefined || end === undefined) return [];
      if (end.startSecond + end.lengthSeconds - start.startSecond < LEAST_SECONDS) return [];
      return {
        level: 'note' as const,
        from,
        to,
        partIds: [],
        message: `The same ${items[0]?.ids.length ?? 0} parts play in ${barSpanText(from, to)} (${items.length} bars) and nobody enters or leaves.`,
        advice: 'Let a group rest for a phrase, so that its return is an event.',
        amount: items.length,
      };
    });
  },
);
