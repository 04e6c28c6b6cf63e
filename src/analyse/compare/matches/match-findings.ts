/** Which findings of one stage are those of another. */
import type { Finding, StageChange } from '../../../model/readings/readings.ts';

/** Names and bars of the earlier stage as the later one has them. */
export interface StageMap {
  readonly partId: (partId: string) => string;
  /** Number of the later stage; undefined where the bar was cut. */
  readonly bar: (bar: number) => number | undefined;
}

interface Placed {
  readonly rule: string;
  readonly partIds: ReadonlySet<string>;
  readonly from: number;
  readonly to: number;
}

/** The finding at its place in the later stage; undefined where all its bars were cut. */
function placed(finding: Finding, map: StageMap): Placed | undefined {
  let from: number | undefined;
  let to: number | undefined;
  for (let bar = finding.from; bar <= finding.to; bar++) {
    const later = map.bar(bar);
    if (later === undefined) continue;
    from = Math.min(from ?? later, later);
    to = Math.max(to ?? later, later);
  }
  if (from === undefined || to === undefined) return undefined;
  return { rule: finding.rule, partIds: new Set(finding.partIds.map(map.partId)), from, to };
}

function sameParts(one: ReadonlySet<string>, other: readonly string[]): boolean {
  return one.size === new Set(other).size && other.every((id) => one.has(id));
}

/**
 * A finding has stayed where the later stage has one of the same rule about the same parts (some of them, where none fits
 * better) in bars that overlap.
 */
export function matchFindings(
  before: readonly Finding[],
  after: readonly Finding[],
  map: StageMap,
): StageChange['findings'] {
  const earlier = before.map((finding) => placed(finding, map));
  const stayed: (readonly [number, number])[] = [];
  const used = new Set<number>();
  const found = new Set<number>();
  const pair = (fits: (one: Placed, other: Finding) => boolean): void => {
    after.forEach((other, index) => {
      if (found.has(index)) return;
      const place = earlier.findIndex(
        (one, candidate) =>
          one !== undefined &&
          !used.has(candidate) &&
          one.rule === other.rule &&
          one.from <= other.to &&
          one.to >= other.from &&
          fits(one, other),
      );
      if (place < 0) return;
      used.add(place);
      found.add(index);
      stayed.push([place, index]);
    });
  };
  pair((one, other) => sameParts(one.partIds, other.partIds));
  pair((one, other) => other.partIds.some((id) => one.partIds.has(id)));
  return {
    appeared: [...after.keys()].filter((index) => !found.has(index)),
    went: [...before.keys()].filter((index) => !used.has(index)),
    stayed: stayed.sort((a, b) => a[1] - b[1]),
  };
}
