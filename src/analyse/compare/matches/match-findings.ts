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

/** Of the bars of the shorter of two findings so many must be the other's: one that only touches is another finding. */
const LEAST_SHARED = 0.5;

function lieTogether(one: Placed, other: Finding): boolean {
  const shared = Math.min(one.to, other.to) - Math.max(one.from, other.from) + 1;
  return shared >= LEAST_SHARED * (Math.min(one.to - one.from, other.to - other.from) + 1);
}

function sameParts(one: ReadonlySet<string>, other: readonly string[]): boolean {
  return one.size === new Set(other).size && other.every((id) => one.has(id));
}

/** True where one of two findings names all the parts of the other, and at least one. */
function namesAll(one: ReadonlySet<string>, other: readonly string[]): boolean {
  const shared = [...new Set(other)].filter((id) => one.has(id)).length;
  return shared > 0 && shared === Math.min(one.size, new Set(other).size);
}

/**
 * A finding has stayed where the later stage has one of the same rule in bars that are the same for the most part, about the same parts
 * (where none fits better, with parts more or fewer: who covers a tune is another matter where another part does it).
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
          lieTogether(one, other) &&
          fits(one, other),
      );
      if (place < 0) return;
      used.add(place);
      found.add(index);
      stayed.push([place, index]);
    });
  };
  pair((one, other) => sameParts(one.partIds, other.partIds));
  pair((one, other) => namesAll(one.partIds, other.partIds));
  return {
    appeared: [...after.keys()].filter((index) => !found.has(index)),
    went: [...before.keys()].filter((index) => !used.has(index)),
    stayed: stayed.sort((a, b) => a[1] - b[1]),
  };
}
