/**
 * Real doublings: lines that move together in unison or octaves for long enough that a musician would name them. A chord whose tones
 * happen to lie octaves apart is none.
 */
import type { Line, LineNote } from './lines.ts';

/** A part may let go this much later than the line it doubles (a quarter, in divisions). Our convention. */
const LATER_END = 480;
/**
 * A doubling that a musician would name changes its pitch and lasts two bars, has this many notes in one, or is all that the part plays
 * between two rests. Our convention.
 */
const FEWEST_NOTES = 5;
const FEWEST_BARS = 2;
/** It plays at least this share of the notes of the line it doubles, and for at least this share of their time. */
const LEAST_SHARE = 0.6;
const LEAST_TIME = 0.5;

interface Match {
  /** Semitones from the host to the member: whole octaves. */
  readonly semitones: number;
  /** Divisions for which the notes of the host sound that the member plays too. */
  readonly hostTime: number;
}

/** How `member` doubles `host` in a bar; undefined where one of its notes is not in `host` at that distance. */
function matchOf(member: readonly LineNote[], host: readonly LineNote[]): Match | undefined {
  if (member.length === 0 || member.length > host.length) return undefined;
  let distance: number | undefined;
  let hostTime = 0;
  let place = 0;
  for (const note of member) {
    while (place < host.length && (host[place]?.from ?? 0) < note.from) place++;
    let twin: LineNote | undefined;
    for (let at = place; host[at]?.from === note.from; at++) {
      const other = host[at];
      if (other === undefined) break;
      const semitones = note.midi - other.midi;
      if (semitones % 12 === 0 && (distance === undefined || semitones === distance)) twin = other;
      if (twin !== undefined) break;
    }
    if (twin?.continues !== note.continues || note.to > twin.to + LATER_END) return undefined;
    distance = note.midi - twin.midi;
    hostTime += twin.to - twin.from;
  }
  return distance === undefined ? undefined : { semitones: distance, hostTime };
}

interface Run {
  readonly host: string;
  readonly member: string;
  readonly semitones: number;
  readonly from: number;
  to: number;
  onsets: number;
  hostOnsets: number;
  /** Divisions for which the member, and the notes of the host that it plays, sound. */
  time: number;
  hostTime: number;
  readonly pitches: Set<number>;
}

function onsetsOf(notes: readonly LineNote[]): number {
  return notes.reduce((count, note) => (note.continues ? count : count + 1), 0);
}

function timeOf(notes: readonly LineNote[]): number {
  return notes.reduce((sum, note) => sum + note.to - note.from, 0);
}

function isReal(run: Run, lines: readonly (readonly Line[])[]): boolean {
  if (run.pitches.size < 2 || run.onsets < LEAST_SHARE * run.hostOnsets) return false;
  if (run.time < LEAST_TIME * run.hostTime) return false;
  if (run.onsets >= FEWEST_NOTES || run.to - run.from + 1 >= FEWEST_BARS) return true;
  const plays = (bar: number): boolean => lines[bar]?.some((line) => line.key === run.member) === true;
  return !plays(run.from - 1) && !plays(run.to + 1);
}

/** Who doubles whom in one bar. */
interface Relation {
  readonly host: string;
  readonly member: string;
  readonly semitones: number;
}

function onsetKey({ from, midi }: LineNote): string {
  return `${String(from)}:${String(midi % 12)}`;
}

/** Lines by the places and tone classes of their notes. */
function linesByOnset(lines: readonly Line[]): ReadonlyMap<string, readonly Line[]> {
  const byOnset = new Map<string, Line[]>();
  for (const line of lines) {
    for (const key of new Set(line.notes.map(onsetKey))) {
      const known = byOnset.get(key);
      if (known === undefined) byOnset.set(key, [line]);
      else known.push(line);
    }
  }
  return byOnset;
}

/** Real doublings by bar index: `member` plays `host`'s line at a distance of whole octaves. Lines of one part never double each other. */
function relationsByBar(lines: readonly (readonly Line[])[]): readonly (readonly Relation[])[] {
  let open = new Map<string, Run>();
  const runs: Run[] = [];
  for (const [bar, inBar] of lines.entries()) {
    const next = new Map<string, Run>();
    const starting = linesByOnset(inBar);
    for (const member of inBar) {
      const first = member.notes[0];
      const memberTime = timeOf(member.notes);
      const memberOnsets = onsetsOf(member.notes);
      for (const host of starting.get(first === undefined ? '' : onsetKey(first)) ?? []) {
        if (host.partId === member.partId || member.notes.length > host.notes.length) continue;
        const match = matchOf(member.notes, host.notes);
        if (match === undefined) continue;
        const { semitones, hostTime } = match;
        const pair = `${host.key}>${member.key}`;
        const known = open.get(pair);
        const run: Run =
          known?.semitones === semitones
            ? known
            : {
                host: host.key,
                member: member.key,
                semitones,
                from: bar,
                to: bar,
                onsets: 0,
                hostOnsets: 0,
                time: 0,
                hostTime: 0,
                pitches: new Set(),
              };
        if (run !== known) runs.push(run);
        run.to = bar;
        run.onsets += memberOnsets;
        run.hostOnsets += onsetsOf(host.notes);
        run.time += memberTime;
        run.hostTime += hostTime;
        for (const note of member.notes) run.pitches.add(note.midi);
        next.set(pair, run);
      }
    }
    open = next;
  }
  const relations = lines.map((): Relation[] => []);
  for (const run of runs) {
    if (!isReal(run, lines)) continue;
    for (let bar = run.from; bar <= run.to; bar++) relations[bar]?.push(run);
  }
  return relations;
}

interface Group {
  readonly host: Line;
  readonly members: readonly { readonly line: Line; readonly semitones: number }[];
}

/** Each line doubles at most one other; the fullest line is the one that stands, one of the foreground before all others. */
function groupsOf(lines: readonly Line[], relations: readonly Relation[], front: ReadonlySet<string>): Group[] {
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
  const groups: Group[] = [];
  for (const host of hosts) {
    if (taken.has(host.key)) continue;
    const members = (byHost.get(host.key) ?? []).flatMap(({ member, semitones }) => {
      const line = byKey.get(member);
      const isFree = line !== undefined && !taken.has(member) && !front.has(line.partId);
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

export interface DoublingMember {
  readonly partId: string;
  readonly label: string;
  /** Semitones above (below: negative) the line that stands for it. */
  readonly semitones: number;
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

interface OpenSpan {
  readonly groups: Group[];
  readonly from: number;
}

/**
 * Of lines that play the same notes, the one that stands best on a staff, then in the bass the lowest, else the octave that most play, then
 * the first in score order.
 */
function spanOf(
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

function joined(host: Line, others: readonly Line[]): Line {
  const notes = host.notes.map((note) => {
    const ids = others.flatMap((other) =>
      other.notes.some((twin) => twin.from === note.from && (twin.midi - note.midi) % 12 === 0) ? [other.partId] : [],
    );
    return ids.length === 0 ? note : { ...note, partIds: [...new Set([...note.partIds, ...ids])] };
  });
  const depth = Math.min(0, ...others.map((other) => Math.round(other.centre - host.centre)));
  return { ...host, notes, depth };
}

export interface DoubledLines {
  /** Lines by bar index that are to be written; the parts that double them stand in the `partIds` of their notes. */
  readonly lines: readonly (readonly Line[])[];
  /** Sorted by first bar. */
  readonly spans: readonly DoublingSpan[];
}

/**
 * Writes lines that really double one another once. `front` are the parts of the foreground by bar index: they are never
 * taken away, and who doubles them is.
 */
export function collapseDoublings(
  lines: readonly (readonly Line[])[],
  front: readonly ReadonlySet<string>[],
): DoubledLines {
  const relations = relationsByBar(lines);
  const spans: { span: DoublingSpan; keys: readonly string[] }[] = [];
  let open = new Map<string, OpenSpan>();
  const close = (ended: OpenSpan): void => {
    const bass = lines
      .slice(ended.from, ended.from + ended.groups.length)
      .map(
        (inBar) =>
          inBar.reduce<Line | undefined>(
            (low, line) => (low !== undefined && low.centre <= line.centre ? low : line),
            undefined,
          )?.key,
      );
    const isBass = (key: string): boolean => bass.filter((other) => other === key).length * 2 > bass.length;
    spans.push(spanOf(ended, front[ended.from] ?? new Set(), isBass));
  };
  for (const [bar, inBar] of lines.entries()) {
    const next = new Map<string, OpenSpan>();
    for (const group of groupsOf(inBar, relations[bar] ?? [], front[bar] ?? new Set())) {
      const id = [
        group.host.key,
        ...group.members.map(({ line, semitones }) => `${line.key}${String(semitones)}`),
      ].join();
      const span = open.get(id) ?? { groups: [], from: bar };
      span.groups.push(group);
      next.set(id, span);
    }
    for (const [id, span] of open) if (next.get(id) !== span) close(span);
    open = next;
  }
  for (const span of open.values()) close(span);
  const away = lines.map(() => new Map<string, string>());
  for (const { span, keys } of spans) {
    for (let bar = span.from; bar <= span.to; bar++) {
      for (const key of keys) if (key !== span.host) away[bar]?.set(key, span.host);
    }
  }
  const kept = lines.map((inBar, bar) => {
    const hosts = away[bar];
    if (hosts === undefined || hosts.size === 0) return inBar;
    return inBar
      .filter((line) => !hosts.has(line.key))
      .map((line) =>
        joined(
          line,
          inBar.filter((other) => hosts.get(other.key) === line.key),
        ),
      );
  });
  return { lines: kept, spans: spans.map(({ span }) => span).sort((a, b) => a.from - b.from) };
}

/** Spans by bar index, then by the key of their written line. */
export function spansByHost(spans: readonly DoublingSpan[], count: number): Map<string, DoublingSpan>[] {
  const active = Array.from({ length: count }, () => new Map<string, DoublingSpan>());
  for (const span of spans) for (let bar = span.from; bar <= span.to; bar++) active[bar]?.set(span.host, span);
  return active;
}
