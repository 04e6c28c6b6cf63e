/** Levels of foreground and background by beat and bar, from recordings of the parts. */
import type { Stage } from '../../../model/music/arrangement.ts';
import type { Beat } from '../../../model/music/beats.ts';
import { groupedBy } from '../../../model/grouped.ts';
import { median, sumDb } from '../../../model/music/dynamics.ts';
import type { Stem } from '../../../model/recordings/stems.ts';
import type { MeasuredBar, MeasuredGroup, MeasuredReading } from '../../../model/readings/measured.ts';
import type { BarBalance, BeatBalance } from '../../../model/readings/readings.ts';
import { foregroundByBar } from '../../lines/foreground-lookup.ts';
import { isLevelLeftOut } from '../left-out.ts';
import type { Covered } from '../masking/covered-share.ts';
import { differencesOf } from './level-differences.ts';
import { coveredSpectrum } from './masked-spectrum.ts';

function powerOf(db: number | undefined): number {
  return db === undefined ? 0 : 10 ** (db / 10);
}

/** Level of what sounds of these together; undefined where nothing does. */
function levelOf(levels: readonly (number | undefined)[]): number | undefined {
  const heard = levels.filter((db) => db !== undefined);
  return heard.length === 0 ? undefined : sumDb(heard);
}

interface Group extends MeasuredGroup {
  readonly stems: readonly Stem[];
}

/** Recordings of the same parts together. */
function groupsOf(stems: readonly Stem[]): readonly Group[] {
  return [...groupedBy(stems, ({ partIds }) => partIds.join(' ')).values()].map((own) => ({
    partIds: own[0]?.partIds ?? [],
    files: own.map(({ file }) => file),
    stems: own,
  }));
}

/** Where a group stands in a bar; `apart` where it is on no side, or on both. */
type Side = 'front' | 'back' | 'apart';

interface BeatMeasure {
  readonly groupsDb: readonly (number | undefined)[];
  readonly frontDb?: number;
  readonly backDb?: number;
  readonly covered?: Covered;
}

function bandsOf(stems: readonly Stem[], beat: number): Float64Array {
  const rows = stems.map(({ beats }) => beats[beat]?.bandsDb ?? []);
  const length = Math.max(0, ...rows.map((row) => row.length));
  return Float64Array.from({ length }, (_, band) => rows.reduce((sum, row) => sum + powerOf(row[band]), 0));
}

function beatMeasure(index: number, groups: readonly Group[], sides: readonly Side[], isWhole: boolean): BeatMeasure {
  const groupsDb = groups.map(({ stems }) => levelOf(stems.map(({ beats }) => beats[index]?.levelDb)));
  if (!isWhole) return { groupsDb };
  const together = (side: Side): number | undefined => levelOf(groupsDb.filter((_, group) => sides[group] === side));
  const [frontDb, backDb] = [together('front'), together('back')];
  const stemsOf = (side: Side): readonly Stem[] =>
    groups.flatMap(({ stems }, group) => (sides[group] === side ? stems : []));
  return {
    groupsDb,
    ...(frontDb === undefined ? {} : { frontDb }),
    ...(backDb === undefined ? {} : { backDb }),
    ...(frontDb === undefined || backDb === undefined
      ? {}
      : { covered: coveredSpectrum(bandsOf(stemsOf('front'), index), bandsOf(stemsOf('back'), index)) }),
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
 * What the recordings of a stage say of its balance, beside the estimate by beat and bar; undefined where there are none. Sound without pitch is on
 * no side, as in the estimate. A beat has sides only where every part that sounds in it was recorded, apart from parts of the other side.
 */
export function measuredBalanceOf(
  stage: Stage,
  beats: readonly Beat[],
  estimated: { readonly beats: readonly BeatBalance[]; readonly balance: readonly BarBalance[] },
): MeasuredReading | undefined {
  const groups = groupsOf(stage.stems ?? []);
  if (groups.length === 0) return undefined;
  const front = foregroundByBar(stage);
  const leftOut = new Set(stage.parts.filter(isLevelLeftOut).map(({ id }) => id));
  const groupByPart = new Map(groups.flatMap(({ partIds }, group) => partIds.map((id) => [id, group] as const)));
  const byBar = stage.timeline.bars.map((): BeatMeasure[] => []);
  beats.forEach((beat, index) => {
    const inFront = front[beat.barIndex];
    const sounding = Object.keys(estimated.beats[index]?.partsDb ?? {}).filter((id) => !leftOut.has(id));
    const sides = groups.map(({ partIds }): Side => {
      const own = partIds.filter((id) => !leftOut.has(id));
      if (own.length === 0) return 'apart';
      const ahead = own.filter((id) => inFront?.has(id) === true).length;
      return ahead === 0 ? 'back' : ahead === own.length ? 'front' : 'apart';
    });
    const isWhole = sounding.every((id) => {
      const group = groupByPart.get(id);
      return group !== undefined && sides[group] !== 'apart';
    });
    byBar[beat.barIndex]?.push(beatMeasure(index, groups, sides, isWhole));
  });
  const bars = stage.timeline.bars.map(({ number }, index) => barOf(number, byBar[index] ?? [], groups.length));
  return {
    groups: groups.map(({ partIds, files }) => ({ partIds, files })),
    bars,
    ...differencesOf(groups, bars, estimated.balance),
  };
}
