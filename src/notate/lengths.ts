/**
 * Written lengths of a part's notes. A length is read from the time to the next onset rather than from key-up alone: players hold about
 * 0.5 to 0.9 of a value, and legato overlaps it. Only where the key is clearly let go early is a shorter value and a rest written.
 */
import type { Part } from '../model/arrangement.ts';
import type { Timeline } from '../model/timeline.ts';
import { quartersAt } from '../model/timeline.ts';
import { DIVISIONS_PER_QUARTER } from '../model/written.ts';
import type { PartGrid } from './grid.ts';
import type { ScoreTime } from './score-time.ts';
import { SHORTEST, cellIndexAtDivision } from './score-time.ts';
import type { Subdivision } from './subdivisions.ts';
import { plainSubdivision } from './subdivisions.ts';

const PEDALLED_PLUCKED = new Set(['harp']);
const STRUCK_FAMILIES = new Set<Part['family']>(['percussion', 'plucked']);
const SUSTAINED_FAMILIES = new Set<Part['family']>(['strings', 'woodwind', 'brass', 'voice']);
const STRUCK_WORDS = /pizz|col legno|battuto/;
/** A key held for less of the time to the next note than this was struck and left, whatever the instrument. */
const LEFT_AT_ONCE = 0.25;
/** Bow and breath hold their notes: a silence of more than half a beat is meant, and leaving out its rest costs this for every beat. */
const UNWRITTEN_SILENCE = 0.5;
const BREATH_BEATS = 0.5;
/** In a part that joins its notes a silence is meant sooner: from so many quarters on, at this cost for each. */
const JOINED_BREATH_QUARTERS = 0.15;
const JOINED_SILENCE = 1;
/** Notes that fill the time to the next onset to this share, or all but this time; how many of them make a part that joins its notes. */
const JOINED_RATIO = 0.93;
const JOINED_SECONDS = 0.03;
const JOINED_SHARE = 0.75;
const FEWEST_JOINTS = 8;
/** Shorter and longer intervals than these say nothing of joining, in seconds. */
const SHORTEST_JOINT_SECONDS = 0.25;
const LONGEST_JOINT_SECONDS = 2.5;
/** A key may be lifted earlier than a bow; but a whole beat of silence is heard as a rest on any instrument. */
const LIFTED_BEATS = 1;
const BREATH_SECONDS = 0.3;
/** A note that sounds on over this much of the next one, and longer than any legato, is meant to be held. */
const HELD_SHARE = 0.35;
const LEGATO_SECONDS = 0.12;
const LATER_THAN_WRITTEN = 3;
const REST_COST = 0.2;
/** A part whose key-ups nearly all lie on the grid was entered or quantised, not played: there they mean what they say. */
const EXACT_DIVISIONS = 6;
const EXACT_SHARE = 0.7;
const EXACT_BONUS = 0.5;

function isExact(held: number): boolean {
  return [60, 80].some((step) => Math.abs(held - Math.max(1, Math.round(held / step)) * step) <= EXACT_DIVISIONS);
}

/** The pedal writes on what the hand lets go, but not over a beat in which the hand has nothing to do. */
const MOST_PEDALLED_BEATS = 0.75;

/** How a note is made: it dies away by itself, or lasts as long as it is played. */
type Touch = 'struck' | 'sustained' | 'other';

function touchesOf(part: Part): readonly Touch[] {
  return part.tracks.map((track) => {
    if (STRUCK_FAMILIES.has(part.family) || STRUCK_WORDS.test(track.articulation)) return 'struck';
    return SUSTAINED_FAMILIES.has(part.family) ? 'sustained' : 'other';
  });
}

/** Whether a line is played without gaps wherever it goes on to another key, so that its gaps are breaths or rests. */
function joinsNotes({ notes }: Part): boolean {
  let joints = 0;
  let joined = 0;
  for (let index = 0; index + 1 < notes.length; index++) {
    const here = notes[index];
    const next = notes[index + 1];
    if (here === undefined || next === undefined || here.midi === next.midi) continue;
    const interval = next.startSecond - here.startSecond;
    if (interval < SHORTEST_JOINT_SECONDS || interval > LONGEST_JOINT_SECONDS) continue;
    const held = here.endSecond - here.startSecond;
    joints++;
    if (held >= JOINED_RATIO * interval || interval - held <= JOINED_SECONDS) joined++;
  }
  return joints >= FEWEST_JOINTS && joined >= JOINED_SHARE * joints;
}

interface Ending {
  readonly end: number;
  readonly cost: number;
}

/** Places where a note may end near `target`: cell borders, the slots of the cell's own subdivision, and later onsets. */
function endingsNear(
  time: ScoreTime,
  chosenBy: ReadonlyMap<number, Subdivision> | undefined,
  onset: number,
  target: number,
): Ending[] {
  const found: Ending[] = [];
  const middle = cellIndexAtDivision(time, Math.max(onset, Math.min(target, time.end - 1)));
  for (let index = middle - 1; index <= middle + 1; index++) {
    const cell = time.cells[index];
    if (cell === undefined) continue;
    const chosen = chosenBy?.get(index);
    // A cell with nothing but a note on the beat says nothing about where that note may end.
    const slots = chosen === undefined || chosen.slots.length <= 2 ? plainSubdivision(cell.length) : chosen.slots;
    for (const slot of slots) {
      const end = cell.start + slot;
      if (end <= onset) continue;
      const onBeat = slot === 0 || slot === cell.length;
      found.push({
        end,
        cost: onBeat ? 0 : 0.04 + (0.06 * 120) / Math.max(30, slot % 240 === 0 ? 240 : slot % 120 === 0 ? 120 : 60),
      });
    }
  }
  return found;
}

/** Cost of writing `length` for a key held for `held`: playing short of a value is usual, playing past it is not. */
function articulationCost(held: number, length: number): number {
  const ratio = held / length;
  return ratio > 1.05 ? (ratio - 1.05) * LATER_THAN_WRITTEN : 1.4 * Math.max(0, 0.85 - ratio) ** 2;
}

/** A rest after a short value clutters more than after a long one. */
function restCost(interval: number): number {
  if (interval <= 120) return 4;
  if (interval <= 160) return 1.2;
  return interval <= 240 ? 0.55 : REST_COST;
}

function bestEnding(
  endings: readonly Ending[],
  onset: number,
  held: number,
  costOf: (ending: Ending) => number,
): number {
  let best = onset + Math.max(SHORTEST, Math.round(held / SHORTEST) * SHORTEST);
  let least = Infinity;
  for (const ending of endings) {
    const cost = costOf(ending);
    if (cost < least) {
      least = cost;
      best = ending.end;
    }
  }
  return best;
}

/** A note that is not held over the next one. */
interface Ringing {
  readonly staff: number;
  readonly onset: number;
  /** The next onset on its staff. */
  readonly next: number | undefined;
  /** How long the key is down, and how long the sound lasts, in divisions. */
  readonly held: number;
  readonly ringing: number;
  readonly touch: Touch;
  readonly secondsPerDivision: number;
}

function beatLength(time: ScoreTime, onset: number): number {
  return time.cells[cellIndexAtDivision(time, onset)]?.length ?? DIVISIONS_PER_QUARTER;
}

/** First beat border after an onset that is not before `from`. */
function borderAfter(time: ScoreTime, onset: number, from: number): number {
  for (let index = cellIndexAtDivision(time, onset); index < time.cells.length; index++) {
    const cell = time.cells[index];
    const border = (cell?.start ?? 0) + (cell?.length ?? 0);
    if (border > onset && border >= from) return border;
  }
  return time.end;
}

export interface LengthInput {
  readonly part: Part;
  readonly grid: PartGrid;
  readonly timeline: Timeline;
  readonly time: ScoreTime;
}

/** Written ends in divisions, one for each of the part's notes: after the onset, at most the end of the last bar. */
export function endsOf({ part, grid, timeline, time }: LengthInput): number[] {
  const ends: number[] = part.notes.map((_, index) => (grid.onsets[index] ?? 0) + SHORTEST);
  const { unwritten, shakes } = grid.ornaments;
  // A trill is one note that lasts until its last stroke ends.
  const shaken = new Map<number, number>();
  for (const { main, partner, endSecond } of shakes) {
    for (const note of [main, partner ?? main]) shaken.set(note, quartersAt(timeline, endSecond));
  }
  const exactCount = part.notes.filter((_, index) => isExact(heldOf(index))).length;
  const entered = part.notes.length >= 8 && exactCount >= EXACT_SHARE * part.notes.length;
  const touches = touchesOf(part);
  const joins = STRUCK_FAMILIES.has(part.family) ? false : joinsNotes(part);
  const pedalled = part.family === 'keyboard' || PEDALLED_PLUCKED.has(part.instrument);
  for (const staff of [1, 2]) {
    const indices = part.notes
      .map((_, index) => index)
      .filter((index) => grid.staves[index] === staff && !unwritten.has(index));
    indices.sort((a, b) => (grid.onsets[a] ?? 0) - (grid.onsets[b] ?? 0));
    writeStaff(indices, staff);
  }
  return ends;

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
    for (let from = 0; from < indices.length;) {
      const onset = grid.onsets[indices[from] ?? 0] ?? 0;
      let to = from;
      while (to < indices.length && grid.onsets[indices[to] ?? 0] === onset) to++;
      const chord = indices.slice(from, to);
      const following = indices[to];
      const next = following === undefined ? undefined : grid.onsets[following];
      writeChord(chord, staff, onset, next, following);
      from = to;
    }
  }

  function writeChord(
    chord: readonly number[],
    staff: number,
    onset: number,
    next: number | undefined,
    following: number | undefined,
  ): void {
    const cell = time.cells[cellIndexAtDivision(time, onset)];
    const secondsPerDivision = (time.bars[cell?.barIndex ?? 0]?.secondsPerQuarter ?? 0.5) / DIVISIONS_PER_QUARTER;
    const isHeld = (index: number): boolean => {
      if (next === undefined || following === undefined) return false;
      const over = heldOf(index) - (next - onset);
      return (
        over * secondsPerDivision > LEGATO_SECONDS && over > HELD_SHARE * Math.min(heldOf(index), heldOf(following))
      );
    };
    const short = chord.filter((index) => !isHeld(index));
    // Notes struck together and let go one after another are one chord: the longest speaks for all.
    const together = short.reduce((most, index) => Math.max(most, heldOf(index)), 0);
    for (const index of chord) {
      const end = isHeld(index)
        ? heldEnd(staff, onset, heldOf(index))
        : plainEnd({
            staff,
            onset,
            next,
            held: heldOf(index) > 0.7 * together ? together : heldOf(index),
            ringing: soundingOf(index),
            touch: touches[part.notes[index]?.trackIndex ?? 0] ?? 'other',
            secondsPerDivision,
          });
      ends[index] = Math.max(onset + SHORTEST, Math.min(end, time.end));
    }
  }

  function heldEnd(staff: number, onset: number, held: number): number {
    const endings = endingsNear(time, grid.chosen[staff - 1], onset, onset + held);
    return bestEnding(endings, onset, held, ({ end, cost }) => Math.abs(end - onset - held) / 480 + cost);
  }

  function plainEnd({ staff, onset, next, held, ringing, touch, secondsPerDivision }: Ringing): number {
    const whole = next ?? time.end;
    const interval = whole - onset;
    const silence = (whole - onset - held) / beatLength(time, onset);
    const isRinging = ringing >= 0.9 * interval;
    if (next !== undefined && isRinging && silence < MOST_PEDALLED_BEATS) return next;
    const left = touch === 'struck' || held < LEFT_AT_ONCE * interval;
    const limit = left ? Math.min(whole, borderAfter(time, onset, onset + 0.9 * held)) : whole;
    const shown = Math.min(held, interval);
    const endings = endingsNear(time, grid.chosen[staff - 1], onset, onset + shown).filter(({ end }) => end < limit);
    endings.push({ end: limit, cost: next === undefined && limit === whole ? 0.05 : 0 });
    const quarters = (whole - onset - held) / DIVISIONS_PER_QUARTER;
    const rests =
      joins && touch === 'sustained'
        ? JOINED_SILENCE * Math.max(0, quarters - JOINED_BREATH_QUARTERS)
        : UNWRITTEN_SILENCE * Math.max(0, silence - (touch === 'sustained' || isRinging ? BREATH_BEATS : LIFTED_BEATS));
    const unwritten = (whole - onset - held) * secondsPerDivision > BREATH_SECONDS ? rests : 0;
    return bestEnding(endings, onset, held, ({ end, cost }) => {
      const silent = end < whole ? (next === undefined ? 0 : restCost(interval)) : unwritten;
      const bonus = entered && Math.abs(held - (end - onset)) <= EXACT_DIVISIONS ? EXACT_BONUS : 0;
      return articulationCost(held, end - onset) + cost + silent - bonus;
    });
  }
}
