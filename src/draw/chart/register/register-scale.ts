/** Register readings by part and bar, and where a part sits against the foreground. */
import type { Part, Stage } from '../../../model/music/arrangement.ts';
import type { RegisterReading, StageReadings } from '../../../model/readings/readings.ts';
import type { Front } from '../frame/front.ts';

/** A highest note no more than this many semitones (a whole tone) under the foreground's counts as level with it: our convention. */
const LEVEL_SEMITONES = 2;

/**
 * Where a background part's highest note of a bar lies: `above` the foreground's highest note of that bar, or `level` with
 * it (the same or up to a whole tone lower); undefined where it is lower, or either is silent.
 */
export type Place = 'above' | 'level' | undefined;

export interface Compass {
  readonly low: number;
  readonly high: number;
}

export interface RegisterBook {
  /** Parts that have a register, in score order. */
  readonly parts: readonly Part[];
  /** In order of bar. */
  readonly readingsOf: (partId: string) => readonly RegisterReading[];
  readonly readingAt: (partId: string, bar: number) => RegisterReading | undefined;
  /** Lowest and highest pitch of a part in the whole stage. */
  readonly compassOf: (partId: string) => Compass;
  /** Span of the foreground in a bar, all front parts together. */
  readonly frontAt: (bar: number) => Compass | undefined;
  readonly placeOf: (partId: string, bar: number) => Place;
  /** Parts that rise above the foreground in a bar, in score order. */
  readonly aboveAt: (bar: number) => readonly Part[];
  /** Lowest and highest pitch of all. */
  readonly low: number;
  readonly high: number;
}

interface PartPage {
  readonly byBar: ReadonlyMap<number, RegisterReading>;
  readonly sorted: readonly RegisterReading[];
  readonly compass: Compass;
}

export function registerBookOf(stage: Stage, readings: StageReadings, front: Front): RegisterBook {
  const pages = pagesOf(readings);
  const parts = stage.parts.filter((part) => pages.has(part.id));
  const frontSpans = new Map<number, Compass>();
  for (const part of front.together) {
    for (const reading of pages.get(part.id)?.sorted ?? []) {
      if (!front.isFront(part.id, reading.bar)) continue;
      frontSpans.set(reading.bar, wider(frontSpans.get(reading.bar), reading));
    }
  }
  const placeOf = (partId: string, bar: number): Place => {
    const span = frontSpans.get(bar);
    const reading = pages.get(partId)?.byBar.get(bar);
    if (span === undefined || reading === undefined || front.isFront(partId, bar)) return undefined;
    if (reading.high > span.high) return 'above';
    return reading.high >= span.high - LEVEL_SEMITONES ? 'level' : undefined;
  };
  const above = new Map<number, readonly Part[]>();
  for (const bar of frontSpans.keys()) {
    above.set(
      bar,
      parts.filter((part) => placeOf(part.id, bar) === 'above'),
    );
  }
  const compasses = parts.flatMap((part) => pages.get(part.id)?.compass ?? []);
  return {
    parts,
    readingsOf: (partId) => pages.get(partId)?.sorted ?? [],
    readingAt: (partId, bar) => pages.get(partId)?.byBar.get(bar),
    compassOf: (partId) => pages.get(partId)?.compass ?? { low: 60, high: 60 },
    frontAt: (bar) => frontSpans.get(bar),
    placeOf,
    aboveAt: (bar) => above.get(bar) ?? [],
    low: Math.min(...compasses.map((compass) => compass.low)),
    high: Math.max(...compasses.map((compass) => compass.high)),
  };
}

function wider(span: Compass | undefined, other: Compass): Compass {
  if (span === undefined) return { low: other.low, high: other.high };
  return { low: Math.min(span.low, other.low), high: Math.max(span.high, other.high) };
}

function pagesOf(readings: StageReadings): Map<string, PartPage> {
  const grouped = new Map<string, RegisterReading[]>();
  for (const reading of readings.register) {
    if (!Number.isFinite(reading.low) || !Number.isFinite(reading.high)) continue;
    const known = grouped.get(reading.partId);
    if (known === undefined) grouped.set(reading.partId, [reading]);
    else known.push(reading);
  }
  const pages = new Map<string, PartPage>();
  for (const [partId, items] of grouped) {
    const sorted = items.sort((a, b) => a.bar - b.bar);
    const byBar = new Map(sorted.map((reading) => [reading.bar, reading] as const));
    const compass = sorted.reduce<Compass | undefined>((span, reading) => wider(span, reading), undefined);
    if (compass !== undefined) pages.set(partId, { byBar, sorted, compass });
  }
  return pages;
}

/** Key numbers of the Cs within a span of pitches. */
export function octavesIn(low: number, high: number): number[] {
  const found: number[] = [];
  for (let midi = Math.ceil(low / 12) * 12; midi <= high; midi += 12) found.push(midi);
  return found;
}
