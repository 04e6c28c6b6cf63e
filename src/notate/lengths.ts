/**
 * Written lengths of a part's notes. A length is read from how the part is played (`articulation`) rather than from key-up alone: players hold
 * about 0.5 to 0.9 of a value, and legato overlaps it.
 */
import type { Part } from '../model/arrangement.ts';
import type { Timeline } from '../model/timeline.ts';
import { quartersAt, secondAt } from '../model/timeline.ts';
import { DIVISIONS_PER_QUARTER } from '../model/written.ts';
import type { Sounded } from './articulation.ts';
import { valuesOf } from './articulation.ts';
import type { PartGrid } from './grid.ts';
import { heldEnd } from './held-over.ts';
import type { Measure } from './playing-manners.ts';
import type { ScoreTime } from './score-time.ts';
import { SHORTEST, cellIndexAtDivision } from './score-time.ts';
import { borderAfter, waysOf } from './value-ways.ts';

const PEDALLED_PLUCKED = new Set(['harp']);
const STRUCK_FAMILIES = new Set<Part['family']>(['percussion', 'plucked']);
const STRUCK_WORDS = /pizz|col legno|battuto/;
/** A key held for less of the time to the next note than this was struck and left, whatever the instrument. */
const LEFT_AT_ONCE = 0.25;
/** A note that sounds on over this much of the next one, and longer than any legato, is meant to be held. */
const HELD_SHARE = 0.35;
const LEGATO_SECONDS = 0.12;
/** The pedal writes on what the hand lets go, but not over a beat in which the hand has nothing to do. */
const MOST_PEDALLED_BEATS = 0.75;
const RINGS_THROUGH = 0.9;
/** Legato counts no further into the next note than this share of the time to it. */
const MOST_LEGATO = 1.1;

function isStruck(part: Part, trackIndex: number): boolean {
  return STRUCK_FAMILIES.has(part.family) || STRUCK_WORDS.test(part.tracks[trackIndex]?.articulation ?? '');
}

function beatLength(time: ScoreTime, onset: number): number {
  return time.cells[cellIndexAtDivision(time, onset)]?.length ?? DIVISIONS_PER_QUARTER;
}

export interface LengthInput {
  readonly part: Part;
  readonly grid: PartGrid;
  readonly timeline: Timeline;
  readonly time: ScoreTime;
  /** The timeline makes even what is played long and short. */
  readonly swings: boolean;
}

/** A chord to be given a value with all others of its staff. */
interface Waiting {
  readonly notes: readonly number[];
  readonly sounded: Sounded;
}

/** Written ends in divisions, one for each of the part's notes: after the onset, at most the end of the last bar. */
export function lengthsOf({ part, grid, timeline, time, swings }: LengthInput): number[] {
  const ends: number[] = part.notes.map((_, index) => (grid.onsets[index] ?? 0) + SHORTEST);
  const { unwritten, shakes } = grid.ornaments;
  // A trill is one note that lasts until its last stroke ends.
  const shaken = new Map<number, number>();
  for (const { main, partner, endSecond } of shakes) {
    for (const note of [main, partner ?? main]) shaken.set(note, quartersAt(timeline, endSecond));
  }
  const known = new Map<number, number>();
  const msAt = (division: number): number => {
    const found = known.get(division) ?? secondAt(timeline, division / DIVISIONS_PER_QUARTER) * 1000;
    known.set(division, found);
    return found;
  };
  const pedalled = part.family === 'keyboard' || PEDALLED_PLUCKED.has(part.instrument);
  for (const staff of [1, 2]) {
    const indices = part.notes
      .map((_, index) => index)
      .filter((index) => grid.staves[index] === staff && !unwritten.has(index));
    indices.sort((a, b) => (grid.onsets[a] ?? 0) - (grid.onsets[b] ?? 0));
    writeStaff(indices, staff);
  }
  return ends;

  function heldMsOf(notes: readonly number[]): number {
    const held = notes.map((index) => {
      const note = part.notes[index];
      if (note === undefined) return 0;
      const shake = shaken.get(index);
      return 1000 * ((shake === undefined ? note.endSecond : secondAt(timeline, shake)) - note.startSecond);
    });
    return Math.max(1, ...held);
  }

  function heldOf(index: number): number {
    const note = part.notes[index];
    if (note === undefined) return 0;
    return Math.max(1, ((shaken.get(index) ?? note.endQuarters) - note.startQuarters) * DIVISIONS_PER_QUARTER);
  }

  function soundingOf(index: number): number {
    const note = part.notes[index];
    if (note === undefined || !pedalled) return heldOf(index);
    const quarters = quartersAt(timeline, note.soundingEndSecond) - note.startQuarters;
    return Math.max(heldOf(index), quarters * DIVISIONS_PER_QUARTER);
  }

  function writeStaff(indices: readonly number[], staff: number): void {
    const waiting: Waiting[] = [];
    for (let from = 0; from < indices.length;) {
      const onset = grid.onsets[indices[from] ?? 0] ?? 0;
      let to = from;
      while (to < indices.length && grid.onsets[indices[to] ?? 0] === onset) to++;
      const following = indices[to];
      const next = following === undefined ? undefined : grid.onsets[following];
      waiting.push(...writeChord(indices.slice(from, to), staff, onset, next, following));
      from = to;
    }
    const struck = part.notes.length > 0 && isStruck(part, part.notes[0]?.trackIndex ?? 0);
    const values = valuesOf(
      waiting.map(({ sounded }) => sounded),
      struck,
    );
    for (const [at, { notes, sounded }] of waiting.entries()) {
      const value = values[at];
      if (value === undefined) continue;
      for (const index of notes) {
        ends[index] = Math.max(sounded.onset + SHORTEST, Math.min(value.end, time.end));
      }
    }
  }

  /** Writes what is held over the next note or rings to it; what is left waits for its value. */
  function writeChord(
    chord: readonly number[],
    staff: number,
    onset: number,
    next: number | undefined,
    following: number | undefined,
  ): Waiting[] {
    const cell = time.cells[cellIndexAtDivision(time, onset)];
    const secondsPerDivision = (time.bars[cell?.barIndex ?? 0]?.secondsPerQuarter ?? 0.5) / DIVISIONS_PER_QUARTER;
    const isHeld = (index: number): boolean => {
      if (next === undefined || following === undefined) return false;
      const over = heldOf(index) - (next - onset);
      return (
        over * secondsPerDivision > LEGATO_SECONDS && over > HELD_SHARE * Math.min(heldOf(index), heldOf(following))
      );
    };
    const free = chord.filter((index) => !isHeld(index));
    // Notes struck together and let go one after another are one chord: the longest speaks for all.
    const together = free.reduce((most, index) => Math.max(most, heldOf(index)), 0);
    const groups = new Map<number, number[]>();
    for (const index of chord) {
      if (isHeld(index)) {
        ends[index] = Math.max(
          onset + SHORTEST,
          Math.min(heldEnd(time, grid.chosen[staff - 1], onset, heldOf(index)), time.end),
        );
        continue;
      }
      const held = heldOf(index) > 0.7 * together ? together : heldOf(index);
      if (next !== undefined && ringsThrough(index, onset, next, held)) {
        ends[index] = Math.max(onset + SHORTEST, next);
        continue;
      }
      groups.set(held, [...(groups.get(held) ?? []), index]);
    }
    return [...groups].map(([held, notes]) => ({
      notes,
      sounded: soundedOf(notes, staff, onset, next, held),
    }));
  }

  function ringsThrough(index: number, onset: number, next: number, held: number): boolean {
    const silence = (next - onset - held) / beatLength(time, onset);
    return (
      soundingOf(index) >= RINGS_THROUGH * (next - onset) && soundingOf(index) > held && silence < MOST_PEDALLED_BEATS
    );
  }

  function soundedOf(
    notes: readonly number[],
    staff: number,
    onset: number,
    next: number | undefined,
    held: number,
  ): Sounded {
    const whole = next ?? time.end;
    const struck = isStruck(part, part.notes[notes[0] ?? 0]?.trackIndex ?? 0);
    const left = struck || held < LEFT_AT_ONCE * (whole - onset);
    const limit = left ? Math.min(whole, borderAfter(time, onset, onset + 0.9 * held)) : whole;
    const cell = time.cells[cellIndexAtDivision(time, onset)];
    const heldMs = heldMsOf(notes);
    const most = MOST_LEGATO * (whole - onset);
    const msPerDivision = (1000 * (time.bars[cell?.barIndex ?? 0]?.secondsPerQuarter ?? 0.5)) / DIVISIONS_PER_QUARTER;
    const measuresTo = (end: number): readonly Measure[] => {
      const lengthMs = Math.max(1, msAt(end) - msAt(onset));
      const inTime = { heldMs: Math.min(heldMs, MOST_LEGATO * (msAt(whole) - msAt(onset))), lengthMs };
      if (!swings) return [inTime];
      const onClock = { heldMs: msPerDivision * Math.min(held, most), lengthMs: msPerDivision * (end - onset) };
      return [inTime, onClock];
    };
    return {
      onset,
      ways: waysOf(time, { onset, next, held, limit, measuresTo, chosen: grid.chosen[staff - 1] }),
      place: String(onset - (time.bars[cell?.barIndex ?? 0]?.start ?? 0)),
      figure: `${String(onset - (cell?.start ?? 0))}:${String(Math.min(whole - onset, 3840))}:${notes.length > 1 ? 'c' : ''}`,
    };
  }
}
