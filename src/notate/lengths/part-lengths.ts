/**
 * What a part shows of the lengths of its notes. A length is read from how the part is played (`articulation`) rather than from key-up alone:
 * players hold about 0.5 to 0.9 of a value, and legato overlaps it.
 */
import type { Part } from '../../model/music/arrangement.ts';
import { groupedBy } from '../../model/grouped.ts';
import type { Timeline } from '../../model/music/timeline.ts';
import { firstReaching } from '../../model/sorted-search.ts';
import { quartersAt, secondAt } from '../../model/music/timeline.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';
import type { Sounded } from './sounded.ts';
import { chancesOf } from './articulation.ts';
import { struckTracks } from './dying-away.ts';
import type { Explain } from '../explain.ts';
import type { PartGrid } from '../rhythm/quantised-part.ts';
import { ringingNotes } from './let-ring.ts';
import type { Measure } from './playing-manners.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import { SHORTEST, barIndexAtDivision, beatAt, cellIndexAtDivision } from '../score-time/score-time.ts';
import type { Subdivision } from '../rhythm/subdivisions.ts';
import { borderAfter, waysOf } from './value-candidates.ts';

const PEDALLED_PLUCKED = new Set(['harp']);
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
/** Fingers that let go within so much of the time that the thumb holds do so for themselves. */
const FINGERS_SHARE = 0.8;
/** A stroke that sounds no further than this into the next beat, in divisions, is written to the next stroke or the end of its beat, however long the key was down. */
const STILL_IN_BEAT = 120;
/** Legato counts no further into the next note than this share of the time to it. */
const MOST_LEGATO = 1.1;

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
  /** Onsets of its staff, sorted. */
  readonly onsets: readonly number[];
  /** Chosen subdivisions of its staff by cell. */
  readonly chosen: ReadonlyMap<number, Subdivision> | undefined;
}

/** A chord whose value is to be found, and what is known of it. */
export interface Open extends Waiting {
  readonly staff: number;
  readonly struck: boolean;
  readonly chances: ArrayLike<number>;
  /** The same number on a staff for notes that mean the same length; -1 for one of its own. */
  readonly alike: number;
}

interface PartLengths {
  /** What is known so far, by note. */
  readonly ends: readonly number[];
  /** By staff, then onset. */
  readonly open: readonly Open[];
}

/** An end after the onset, at most that of the last bar. */
export function endWithin(time: ScoreTime, onset: number, end: number): number {
  return Math.max(onset + SHORTEST, Math.min(end, time.end));
}

/** What a part shows of its values by itself. */
export function lengthsOfPart({ part, grid, timeline, time, swings, explain }: LengthInput): PartLengths {
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
    const onsets = indices.map((index) => grid.onsets[index] ?? 0);
    const chosen = grid.chosen[staff - 1];
    for (let from = 0; from < indices.length;) {
      const onset = onsets[from] as number;
      let to = from;
      while (onsets[to] === onset) to++;
      const following = indices[to];
      const next = onsets[to];
      const followingHeld = following === undefined ? 0 : heldOf(following);
      waiting.push(...writeChord(indices.slice(from, to), { onset, next, followingHeld, onsets, chosen }));
      from = to;
    }
    const struckHere = isStruck(0);
    const chances = chancesOf(
      waiting.map(({ sounded }) => sounded),
      struckHere,
    );
    return waiting.map(({ notes, sounded }, at) => {
      const own = chances[at] as (typeof chances)[number];
      explain?.values?.({ part, notes, sounded, chances: Array.from(own.chances) });
      return { notes, sounded, ...own, staff, struck: struckHere };
    });
  }

  /** Writes what rings to the next note; what is left waits for its value. */
  function writeChord(chord: readonly number[], place: ChordPlace): Waiting[] {
    const { onset, next, followingHeld } = place;
    const secondsPerDivision = secondsPerDivisionAt(onset);
    const isHeldOver = (held: number): boolean => {
      if (next === undefined) return false;
      const over = held - (next - onset);
      return over * secondsPerDivision > LEGATO_SECONDS && over > HELD_SHARE * Math.min(held, followingHeld);
    };
    const lengths = chord.map(heldOf);
    const bass = bassHeld(chord, lengths, next === undefined ? undefined : next - onset);
    // Notes struck together and let go one after another are one chord: the longest speaks for all.
    const isOver = (at: number): boolean => at === bass || isHeldOver(lengths[at] as number);
    const together = Math.max(0, ...lengths.filter((_, at) => !isOver(at)));
    const endOf = (at: number): number => part.notes[chord[at] ?? 0]?.endSecond ?? 0;
    const lastEnd = Math.max(...lengths.map((_, at) => (isOver(at) ? 0 : endOf(at))));
    const over: Waiting[] = [];
    const free = chord.flatMap((index, at) => {
      const own = lengths[at] as number;
      const ringingEnd = ringing.get(index);
      if (ringingEnd !== undefined) {
        write(index, onset, ringingEnd);
        return [];
      }
      const beatEnd = borderAfter(time, onset, onset);
      if (part.unpitched && !trilled.has(index) && own <= beatEnd - onset + STILL_IN_BEAT) {
        write(index, onset, Math.min(next ?? Infinity, beatEnd));
        return [];
      }
      if (isOver(at)) {
        over.push({ notes: [index], sounded: heldOver(index, place, own) });
        return [];
      }
      const isTogether =
        own > TOGETHER_SHARE * together ||
        (together - own) * secondsPerDivision < TOGETHER_SECONDS ||
        lastEnd - endOf(at) < TOGETHER_SECONDS;
      const held = isTogether ? together : own;
      if (next !== undefined && ringsThrough(index, onset, next, held)) {
        write(index, onset, next);
        return [];
      }
      return [{ index, held }];
    });
    const others = [...groupedBy(free, ({ held }) => held)].map(([held, group]) => {
      const notes = group.map(({ index }) => index);
      return { notes, sounded: soundedOf(notes, place, held) };
    });
    return [...over, ...others];
  }

  /**
   * Which note of a chord is a bass that the thumb plays and holds on a plucked instrument, over what the fingers strike next, where they let go of
   * the chord before that (common practice, no source: bass and chords of a guitar are two voices). Its place in the chord; undefined where none is.
   */
  function bassHeld(
    chord: readonly number[],
    lengths: readonly number[],
    whole: number | undefined,
  ): number | undefined {
    if (part.family !== 'plucked' || pedalled || chord.length < 2 || whole === undefined) return undefined;
    const midis = chord.map((index) => part.notes[index]?.midi ?? 60);
    const bass = midis.indexOf(Math.min(...midis));
    const held = lengths[bass] as number;
    const fingers = Math.max(...lengths.filter((_, at) => at !== bass));
    return fingers < whole && fingers < FINGERS_SHARE * held && held > whole ? bass : undefined;
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
    const limit = left ? Math.min(whole, borderAfter(time, onset, onset + held)) : whole;
    const nextFrom = (): number | undefined => next;
    const measuresTo = measuresOf(notes, onset, held, whole);
    return {
      ...placeOf(onset, Math.min(whole - onset, 3840), notes.length > 1 ? 'c' : ''),
      next,
      held,
      ways: waysOf(time, { onset, nextFrom, held, limit, measuresTo, chosen }),
    };
  }

  /** A note of another line than the next one of its staff: it ends with any of those that come later. */
  function heldOver(index: number, { onset, next, onsets, chosen }: ChordPlace, held: number): Sounded {
    const nextFrom = (end: number): number | undefined => onsets[firstReaching(onsets, (other) => other >= end)];
    const measuresTo = measuresOf([index], onset, held, time.end);
    return {
      ...placeOf(onset, (next ?? time.end) - onset, 'over'),
      next: nextFrom(onset + held),
      held,
      ways: waysOf(time, { onset, nextFrom, held, limit: time.end, measuresTo, chosen }),
    };
  }

  function placeOf(onset: number, whole: number, kind: string): Pick<Sounded, 'onset' | 'place' | 'figure'> {
    const cell = time.cells[cellIndexAtDivision(time, onset)];
    const bar = time.bars[cell?.barIndex ?? 0];
    return {
      onset,
      place: String(onset - (bar?.start ?? 0)),
      figure: `${String(onset - (cell?.start ?? 0))}:${String(whole)}:${kind}`,
    };
  }

  /** How the playing of notes struck together is measured by a value; `whole`: up to where they may sound. */
  function measuresOf(
    notes: readonly number[],
    onset: number,
    held: number,
    whole: number,
  ): (end: number) => readonly Measure[] {
    const onsetMs = msAt(onset);
    const heldMs = Math.min(heldMsOf(notes), MOST_LEGATO * (msAt(whole) - onsetMs));
    const msPerDivision = 1000 * secondsPerDivisionAt(onset);
    const clockMs = msPerDivision * Math.min(held, MOST_LEGATO * (whole - onset));
    return (end) => {
      const inTime = { heldMs, lengthMs: Math.max(1, msAt(end) - onsetMs) };
      return swings ? [inTime, { heldMs: clockMs, lengthMs: msPerDivision * (end - onset) }] : [inTime];
    };
  }

  function secondsPerDivisionAt(onset: number): number {
    const bar = time.bars[barIndexAtDivision(time, onset)];
    return (bar?.secondsPerQuarter ?? 0.5) / DIVISIONS_PER_QUARTER;
  }
}
