import { groupedBy } from '../../model/grouped.ts';
import { marginClearanceOf } from '../../analyse/level/margin-clearance.ts';
import { median } from '../../model/dynamics.ts';
import type { BarBalance } from '../../model/readings.ts';
import type { BarRun } from '../bar-runs.ts';
import { barRuns, toldTogether } from '../bar-runs.ts';
import type { DraftFinding, RuleContext } from '../rule.ts';
import { defineRule } from '../rule.ts';
import { barsWithForeground, frontIdsOf, isFrontAssumed } from '../sounding-front.ts';
import { aboutDb, namesText, spansText } from '../words.ts';

/** A bar on its own must lie this much further under the limit. */
const LONE_BAR_DB = 3;
/** A passage is over where the margin is this much better than the limit. */
const RECOVERED_DB = 2;
/**
 * Where the foreground's own level is an assumption, only bars that stand out of the piece by this much (about one dynamic
 * grade) are to be looked at: what the assumption gets wrong, it gets wrong everywhere.
 */
const STANDING_OUT_DB = 6;
/** Background parts within this much of the strongest are named. */
const NAMED_DB = 6;

/** Background parts that carry the sum, strongest first. */
function strongest(bars: readonly BarBalance[], frontIds: readonly string[]): readonly string[] {
  const levels = bars.flatMap(({ partsDb }) => Object.entries(partsDb)).filter(([id]) => !frontIds.includes(id));
  const medians = [...groupedBy(levels, ([id]) => id)]
    .map(([id, own]) => ({ id, db: median(own.map(([, db]) => db)) ?? 0 }))
    .sort((a, b) => b.db - a.db);
  const top = medians[0]?.db ?? 0;
  return medians.filter(({ db }) => db >= top - NAMED_DB).map(({ id }) => id);
}

/** What would bring the passage to the limit, by the same estimate. */
function adviceOf(
  bars: readonly BarBalance[],
  margin: number,
  backIds: readonly string[],
  context: RuleContext,
): string {
  const { partById, limit } = context;
  const sections = backIds.flatMap((id) => partById.get(id)?.part ?? []).filter(({ players }) => players > 1);
  const section = sections[0];
  const { softerDb, players } = marginClearanceOf(bars, margin, limit, {
    partId: section?.id ?? '',
    players: section?.players ?? 1,
  });
  const fewer =
    section === undefined || players === undefined
      ? ''
      : `, or ${section.name} with ${players} of ${section.players} players`;
  return `By this estimate the background ${softerDb} dB softer would do${fewer} (one dynamic grade is about 7 dB): mark it down, thin it out, let it rest where the foreground moves, or bring the foreground up.`;
}

function marginOf(bars: readonly BarBalance[]): number | undefined {
  return median(bars.flatMap(({ marginDb }) => marginDb ?? []));
}

/** Who is in front of whom in a passage. */
function sidesOf(
  bars: readonly BarBalance[],
  context: RuleContext,
): { frontIds: readonly string[]; backIds: readonly string[] } {
  const frontIds = frontIdsOf(bars, context);
  return { frontIds, backIds: strongest(bars, frontIds) };
}

function findingOf({ from, to, items: bars }: BarRun<BarBalance>, context: RuleContext): DraftFinding[] {
  const { partById, limit, readings } = context;
  const margin = marginOf(bars);
  if (margin === undefined) return [];
  const { frontIds, backIds } = sidesOf(bars, context);
  const parts = (ids: readonly string[]) => ids.flatMap((id) => partById.get(id)?.part ?? []);
  const assumed = isFrontAssumed(frontIds, context);
  const usual = median(readings.balance.flatMap(({ marginDb }) => marginDb ?? [])) ?? margin;
  const relation = margin < 0 ? `${aboutDb(margin)} louder than` : `only ${aboutDb(margin)} softer than`;
  const caution = assumed ? '; no published level of the foreground instrument is at hand, its own is assumed' : '';
  return [
    {
      level: assumed && usual - margin < STANDING_OUT_DB ? 'note' : 'look',
      from,
      to,
      partIds: [...frontIds, ...backIds],
      message: `The background together is ${relation} ${namesText(parts(frontIds))} in ${spansText(bars.map(({ bar }) => bar))} (estimate from the sketch${caution}); most of it is ${namesText(parts(backIds))}.`,
      advice: adviceOf(bars, margin, backIds, context),
      // Eight bars a little under are worse than one bar far under.
      amount: (limit - margin) * bars.length,
    },
  ];
}

export const backgroundAsLoud = defineRule(
  {
    name: 'background-as-loud',
    title: 'The background as loud as the foreground, or louder',
    looksAt:
      'The margin of each bar: the estimated level of the foreground minus that of all background parts together, where the foreground sounds in at least half the beats.',
    why: 'A foreground that is not louder than everything behind it has to stand out by register, colour or rhythm alone.',
    limit: {
      standard: -2,
      unit: 'dB',
      meaning:
        'least margin over the background together. Eight parts that each play one dynamic grade (about 7 dB) under the foreground come to as much: 7 dB less 10 log10 8; a bar on its own counts 3 dB further down',
    },
    source: 'accompaniment one or two dynamic grades under the solo: S. Adler; K. Kennan & D. Grantham (from memory)',
    level: 'look',
  },
  (context) => {
    const { limit, readings } = context;
    const sounding = barsWithForeground(context);
    const judged = readings.balance.filter(({ bar, marginDb }) => marginDb !== undefined && sounding.has(bar));
    const under = (bar: BarBalance, db: number): boolean => bar.marginDb !== undefined && bar.marginDb < db;
    const passages = barRuns(
      judged.filter((bar) => under(bar, limit + RECOVERED_DB)),
      ({ bar }) => bar,
    ).flatMap(({ items }): BarRun<BarBalance>[] => {
      // From the first to the last bar under the limit; bars between them that nearly are belong to the same passage.
      const first = items.findIndex((bar) => under(bar, limit));
      const last = items.findLastIndex((bar) => under(bar, limit));
      const from = items[first]?.bar;
      const to = items[last]?.bar;
      if (from === undefined || to === undefined) return [];
      const bars = items.slice(first, last + 1);
      const isLoneAndNear = bars.length === 1 && (marginOf(bars) ?? limit) >= limit - LONE_BAR_DB;
      return isLoneAndNear ? [] : [{ from, to, items: bars }];
    });
    const sides = ({ items }: BarRun<BarBalance>): string => {
      const { frontIds, backIds } = sidesOf(items, context);
      return `${frontIds.join(',')} < ${[...backIds].sort().join(',')}`;
    };
    return toldTogether(passages, sides).flatMap((run) => findingOf(run, context));
  },
);
