import { GRADE, GRADE_DB, markOfDb } from '../../../analyse/level/marked-dynamics.ts';
import type { JudgedBar } from '../../../analyse/level/measured/judged-balance.ts';
import { isLeftAsWritten } from '../../../analyse/level/shaping.ts';
import { marginClearanceOf } from '../../../analyse/level/uncovering/margin-clearance.ts';
import { registerIn } from '../../../analyse/parts/register.ts';
import { groupedBy } from '../../../model/grouped.ts';
import { instrumentById } from '../../../model/music/catalogue.ts';
import { median } from '../../../model/music/dynamics.ts';
import { onceEach } from '../../../model/once-each.ts';
import type { FindingLevel } from '../../../model/readings/readings.ts';
import { counted } from '../../../model/words/plain-words.ts';
import type { BarRun } from '../../bar-runs.ts';
import { barRuns, splitWhere, toldTogether } from '../../bar-runs.ts';
import { leadKey } from '../../leads.ts';
import { drumsOverFront } from '../../drums-over-front.ts';
import type { DraftFinding, RuleContext } from '../../rule.ts';
import { defineRule } from '../../rule.ts';
import type { Rival } from '../../sounding-front.ts';
import {
  areMeasured,
  barsWithForeground,
  byBasis,
  frontIdsOf,
  isLevelAssumed,
  passageKey,
  rivalsOf,
  sidesBasisText,
  soundsThere,
} from '../../sounding-front.ts';
import { fallenOf, fallenText, type Fallen } from './fallen-lead.ts';
import { risenOf, risenText, type Risen } from './risen-background.ts';
import { aboutDb, elsewhereText, namesText, rounded, spansText } from '../../words.ts';

const STANDARD_DB = -2;
/** A bar on its own must lie this much further under the limit. */
const LONE_BAR_DB = 12;
/** Bars within so much of a passage are like it, and parts of it that are so much further under than the rest are a passage of their own. Our conventions. */
const LIKE_DB = 3;
const APART_DB = 8;
/** The worst bar is told where it is further under by what makes another figure of decibels. */
const WORSE_DB = 1.5;
/** A passage is over where the margin is this much better than the limit. */
const RECOVERED_DB = 2;
/**
 * Equal voices that move together come to this much more than one of them and cover nobody: somebody in the background must
 * be louder than the foreground by himself (a third of a grade), or the sum this far over it. Our conventions.
 */
const LOUDER_DB = 2;
const MASSED_DB = -8;
const MASSED_NEAR_DB = -2;
/** A mass that comes up by so much against the usual margin of the piece counts as well. */
const SWELLED_DB = 10;
/**
 * Where a level is an assumption, or set at a desk, only bars that stand out of the piece by this much (about one dynamic
 * grade) are to be looked at: what the assumption gets wrong, it gets wrong everywhere. Beyond any wrong assumption it counts all the same.
 */
const STANDING_OUT_DB = 6;
const BEYOND_ERROR_DB = -10;
/** So far under the background nobody is heard, whatever the estimate is worth. */
const FAR_UNDER_DB = -20;
/** Background parts within this much of the loudest are named with it, and no more than so many; more where it takes them all to be too loud. */
const NAMED_DB = 3;
const MOST_NAMED = 3;
const NAMED_OF_MASS_DB = 6;
const MOST_NAMED_OF_MASS = 5;

/** Who lies within a major third of the tune hides it (common practice, no source). */
const BESIDE_TUNE = 4;

/** Who is marked half a grade over the foreground was written to be louder; who is not, is louder by nature. */
const MARKED_OVER = GRADE / 2;
/** Two grades over, no wrong assumption about the instruments saves the foreground. */
const MARKED_FAR = 2 * GRADE;
/** By nature a section or another family may be louder. So much louder than one or two players in a texture of no more parts than these, nobody is told by his mark to be. Our conventions. */
const BY_NATURE_DB = -6;
const THIN_PLAYERS = 2;
const FULL_PARTS = 8;

/** Where the loudest is softer than it usually is in the passage by this much, it is over. */
const FADED_DB = 10;
/** Players make up for two dynamic grades; what is more is no matter of marking. */
const MOST_MARKED_DB = 14;

type Passage = BarRun<JudgedBar>;

/** What the limit lets pass, so that an advice of fewer decibels than the passage has too many is understood. */
function allowedText(limit: number): string {
  if (limit === 0) return 'as loud as the foreground passes';
  return limit < 0
    ? `up to ${rounded(-limit, 1)} dB over the foreground pass`
    : `${rounded(limit, 1)} dB under it are asked`;
}

/** Where no marking bridges the distance: who may give way, and where the tune could go. */
function curesOf(
  softerDb: number,
  frontIds: readonly string[],
  backIds: readonly string[],
  bars: readonly JudgedBar[],
  { lower, gradesSofter }: Partial<Fallen>,
  context: RuleContext,
): string {
  const names = (ids: readonly string[]): string =>
    namesText(ids.flatMap((id) => context.partById.get(id)?.part ?? []));
  // Who sings, or has the tune elsewhere, is not what the piece can do without (common practice, no source).
  const spare = backIds.filter((id) => {
    const part = context.partById.get(id)?.part;
    return part?.family !== 'voice' && part?.words === undefined && part?.role !== 'foreground';
  });
  const cures = [
    ...(lower === undefined ? [] : [`put ${names(frontIds)} up an octave, where it lies otherwise`]),
    ...(gradesSofter === undefined ? [] : [`mark ${names(frontIds)} as elsewhere`]),
    ...(spare.length === 0 ? [] : [`let ${names(spare)} rest or thin out there`]),
    ...(lower === undefined
      ? ['put the tune into a stronger register, double it or give it to another instrument']
      : []),
  ];
  return `${byBasis(areMeasured(bars))} ${softerDb} dB are missing, which no marking makes up for (one dynamic grade is about 7 dB): ${cures.slice(0, -1).join(', ')}${cures.length > 1 ? ', or ' : ''}${cures.at(-1) ?? ''}.`;
}

/** Where the marks of the passage itself make most of the distance: they are what to take back. */
function asElsewhere(
  softerDb: number,
  { parts, grades, withOthers, gainDb }: Risen,
  frontIds: readonly string[],
  bars: readonly JudgedBar[],
  { partById }: RuleContext,
): string {
  const whole = Math.min(softerDb, Math.round(gainDb));
  const left = softerDb - whole;
  const front = namesText(frontIds.flatMap((id) => partById.get(id)?.part ?? []));
  const others = withOthers ? ', and whoever came up with them' : '';
  const rest = left === 0 ? '' : `; bring ${front} up by the other ${left} dB`;
  return `${byBasis(areMeasured(bars))} ${softerDb} dB are missing, ${left === 0 ? 'all' : `about ${whole}`} of them by the marks of this passage: mark ${namesText(parts)} about ${counted(grades, 'dynamic grade')} softer, as elsewhere in the background${others}${rest}.`;
}

/** What would bring the passage to the limit, by the same levels. */
function adviceOf(
  bars: readonly JudgedBar[],
  margin: number,
  frontIds: readonly string[],
  mostIds: readonly string[],
  { fallen, risen }: { readonly fallen: Fallen | undefined; readonly risen: Risen | undefined },
  context: RuleContext,
): string {
  const { partById, limit } = context;
  const sections = mostIds.flatMap((id) => partById.get(id)?.part ?? []).filter(({ players }) => players > 1);
  const section = sections[0];
  const { softerDb, players } = marginClearanceOf(bars, margin, limit, {
    partId: section?.id ?? '',
    players: section?.players ?? 1,
  });
  if (softerDb > MOST_MARKED_DB) {
    return risen !== undefined && 2 * risen.gainDb >= softerDb
      ? asElsewhere(softerDb, risen, frontIds, bars, context)
      : curesOf(softerDb, frontIds, mostIds, bars, fallen ?? {}, context);
  }
  const fewer =
    section === undefined || players === undefined
      ? ''
      : `, or ${section.name} with ${players} of ${section.players} players`;
  return `${byBasis(areMeasured(bars))} the background ${softerDb} dB softer would do${fewer} (${allowedText(limit)}; one dynamic grade is about 7 dB): mark it down, thin it out, let it rest where the foreground moves, or bring the foreground up.`;
}

function marginOf(bars: readonly JudgedBar[]): number | undefined {
  return median(bars.flatMap(({ marginDb }) => marginDb ?? []));
}

interface Sides {
  readonly frontIds: readonly string[];
  /** The loudest first. */
  readonly backIds: readonly string[];
  /** Who makes at least half of the background's sound over the bars, the strongest first: those, and who else it takes. */
  readonly mostIds: () => readonly string[];
  readonly overDb: number;
}

/**
 * Of some rivals, of those nearly as loud who lie where the tune lies, and of as many more as it takes, the strongest first: together at least half of
 * the sound of all.
 */
function mostOf(
  loudest: readonly Rival[],
  rivals: readonly Rival[],
  besideTune: (rival: Rival) => boolean,
): readonly string[] {
  const sumOf = (some: readonly Rival[]): number => some.reduce((sum, { power }) => sum + power, 0);
  const all = sumOf(rivals);
  const top = rivals[0]?.levelDb ?? Number.NEGATIVE_INFINITY;
  const near = rivals.filter((rival) => rival.levelDb >= top - NAMED_OF_MASS_DB && besideTune(rival));
  const named = [...new Set([...loudest, ...near])].slice(0, MOST_NAMED_OF_MASS);
  for (const rival of [...rivals].sort((a, b) => b.power - a.power)) {
    if (2 * sumOf(named) >= all || named.length >= MOST_NAMED_OF_MASS) break;
    if (!named.includes(rival)) named.push(rival);
  }
  return named.sort((a, b) => b.power - a.power).map(({ partId }) => partId);
}

/** True where a part reaches into the compass of the foreground in most of these bars, or within a third of it: there it hides most. */
function liesWithTune(
  id: string,
  frontIds: readonly string[],
  bars: readonly JudgedBar[],
  { readings: { register } }: RuleContext,
): boolean {
  const shared = bars.filter(({ bar }) => {
    const own = registerIn(register, id, bar);
    return (
      own !== undefined &&
      frontIds.some((frontId) => {
        const front = registerIn(register, frontId, bar);
        return front !== undefined && own.high >= front.low - BESIDE_TUNE && own.low <= front.high + BESIDE_TUNE;
      })
    );
  });
  return 2 * shared.length > bars.length;
}

/** Who is in front of whom in a passage, and by how much the loudest of the background is over the foreground. */
function sidesOf(bars: readonly JudgedBar[], context: RuleContext): Sides {
  const frontIds = frontIdsOf(bars, context);
  const rivals = rivalsOf(bars, frontIds, context);
  const top = rivals[0]?.db ?? Number.NEGATIVE_INFINITY;
  const front = median(bars.flatMap(({ foregroundDb }) => foregroundDb ?? [])) ?? Number.POSITIVE_INFINITY;
  const overDb = top - front;
  const isMass = overDb < LOUDER_DB;
  const named = isMass
    ? rivals.filter(({ levelDb }) => levelDb >= top - NAMED_OF_MASS_DB)
    : rivals.filter(({ db }) => db >= top - NAMED_DB);
  const most = isMass ? MOST_NAMED_OF_MASS : MOST_NAMED;
  const loudest = named.slice(0, most);
  return {
    frontIds,
    backIds: loudest.map(({ partId }) => partId),
    mostIds: () => mostOf(loudest, rivals, ({ partId }) => liesWithTune(partId, frontIds, bars, context)),
    overDb,
  };
}

/** Median margin of all bars by who leads in them. */
const usualMargins = onceEach((context: RuleContext): ReadonlyMap<string, number | undefined> => {
  const byLead = groupedBy(context.readings.balance, ({ bar }) => leadKey(context, bar));
  return new Map([...byLead].map(([key, own]) => [key, median(own.flatMap(({ marginDb }) => marginDb ?? []))]));
});

/** Median margin of the bars with the same leader: what is usual for it in this piece. */
function usualMargin(bar: number, context: RuleContext): number {
  return usualMargins(context).get(leadKey(context, bar)) ?? context.limit;
}

/**
 * By how much of the scale 0..1 the loudest of the background is marked over the foreground in a bar. Who is louder on a recording than his notes
 * say was made so: that counts as if it were marked.
 */
function markedOver(
  { bar, isMeasured, overNotesDb }: JudgedBar,
  { frontIds, backIds }: Pick<Sides, 'frontIds' | 'backIds'>,
  context: RuleContext,
): number {
  const marked = context.toldMarks[bar - (context.stage.timeline.bars[0]?.number ?? 1)];
  const most = (ids: readonly string[]): number =>
    Math.max(
      ...ids.flatMap((id) => {
        const mark = marked?.get(id);
        return mark === undefined ? [] : [mark + (isMeasured ? markOfDb(overNotesDb[id] ?? 0) : 0)];
      }),
    );
  return most(backIds) - most(frontIds);
}

/**
 * Whether the arranger can be asked about it. Where all are marked alike players listen and balance themselves, as a tutti does; only a thin
 * foreground is lost then, and only published levels say so. A part that nobody shaped has no mark at all.
 */
function isWritten(bar: JudgedBar, { frontIds, backIds }: Sides, context: RuleContext): boolean {
  const { marginDb, partsDb, isMeasured } = bar;
  const { stage, partById } = context;
  const [top] = backIds;
  const loudest = top === undefined ? undefined : partById.get(top)?.part;
  if (top === undefined || loudest === undefined) return false;
  const fronts = frontIds.flatMap((id) => partById.get(id)?.part ?? []);
  const isLeft = loudest.family !== 'keyboard' && isLeftAsWritten(loudest, fronts, stage.parts, context.unshaped);
  if (isLeft && !isMeasured) return false;
  if (markedOver(bar, { frontIds, backIds }, context) >= MARKED_OVER) return true;
  const players = frontIds.reduce((sum, id) => sum + (partById.get(id)?.part.players ?? 1), 0);
  const isOther = loudest.players > players || fronts.every(({ family }) => family !== loudest.family);
  const isThin = isOther && players <= THIN_PLAYERS && Object.keys(partsDb).length <= FULL_PARTS;
  return isThin && (marginDb ?? 0) <= BY_NATURE_DB && !isDoubtful([bar], [...frontIds, top], context);
}

/**
 * A section of equals, none of them alone to blame, that holds the place of the tune: within a grade of the loudest, each marked no softer than the
 * foreground, together most of a background that is far over it, and by so much more than this leader mostly has against it that no wrong assumption
 * about an instrument, nor a desk, explains it. Empty where there is none.
 */
function sectionOver(bar: JudgedBar, frontIds: readonly string[], context: RuleContext): readonly Rival[] {
  const { marginDb, partsDb } = bar;
  if (marginDb === undefined || marginDb > BEYOND_ERROR_DB || Object.keys(partsDb).length > FULL_PARTS) return [];
  if (usualMargin(bar.bar, context) - marginDb < SWELLED_DB) return [];
  // A struck note dies away under every chord that is held, as at the end of a piece: that is no section over a tune.
  const holds = (id: string): boolean =>
    instrumentById(context.partById.get(id)?.part.instrument ?? '')?.sustaining ?? true;
  if (!frontIds.some(holds)) return [];
  const rivals = rivalsOf([bar], frontIds, context);
  const top = rivals[0]?.levelDb ?? Number.NEGATIVE_INFINITY;
  const section = rivals.filter(
    ({ partId, levelDb }) =>
      levelDb >= top - GRADE_DB &&
      markedOver(bar, { frontIds, backIds: [partId] }, context) >= 0 &&
      liesWithTune(partId, frontIds, [bar], context),
  );
  const powerOf = (some: readonly Rival[]): number => some.reduce((sum, { power }) => sum + power, 0);
  return section.length > 1 && 2 * powerOf(section) > powerOf(rivals) ? section : [];
}

/** Whether a bar is one that an ear would mark: the background together over the foreground, and somebody in it by himself. */
function isOver(bar: JudgedBar, context: RuleContext): boolean {
  const { marginDb } = bar;
  if (marginDb === undefined || marginDb >= context.limit) return false;
  const sides = sidesOf([bar], context);
  // Who asks for more distance asks it of everybody.
  const isAsked = isWritten(bar, sides, context) || sectionOver(bar, sides.frontIds, context).length > 0;
  if (context.limit <= STANDARD_DB && !isAsked) return false;
  const below = usualMargin(bar.bar, context) - marginDb;
  // A doubtful level counts only where it stands out, so that a passage is not lost among bars that the assumption makes too loud.
  const isWrittenFar = markedOver(bar, sides, context) >= MARKED_FAR;
  if (!isWrittenFar && isDoubtful([bar], [...sides.frontIds, ...sides.backIds.slice(0, 1)], context)) {
    if (below < STANDING_OUT_DB && marginDb > BEYOND_ERROR_DB) return false;
  }
  // Who asks for more distance than usual has the single part judged by it too.
  const overDb = sides.overDb + Math.max(0, context.limit - STANDARD_DB);
  const isMassed = marginDb < MASSED_DB || below >= SWELLED_DB;
  return overDb >= LOUDER_DB || (isMassed && overDb >= MASSED_NEAR_DB);
}

/** Where a level is assumed or set at a desk, and nobody measured it. */
function isDoubtful(bars: readonly JudgedBar[], ids: readonly string[], context: RuleContext): boolean {
  return !areMeasured(bars) && (context.idiom.amplified || isLevelAssumed(ids, context));
}

/** Of voices among voices the assumption is one and the same, and is no part of the difference. */
function areAllSung(ids: readonly string[], { partById }: RuleContext): boolean {
  return ids.every((id) => partById.get(id)?.part.family === 'voice');
}

function levelOf(
  margin: number,
  bars: readonly JudgedBar[],
  ids: readonly string[],
  context: RuleContext,
): FindingLevel | undefined {
  if (!isDoubtful(bars, ids, context) || margin <= FAR_UNDER_DB) return 'look';
  if (usualMargin(bars[0]?.bar ?? 1, context) - margin >= STANDING_OUT_DB) return 'look';
  if (margin <= BEYOND_ERROR_DB && !context.idiom.amplified && areAllSung(ids, context)) return 'look';
  return margin <= BEYOND_ERROR_DB && !context.idiom.amplified ? 'note' : undefined;
}

/** Who is over the foreground and about as loud as the loudest in half of these bars at least, however soft in the others: who covers half of a passage is to blame for it too. */
function oftenLoudest(
  bars: readonly JudgedBar[],
  frontIds: readonly string[],
  context: RuleContext,
): readonly string[] {
  const counts = new Map<string, number>();
  for (const bar of bars) {
    const rivals = rivalsOf([bar], frontIds, context);
    const top = Math.max(...rivals.map(({ levelDb }) => levelDb));
    for (const { partId, levelDb } of rivals)
      if (levelDb >= top - NAMED_DB && levelDb > (bar.foregroundDb ?? Infinity))
        counts.set(partId, (counts.get(partId) ?? 0) + 1);
  }
  return [...counts].flatMap(([id, count]) => (2 * count >= bars.length ? [id] : []));
}

function findingOf(run: Passage, context: RuleContext): DraftFinding[] {
  const { from, to, items: bars } = run;
  const { partById, limit } = context;
  const margin = marginOf(bars);
  if (margin === undefined) return [];
  const { frontIds, backIds, mostIds: namedOf } = sidesOf(bars, context);
  const isWrittenFar = bars.every((bar) => markedOver(bar, { frontIds, backIds }, context) >= MARKED_FAR);
  const level = isWrittenFar ? 'look' : levelOf(margin, bars, [...frontIds, ...backIds.slice(0, 1)], context);
  if (level === undefined || backIds.length === 0) return [];
  const parts = (ids: readonly string[]) => ids.flatMap((id) => partById.get(id)?.part ?? []);
  // Advice that is to do for the passage has to do for its worst bar.
  const worst = bars.reduce((most, bar) => ((bar.marginDb ?? 0) < (most.marginDb ?? 0) ? bar : most));
  const worstDb = worst.marginDb ?? margin;
  const louder = margin >= 0 && worstDb < 0 ? ' louder' : '';
  const inWorst = margin - worstDb < WORSE_DB ? '' : `, in bar ${String(worst.bar)} ${aboutDb(worstDb)}${louder}`;
  const relation = margin < 0 ? `${aboutDb(margin)} louder than` : `only ${aboutDb(margin)} softer than`;
  const basis = sidesBasisText(areMeasured(bars), frontIds, backIds, context);
  const fallen = fallenOf(frontIds, bars, context);
  const section = bars.flatMap((bar) => sectionOver(bar, frontIds, context).map(({ partId }) => partId));
  const mostIds = [...new Set([...namedOf(), ...section, ...oftenLoudest(bars, frontIds, context)])].slice(
    0,
    MOST_NAMED_OF_MASS,
  );
  const risen = risenOf(mostIds, bars, context);
  return [
    {
      level,
      from,
      to,
      partIds: [...frontIds, ...mostIds],
      message: `The background together is ${relation} ${namesText(parts(frontIds))} in ${spansText(bars.map(({ bar }) => bar))}${inWorst} (${basis}); most of it is ${namesText(parts(mostIds))}${fallenText(fallen)}${risenText(risen)}${elsewhereText(run)}.`,
      advice: adviceOf([worst], worstDb, frontIds, mostIds, { fallen, risen }, context),
      // Eight bars a little under are worse than one bar far under.
      amount: (limit - margin) * bars.length,
    },
  ];
}

function frontAt(bar: number, { front, stage }: RuleContext): ReadonlySet<string> {
  return front[bar - (stage.timeline.bars[0]?.number ?? 1)] ?? new Set();
}

/**
 * Where the loudest of the background begins and ends in some bars, by index: the loudest of those who are there in at least half of the bars between,
 * and in more than one of several. Whoever touches a bar or two of a passage is not what it is about.
 */
function spanOfLoudest(bars: readonly JudgedBar[], context: RuleContext): readonly [begin: number, end: number] {
  const spans = rivalsOf(bars, frontIdsOf(bars, context), context, () => true).map(({ partId, db, levelDb }) => {
    const levels = bars.flatMap((bar, index) => {
      const level = soundsThere(partId, [bar], context) ? bar.partsDb[partId] : undefined;
      return level === undefined ? [] : [{ index, db: level + db - levelDb }];
    });
    const usual = median(levels.map((level) => level.db)) ?? Number.NEGATIVE_INFINITY;
    const strong = levels.filter((level) => level.db >= usual - FADED_DB).map(({ index }) => index);
    return { usual, begin: strong[0] ?? 0, end: strong.at(-1) ?? 0, count: strong.length };
  });
  const loudest = spans
    .sort((a, b) => b.usual - a.usual)
    .find(({ begin, end, count }) => 2 * count > end - begin && count >= Math.min(2, bars.length));
  return loudest === undefined ? [0, bars.length - 1] : [loudest.begin, loudest.end];
}

/** Who is the loudest of the background in these bars; undefined where nobody is. */
function loudestIn(bars: readonly JudgedBar[], context: RuleContext): string | undefined {
  return sidesOf(bars, context).backIds[0];
}

/**
 * First and last index of some bars with those beside them in which one of the same players is as far over the foreground, far enough for a bar on its
 * own: others may play in it too.
 */
function withLikeBars(
  items: readonly JudgedBar[],
  begin: number,
  end: number,
  context: RuleContext,
): readonly [from: number, to: number] {
  const bars = items.slice(begin, end + 1);
  const blamed = new Set(sidesOf(bars, context).backIds);
  const most = Math.min((marginOf(bars) ?? 0) + LIKE_DB, context.limit - LONE_BAR_DB);
  const isLike = (bar: JudgedBar | undefined): boolean =>
    bar?.marginDb !== undefined && bar.marginDb < most && blamed.has(loudestIn([bar], context) ?? '');
  let [from, to] = [begin, end];
  while (isLike(items[from - 1])) from--;
  while (isLike(items[to + 1])) to++;
  return [from, to];
}

/**
 * Bars cut where somebody else is to blame for some of them, and those are so much further under that the rest would hide them: what is told of both
 * together would be true of neither.
 */
function cutAtWorst(
  bars: readonly JudgedBar[],
  context: RuleContext,
): Record<'worst' | 'others', readonly (readonly JudgedBar[])[]> {
  const isWorst = ({ marginDb = 0 }: JudgedBar): boolean => marginDb < context.limit - LONE_BAR_DB;
  const [worst, rest] = [bars.filter(isWorst), bars.filter((bar) => !isWorst(bar))];
  const apartDb = (marginOf(rest) ?? Number.NEGATIVE_INFINITY) - (marginOf(worst) ?? 0);
  const whole = { worst: [bars], others: [] };
  if (worst.length === 0 || apartDb < APART_DB) return whole;
  if (sidesOf(rest, context).backIds.includes(loudestIn(worst, context) ?? '')) return whole;
  const runsOf = (some: readonly JudgedBar[]) => barRuns(some, ({ bar }) => bar).map(({ items }) => items);
  return { worst: runsOf(worst), others: runsOf(rest) };
}

/**
 * From the first to the last bar that an ear would mark; bars between them that nearly are belong to the same passage. It begins and ends
 * with who is to blame; what is left is a passage of somebody else where he is marked far over the foreground.
 */
function passagesIn(
  items: readonly JudgedBar[],
  over: ReadonlySet<JudgedBar>,
  context: RuleContext,
): readonly Passage[] {
  const first = items.findIndex((bar) => over.has(bar));
  if (first < 0) return [];
  const last = items.findLastIndex((bar) => over.has(bar));
  const marked = items.slice(first, last + 1);
  const isFar = (bar: JudgedBar): boolean => markedOver(bar, sidesOf([bar], context), context) >= MARKED_FAR;
  const { worst, others } = cutAtWorst(marked, context);
  if (others.length > 0)
    return [...worst, ...others.filter((rest) => rest.every(isFar))].flatMap((piece) =>
      passagesIn(piece, over, context),
    );
  const [begin, end] = spanOfLoudest(marked, context);
  const [low, high] = withLikeBars(items, first + begin, first + end, context);
  const bars = items.slice(low, high + 1);
  const [from, to] = [bars[0]?.bar, bars.at(-1)?.bar];
  if (from === undefined || to === undefined) return [];
  const left = [items.slice(first, low), items.slice(high + 1, last + 1)].filter((rest) => rest.every(isFar));
  return [{ from, to, items: bars }, ...left.flatMap((rest) => passagesIn(rest, over, context))];
}

export const backgroundAsLoud = defineRule(
  {
    name: 'background-as-loud',
    title: 'The background as loud as the foreground, or louder',
    looksAt:
      'The margin of each bar: the level of the foreground (on recordings where they hold everybody who plays, else estimated), who plays along with it included, minus that of all background parts with pitch together, where the foreground sounds in at least half the beats and one background part alone is louder, or many are far louder together, or a section marked no softer than a foreground that is held, in its place, takes it far further under than it mostly is. A passage ends where the leader changes. Where it is doubtful who leads, or the sketch has no dynamics, nothing is said; where levels are assumed or set at a desk, only what stands out of the piece. Drums without pitch are told where they are marked more than two dynamic grades over the foreground for two bars and more.',
    why: 'A foreground that is not louder than the background has to stand out by register, timbre or rhythm alone.',
    limit: {
      standard: STANDARD_DB,
      unit: 'dB',
      meaning:
        'least margin over the background together. Eight parts that each play one dynamic grade (about 7 dB) under the foreground come to as much: 7 dB less 10 log10 8; a bar on its own counts 12 dB further down',
    },
    source: 'accompaniment one or two dynamic grades under the solo: S. Adler; K. Kennan & D. Grantham (from memory)',
    level: 'look',
  },
  (context) => {
    const { limit, readings } = context;
    const sounding = barsWithForeground(context);
    const barOf = ({ bar }: JudgedBar): number => bar;
    const judged = readings.balance.filter(
      ({ bar, marginDb }) => marginDb !== undefined && marginDb < limit + RECOVERED_DB && sounding.has(bar),
    );
    const over = new Set(judged.filter((bar) => isOver(bar, context)));
    const passages = splitWhere(barRuns(judged, barOf), barOf, (bar) => passageKey(bar, context))
      .flatMap(({ items }) => passagesIn(items, over, context))
      .filter(({ from, to, items: bars }) => {
        // Who has the tune in the bar before or after goes on with it: a bar in which the two part is no rivalry.
        const [top] = sidesOf(bars, context).backIds;
        const isSharer = (bar: number): boolean => top !== undefined && frontAt(bar, context).has(top);
        if (bars.length === 1 && (isSharer(from - 1) || isSharer(to + 1))) return false;
        return bars.length > 1 || (marginOf(bars) ?? limit) < limit - LONE_BAR_DB;
      });
    const sides = ({ items }: Passage): string => {
      const { frontIds, backIds } = sidesOf(items, context);
      return `${[...frontIds].sort().join(',')} < ${backIds[0] ?? ''} ${String(areMeasured(items))}`;
    };
    const weigh = ({ items }: Passage): number => (limit - (marginOf(items) ?? limit)) * items.length;
    return [
      ...toldTogether(passages, sides, weigh).flatMap((run) => findingOf(run, context)),
      ...drumsOverFront(context),
    ];
  },
);
