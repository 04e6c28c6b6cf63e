/** The clock of swung music: a timeline in which the long and the short value of every pair are equally long. */
import type { Part, PlayedNote } from '../../model/music/arrangement.ts';
import type { TempoSegment, Timeline } from '../../model/music/timeline.ts';
import { quartersAt, secondAt } from '../../model/music/timeline.ts';
import type { SwingSpan } from '../../model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import { canSwing, figuresOf, staysUnswung } from './swing-figures.ts';
import { firstReaching } from '../../model/sorted-search.ts';

/** A part on the clock that its notation is read by. */
export interface ClockedPart {
  readonly part: Part;
  readonly timeline: Timeline;
}

/** A moment in quarters as played, and as written. */
interface Knot {
  readonly played: number;
  readonly written: number;
}

/** Inner knots of every quarter that swings but those in `unswung` (by the division where they start). */
function knotsOf(
  spans: readonly SwingSpan[],
  timeline: Timeline,
  time: ScoreTime,
  unswung: ReadonlySet<number>,
): Knot[] {
  const knots: Knot[] = [];
  for (const [index, bar] of timeline.bars.entries()) {
    const span = spans.find(({ from, to }) => bar.number >= from && bar.number <= to);
    const grid = time.bars[index];
    if (span === undefined || grid === undefined || !canSwing(bar.meter.denominator)) continue;
    const share = span.ratio / (1 + span.ratio);
    const end = bar.startQuarters + bar.lengthQuarters;
    const offset = bar.number === 0 ? bar.lengthQuarters % 1 : 0;
    for (let quarter = bar.startQuarters + offset; quarter + 1 <= end + 1e-9; quarter++) {
      const division = grid.start + Math.round((quarter - bar.startQuarters) * DIVISIONS_PER_QUARTER);
      if (unswung.has(division)) continue;
      const size = span.unit === 'eighth' ? 1 : 0.5;
      for (let pair = quarter; pair < quarter + 1 - 1e-9; pair += size) {
        knots.push({ played: pair, written: pair });
        knots.push({ played: pair + share * size, written: pair + size / 2 });
      }
      knots.push({ played: quarter + 1, written: quarter + 1 });
    }
  }
  return knots;
}

/** Written quarters of a played place, from knots in order; outside and between pairs the two are the same. */
function straightened(knots: readonly Knot[], played: number): number {
  const next = firstReaching(knots, (knot) => knot.played > played);
  const before = knots[next - 1];
  const after = knots[next];
  if (before === undefined || after === undefined || after.played <= before.played) return played;
  const share = (played - before.played) / (after.played - before.played);
  return before.written + share * (after.written - before.written);
}

function swungTimeline(timeline: Timeline, knots: readonly Knot[]): Timeline {
  const starts = [...timeline.tempo.map((segment) => segment.startQuarters), ...knots.map((knot) => knot.played)];
  const breaks = [...new Set(starts)].sort((a, b) => a - b);
  const tempo = breaks.flatMap((played, index): TempoSegment[] => {
    const next = breaks[index + 1];
    const startSecond = secondAt(timeline, played);
    const startQuarters = straightened(knots, played);
    if (next !== undefined && next - played < 1e-9) return [];
    // The last stretch goes on as the tempo map has it.
    const end = next ?? played + 1;
    const secondsPerQuarter = (secondAt(timeline, end) - startSecond) / (straightened(knots, end) - startQuarters);
    return [{ startQuarters, startSecond, secondsPerQuarter }];
  });
  return { ...timeline, tempo };
}

function onClock(part: Part, timeline: Timeline): Part {
  const notes = part.notes.map((note): PlayedNote => ({
    ...note,
    startQuarters: quartersAt(timeline, note.startSecond),
    endQuarters: quartersAt(timeline, note.endSecond),
  }));
  return { ...part, notes };
}

/** The parts of a stage on a clock that makes its swung pairs even; true triplets keep their time. `places`: as `findSwing` has them. */
export function swingClocks(
  parts: readonly Part[],
  places: readonly (readonly number[])[],
  timeline: Timeline,
  time: ScoreTime,
  spans: readonly SwingSpan[],
): ClockedPart[] {
  if (spans.length === 0) return parts.map((part) => ({ part, timeline }));
  const unswung = parts.map(() => new Set<number>());
  for (const figure of figuresOf(places, time)) {
    const number = time.bars[figure.barIndex]?.number ?? 0;
    const span = spans.find(({ from, to }) => number >= from && number <= to);
    if (span === undefined) continue;
    const swing = { unit: span.unit, share: span.ratio / (1 + span.ratio) };
    if (staysUnswung(figure, swing)) unswung[figure.partIndex]?.add(figure.start);
  }
  const shared = swungTimeline(timeline, knotsOf(spans, timeline, time, new Set()));
  return parts.map((part, index) => {
    const own = unswung[index] ?? new Set<number>();
    const clock = own.size === 0 ? shared : swungTimeline(timeline, knotsOf(spans, timeline, time, own));
    return { part: onClock(part, clock), timeline: clock };
  });
}
