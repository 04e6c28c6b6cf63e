/** Balance measured on recordings, in the data export. */
import type { Stage } from '../../model/music/arrangement.ts';
import type { MeasuredReading } from '../../model/readings/measured.ts';
import { rounded, roundedDb } from './rounding.ts';

function dbOrNull(db: number | undefined): number | null {
  return roundedDb(db) ?? null;
}

/** The recordings of a stage and what they say of its balance; null where there are none. */
export function measuredRecord({ stems = [] }: Stage, measured: MeasuredReading | undefined): object | null {
  if (measured === undefined) return null;
  const { groups, bars, toEstimateDb, groupDifferencesDb, differences } = measured;
  const groupOf = (file: string): number => groups.findIndex(({ files }) => files.includes(file));
  return {
    recordings: stems.map((stem) => ({
      file: stem.file,
      parts: stem.partIds,
      form: stem.form,
      rate: stem.rateHz,
      channels: stem.channelCount,
      seconds: rounded(stem.seconds, 3),
      firstBar: rounded(stem.offsetSeconds, 3),
      integrated: dbOrNull(stem.integratedDb),
      overEstimate: dbOrNull(groupDifferencesDb[groupOf(stem.file)]),
    })),
    toEstimateDb: dbOrNull(toEstimateDb),
    bars: bars.map((bar) => ({
      bar: bar.bar,
      foregroundDb: dbOrNull(bar.foregroundDb),
      backgroundDb: dbOrNull(bar.backgroundDb),
      marginDb: dbOrNull(bar.marginDb),
      maskedShare: bar.maskedShare === undefined ? null : rounded(bar.maskedShare, 4),
      levels: bar.groupsDb.flatMap((db, group) => {
        const level = roundedDb(db);
        const { partIds = [], files = [] } = groups[group] ?? {};
        return level === undefined ? [] : [{ parts: partIds, files, db: level }];
      }),
    })),
    differences: differences.map(({ group, from, to, db }) => ({
      parts: groups[group]?.partIds ?? [],
      from,
      to,
      db: dbOrNull(db),
    })),
  };
}
