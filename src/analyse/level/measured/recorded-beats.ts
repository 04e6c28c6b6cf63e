/** Recordings of the same parts, and which of them are in front in a beat. */
import { groupedBy } from '../../../model/grouped.ts';
import type { Stage } from '../../../model/music/arrangement.ts';
import type { Beat } from '../../../model/music/beats.ts';
import type { MeasuredGroup } from '../../../model/readings/measured.ts';
import type { BeatBalance } from '../../../model/readings/readings.ts';
import type { Stem } from '../../../model/recordings/stems.ts';
import { foregroundByBar } from '../../lines/foreground-lookup.ts';
import { isLevelLeftOut } from '../left-out.ts';

export interface RecordedGroup extends MeasuredGroup {
  readonly stems: readonly Stem[];
}

/** Recordings of the same parts together. */
export function groupsOf(stems: readonly Stem[]): readonly RecordedGroup[] {
  return [...groupedBy(stems, ({ partIds }) => partIds.join(' ')).values()].map((own) => ({
    partIds: own[0]?.partIds ?? [],
    files: own.map(({ file }) => file),
    stems: own,
  }));
}

/** Where a group stands in a bar; `apart` where it is on no side, or on both. */
export type Side = 'front' | 'back' | 'apart';

export interface BeatSides {
  /** Index of the beat, and of its bar. */
  readonly beat: number;
  readonly barIndex: number;
  /** By group. */
  readonly sides: readonly Side[];
  /** True where every part that sounds was recorded, apart from parts of the other side. */
  readonly isWhole: boolean;
}

/** Who stands where in every beat. Sound without pitch is on no side, as in the estimate. */
export function sidesByBeat(
  stage: Stage,
  beats: readonly Beat[],
  estimated: readonly BeatBalance[],
  groups: readonly RecordedGroup[],
): readonly BeatSides[] {
  const front = foregroundByBar(stage);
  const leftOut = new Set(stage.parts.filter(isLevelLeftOut).map(({ id }) => id));
  const groupByPart = new Map(groups.flatMap(({ partIds }, group) => partIds.map((id) => [id, group] as const)));
  return beats.map(({ barIndex }, beat) => {
    const inFront = front[barIndex];
    const sounding = Object.keys(estimated[beat]?.partsDb ?? {}).filter((id) => !leftOut.has(id));
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
    return { beat, barIndex, sides, isWhole };
  });
}

function powerOf(db: number | undefined): number {
  return db === undefined ? 0 : 10 ** (db / 10);
}

/** All recordings of one side in a beat. */
export function stemsOn(side: Side, groups: readonly RecordedGroup[], { sides }: BeatSides): readonly Stem[] {
  return groups.flatMap(({ stems }, group) => (sides[group] === side ? stems : []));
}

/** Powers by band of one ERB of these recordings together in a beat. */
export function bandsOf(stems: readonly Stem[], beat: number): Float64Array {
  const rows = stems.map(({ beats }) => beats[beat]?.bandsDb ?? []);
  const length = Math.max(0, ...rows.map((row) => row.length));
  return Float64Array.from({ length }, (_, band) => rows.reduce((sum, row) => sum + powerOf(row[band]), 0));
}
