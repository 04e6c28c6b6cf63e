/** From who leads in each bar to spans. */
import type { ForegroundSpan } from '../../model/arrangement.ts';
import type { Bar } from '../../model/timeline.ts';

/** Who leads in one bar, and how sure that is. */
export interface BarLead {
  readonly partId: string;
  /** 0..1 */
  readonly certainty: number;
  /** Chances of the other parts by id, where it was guessed. */
  readonly others?: ReadonlyMap<string, number>;
}

/** As somebody said it. */
export function saidLead(partId: string): BarLead {
  return { partId, certainty: 1 };
}

/** Below this the other reading is about as good. */
const WEAK_CERTAINTY = 0.6;
/** Who has at least this chance in the mean of a span is another reading of it. */
const LEAST_RIVAL = 0.1;

interface OpenSpan {
  readonly partId: string;
  readonly from: number;
  to: number;
  readonly leads: BarLead[];
}

function rivalOf(leads: readonly BarLead[]): string | undefined {
  const sums = new Map<string, number>();
  for (const { others } of leads) for (const [id, chance] of others ?? []) sums.set(id, (sums.get(id) ?? 0) + chance);
  const [best] = [...sums].sort(([a, most], [b, more]) => more - most || (a < b ? -1 : 1));
  return best !== undefined && best[1] >= LEAST_RIVAL * leads.length ? best[0] : undefined;
}

/** Joins neighbouring bars with the same leader; bars without one are in no span. */
export function spansOf(bars: readonly Bar[], leadOfBar: readonly (BarLead | undefined)[]): readonly ForegroundSpan[] {
  const spans: OpenSpan[] = [];
  bars.forEach((bar, index) => {
    const lead = leadOfBar[index];
    if (lead === undefined) return;
    const last = spans.at(-1);
    const isSaid = lead.certainty === 1;
    if (
      last?.partId === lead.partId &&
      last.to === bar.number - 1 &&
      last.leads.every(({ certainty }) => (certainty === 1) === isSaid)
    ) {
      last.to = bar.number;
      last.leads.push(lead);
    } else spans.push({ partId: lead.partId, from: bar.number, to: bar.number, leads: [lead] });
  });
  return spans.map(({ partId, from, to, leads }) => {
    const certainty = leads.reduce((sum, lead) => sum + lead.certainty, 0) / leads.length;
    const rivalId = rivalOf(leads);
    return {
      partId,
      from,
      to,
      certainty,
      weak: certainty < WEAK_CERTAINTY,
      ...(rivalId === undefined ? {} : { rivalId }),
      shared: [],
    };
  });
}

/** Bars that nobody holds go to whoever holds the bar before (or the first bar after). */
export function fillBars(leadOfBar: readonly (BarLead | undefined)[]): (BarLead | undefined)[] {
  const filled = [...leadOfBar];
  for (let index = 1; index < filled.length; index++) filled[index] ??= filled[index - 1];
  for (let index = filled.length - 2; index >= 0; index--) filled[index] ??= filled[index + 1];
  return filled;
}
