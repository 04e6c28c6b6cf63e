/** How the lines of a staff share two voices: by search over all ways, ties and crossings weighed against what is lost. */
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';
import { canBeWritten } from '../note-values/tuplets.ts';
import type { Line, LineNote } from './lines.ts';
import type { Unit } from './rhythm-units.ts';
import type { GridBar } from '../score-time/score-time.ts';

/** Offsets at which anything starts or ends, bar lines included. */
export function bordersOf(lines: readonly Line[], bar: GridBar): number[] {
  const borders = new Set<number>([0, bar.length]);
  for (const line of lines) {
    for (const note of line.notes) {
      borders.add(note.from);
      borders.add(note.to);
    }
  }
  return [...borders].sort((a, b) => a - b);
}

/** Heads that would be tied inside the bar if the lines shared a voice: every border strictly inside a note costs one. */
function tiesInside(lines: readonly Line[], borders: readonly number[]): number {
  let ties = 0;
  for (const line of lines) {
    for (const note of line.notes) {
      for (const border of borders) if (border > note.from && border < note.to) ties++;
    }
  }
  return ties;
}

/** Costs of our own for two voices on a staff, tuned by reading scores. */
const SECOND_VOICE_COST = 0.5;
const CROSSING_COST = 1;
const MERGE_COST = 1;
/** Of each pitch of a pad whose chord the other voice strikes with it: the heads cannot be one and stand side by side, and the pad adds no note. */
const DOUBLE_HEAD_COST = 2.5;
const STRAY_LEADER_COST = 0.25;
/** Of a note left out: for itself, for each quarter of its length, and again for each quarter where nothing else has its tone. */
const LOST_NOTE_COST = 0.8;
const LOST_LENGTH_COST = 0.35;
const LOST_TONE_COST = 0.7;
const LEAST_LOSS = 1.5;
/** The highest and the lowest note that sound are not left out for the sake of a clean page. */
const LOST_OUTER_COST = 60;
/** More re-tied heads than this in a bar make a harmony unreadable. */
const MOST_TIES = 3;
const EXTRA_TIE_COST = 3;
const MOST_UNITS = 6;

/** Whether anything in these lines sounds the tone of a note, in any octave, while it lasts. */
function isHeardIn(lines: readonly Line[], note: LineNote): boolean {
  return lines.some((line) =>
    line.notes.some((other) => (other.midi - note.midi) % 12 === 0 && other.from < note.to && other.to > note.from),
  );
}

/** How much is lost with notes, each with whether its tone is heard elsewhere. */
function lossOf(notes: readonly LineNote[], isHeard: (index: number, note: LineNote) => boolean): number {
  let cost = 0;
  for (const [index, note] of notes.entries()) {
    const quarters = (note.to - note.from) / DIVISIONS_PER_QUARTER;
    if (note.isOuter === true) cost += LOST_OUTER_COST;
    cost += LOST_NOTE_COST + quarters * (LOST_LENGTH_COST + (isHeard(index, note) ? 0 : LOST_TONE_COST));
  }
  return Math.max(LEAST_LOSS, cost);
}

function notesOf(unit: Unit): readonly LineNote[] {
  return unit.lines.flatMap((line) => line.notes);
}

function voiceCost(units: readonly Unit[], bar: GridBar): number {
  if (units.length < 2) return 0;
  const lines = units.flatMap((unit) => unit.lines);
  const borders = bordersOf(lines, bar);
  if (!canBeWritten(bar, borders)) return Infinity;
  const ties = tiesInside(lines, borders);
  return ties + Math.max(0, ties - MOST_TIES) * EXTRA_TIE_COST + (units.length - 1) * MERGE_COST;
}

/** 0 and 1: upper and lower voice; 2: left out. */
type Slot = 0 | 1 | 2;

interface Choice {
  readonly slots: readonly Slot[];
  readonly cost: number;
}

/** Cost of a set of units in one voice, a bit for each; every set is weighed once. */
function voiceCosts(units: readonly Unit[], bar: GridBar): (bits: number) => number {
  const known = new Map<number, number>();
  return (bits) => {
    const before = known.get(bits);
    if (before !== undefined) return before;
    const cost = voiceCost(
      units.filter((_, index) => (bits & (1 << index)) !== 0),
      bar,
    );
    known.set(bits, cost);
    return cost;
  };
}

/** What leaving a unit out costs, by the bits of the units that are kept; found once for each set of them. */
function lossesOf(unit: Unit, units: readonly Unit[]): (kept: number) => number {
  const notes = notesOf(unit);
  const heardIn = notes.map((note) =>
    units.reduce((bits, other, index) => (isHeardIn(other.lines, note) ? bits | (1 << index) : bits), 0),
  );
  const known: (number | undefined)[] = [];
  return (kept) => (known[kept] ??= lossOf(notes, (index) => ((heardIn[index] ?? 0) & kept) !== 0));
}

/** Lines of one unit that lie under lines of another, each with each. */
function crossings(above: Unit, below: Unit): number {
  let count = 0;
  for (const upper of above.lines) for (const lower of below.lines) if (upper.centre < lower.centre) count++;
  return count;
}

/** Values whose heads one head can stand for: black, and without a dot. */
const PLAIN_BLACK: ReadonlySet<number> = new Set(
  [1, 0.5, 0.25, 0.125].map((quarters) => quarters * DIVISIONS_PER_QUARTER),
);

function isBesideIts(own: LineNote, other: LineNote): boolean {
  if (own.midi !== other.midi || own.from !== other.from || own.to === other.to) return false;
  return ![own, other].every(({ from, to }) => PLAIN_BLACK.has(to - from));
}

/** A pad has a chord; two players who begin on one pitch have two lines. */
const FEWEST_OF_A_PAD = 3;
const PAD_SHARE = 0.75;

/** Pitches that stand twice at once where two units are in two voices and one of them is a pad: most of what it has, the other strikes with it. */
function doubleHeads(one: Unit, other: Unit): number {
  const [own, others] = [notesOf(one), notesOf(other)];
  const twice = own.filter((note) => others.some((beside) => isBesideIts(note, beside))).length;
  return twice >= FEWEST_OF_A_PAD && twice >= PAD_SHARE * Math.min(own.length, others.length) ? twice : 0;
}

/** What is lost with units that are left out, and what crossing of the two voices costs, added to `cost`. */
function lossesAndCrossings(units: readonly Unit[]): (upper: number, lower: number, cost: number) => number {
  const losses = units.map((unit) => lossesOf(unit, units));
  const crossed = units.map((above) =>
    units.map((below) => CROSSING_COST * crossings(above, below) + DOUBLE_HEAD_COST * doubleHeads(above, below)),
  );
  return (upper, lower, cost) => {
    const kept = upper | lower;
    let sum = cost;
    for (let index = 0; index < units.length; index++) {
      if ((kept & (1 << index)) === 0) sum += losses[index]?.(kept) ?? 0;
    }
    for (let above = 0; above < units.length; above++) {
      if ((upper & (1 << above)) === 0) continue;
      for (let below = 0; below < units.length; below++) {
        if ((lower & (1 << below)) !== 0) sum += crossed[above]?.[below] ?? 0;
      }
    }
    return sum;
  };
}

export interface TwoVoices {
  /** Lines of the upper and of the lower voice; either may be empty. */
  readonly voices: readonly [readonly Line[], readonly Line[]];
  /** Voice of the leader. */
  readonly principal: 0 | 1;
  readonly refused: readonly Line[];
}

/** Best of all ways to bring units into two voices; the unit at `principal` is not left out, and alone it stands in the voice `own`. */
function choose(units: readonly Unit[], principal: number, own: 0 | 1, bar: GridBar): Choice {
  let best: Choice = { slots: units.map((_, index) => (index === principal ? own : 2)), cost: Infinity };
  const slots: Slot[] = units.map(() => own);
  const costOfVoice = voiceCosts(units, bar);
  const withLosses = lossesAndCrossings(units);
  const visit = (index: number, upper: number, lower: number): void => {
    if (index === units.length) {
      const second = upper !== 0 && lower !== 0 ? SECOND_VOICE_COST : 0;
      const voices = costOfVoice(upper) + costOfVoice(lower);
      if (second + voices >= best.cost) return;
      const cost = withLosses(upper, lower, second) + voices + (slots[principal] === own ? 0 : STRAY_LEADER_COST);
      if (cost < best.cost) best = { slots: [...slots], cost };
      return;
    }
    const bit = 1 << index;
    const other = own === 0 ? 1 : 0;
    for (const slot of index === principal ? ([own, other] as const) : ([own, other, 2] as const)) {
      slots[index] = slot;
      visit(index + 1, slot === 0 ? upper | bit : upper, slot === 1 ? lower | bit : lower);
    }
  };
  visit(0, 0, 0);
  return best;
}

/** The units worth most; of too many different rhythms the rest is left out. */
function fewUnits(units: readonly Unit[], principal: Unit | undefined): { kept: Unit[]; refused: Unit[] } {
  if (units.length <= MOST_UNITS) return { kept: [...units], refused: [] };
  const worth = new Map(
    units.map((unit) => {
      const others = units.flatMap((other) => (other === unit ? [] : other.lines));
      return [unit, lossOf(notesOf(unit), (_, note) => isHeardIn(others, note))] as const;
    }),
  );
  const byWorth = [...units].sort((a, b) => (worth.get(b) ?? 0) - (worth.get(a) ?? 0));
  const chosen = new Set(byWorth.filter((unit) => unit !== principal).slice(0, MOST_UNITS - 1));
  return {
    kept: units.filter((unit) => unit === principal || chosen.has(unit)),
    refused: units.filter((unit) => unit !== principal && !chosen.has(unit)),
  };
}

/**
 * Brings units of lines into two voices. The unit of `leader` is kept, alone in the voice `own`; of the others what would make the staff
 * unreadable is refused, what is heard elsewhere first.
 */
export function twoVoices(units: readonly Unit[], leader: Line | undefined, own: 0 | 1, bar: GridBar): TwoVoices {
  const isLeading = (unit: Unit): boolean => leader !== undefined && unit.lines.includes(leader);
  const { kept, refused } = fewUnits(units, units.find(isLeading));
  const place = Math.max(0, kept.findIndex(isLeading));
  const { slots } = choose(kept, place, own, bar);
  const linesOf = (slot: Slot): Line[] => kept.flatMap((unit, index) => (slots[index] === slot ? unit.lines : []));
  const principal = slots[place] === 1 ? 1 : 0;
  return {
    voices: [linesOf(0), linesOf(1)],
    principal,
    refused: [...refused.flatMap((unit) => unit.lines), ...linesOf(2)],
  };
}
