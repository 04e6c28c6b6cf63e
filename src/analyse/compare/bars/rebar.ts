/** Music whose bar lines stand elsewhere: bars of 4/4 written as twice as many of 2/4. */
import type { Rebarring } from '../../../model/readings/readings.ts';
import { barIndexAt, secondAt, type Bar, type Timeline } from '../../../model/music/timeline.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import { alignBars } from './align-bars.ts';
import { overlap } from '../../../model/sorted-sets.ts';
import { barContents, type CommonParts } from './bar-content.ts';
import type { BarNote } from './bar-notes.ts';
import { partOfNotes, type BarPart } from './bar-parts.ts';

/** Finer common measures of the bars' lengths are no bars that anybody would write. */
const LEAST_ATOM_QUARTERS = 0.5;
const MOST_ATOMS = 4000;
/** Music counts as the same where this share of it, note by note, is found in the other stage. */
const SAME_MUSIC = 0.6;

/** A stretch of a bar as long as the greatest common measure of all bars. */
interface Atom {
  readonly startQuarters: number;
  readonly lengthQuarters: number;
  /** Index of the bar that it is in. */
  readonly bar: number;
  readonly beginsBar: boolean;
}

export interface BarredStage {
  readonly timeline: Timeline;
  readonly parts: readonly BarPart[];
}

export interface Rebarred {
  /** The earlier stage with the bar lines of the later one where those were moved. Its bars keep the number of the bar they were in. */
  readonly bars: readonly Bar[];
  readonly parts: readonly BarPart[];
  /** Indices of those bars that have other bar lines now. */
  readonly isRebarred: ReadonlySet<number>;
  /** Indices of those bars that begin a bar of the earlier stage. */
  readonly beginsBar: (index: number) => boolean;
  readonly rebarred: readonly Rebarring[];
}

const tickOf = (quarters: number): number => Math.round(4 * quarters);

function histogram(bars: readonly Bar[]): Map<number, number> {
  const counts = new Map<number, number>();
  for (const { lengthQuarters } of bars) {
    const length = tickOf(lengthQuarters);
    counts.set(length, (counts.get(length) ?? 0) + 1);
  }
  return counts;
}

function greatestCommon(one: number, other: number): number {
  return other === 0 ? one : greatestCommon(other, one % other);
}

/** Quarters of an atom where bars of one length may have become bars of others; undefined where they cannot. */
function atomQuarters(before: readonly Bar[], after: readonly Bar[]): number | undefined {
  const [old, fresh] = [histogram(before), histogram(after)];
  const lengths = [...new Set([...old.keys(), ...fresh.keys()])];
  const isMore = lengths.some((length) => (fresh.get(length) ?? 0) > (old.get(length) ?? 0));
  const isLess = lengths.some((length) => (fresh.get(length) ?? 0) < (old.get(length) ?? 0));
  if (!isMore || !isLess) return undefined;
  const common = lengths.reduce(greatestCommon) / 4;
  const count = [...before, ...after].reduce((sum, bar) => sum + bar.lengthQuarters / common, 0);
  return common < LEAST_ATOM_QUARTERS || count > 2 * MOST_ATOMS ? undefined : common;
}

function atomsOf(bars: readonly Bar[], length: number): readonly Atom[] {
  return bars.flatMap((bar, index) =>
    Array.from({ length: Math.max(1, Math.round(bar.lengthQuarters / length)) }, (_, place) => ({
      startQuarters: bar.startQuarters + place * length,
      lengthQuarters: length,
      bar: index,
      beginsBar: place === 0,
    })),
  );
}

/** The notes among other bar lines, at the same places. */
function among(parts: readonly BarPart[], bars: readonly Pick<Bar, 'startQuarters'>[]): readonly BarPart[] {
  return parts.map((item) => {
    const notes = item.notes().map((note): BarNote => {
      const bar = barIndexAt(bars, note.start / DIVISIONS_PER_QUARTER);
      const start = bars[bar]?.startQuarters ?? 0;
      const onset = note.start - start * DIVISIONS_PER_QUARTER;
      const later = (onset - note.onset) / DIVISIONS_PER_QUARTER;
      return {
        ...note,
        bar,
        onset,
        playedOnset: note.playedOnset === undefined ? undefined : note.playedOnset + later,
      };
    });
    return partOfNotes(
      item.part,
      notes.sort((a, b) => a.bar - b.bar || a.onset - b.onset || a.midi - b.midi),
    );
  });
}

/** Notes of a stretch that are in both stages, and all of them. */
interface Likeness {
  readonly alike: number;
  readonly all: number;
}

interface Stretch {
  /** Indices of bars, both ends included. */
  readonly before: readonly [number, number];
  readonly after: readonly [number, number];
}

/** Stretches between bar lines that both stages have, in which one of them has bar lines that the other has not; neighbours together. */
function stretchesOf(
  atomsBefore: readonly Atom[],
  atomsAfter: readonly Atom[],
  beforeOf: readonly number[],
  likenessIn: (from: number, to: number) => Likeness,
): readonly Stretch[] {
  const found: (Stretch & Likeness)[] = [];
  const lineAt = (atoms: readonly Atom[], index: number): boolean => atoms[index]?.beginsBar ?? true;
  let from = 0;
  while (from < atomsAfter.length) {
    const first = beforeOf[from] ?? -1;
    if (first < 0 || !lineAt(atomsAfter, from) || !lineAt(atomsBefore, first)) {
      from++;
      continue;
    }
    let to = from;
    let isMoved = false;
    while (to + 1 < atomsAfter.length && beforeOf[to + 1] === first + to + 1 - from) {
      const [one, other] = [lineAt(atomsAfter, to + 1), lineAt(atomsBefore, first + to + 1 - from)];
      if (one && other) break;
      if (one !== other) isMoved = true;
      to++;
    }
    const last = first + to - from;
    const isClosed = lineAt(atomsAfter, to + 1) && lineAt(atomsBefore, last + 1);
    if (isMoved && isClosed) {
      const stretch: Stretch = {
        before: [atomsBefore[first]?.bar ?? 0, atomsBefore[last]?.bar ?? 0],
        after: [atomsAfter[from]?.bar ?? 0, atomsAfter[to]?.bar ?? 0],
      };
      const likeness = likenessIn(from, to);
      const previous = found.at(-1);
      if (previous?.after[1] === stretch.after[0] - 1 && previous.before[1] === stretch.before[0] - 1) {
        found[found.length - 1] = {
          before: [previous.before[0], stretch.before[1]],
          after: [previous.after[0], stretch.after[1]],
          alike: previous.alike + likeness.alike,
          all: previous.all + likeness.all,
        };
      } else found.push({ ...stretch, ...likeness });
    }
    from = to + 1;
  }
  return found.filter(({ alike, all }) => all > 0 && alike >= SAME_MUSIC * all);
}

function unchanged({ timeline, parts }: BarredStage): Rebarred {
  return { bars: timeline.bars, parts, isRebarred: new Set(), beginsBar: () => true, rebarred: [] };
}

/** Puts the later stage's bar lines into the earlier stage, wherever the same music has others there. */
export function rebar(before: BarredStage, after: BarredStage, common: CommonParts): Rebarred {
  const barsBefore = before.timeline.bars;
  const barsAfter = after.timeline.bars;
  const length = atomQuarters(barsBefore, barsAfter);
  if (length === undefined) return unchanged(before);
  const contents = ({ parts }: BarredStage, atoms: readonly Atom[]): ReturnType<typeof barContents> =>
    barContents(among(parts, atoms), atoms, common);
  const atomsBefore = atomsOf(barsBefore, length);
  const atomsAfter = atomsOf(barsAfter, length);
  const old = contents(before, atomsBefore);
  const fresh = contents(after, atomsAfter);
  const { beforeOf } = alignBars(old, fresh);
  const likenessIn = (from: number, to: number): Likeness => {
    let [alike, all] = [0, 0];
    for (let atom = from; atom <= to; atom++) {
      const [one, other] = [old[beforeOf[atom] ?? -1]?.common ?? [], fresh[atom]?.common ?? []];
      alike += overlap(one, other) * (one.length + other.length);
      all += one.length + other.length;
    }
    return { alike, all };
  };
  const stretches = stretchesOf(atomsBefore, atomsAfter, beforeOf, likenessIn);
  if (stretches.length === 0) return unchanged(before);
  const bars: Bar[] = [];
  const isRebarred = new Set<number>();
  barsBefore.forEach((bar, index) => {
    const stretch = stretches.find((each) => index >= each.before[0] && index <= each.before[1]);
    if (stretch === undefined) bars.push(bar);
    if (stretch?.before[0] !== index) return;
    const shift = bar.startQuarters - (barsAfter[stretch.after[0]]?.startQuarters ?? 0);
    for (const model of barsAfter.slice(stretch.after[0], stretch.after[1] + 1)) {
      const startQuarters = model.startQuarters + shift;
      const startSecond = secondAt(before.timeline, startQuarters);
      const within = barsBefore[barIndexAt(barsBefore, startQuarters)] ?? bar;
      isRebarred.add(bars.length);
      bars.push({
        number: within.number,
        startQuarters,
        lengthQuarters: model.lengthQuarters,
        startSecond,
        lengthSeconds: secondAt(before.timeline, startQuarters + model.lengthQuarters) - startSecond,
        meter: model.meter,
        tempo: within.tempo,
      });
    }
  });
  const oldStarts = new Set(barsBefore.map(({ startQuarters }) => tickOf(startQuarters)));
  return {
    bars,
    parts: among(before.parts, bars),
    isRebarred,
    beginsBar: (index) => oldStarts.has(tickOf(bars[index]?.startQuarters ?? 0)),
    rebarred: stretches.flatMap(({ before: [first, last], after: [from, to] }) => {
      const ends = [barsBefore[first], barsBefore[last], barsAfter[from], barsAfter[to]] as const;
      const [one, two, three, four] = ends;
      if (one === undefined || two === undefined || three === undefined || four === undefined) return [];
      return [
        {
          from: three.number,
          to: four.number,
          fromBefore: one.number,
          toBefore: two.number,
          before: one.meter,
          after: three.meter,
        },
      ];
    }),
  };
}
