/** Which findings of one stage are those of another. */
import type { Finding, StageChange } from '../../../model/readings/readings.ts';
import type { IsDoneAbout } from './done-about.ts';

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

/** Rules that ask the same of the same parts, the one where the other does not. */
const SAME_QUESTION: readonly (readonly string[])[] = [
  ['breath', 'never-rests', 'stamina', 'brass-endurance'],
  ['outside-range', 'edge-of-range', 'tessitura'],
  ['background-as-loud', 'background-covers', 'covered-from-above'],
];

function askTheSame(one: string, other: string): boolean {
  return one === other || SAME_QUESTION.some((rules) => rules.includes(one) && rules.includes(other));
}

/** Passages that were given and lines that are doubled now, by ids and bars of the later stage: who stands for whom where. */
export type StandsFor = (partId: string, other: string, bar: number) => boolean;

/** True where the parts that only one of two findings names have the lines of those that only the other names. */
function areSameLines(one: Placed, other: Finding, standsFor: StandsFor): boolean {
  const now = new Set(other.partIds);
  const fresh = [...now].filter((id) => !one.partIds.has(id));
  const old = [...one.partIds].filter((id) => !now.has(id));
  return (
    fresh.length > 0 &&
    fresh.length < now.size &&
    fresh.length === old.length &&
    fresh.every((id) => old.some((was) => standsFor(id, was, other.from)))
  );
}

/** Anything that two findings are about in common: bars and parts, where they name any. */
function touch(one: Placed, other: Finding): boolean {
  return (
    Math.min(one.to, other.to) >= Math.max(one.from, other.from) &&
    (other.partIds.some((id) => one.partIds.has(id)) || one.partIds.size + other.partIds.length === 0)
  );
}

/**
 * A finding has stayed where the later stage has one of the same rule in bars that are the same for the most part, about the same parts
 * (where none fits better, with parts more or fewer: who covers a tune is another matter where another part does it, but not who plays it).
 * One that came or went where nothing was done to what it speaks of is looked for in what it may have become: bounded otherwise, parted,
 * or told with another one.
 */
export function matchFindings(
  before: readonly Finding[],
  after: readonly Finding[],
  map: StageMap,
  standsFor: StandsFor = () => false,
  isDoneAbout: IsDoneAbout = () => true,
): StageChange['findings'] {
  const earlier = before.map((finding) => placed(finding, map));
  const stayed: (readonly [number, number])[] = [];
  const used = new Set<number>();
  const found = new Set<number>();
  const settle = (place: number, index: number): void => {
    used.add(place);
    found.add(index);
    stayed.push([place, index]);
  };
  const pair = (fits: (one: Placed, other: Finding) => boolean): void => {
    after.forEach((other, index) => {
      if (found.has(index)) return;
      const place = earlier.findIndex(
        (one, candidate) => one !== undefined && !used.has(candidate) && lieTogether(one, other) && fits(one, other),
      );
      if (place >= 0) settle(place, index);
    });
  };
  pair((one, other) => one.rule === other.rule && sameParts(one.partIds, other.partIds));
  pair((one, other) => one.rule === other.rule && namesAll(one.partIds, other.partIds));
  pair((one, other) => one.rule === other.rule && areSameLines(one, other, standsFor));
  pair((one, other) => askTheSame(one.rule, other.rule) && namesAll(one.partIds, other.partIds));
  const without = (side: 'before' | 'after', findings: readonly Finding[], known: ReadonlySet<number>): number[] =>
    findings.flatMap((finding, index) => (known.has(index) || isDoneAbout(side, finding) ? [] : [index]));
  const isOne = (place: number, index: number): boolean => {
    const [one, other] = [earlier[place], after[index]];
    return one !== undefined && other !== undefined && askTheSame(one.rule, other.rule) && touch(one, other);
  };
  for (const place of without('before', before, used)) {
    const index = after.findIndex((_, candidate) => isOne(place, candidate));
    if (index >= 0) settle(place, index);
  }
  for (const index of without('after', after, found)) {
    const place = earlier.findIndex((_, candidate) => isOne(candidate, index));
    if (place >= 0) settle(place, index);
  }
  return {
    appeared: [...after.keys()].filter((index) => !found.has(index)),
    went: [...before.keys()].filter((index) => !used.has(index)),
    unexplained: { appeared: without('after', after, found), went: without('before', before, used) },
    stayed: stayed.sort((a, b) => a[1] - b[1] || a[0] - b[0]),
  };
}
