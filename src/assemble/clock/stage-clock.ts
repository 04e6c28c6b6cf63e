/** The clock of a stage: ticks of each of its files to quarter notes, quarter notes to seconds. */
import type { Problem } from '../../problems/problem.ts';
import type { Meter, TempoSegment } from '../../model/music/timeline.ts';
import type { RawMidiFile, RawStage } from '../../read/raw.ts';

/** Default of Standard MIDI Files 1.0 where no tempo is given: 120 quarter notes a minute. */
const DEFAULT_SECONDS_PER_QUARTER = 0.5;
/** Slower or faster than this is taken for damage (the file format itself stops at 3.6 a minute). */
const SLOWEST_PER_MINUTE = 3.5;
const FASTEST_PER_MINUTE = 1500;

export interface MeterChange {
  readonly quarters: number;
  readonly meter: Meter;
}

export interface StageClock {
  /** Counted from the first tick of the files. Not empty; the first segment starts at 0. */
  readonly tempo: readonly TempoSegment[];
  /** Sorted, possibly empty. */
  readonly meters: readonly MeterChange[];
  readonly tempoStated: boolean;
  readonly meterStated: boolean;
  readonly problems: readonly Problem[];
}

/** Seconds at a position by a tempo map, remembering the segment met last: fast for positions that mostly rise. */
export function secondsReader(tempo: readonly TempoSegment[]): (quarters: number) => number {
  let index = 0;
  return (quarters) => {
    while (index > 0 && (tempo[index]?.startQuarters ?? 0) > quarters) index--;
    for (let next = tempo[index + 1]; next !== undefined && next.startQuarters <= quarters; next = tempo[index + 1]) {
      index++;
    }
    const segment = tempo[index];
    if (segment === undefined) return quarters * DEFAULT_SECONDS_PER_QUARTER;
    return segment.startSecond + (quarters - segment.startQuarters) * segment.secondsPerQuarter;
  };
}

/** Position in quarter notes at a second by a tempo map. */
function quartersReader(tempo: readonly TempoSegment[]): (second: number) => number {
  let index = 0;
  return (second) => {
    while (index > 0 && (tempo[index]?.startSecond ?? 0) > second) index--;
    for (let next = tempo[index + 1]; next !== undefined && next.startSecond <= second; next = tempo[index + 1]) {
      index++;
    }
    const segment = tempo[index];
    if (segment === undefined) return second / DEFAULT_SECONDS_PER_QUARTER;
    return segment.startQuarters + (second - segment.startSecond) / segment.secondsPerQuarter;
  };
}

/** Position in quarter notes of a tick of this file, by the stage's tempo map (needed only for files that count in seconds). */
export function tickReader(file: RawMidiFile, tempo: readonly TempoSegment[]): (tick: number) => number {
  if (file.division.kind === 'ppq') {
    const { ticksPerQuarter } = file.division;
    return (tick) => tick / ticksPerQuarter;
  }
  const { ticksPerSecond } = file.division;
  const quartersAt = quartersReader(tempo);
  return (tick) => quartersAt(tick / ticksPerSecond);
}

function tempoMapOf(file: RawMidiFile): { tempo: TempoSegment[]; ignored: number } {
  const sorted = [...file.tempos].sort((a, b) => a.tick - b.tick);
  const tempo: TempoSegment[] = [{ startQuarters: 0, startSecond: 0, secondsPerQuarter: DEFAULT_SECONDS_PER_QUARTER }];
  let ignored = 0;
  for (const { tick, microsecondsPerQuarter } of sorted) {
    const secondsPerQuarter = microsecondsPerQuarter / 1e6;
    if (!(60 / secondsPerQuarter >= SLOWEST_PER_MINUTE && 60 / secondsPerQuarter <= FASTEST_PER_MINUTE)) {
      ignored++;
      continue;
    }
    const last = tempo.at(-1);
    if (last === undefined) continue;
    let startQuarters: number;
    let startSecond: number;
    if (file.division.kind === 'ppq') {
      startQuarters = tick / file.division.ticksPerQuarter;
      startSecond = last.startSecond + (startQuarters - last.startQuarters) * last.secondsPerQuarter;
    } else {
      startSecond = tick / file.division.ticksPerSecond;
      startQuarters = last.startQuarters + (startSecond - last.startSecond) / last.secondsPerQuarter;
    }
    if (startQuarters <= last.startQuarters + 1e-9) tempo[tempo.length - 1] = { ...last, secondsPerQuarter };
    else if (secondsPerQuarter !== last.secondsPerQuarter)
      tempo.push({ startQuarters, startSecond, secondsPerQuarter });
  }
  return { tempo, ignored };
}

function sameTempo(a: readonly TempoSegment[], b: readonly TempoSegment[]): boolean {
  return (
    a.length === b.length &&
    a.every((segment, index) => {
      const other = b[index];
      return (
        other !== undefined &&
        Math.abs(segment.startQuarters - other.startQuarters) < 0.02 &&
        Math.abs(segment.secondsPerQuarter / other.secondsPerQuarter - 1) < 0.001
      );
    })
  );
}

function usableMeter(numerator: number, denominator: number): boolean {
  return numerator >= 1 && numerator <= 64 && [1, 2, 4, 8, 16, 32, 64].includes(denominator);
}

function metersOf(file: RawMidiFile, tempo: readonly TempoSegment[]): MeterChange[] {
  const quartersOf = tickReader(file, tempo);
  const changes: MeterChange[] = [];
  for (const { tick, numerator, denominator } of [...file.meters].sort((a, b) => a.tick - b.tick)) {
    if (!usableMeter(numerator, denominator)) continue;
    const quarters = quartersOf(tick);
    const last = changes.at(-1);
    if (last !== undefined && quarters <= last.quarters + 1e-9) changes.pop();
    const before = changes.at(-1);
    if (before?.meter.numerator === numerator && before.meter.denominator === denominator) continue;
    changes.push({ quarters, meter: { numerator, denominator } });
  }
  return changes;
}

/** The first of those with the largest count. */
function richest<T>(items: readonly T[], countOf: (item: T) => number): T | undefined {
  let best: T | undefined;
  for (const item of items) if (best === undefined || countOf(item) > countOf(best)) best = item;
  return best;
}

const metersText = (changes: readonly MeterChange[]): string =>
  changes
    .map((change) => `${change.quarters.toFixed(2)}:${change.meter.numerator}/${change.meter.denominator}`)
    .join(' ');

/**
 * The tempo map and meters of a stage: of the file that says most where several speak (the first of equals), with a remark where
 * they contradict one another; 120 a minute and no meters where none does.
 */
export function clockOf(stage: RawStage): StageClock {
  const problems: Problem[] = [];
  const remark = (file: string, code: string, message: string): void => {
    problems.push({ kind: 'remark', code, file, message });
  };
  const maps = stage.files.filter((file) => file.tempos.length > 0).map((file) => ({ file, ...tempoMapOf(file) }));
  for (const { file, ignored } of maps) {
    if (ignored > 0) {
      remark(
        file.path,
        'absurd-tempo',
        `${ignored} tempo event(s) outside ${SLOWEST_PER_MINUTE} to ${FASTEST_PER_MINUTE} quarter notes a minute were left out; check the tempo track.`,
      );
    }
  }
  const stated = maps.filter(({ file, ignored }) => ignored < file.tempos.length);
  const chosen = richest(stated, (item) => item.tempo.length);
  const tempo = chosen?.tempo ?? [{ startQuarters: 0, startSecond: 0, secondsPerQuarter: DEFAULT_SECONDS_PER_QUARTER }];
  const others = stated.filter((item) => !sameTempo(item.tempo, tempo));
  const firstOther = others[0];
  if (chosen !== undefined && firstOther !== undefined) {
    remark(
      chosen.file.path,
      'contradictory-tempo',
      `The files of this stage have different tempo maps (${others.length} differ, ${firstOther.file.path} first); the one of ${chosen.file.path} is used because it says most. Export the parts with one tempo track.`,
    );
  }
  const meterLists = stage.files
    .map((file) => ({ file, changes: metersOf(file, tempo) }))
    .filter((item) => item.changes.length > 0);
  const meterChoice = richest(meterLists, (item) => item.changes.length);
  const meters = meterChoice?.changes ?? [];
  const otherMeters = meterLists.filter((item) => metersText(item.changes) !== metersText(meters));
  const firstOtherMeter = otherMeters[0];
  if (meterChoice !== undefined && firstOtherMeter !== undefined) {
    remark(
      meterChoice.file.path,
      'contradictory-meter',
      `The files of this stage have different meters (${otherMeters.length} differ, ${firstOtherMeter.file.path} first); those of ${meterChoice.file.path} are used because it says most. Export the parts with one meter track.`,
    );
  }
  for (const file of stage.files) {
    if (file.division.kind !== 'smpte') continue;
    const by =
      chosen === undefined
        ? 'no tempo is given, so 120 quarter notes a minute are assumed'
        : 'the bars come from the tempo map';
    remark(
      file.path,
      'smpte-time',
      `This file counts in seconds, not in beats; ${by}. Export with a division in ticks per quarter note where the bars are wrong.`,
    );
  }
  return { tempo, meters, tempoStated: chosen !== undefined, meterStated: meters.length > 0, problems };
}
