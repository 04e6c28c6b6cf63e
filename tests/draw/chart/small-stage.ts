/** A small stage with readings written by hand, for tests of the charts. */
import { JSDOM } from 'jsdom';
import type { Part, Stage } from '../../../src/model/music/arrangement.ts';
import type { BarBalance, PresenceSpan, RegisterReading, StageReadings } from '../../../src/model/readings/readings.ts';
import type { Timeline } from '../../../src/model/music/timeline.ts';
import { partOf, stageOf, timelineOf } from '../../support/arrangement.ts';

export function readingsOf(changes: Partial<StageReadings> = {}): StageReadings {
  return {
    stageId: 'stage-01-test',
    register: [],
    presence: [],
    beats: [],
    balance: [],
    levelAssumptions: [],
    ranges: [],
    doublings: [],
    coverage: [],
    melody: [],
    ...changes,
  };
}

export function spanOf(
  timeline: Timeline,
  partId: string,
  from: number,
  to: number,
  changes: Partial<PresenceSpan> = {},
): PresenceSpan {
  const first = timeline.bars.find((bar) => bar.number === from)!;
  const last = timeline.bars.find((bar) => bar.number === to)!;
  return {
    partId,
    from,
    to,
    entry: 'at-once',
    exit: 'at-once',
    firstQuarters: first.startQuarters,
    lastQuarters: last.startQuarters + last.lengthQuarters,
    ...changes,
  };
}

/** Every part sounds in every bar: one presence span, a register a fourth apart from part to part, equal levels. */
export function fullReadings(stage: Stage, levelDb: (part: Part, bar: number) => number = () => 80): StageReadings {
  const bars = stage.timeline.bars;
  const register: RegisterReading[] = [];
  const presence: PresenceSpan[] = [];
  stage.parts.forEach((part, index) => {
    const low = 40 + ((index * 5) % 40);
    for (const bar of bars) {
      register.push({ partId: part.id, bar: bar.number, low, high: low + 4 + (bar.number % 3), centre: low + 2 });
    }
    presence.push(spanOf(stage.timeline, part.id, bars[0]!.number, bars.at(-1)!.number));
  });
  const balance = bars.map((bar): BarBalance => {
    const partsDb = Object.fromEntries(stage.parts.map((part) => [part.id, levelDb(part, bar.number)]));
    const [frontDb = 0, ...others] = Object.values(partsDb);
    if (others.length === 0) return { bar: bar.number, partsDb, foregroundDb: frontDb };
    const backgroundDb = 10 * Math.log10(others.reduce((sum, db) => sum + 10 ** (db / 10), 0));
    const marginDb = frontDb - backgroundDb;
    return { bar: bar.number, partsDb, foregroundDb: frontDb, backgroundDb, marginDb, maskedShare: 0.25 };
  });
  return readingsOf({ register, presence, balance });
}

/** `count` parts over `bars` bars; the first one is in front. */
export function ensembleOf(count: number, bars: number, pickupQuarters = 0): Stage {
  const timeline = timelineOf(bars, undefined, 60, pickupQuarters);
  const kinds = ['violin', 'flute', 'horn-f', 'harp', 'piano', 'timpani', 'viola', 'nonesuch'];
  const parts = Array.from({ length: count }, (_, index) =>
    partOf(kinds[index % kinds.length]!, '', timeline, { id: `p${index}`, name: `Player ${index + 1}` }),
  );
  return stageOf(parts, timeline);
}

/** The markup in a document, to be asked questions. */
export function pageOf(markup: string): Document {
  return new JSDOM(`<!doctype html><html lang="en"><body>${markup}</body></html>`).window.document;
}

/** All numbers in a path, in order. */
export function numbersIn(path: string | null | undefined): number[] {
  return [...(path ?? '').matchAll(/-?\d+(?:\.\d+)?/g)].map((match) => Number(match[0]));
}
