/** Bars from meters: where they start, how long they last, which of them is the pickup. */
import type { Bar, Meter, TempoSegment, Timeline } from '../../model/music/timeline.ts';
import type { MeterChange, StageClock } from './stage-clock.ts';
import { secondsReader } from './stage-clock.ts';

/** More bars than this in a stage are not music that one file holds; far notes beyond are set aside with a sentence. */
const MOST_BARS = 4000;
/** Nor are so many quarter notes, however long the bars are: as many as fill those at 5/4. */
const MOST_QUARTERS = 5 * MOST_BARS;
/** A meter change this close to a bar line, in quarter notes, stands on it (export rounding). */
const SNAP_QUARTERS = 0.03;
const DEFAULT_METER: Meter = { numerator: 4, denominator: 4 };

export interface BarGrid {
  readonly timeline: Timeline;
  /** Quarter notes from the first tick to the start of bar 1; subtract it from file positions. */
  readonly originQuarters: number;
  /** Bars cut short by a meter change inside them, by number. */
  readonly shortenedBars: readonly number[];
  readonly pickup: 'none' | 'settings' | 'first-meter';
  readonly tooManyBars: boolean;
  /** End of the last bar, in quarter notes from bar 1. */
  readonly endQuarters: number;
}

/** Length of a whole bar in quarter notes. */
function barQuarters(meter: Meter): number {
  return (meter.numerator * 4) / meter.denominator;
}

interface Opening {
  /** File position where the first bar starts, its length, and where bar 1 starts. */
  readonly start: number;
  readonly firstBarLength?: number;
  readonly meter?: Meter;
  readonly kind: 'none' | 'settings' | 'first-meter';
}

/**
 * How the piece opens. A first bar of a shorter meter that lasts exactly one bar is a pickup (the way most programs write one). By the setting:
 * the file's own short first bar; else the end of a first bar that is silent before it; else the first quarters of the file.
 */
function openingOf(meters: readonly MeterChange[], pickupSetting: number | undefined, firstNote: number): Opening {
  const first = meters[0]?.meter ?? DEFAULT_METER;
  const firstLength = barQuarters(first);
  const second = meters[1];
  const shortFirst =
    second !== undefined &&
    Math.abs(second.quarters - firstLength) <= SNAP_QUARTERS &&
    firstLength < barQuarters(second.meter) - 1e-6;
  if (pickupSetting !== undefined) {
    if (pickupSetting <= 0) return { start: 0, kind: 'none' };
    if (shortFirst && Math.abs(firstLength - pickupSetting) <= SNAP_QUARTERS) {
      return { start: 0, firstBarLength: firstLength, meter: second.meter, kind: 'settings' };
    }
    const trimmed = firstLength - pickupSetting;
    if (trimmed > 0 && firstNote >= trimmed - 0.12) {
      return { start: trimmed, firstBarLength: pickupSetting, meter: first, kind: 'settings' };
    }
    return { start: 0, firstBarLength: pickupSetting, meter: first, kind: 'settings' };
  }
  if (shortFirst) return { start: 0, firstBarLength: firstLength, meter: second.meter, kind: 'first-meter' };
  return { start: 0, kind: 'none' };
}

/**
 * Bars that hold everything up to `lastQuarters` (file positions), at least one. A meter change inside a bar cuts that bar short there.
 */
export function barGridOf(
  clock: StageClock,
  pickupSetting: number | undefined,
  firstNoteQuarters: number,
  lastQuarters: number,
): BarGrid {
  const opening = openingOf(clock.meters, pickupSetting, firstNoteQuarters);
  const hasPickup = opening.firstBarLength !== undefined;
  const origin = opening.start + (opening.firstBarLength ?? 0);
  const secondAt = secondsReader(clock.tempo);
  const zeroSecond = secondAt(opening.start);
  const tempo: TempoSegment[] = clock.tempo.map((segment) => ({
    startQuarters: segment.startQuarters - origin,
    startSecond: segment.startSecond - zeroSecond,
    secondsPerQuarter: segment.secondsPerQuarter,
  }));
  const bars: Bar[] = [];
  const shortenedBars: number[] = [];
  let meterIndex = -1;
  let meter = opening.meter ?? clock.meters[0]?.meter ?? DEFAULT_METER;
  let tempoIndex = 0;
  let start = opening.start;
  let number = hasPickup ? 0 : 1;
  const isFull = (): boolean => bars.length >= MOST_BARS || start - opening.start >= MOST_QUARTERS;
  while ((start < lastQuarters - 1e-6 || bars.length === 0) && !isFull()) {
    let next = clock.meters[meterIndex + 1];
    while (next !== undefined && next.quarters <= start + SNAP_QUARTERS) {
      meter = next.meter;
      meterIndex++;
      next = clock.meters[meterIndex + 1];
    }
    const isPickup = number === 0 && opening.firstBarLength !== undefined;
    let length = isPickup ? opening.firstBarLength : barQuarters(meter);
    const barMeter = isPickup ? (opening.meter ?? meter) : meter;
    if (!isPickup && next !== undefined && next.quarters < start + length - SNAP_QUARTERS) {
      length = next.quarters - start;
      shortenedBars.push(number);
    }
    while ((tempo[tempoIndex + 1]?.startQuarters ?? Number.POSITIVE_INFINITY) <= start - origin + 1e-6) tempoIndex++;
    const startSecond = secondAt(start) - zeroSecond;
    bars.push({
      number,
      startQuarters: start - origin,
      lengthQuarters: length,
      startSecond,
      lengthSeconds: secondAt(start + length) - zeroSecond - startSecond,
      meter: barMeter,
      tempo: Math.round(60_000 / (tempo[tempoIndex]?.secondsPerQuarter ?? 0.5)) / 1000,
    });
    start += length;
    number++;
  }
  return {
    timeline: { bars, tempo },
    originQuarters: origin,
    shortenedBars,
    pickup: opening.kind,
    tooManyBars: start < lastQuarters - 1e-6,
    endQuarters: start - origin,
  };
}
