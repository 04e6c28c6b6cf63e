/** Register readings by part and bar, and where a part sits against the foreground. */
import type { Part, Stage } from '../../model/arrangement.ts';
import type { RegisterReading, StageReadings } from '../../model/readings.ts';
import type { Front } from './front.ts';

/** A highest note no more than this many semitones (a whole tone) under the foreground's counts as level with it: our convention. */
const LEVEL_SEMITONES = 2;

/**
 * Where a background part's highest note of a bar lies: `above` the foreground's highest note of that bar, or `level` with
 * it (the same or up to a whole tone lower); undefined where it is lower, or either is silent.
 */
export type Place = 'above' | 'level' | undefined;

export interface RegisterBook {
  /** Parts that have a register, in score order. */
  readonly parts: readonly Part[];
  readonly readingsOf: (partId: string) => readonly RegisterReading[];
  readonly readingAt: (partId: string, bar: number) => RegisterReading | undefined;
  /** Span of the foreground in a bar, all front parts together. */
  readonly frontAt: (bar: number) => { readonly low: number; readonly high: number } | undefined;
  readonly placeOf: (partId: string, bar: number) => Place;
  /** Lowest and highest pitch of all. */
  readonly low: number;
  readonly high: number;
}

export function registerBookOf(stage: Stage, readings: StageReadings, front: Front): RegisterBook {
  const byPart = new Map<string, Map<number, RegisterReading>>();
  const frontSpans = new Map<number, { low: number; high: number }>();
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const reading of readings.register) {
    if (!Number.isFinite(reading.low) || !Number.isFinite(reading.high)) continue;
    const ofPart = byPart.get(reading.partId) ?? new Map<number, RegisterReading>();
    ofPart.set(reading.bar, reading);
    byPart.set(reading.partId, ofPart);
    low = Math.min(low, reading.low);
    high = Math.max(high, reading.high);
    if (!front.isFront(reading.partId, reading.bar)) continue;
    const span = frontSpans.get(reading.bar);
    if (span === undefined) frontSpans.set(reading.bar, { low: reading.low, high: reading.high });
    else frontSpans.set(reading.bar, { low: Math.min(span.low, reading.low), high: Math.max(span.high, reading.high) });
  }
  const sorted = new Map(
    [...byPart].map(([partId, bars]) => [partId, [...bars.values()].sort((a, b) => a.bar - b.bar)] as const),
  );
  return {
    parts: stage.parts.filter((part) => byPart.has(part.id)),
    readingsOf: (partId) => sorted.get(partId) ?? [],
    readingAt: (partId, bar) => byPart.get(partId)?.get(bar),
    frontAt: (bar) => frontSpans.get(bar),
    placeOf: (partId, bar) => {
      const span = frontSpans.get(bar);
      const reading = byPart.get(partId)?.get(bar);
      if (span === undefined || reading === undefined || front.isFront(partId, bar)) return undefined;
      if (reading.high > span.high) return 'above';
      return reading.high >= span.high - LEVEL_SEMITONES ? 'level' : undefined;
    },
    low,
    high,
  };
}

/** Key numbers of the Cs within a span of pitches. */
export function octavesIn(low: number, high: number): number[] {
  const found: number[] = [];
  for (let midi = Math.ceil(low / 12) * 12; midi <= high; midi += 12) found.push(midi);
  return found;
}
