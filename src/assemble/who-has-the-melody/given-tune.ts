/** The tune that led in the stage before, where its leader left it to another part: who was given it is likely to lead with it. */
import type { PlayedNote, Stage } from '../../model/music/arrangement.ts';
import type { Bar, Timeline } from '../../model/music/timeline.ts';
import { barIndexAt, secondAt } from '../../model/music/timeline.ts';
import type { BarLead } from './lead-spans.ts';
import type { LeadPart } from './shared-lead.ts';
import { withSharedLeads } from './shared-lead.ts';

/** A note played so little before a bar line stands behind it: takes of two stages are never early alike. */
const EARLY_QUARTERS = 0.1;

/** What a part led with in the stage before. */
export interface EarlierTune {
  readonly partId: string;
  /** At the same places of bars as there, in seconds of this stage. */
  readonly notes: readonly PlayedNote[];
}

/** Numbers of the bars in which each part has a tune that was given to it, by part id. */
export type GivenBars = ReadonlyMap<string, ReadonlySet<number>>;

/** The tunes of a stage, where it is plain enough who has them, as they would be played in another. */
export function earlierTunes({ foreground, parts, timeline }: Stage, into: Timeline): readonly EarlierTune[] {
  const sure = foreground.filter(({ weak }) => !weak);
  return parts.flatMap(({ id, notes, latenessMs }) => {
    const spans = sure.filter(({ partId }) => partId === id);
    const led = notes.filter(({ startQuarters }) => {
      const bar = timeline.bars[barIndexAt(timeline.bars, startQuarters)]?.number ?? 0;
      return spans.some(({ from, to }) => from <= bar && bar <= to);
    });
    const placed = led.map((note) => ({
      ...note,
      startSecond: secondAt(into, note.startQuarters) - latenessMs.median / 1000,
    }));
    return placed.length === 0 ? [] : [{ partId: id, notes: placed }];
  });
}

/** Who has the tunes of the stage before where those who led with them have not. */
export function givenBars(tunes: readonly EarlierTune[], parts: readonly LeadPart[], bars: readonly Bar[]): GivenBars {
  const given = new Map<string, Set<number>>();
  const whole = { from: bars[0]?.number ?? 1, to: bars.at(-1)?.number ?? 1, certainty: 1, weak: false, shared: [] };
  const lines = bars.map((bar) => ({ ...bar, startQuarters: bar.startQuarters - EARLY_QUARTERS }));
  for (const { partId: leader, notes } of tunes) {
    const tune: LeadPart = { id: '', notes, unpitched: false, lateSeconds: 0 };
    const shared = withSharedLeads([{ ...whole, partId: '' }], [tune, ...parts], lines).flatMap((span) => span.shared);
    const kept = shared.filter(({ partId }) => partId === leader);
    for (const { partId, from, to } of shared) {
      const own = given.get(partId) ?? new Set();
      for (let bar = from; bar <= to; bar++) if (!kept.some((span) => span.from <= bar && bar <= span.to)) own.add(bar);
      if (own.size > 0) given.set(partId, own);
    }
  }
  return given;
}

/** Where another than the leader of a bar was given its tune, the one reading is as good as the other. */
export function withGivenDoubt(
  leads: readonly (BarLead | undefined)[],
  given: GivenBars,
  bars: readonly Bar[],
): readonly (BarLead | undefined)[] {
  return leads.map((lead, index) => {
    const bar = bars[index]?.number ?? 0;
    const holders = [...given].filter(([, own]) => own.has(bar)).map(([id]) => id);
    if (lead === undefined || holders.length === 0 || holders.includes(lead.partId)) return lead;
    const others = new Map([...(lead.others ?? [])].map(([id, chance]) => [id, chance / 2]));
    for (const id of holders) others.set(id, (others.get(id) ?? 0) + 1 / 2 / holders.length);
    return { ...lead, certainty: lead.certainty / 2, others };
  });
}
