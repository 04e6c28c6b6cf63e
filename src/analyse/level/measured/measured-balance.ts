/** Levels of foreground and background by beat and bar, from recordings of the parts. */
import type { Stage } from '../../../model/music/arrangement.ts';
import type { Beat } from '../../../model/music/beats.ts';
import { median, sumDb } from '../../../model/music/dynamics.ts';
import type { MeasuredBar, MeasuredReading } from '../../../model/readings/measured.ts';
import type { BarBalance, BeatBalance } from '../../../model/readings/readings.ts';
import type { Covered } from '../masking/covered-share.ts';
import { differencesOf } from './level-differences.ts';
import { coveredSpectrum } from './masked-spectrum.ts';
import type { BeatSides, RecordedGroup, Side } from './recorded-beats.ts';
import { bandsOf, groupsOf, sidesByBeat, stemsOn } from './recorded-beats.ts';

/** Level of what sounds of these together; undefined where nothing does. */
function levelOf(levels: readonly (number | undefined)[]): number | undefined {
  const heard = levels.filter((db) => db !== undefined);
  return heard.length === 0 ? undefined : sumDb(heard);
}

interface BeatMeasure {
  readonly groupsDb: readonly (number | undefined)[];
  readonly frontDb?: number;
  readonly backDb?: number;
  readonly covered?: Covered;
}

function beatMeasure(groups: readonly RecordedGroup[], own: BeatSides): BeatMeasure {
  const { beat: index, sides, isWhole } = own;
  const groupsDb = groups.map(({ stems }) => levelOf(stems.map(({ beats }) => beats[index]?.levelDb)));
  if (!isWhole) return { groupsDb };
  const together = (side: Side): number | undefined => levelOf(groupsDb.filter((_, group) => sides[group] === side));
  const [frontDb, backDb] = [together('front'), together('back')];
  const bandsOn = (side: Side): Float64Array => bandsOf(stemsOn(side, groups, own), index);
  return {
    groupsDb,
    ...(frontDb === undefined ? {} : { frontDb }),
    ...(backDb === undefined ? {} : { backDb }),
    ...(frontDb === undefined || backDb === undefined
      ? {}
      : { covered: coveredSpectrum(bandsOn('front'), bandsOn('back')) }),
  };
}

function barOf(bar: number, beats: readonly BeatMeasure[], groupCount: number): MeasuredBar {
  const middle = (read: (beat: BeatMeasure) => number | undefined): number | undefined =>
    median(beats.flatMap((beat) => read(beat) ?? []));
  const foregroundDb = middle(({ frontDb }) => frontDb);
  const backgroundDb = middle(({ backDb }) => backDb);
  const marginDb = middle(({ frontDb, backDb }) =>
    frontDb === undefined || backDb === undefined ? undefined : frontDb - backDb,
  );
  const [covered, whole] = beats.reduce(
    ([part, all], beat) => [part + (beat.covered?.coveredPower ?? 0), all + (beat.covered?.foregroundPower ?? 0)],
    [0, 0],
  );
  return {
    bar,
    ...(foregroundDb === undefined ? {} : { foregroundDb }),
    ...(backgroundDb === undefined ? {} : { backgroundDb }),
    ...(marginDb === undefined ? {} : { marginDb }),
    ...(whole > 0 ? { maskedShare: covered / whole } : {}),
    groupsDb: Array.from({ length: groupCount }, (_, group) => middle(({ groupsDb }) => groupsDb[group])),
  };
}

/**
 * What the recordings of a stage say of its balance, beside the estimate by beat and bar; undefined where there are none.
 */
export function measuredBalanceOf(
  stage: Stage,
  beats: readonly Beat[],
  estimated: { readonly beats: readonly BeatBalance[]; readonly balance: readonly BarBalance[] },
): MeasuredReading | undefined {
  const groups = groupsOf(stage.stems ?? []);
  if (groups.length === 0) return undefined;
  const byBar = stage.timeline.bars.map((): BeatMeasure[] => []);
  for (const sides of sidesByBeat(stage, beats, estimated.beats, groups))
    byBar[sides.barIndex]?.push(beatMeasure(groups, sides));
  const bars = stage.timeline.bars.map(({ number }, index) => barOf(number, byBar[index] ?? [], groups.length));
  return {
    groups: groups.map(({ partIds, files }) => ({ partIds, files })),
    bars,
    ...differencesOf(groups, bars, estimated.balance),
  };
}
