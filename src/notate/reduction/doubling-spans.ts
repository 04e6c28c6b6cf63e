/** Groups of lines that double one another, and which line of a group is written. */
import type { Relation } from './doubling-relations.ts';
import type { Line, SoundsBy } from './lines.ts';
import { octaveLabel } from './lines.ts';

export interface DoublingMember {
  readonly partId: string;
  readonly label: string;
  /** Semitones above (below: negative) the line that stands for it. */
  readonly semitones: number;
  /** Its octave stands in that line. */
  readonly isWritten?: boolean;
}

export interface DoublingSpan {
  /** Key of the line that is written; its members are not. */
  readonly host: string;
  readonly hostPartId: string;
  readonly hostLabel: string;
  readonly members: readonly DoublingMember[];
  /** Bar indices, both included. */
  readonly from: number;
  readonly to: number;
}

/** A doubling of the background where its lines are written as they are read: distances count from what is written, octaves that meet are one. */
export function spanAsRead(span: DoublingSpan, soundsByPart: SoundsBy): DoublingSpan {
  const host = soundsByPart(span.hostPartId);
  const bys = span.members.map(({ partId }) => soundsByPart(partId));
  if (host === 0 && bys.every((by) => by === 0)) return span;
  return {
    ...span,
    hostLabel: octaveLabel(span.hostLabel, host),
    members: span.members.map(({ isWritten, ...member }, index): DoublingMember => {
      const semitones = member.semitones + host;
      if (isWritten !== true) return { ...member, semitones };
      const by = bys[index] ?? 0;
      const written = semitones - by;
      return written === 0
        ? { ...member, semitones }
        : { ...member, label: octaveLabel(member.label, by), semitones: written, isWritten };
    }),
  };
}

export interface DoublingGroup {
  readonly host: Line;
  readonly members: readonly { readonly line: Line; readonly semitones: number }[];
}

/**
 * Each line doubles at most one other; the fullest line is the one that stands, one of the foreground before all others. One of the background
 * stands for those of its block only.
 */
export function groupsOf(
  lines: readonly Line[],
  relations: readonly Relation[],
  front: ReadonlySet<string>,
  blockOf: (partId: string) => number,
): DoublingGroup[] {
  const byHost = new Map<string, Relation[]>();
  for (const relation of relations) {
    const known = byHost.get(relation.host);
    if (known === undefined) byHost.set(relation.host, [relation]);
    else known.push(relation);
  }
  const byKey = new Map(lines.map((line) => [line.key, line]));
  const rank = (line: Line): number => (front.has(line.partId) ? -1 : 0);
  const hosts = lines
    .filter((line) => byHost.has(line.key))
    .sort((a, b) => rank(a) - rank(b) || b.notes.length - a.notes.length);
  const taken = new Set<string>();
  const groups: DoublingGroup[] = [];
  for (const host of hosts) {
    if (taken.has(host.key)) continue;
    const members = (byHost.get(host.key) ?? []).flatMap(({ member, semitones }) => {
      const line = byKey.get(member);
      const isFree =
        line !== undefined &&
        !taken.has(member) &&
        !front.has(line.partId) &&
        (front.has(host.partId) || blockOf(host.partId) === blockOf(line.partId));
      return isFree ? [{ line, semitones }] : [];
    });
    if (members.length === 0) continue;
    taken.add(host.key);
    for (const { line } of members) taken.add(line.key);
    groups.push({ host, members });
  }
  return groups;
}

/** Steps (in semitones) by which a line lies off the nearer of treble and bass staff. */
function offTheStaves(centre: number): number {
  return Math.min(Math.max(0, 64 - centre, centre - 77), Math.max(0, 43 - centre, centre - 57));
}

export interface OpenSpan {
  readonly groups: DoublingGroup[];
  readonly from: number;
}

/**
 * Of lines that play the same notes, the one that stands best on a staff, then in the bass the lowest, else the octave that most play, then
 * the first in score order.
 */
export function spanOf(
  { groups, from }: OpenSpan,
  front: ReadonlySet<string>,
  isBass: (key: string) => boolean,
): { span: DoublingSpan; keys: readonly string[] } {
  const [first] = groups;
  if (first === undefined) throw new Error('a doubling without bars');
  const distances = new Map<string, number>([[first.host.key, 0]]);
  const candidates = new Map<string, Line>([[first.host.key, first.host]]);
  for (const { line, semitones } of first.members) {
    distances.set(line.key, semitones);
    const isEqual = groups.every((group) => {
      const own = group.members.find((member) => member.line.key === line.key)?.line;
      return own?.notes.length === group.host.notes.length;
    });
    if (isEqual && !front.has(first.host.partId)) candidates.set(line.key, line);
  }
  const centreOf = (key: string): number => {
    const sum = groups.reduce((total, group) => total + group.host.centre, 0);
    return sum / groups.length + (distances.get(key) ?? 0);
  };
  const votesOf = (key: string): number =>
    [...distances.values()].filter((distance) => distance === distances.get(key)).length;
  const inBass = [...distances.keys()].some(isBass);
  const rank = (key: string): number => (inBass ? -(distances.get(key) ?? 0) : votesOf(key));
  let best = first.host.key;
  for (const key of candidates.keys()) {
    const better = offTheStaves(centreOf(key)) - offTheStaves(centreOf(best));
    if (better < -1 || (Math.abs(better) <= 1 && rank(key) > rank(best))) best = key;
  }
  const host = candidates.get(best) ?? first.host;
  const base = distances.get(best) ?? 0;
  const all = [first.host, ...first.members.map(({ line }) => line)];
  const members = all
    .filter((line) => line.key !== best)
    .map((line) => ({
      partId: line.partId,
      label: line.label,
      semitones: (distances.get(line.key) ?? 0) - base,
    }));
  return {
    span: {
      host: host.key,
      hostPartId: host.partId,
      hostLabel: host.label,
      members,
      from,
      to: from + groups.length - 1,
    },
    keys: all.map((line) => line.key),
  };
}
