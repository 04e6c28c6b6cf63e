import { groupedBy } from '../../../model/grouped.ts';
import type { LevelModel } from '../../../analyse/level/level-model.ts';
import { partLevels } from '../../../analyse/level/part-levels.ts';
import { median } from '../../../model/music/dynamics.ts';
import { barRuns, splitWhere, toldTogether } from '../../bar-runs.ts';
import type { DraftFinding, JudgedPart, RuleContext } from '../../rule.ts';
import { COMMON_PRACTICE, defineRule } from '../../rule.ts';
import { areMeasured, basisText } from '../../sounding-front.ts';
import { aboutDb, elsewhereText, spansText, verb } from '../../words.ts';

/** A bar on its own must stand out by this many times the limit: one bar of uneven touch is no balance. */
const LONE_BAR_FACTOR = 2;

/** A second marimba or keyboard has another task, not a lower rank. */
const WITHOUT_RANK: readonly string[] = ['percussion', 'keyboard', 'plucked', 'electronic'];

interface Pair {
  readonly lead: JudgedPart;
  readonly support: JudgedPart;
}

/** First part of each kind with each later one. A part without a number stands as the first where no other does. */
function pairsOf(parts: readonly JudgedPart[]): readonly Pair[] {
  const named = parts.filter(
    ({ part }) => !part.unpitched && part.instrument !== 'unknown' && !WITHOUT_RANK.includes(part.family),
  );
  const byKind = groupedBy(named, ({ part }) => part.instrument);
  return [...byKind.values()].flatMap((kind) => {
    const plain = kind.filter(({ part }) => part.number === undefined);
    const lead = kind.find(({ part }) => part.number === 1) ?? (plain.length === 1 ? plain[0] : undefined);
    if (lead === undefined) return [];
    return kind.filter(({ part }) => (part.number ?? 1) > 1).map((support) => ({ lead, support }));
  });
}

interface Difference {
  readonly bar: number;
  readonly db: number;
  /** Both were recorded: by how much each is over its notes is counted. */
  readonly isMeasured: boolean;
  /** The second part lies above the first: the two have changed places. */
  readonly isAbove: boolean;
}

/** By how many dB the support is louder, in bars where both sound and it is not in front itself. */
function differences({ lead, support }: Pair, context: RuleContext): readonly Difference[] {
  const { stage, beats, front, readings, flatVelocity } = context;
  // Compared as marked, without the correction for register: the second part mostly lies in another one.
  const powersOf = (judged: JudgedPart, model: LevelModel): Float64Array =>
    partLevels(judged, model, beats, stage.timeline, 'without-register').power;
  const asShaped = [lead, support].map((judged) => powersOf(judged, judged.model));
  // Where the two are on two scales it has to be so by either reading.
  const areApart = (lead.modelByVelocity === undefined) !== (support.modelByVelocity === undefined);
  const readBoth = areApart
    ? [asShaped, [lead, support].map((judged) => powersOf(judged, judged.modelByVelocity ?? judged.model))]
    : [asShaped];
  const [own, over] = [support, lead].map(
    ({ part: { id } }) =>
      new Map(readings.register.flatMap(({ partId, bar, centre }) => (partId === id ? [[bar, centre] as const] : []))),
  );
  const isAbove = (bar: number): boolean => (own?.get(bar) ?? 0) > (over?.get(bar) ?? Infinity);
  const byBar = stage.timeline.bars.map((): number[] => []);
  beats.forEach((beat, index) => {
    const over = readBoth.flatMap(([first, second]) => {
      const [own = 0, other = 0] = [first?.[index], second?.[index]];
      return own > 0 && other > 0 ? [10 * Math.log10(other / own)] : [];
    });
    if (over.length > 0) byBar[beat.barIndex]?.push(Math.min(...over));
  });
  return stage.timeline.bars.flatMap((bar, index) => {
    const db = median(byBar[index] ?? []);
    if (db === undefined || (front[index]?.has(support.part.id) ?? false)) return [];
    const { overNotesDb = {} } = readings.balance[index] ?? {};
    const [supportDb, leadDb] = [overNotesDb[support.part.id], overNotesDb[lead.part.id]];
    const isMeasured = supportDb !== undefined && leadDb !== undefined;
    if (!isMeasured && flatVelocity !== undefined) return [];
    const over = isMeasured ? supportDb - leadDb : 0;
    return [{ bar: bar.number, db: db + over, isMeasured, isAbove: isAbove(bar.number) }];
  });
}

/** True where a note says that the first is softer, or the second louder, in all of these bars: it is meant. */
function isSaid({ lead, support }: Pair, bars: readonly number[], { stage }: RuleContext): boolean {
  const said = (stage.announcedLevels ?? []).filter(
    ({ partId, way }) => partId === (way === 'softer' ? lead : support).part.id,
  );
  return bars.every((bar) => said.some(({ from, to }) => from <= bar && bar <= to));
}

function findingsOf(pair: Pair, context: RuleContext): readonly DraftFinding[] {
  const { limit } = context;
  const over = differences(pair, context).filter(({ db }) => db > limit);
  const { lead, support } = pair;
  const partIds = [support.part.id, lead.part.id];
  const barOf = ({ bar }: Difference): number => bar;
  const passages = splitWhere(barRuns(over, barOf), barOf, ({ isMeasured }) => String(isMeasured)).filter(
    ({ items }) =>
      2 * items.filter(({ isAbove }) => isAbove).length <= items.length &&
      (items.length > 1 || (items[0]?.db ?? 0) > limit * LONE_BAR_FACTOR),
  );
  return toldTogether(passages, ({ items }) => String(areMeasured(items))).map((run) => {
    const { from, to, items } = run;
    const db = median(items.map((item) => item.db)) ?? 0;
    const isMeant = isSaid(pair, items.map(barOf), context);
    return {
      level: isMeant ? ('note' as const) : ('look' as const),
      from,
      to,
      partIds,
      message: `${support.part.name} ${verb([support.part], 'is', 'are')} ${aboutDb(db)} louder than ${lead.part.name} in ${spansText(items.map(({ bar }) => bar))} (${basisText(areMeasured(items), partIds, context)}, both taken in the same register)${elsewhereText(run)}${isMeant ? '; a note says so' : ''}.`,
      advice: isMeant
        ? `Listen whether it is still ${lead.part.name} that is heard as the upper line.`
        : `Bring ${support.part.name} down or ${lead.part.name} up, unless the second part is meant to lead here.`,
      amount: db,
    };
  });
}

export const supportOverLead = defineRule(
  {
    name: 'support-over-lead',
    title: 'A second part louder than the first',
    looksAt:
      'The levels of numbered parts of one instrument (on their recordings where there are any, else estimated, of parts on two scales by whichever reading makes less of it), bar by bar where both sound: the second, third ... against the first, where it does not lie above it for most of the passage.',
    why: 'The first part of a kind usually has the upper line; a louder second part turns the balance inside out.',
    limit: { standard: 3, unit: 'dB', meaning: 'how much louder the later part may be; a bar on its own twice that' },
    source: COMMON_PRACTICE,
    level: 'look',
  },
  (context) => pairsOf(context.parts).flatMap((pair) => findingsOf(pair, context)),
);
