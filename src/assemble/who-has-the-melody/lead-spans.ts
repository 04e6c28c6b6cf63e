/** From who leads in each bar to spans. */
import type { ForegroundSpan } from '../../model/music/arrangement.ts';
import type { Bar } from '../../model/music/timeline.ts';

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

/** A guess is never as good as a word. */
const MOST_CERTAIN = 0.99;
/** Below this the other reading is about as good. */
const WEAK_CERTAINTY = 0.6;
/** A leader before who shares so much of the next span keeps it. */
const KEPT_SHARE = 0.75;
/** Who has at least this chance in the mean of a span is another reading of it. */
const LEAST_RIVAL = 0.1;

interface OpenSpan {
  readonly partId: string;
  readonly from: number;
  to: number;
  readonly isSaid: boolean;
}

function joined(bars: readonly Bar[], leadOfBar: readonly (BarLead | undefined)[]): readonly OpenSpan[] {
  const spans: OpenSpan[] = [];
  bars.forEach(({ number }, index) => {
    const lead = leadOfBar[index];
    if (lead === undefined) return;
    const last = spans.at(-1);
    const isSaid = lead.certainty === 1;
    if (last?.partId === lead.partId && last.to === number - 1 && last.isSaid === isSaid) last.to = number;
    else spans.push({ partId: lead.partId, from: number, to: number, isSaid });
  });
  return spans;
}

/** Chance that a part leads in a bar. */
function chanceOf(lead: BarLead | undefined, partId: string): number {
  return lead?.partId === partId ? lead.certainty : (lead?.others?.get(partId) ?? 0);
}

/** The mean certainty over a span, and who else may lead there: whoever shares the leader's tune is no other reading. */
function doubtOf(
  span: ForegroundSpan,
  bars: readonly Bar[],
  leadOfBar: readonly (BarLead | undefined)[],
): Pick<ForegroundSpan, 'certainty' | 'weak' | 'rivalId'> {
  const sums = new Map<string, number>();
  const first = bars[0]?.number ?? 1;
  let sure = 0;
  for (let bar = span.from; bar <= span.to; bar++) {
    const lead = leadOfBar[bar - first];
    if (lead === undefined) continue;
    for (const id of [lead.partId, ...(lead.others?.keys() ?? [])]) {
      const isTune =
        id === span.partId || span.shared.some(({ partId, from, to }) => partId === id && from <= bar && bar <= to);
      if (isTune) sure += chanceOf(lead, id);
      else sums.set(id, (sums.get(id) ?? 0) + chanceOf(lead, id));
    }
  }
  const count = span.to - span.from + 1;
  const certainty = Math.min(MOST_CERTAIN, sure / count);
  const [best] = [...sums].sort(([a, most], [b, more]) => more - most || (a < b ? -1 : 1));
  const rivalId = best !== undefined && best[1] >= LEAST_RIVAL * count ? best[0] : undefined;
  return { certainty, weak: certainty < WEAK_CERTAINTY, ...(rivalId === undefined ? {} : { rivalId }) };
}

function plainSpan({ partId, from, to }: OpenSpan): ForegroundSpan {
  return { partId, from, to, certainty: 1, weak: false, shared: [] };
}

/** Who joins a tune colours it and does not take it: the leader before stays where it plays on with the next (common practice). */
function keptByLeaders(spans: readonly OpenSpan[], share: ShareFinder): readonly OpenSpan[] {
  if (spans.length < 2) return spans;
  const kept: OpenSpan[] = [];
  share(spans.map(plainSpan)).forEach((span, index) => {
    const last = kept.at(-1);
    const isSaid = spans[index]?.isSaid ?? false;
    const bars = span.shared
      .filter(({ partId }) => partId === last?.partId)
      .reduce((sum, { from, to }) => sum + to - from + 1, 0);
    const plays = bars >= KEPT_SHARE * (span.to - span.from + 1);
    if (
      last !== undefined &&
      !isSaid &&
      !last.isSaid &&
      last.to === span.from - 1 &&
      (plays || last.partId === span.partId)
    )
      last.to = span.to;
    else kept.push({ partId: span.partId, from: span.from, to: span.to, isSaid });
  });
  return kept;
}

/** Finds who plays the tune along with the leader of each span. */
type ShareFinder = (spans: readonly ForegroundSpan[]) => readonly ForegroundSpan[];

/** Joins neighbouring bars with the same leader; bars without one are in no span. */
export function spansOf(
  bars: readonly Bar[],
  leadOfBar: readonly (BarLead | undefined)[],
  share: ShareFinder = (spans) => spans,
): readonly ForegroundSpan[] {
  const spans = keptByLeaders(joined(bars, leadOfBar), share);
  return share(spans.map(plainSpan)).map((span, index) =>
    spans[index]?.isSaid === true ? span : { ...span, ...doubtOf(span, bars, leadOfBar) },
  );
}

/** Bars that nobody holds go to whoever holds the bar before (or the first bar after). */
export function fillBars(leadOfBar: readonly (BarLead | undefined)[]): (BarLead | undefined)[] {
  const filled = [...leadOfBar];
  for (let index = 1; index < filled.length; index++) filled[index] ??= filled[index - 1];
  for (let index = filled.length - 2; index >= 0; index--) filled[index] ??= filled[index + 1];
  return filled;
}
