/** What was measured on a stage, in the data export. */
import type { StageReadings } from '../../model/readings/readings.ts';
import { rounded, roundedDb } from './rounding.ts';

function balanceRecords(readings: StageReadings): readonly object[] {
  return readings.balance.map((bar) => ({
    bar: bar.bar,
    foregroundDb: roundedDb(bar.foregroundDb) ?? null,
    backgroundDb: roundedDb(bar.backgroundDb) ?? null,
    marginDb: roundedDb(bar.marginDb) ?? null,
    maskedShare: bar.maskedShare === undefined ? null : rounded(bar.maskedShare, 4),
    audibleShare: bar.audibleShare === undefined ? null : rounded(bar.audibleShare, 4),
    parts: Object.fromEntries(
      Object.entries(bar.partsDb).flatMap(([partId, db]) => {
        const level = roundedDb(db);
        return level === undefined ? [] : [[partId, level]];
      }),
    ),
  }));
}

/** The readings under the keys of the contract. */
export function readingRecords(readings: StageReadings): object {
  return {
    melody: readings.melody.map((note) => ({
      start: rounded(note.startQuarters),
      length: rounded(note.lengthQuarters),
      midi: note.midi,
      part: note.partId,
    })),
    register: readings.register.map((item) => ({
      part: item.partId,
      bar: item.bar,
      low: item.low,
      high: item.high,
      centre: rounded(item.centre, 2),
    })),
    presence: readings.presence.map((span) => ({
      part: span.partId,
      from: span.from,
      to: span.to,
      entry: span.entry,
      exit: span.exit,
      start: rounded(span.firstQuarters),
      end: rounded(span.lastQuarters),
    })),
    balance: balanceRecords(readings),
    levelAssumptions: readings.levelAssumptions.map((item) => ({
      part: item.partId,
      text: item.text,
      assumed: item.assumed,
    })),
    ranges: readings.ranges.map((range) => ({
      part: range.partId,
      low: range.low,
      high: range.high,
      writtenLow: range.writtenLow,
      writtenHigh: range.writtenHigh,
      practical: range.practical ?? null,
      extreme: range.absolute ?? null,
      outside: range.outside.map((note) => ({ bar: note.bar, beat: rounded(note.beat, 3), midi: note.midi })),
      edge: range.edge.map((note) => ({ bar: note.bar, beat: rounded(note.beat, 3), midi: note.midi })),
      sources: range.sources,
    })),
    playability: (readings.playability ?? []).map((item) => ({
      part: item.partId,
      breath:
        item.breath === undefined
          ? null
          : {
              from: item.breath.from,
              to: item.breath.to,
              seconds: rounded(item.breath.seconds, 3),
              breathSeconds: rounded(item.breath.breathSeconds, 3),
            },
      widestLeap:
        item.widestLeap === undefined
          ? null
          : {
              bar: item.widestLeap.bar,
              beat: rounded(item.widestLeap.beat, 3),
              semitones: item.widestLeap.semitones,
            },
      time:
        item.time === undefined
          ? null
          : {
              practical: rounded(item.time.practical, 4),
              extreme: rounded(item.time.edge, 4),
              outOfRange: rounded(item.time.outside, 4),
            },
      median: item.medianMidi,
      ...(item.timpani === undefined ? {} : { timpani: item.timpani }),
      awkward: item.awkward.map((places) => ({
        kind: places.kind,
        count: places.count,
        bar: places.bar,
        beat: rounded(places.beat, 3),
        midi: places.midi,
        amount: rounded(places.amount, 3),
        usual: places.usual,
      })),
    })),
    doublings: readings.doublings.map((doubling) => ({
      parts: doubling.partIds,
      interval: doubling.interval,
      semitones: doubling.semitones,
      from: doubling.from,
      to: doubling.to,
    })),
  };
}
