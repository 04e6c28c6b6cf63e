/**
 * Written lengths of a part's notes. A length is read from how the part is played (`articulation`) rather than from key-up alone: players hold
 * about 0.5 to 0.9 of a value, and legato overlaps it.
 */
import type { Part } from '../../model/music/arrangement.ts';
import { groupedBy } from '../../model/grouped.ts';
import type { Timeline } from '../../model/music/timeline.ts';
import { quartersAt, secondAt } from '../../model/music/timeline.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';
import type { Sounded } from './articulation.ts';
import { chancesOf } from './articulation.ts';
import type { Explain } from '../explain.ts';
import type { PartGrid } from '../rhythm/quantised-part.ts';
import { endsOfEvenRuns } from './even-runs.ts';
import { heldEnd } from './held-over.ts';
import { ringingNotes } from './let-ring.ts';
import type { Measure } from './playing-manners.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import { SHORTEST, beatAt, cellIndexAtDivision } from '../score-time/score-time.ts';
import { agreedEnds } from './struck-together.ts';
import type { Subdivision } from '../rhythm/subdivisions.ts';
import { borderAfter, waysOf } from './value-candidates.ts';

const PEDALLED_PLUCKED = new Set(['harp']);
/** What dies away however long the key is down, and what is played so. */
export const STRUCK_FAMILIES: ReadonlySet<Part['family']> = new Set<Part['family']>(['percussion', 'plucked']);
export const STRUCK_WORDS = /pizz|col legno|battuto/;
/** A key held for less of the time to the next note than this was struck and left, whatever the instrument. */
const LEFT_AT_ONCE = 0.25;
/** A note that sounds on over this much of the next one, and longer than any legato, is meant to be held. */
const HELD_SHARE = 0.35;
const LEGATO_SECONDS = 0.12;
/** The pedal writes on what the hand lets go, but not over a beat in which the hand has nothing to do. */
const MOST_PEDALLED_BEATS = 0.75;
const RINGS_THROUGH = 0.9;
/** Of notes struck together those are let go together that last for so much of the longest, or end so few seconds before it. */
const TOGETHER_SHARE = 0.7;
const TOGETHER_SECONDS = 0.06;
/** Legato counts no further into the next note than this share of the time to it. */
const MOST_LEGATO = 1.1;

/** Whether the notes of each track die away by themselves. */
function struckTracks({ family, tracks }: Part): readonly boolean[] {
  return tracks.map(({ articulation }) => STRUCK_FAMILIES.has(family) || STRUCK_WORDS.test(articulation));
}

export interface LengthInput {
  readonly part: Part;
  readonly grid: PartGrid;
  readonly timeline: Timeline;
  readonly time: ScoreTime;
  /** The timeline makes even what is played long and short. */
  readonly swings: boolean;
  readonly explain?: Explain | undefined;
}

/** A chord to be given a value with all others of its staff. */
interface Waiting {
  readonly notes: readonly number[];
  readonly sounded: Sounded;
}

/** Where a chord stands. */
interface ChordPlace {
  readonly onset: number;
  /** The next onset on its staff, and how long its first note is held, in divisions. */
  readonly next: number | undefined;
  readonly followingHeld: number;
  /** Chosen subdivisions of its staff by cell. */
  readonly chosen: ReadonlyMap<number, Subdivision> | undefined;
}

/** A chord whose value is to be found, and what is known of it. */
interface Open extends Waiting {
  readonly staff: number;
  readonly struck: boolean;
  readonly chances: readonly number[];
}

interface PartLengths {
  /** What is known so far, by note. */
  readonly ends: number[];
  /** By staff, then onset. */
  readonly open: readonly Open[];
}

/** Written ends in divisions of the notes of each part: after the onset, at most the end of the last bar. */
export function lengthsOf(parts: readonly LengthInput[]): readonly (readonly number[])[] {
  const known = parts.map(lengthsOfPart);
  const agreed = agreedEnds(
    known.flatMap(({ open }) =>
      open.map(({ sounded: { onset, next, ways }, ...own }) => ({ ...own, onset, next, ways })),
    ),
  );
  let from = 0;
  for (const [index, { ends, open }] of known.entries()) {
    const time = parts[index]?.time as ScoreTime;
    const valued = open.map(({ sounded: { onset }, notes, staff }, at) => ({
      onset,
      end: agreed[from + at] as number,
      size: notes.length,
      notes,
      staff,
    }));
    from += open.length;
    for (const [, own] of groupedBy(valued, ({ staff }) => staff)) {
      for (const [at, end] of endsOfEvenRuns(own, time).entries()) {
        const { onset, notes } = own[at] as (typeof own)[number];
        for (const note of notes) ends[note] = endWithin(time, onset, end);
      }
    }
  }
  return known.map(({ ends }) => ends);
}

function endWithin(time: ScoreTime, onset: number, end: number): number {
  return Math.max(onset + SHORTEST, Math.min(end, time.end));
}

/** What a part shows of its values by itself. */
function lengthsOfPart({ part, grid, timeline, time, swings, explain }: LengthInput): PartLengths {
  const ends: number[] = part.notes.map((_, index) => (grid.onsets[index] ?? 0) + SHORTEST);
  const { unwritten, trills } = grid.ornaments;
  // A trill is one note that lasts until its last stroke ends.
  const trilled = new Map<number, number>();
  for (const { main, partner, endSecond } of trills) {
    for (const note of [main, partner ?? main]) trilled.set(note, quartersAt(timeline, endSecond));
  }
  const struck = struckTracks(part);
  const ringing = ringingNotes(part, grid);
  const pedalled = part.family === 'keyboard' || PEDALLED_PLUCKED.has(part.instrument);
  const open: Open[] = [];
  for (const staff of [1, 2, 3]) {
    const indices = part.notes
      .map((_, index) => index)
      .filter((index) => grid.staves[index] === staff && !unwritten.has(index));
    indices.sort((a, b) => (grid.onsets[a] ?? 0) - (grid.onsets[b] ?? 0));
    open.push(...weighStaff(indices, staff));
  }
  return { ends, open };

  function heldMsOf(notes: readonly number[]): number {
    const held = notes.map((index) => {
      const note = part.notes[index];
      if (note === undefined) return 0;
      const trill = trilled.get(index);
      return 1000 * ((trill === undefined ? note.endSecond : secondAt(timeline, trill)) - note.startSecond);
    });
    return Math.max(1, ...held);
  }

  function heldOf(index: number): number {
    const note = part.notes[index];
    if (note === undefined) return 0;
    return Math.max(1, ((trilled.get(index) ?? note.endQuarters) - note.startQuarters) * DIVISIONS_PER_QUARTER);
  }

  function isStruck(index: number): boolean {
    return struck[part.notes[index]?.trackIndex ?? 0] === true;
  }

  function write(index: number, onset: number, end: number): void {
    ends[index] = endWithin(time, onset, end);
  }

  function weighStaff(indices: readonly number[], staff: number): Open[] {
    const waiting: Waiting[] = [];
    const chosen = grid.chosen[staff - 1];
    for (let from = 0; from < indices.length;) {
      const onset = grid.onsets[indices[from] ?? 0] ?? 0;
      let to = from;
      while (to < indices.length && grid.onsets[indices[to] ?? 0] === onset) to++;
      const following = indices[to];
      const next = following === undefined ? undefined : grid.onsets[following];
      const followingHeld = following === undefined ? 0 : heldOf(following);
      waiting.push(...writeChord(indices.slice(from, to), { onset, next, followingHeld, chosen }));
      from = to;
    }
    const struckHere = isStruck(0);
    const chances = chancesOf(
      waiting.map(({ sounded }) => sounded),
      struckHere,
    );
    return waiting.map((one, at) => {
      const own = { ...one, chances: chances[at] as readonly number[] };
      explain?.values?.({ part, ...own });
      return { ...own, staff, struck: struckHere };
    });
  }

  /** Writes what is held over the next note or rings to it; what is left waits for its value. */
  function writeChord(chord: readonly number[], place: ChordPlace): Waiting[] {
    const { onset, next, followingHeld, chosen } = place;
    const cell = time.cells[cellIndexAtDivision(time, onset)];
    const secondsPerDivision = (time.bars[cell?.barIndex ?? 0]?.secondsPerQuarter ?? 0.5) / DIVISIONS_PER_QUARTER;
    const isHeldOver = (held: number): boolean => {
      if (next === undefined) return false;
      const over = held - (next - onset);
      return over * secondsPerDivision > LEGATO_SECONDS && over > HELD_SHARE * Math.min(held, followingHeld);
    };
    const lengths = chord.map(heldOf);
    // Notes struck together and let go one after another are one chord: the longest speaks for all.
    const together = Math.max(0, ...lengths.filter((held) => !isHeldOver(held)));
    const free = chord.flatMap((index, at) => {
      const own = lengths[at] as number;
      if (isHeldOver(own) || ringing.has(index)) {
        write(index, onset, ringing.get(index) ?? heldEnd(time, chosen, onset, own));
        return [];
      }
      const isTogether = own > TOGETHER_SHARE * together || (together - own) * secondsPerDivision < TOGETHER_SECONDS;
      const held = isTogether ? together : own;
      if (next !== undefined && ringsThrough(index, onset, next, held)) {
        write(index, onset, next);
        return [];
      }
      return [{ index, held }];
    });
    const [only, second] = free;
    if (only !== undefined && second === undefined) {
      return [{ notes: [only.index], sounded: soundedOf([only.index], place, only.held) }];
    }
    return [...groupedBy(free, ({ held }) => held)].map(([held, group]) => {
      const notes = group.map(({ index }) => index);
      return { notes, sounded: soundedOf(notes, place, held) };
    });
  }

  /** Whether the pedal lets a note sound on to the next one. */
  function ringsThrough(index: number, onset: number, next: number, held: number): boolean {
    const note = part.notes[index];
    if (note === undefined || !pedalled) return false;
    const sounding = (quartersAt(timeline, note.soundingEndSecond) - note.startQuarters) * DIVISIONS_PER_QUARTER;
    if (sounding < RINGS_THROUGH * (next - onset) || sounding <= held) return false;
    return (next - onset - held) / beatAt(time, onset) < MOST_PEDALLED_BEATS;
  }

  function msAt(division: number): number {
    return secondAt(timeline, division / DIVISIONS_PER_QUARTER) * 1000;
  }

  function soundedOf(notes: readonly number[], { onset, next, chosen }: ChordPlace, held: number): Sounded {
    const whole = next ?? time.end;
    const left = isStruck(notes[0] ?? 0) || held < LEFT_AT_ONCE * (whole - onset);
    const limit = left ? Math.min(whole, borderAfter(time, onset, onset + 0.9 * held)) : whole;
    const cell = time.cells[cellIndexAtDivision(time, onset)];
    const bar = time.bars[cell?.barIndex ?? 0];
    const onsetMs = msAt(onset);
    const heldMs = Math.min(heldMsOf(notes), MOST_LEGATO * (msAt(whole) - onsetMs));
    const msPerDivision = (1000 * (bar?.secondsPerQuarter ?? 0.5)) / DIVISIONS_PER_QUARTER;
    const clockMs = msPerDivision * Math.min(held, MOST_LEGATO * (whole - onset));
    const measuresTo = (end: number): readonly Measure[] => {
      const inTime = { heldMs, lengthMs: Math.max(1, msAt(end) - onsetMs) };
      return swings ? [inTime, { heldMs: clockMs, lengthMs: msPerDivision * (end - onset) }] : [inTime];
    };
    return {
      onset,
      next,
      ways: waysOf(time, { onset, next, held, limit, measuresTo, chosen }),
      place: String(onset - (bar?.start ?? 0)),
      figure: `${String(onset - (cell?.start ?? 0))}:${String(Math.min(whole - onset, 3840))}:${notes.length > 1 ? 'c' : ''}`,
    };
  }
}
