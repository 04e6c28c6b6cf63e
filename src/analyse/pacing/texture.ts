/** Who sounds together, bar by bar and in steps of the same players. */
import type { Stage } from '../../model/music/arrangement.ts';
import { median } from '../../model/music/dynamics.ts';
import type { TextureBar, TextureStep } from '../../model/readings/pacing.ts';
import type { BarBalance, Doubling, PresenceSpan } from '../../model/readings/readings.ts';
import { barIndexAt } from '../../model/music/timeline.ts';
import { FULL_DOUBLINGS } from '../lines/doublings.ts';
import type { PlacedPart } from '../placed-notes/placed-notes.ts';

/** Estimated level of everything that sounds in a bar: powers add. */
function totalDb({ foregroundDb, backgroundDb }: BarBalance): number | undefined {
  const levels = [foregroundDb, backgroundDb].filter((db) => db !== undefined && Number.isFinite(db)) as number[];
  return levels.length === 0 ? undefined : 10 * Math.log10(levels.reduce((sum, db) => sum + 10 ** (db / 10), 0));
}

/** Number of groups that remain where doubling parts are taken together. */
function linesAmong(partIds: readonly string[], doublings: readonly Doubling[]): number {
  const leader = new Map(partIds.map((id) => [id, id]));
  const leaderOf = (id: string): string => {
    let top = id;
    for (let next = leader.get(top); next !== undefined && next !== top; next = leader.get(top)) top = next;
    return top;
  };
  for (const {
    partIds: [one, other],
  } of doublings) {
    if (leader.has(one) && leader.has(other)) leader.set(leaderOf(one), leaderOf(other));
  }
  return partIds.filter((id) => leader.get(id) === id).length;
}

export interface TextureInput {
  readonly stage: Stage;
  readonly placed: readonly PlacedPart[];
  readonly presence: readonly PresenceSpan[];
  readonly balance: readonly BarBalance[];
  readonly doublings: readonly Doubling[];
}

/** The texture of every bar; parts in score order. */
export function textureBars({ stage, placed, presence, balance, doublings }: TextureInput): readonly TextureBar[] {
  const { bars } = stage.timeline;
  const first = bars[0]?.number ?? 1;
  const present = bars.map(() => new Set<string>());
  for (const { partId, from, to } of presence) {
    for (let index = from - first; index <= to - first; index++) present[index]?.add(partId);
  }
  const doubled = bars.map((): Doubling[] => []);
  for (const doubling of doublings) {
    if (!FULL_DOUBLINGS.includes(doubling.interval)) continue;
    for (let index = doubling.from - first; index <= doubling.to - first; index++) doubled[index]?.push(doubling);
  }
  const onsets = new Float64Array(bars.length);
  for (const { notes } of placed) {
    for (const note of notes) {
      const index = barIndexAt(bars, note.startQuarters);
      if (index >= 0) onsets[index] = (onsets[index] ?? 0) + 1;
    }
  }
  const levels = new Map(balance.map((reading) => [reading.bar, totalDb(reading)]));
  return bars.map((bar, index) => {
    const parts = stage.parts.filter((part) => present[index]?.has(part.id));
    const partIds = parts.map((part) => part.id);
    const levelDb = levels.get(bar.number);
    return {
      bar: bar.number,
      partIds,
      lines: linesAmong(partIds, doubled[index] ?? []),
      families: [...new Set(parts.map((part) => part.family))],
      ...(levelDb === undefined || partIds.length === 0 ? {} : { levelDb }),
      onsets: onsets[index] ?? 0,
    };
  });
}

/** Runs of bars with exactly the same players. */
export function textureSteps(stage: Stage, textures: readonly TextureBar[]): readonly TextureStep[] {
  const groups: TextureBar[][] = [];
  let key: string | undefined;
  for (const texture of textures) {
    const own = texture.partIds.join(' ');
    if (own === key) groups.at(-1)?.push(texture);
    else groups.push([texture]);
    key = own;
  }
  const byNumber = new Map(stage.timeline.bars.map((bar) => [bar.number, bar]));
  return groups.flatMap((group, index): TextureStep[] => {
    const [first] = group;
    const last = group.at(-1);
    if (first === undefined || last === undefined) return [];
    const before = groups[index - 1]?.[0]?.partIds ?? [];
    const levelDb = median(group.flatMap((bar) => bar.levelDb ?? []));
    return [
      {
        from: first.bar,
        to: last.bar,
        seconds: group.reduce((sum, { bar }) => sum + (byNumber.get(bar)?.lengthSeconds ?? 0), 0),
        partIds: first.partIds,
        families: first.families,
        lines: median(group.map((bar) => bar.lines)) ?? 0,
        ...(levelDb === undefined ? {} : { levelDb }),
        came: first.partIds.filter((id) => !before.includes(id)),
        went: before.filter((id) => !first.partIds.includes(id)),
      },
    ];
  });
}
