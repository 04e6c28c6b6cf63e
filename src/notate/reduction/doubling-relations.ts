/** Who doubles whom, bar by bar: lines that move together in unison or octaves for long enough that a musician would name it. */
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

/** Three octaves apart and more few notes are tones of one chord; a tune has so many pitches. Our convention. */
const FAR_APART = 25;
const PITCHES_OF_A_TUNE = 4;

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
  if (Math.abs(run.semitones) >= FAR_APART && run.pitches.size < PITCHES_OF_A_TUNE) return false;
  if (run.onsets >= FEWEST_NOTES || run.to - run.from + 1 >= FEWEST_BARS) return true;
  const plays = (bar: number): boolean => lines[bar]?.some((line) => line.key === run.member) === true;
  return !plays(run.from - 1) && !plays(run.to + 1);
}

/** Who doubles whom in one bar. */
export interface Relation {
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
export function relationsByBar(lines: readonly (readonly Line[])[]): readonly (readonly Relation[])[] {
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
