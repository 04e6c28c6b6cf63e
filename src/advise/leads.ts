/** Who leads in which bar, and how surely: what follows from a leader carries the doubt about him. */
import type { ForegroundSpan, Stage } from '../model/music/arrangement.ts';
import type { RuleContext } from './rule.ts';

/** By bar index the span of the foreground that holds the bar; undefined where nobody leads. */
export function leadsOf({ timeline: { bars }, foreground }: Stage): readonly (ForegroundSpan | undefined)[] {
  const first = bars[0]?.number ?? 1;
  const leads = bars.map((): ForegroundSpan | undefined => undefined);
  for (const span of foreground) {
    for (let bar = Math.max(first, span.from); bar <= span.to && bar - first < leads.length; bar++) {
      leads[bar - first] ??= span;
    }
  }
  return leads;
}

/** True where somebody leads in this bar and no other reading is about as good. */
export function isLed({ leads, stage }: Pick<RuleContext, 'leads' | 'stage'>, bar: number): boolean {
  const lead = leads[bar - (stage.timeline.bars[0]?.number ?? 1)];
  return lead !== undefined && !lead.weak;
}

/** The same for every bar of a passage. */
export function areLed(context: Pick<RuleContext, 'leads' | 'stage'>, from: number, to: number): boolean {
  for (let bar = from; bar <= to; bar++) if (!isLed(context, bar)) return false;
  return true;
}

/** Who leads in a bar, as one word that changes where the leader does. */
export function leadKey({ leads, stage }: Pick<RuleContext, 'leads' | 'stage'>, bar: number): string {
  return leads[bar - (stage.timeline.bars[0]?.number ?? 1)]?.partId ?? '';
}
