/** Which lines of the background stand on the upper staff and which on the lower: one search over the piece. */
import type { Line, LineNote } from './lines.ts';
import { rhythmOf } from './rhythm-units.ts';
import type { GridBar } from '../score-time/score-time.ts';

/** Costs of our own, tuned by reading scores: what makes two staves hard to play or to read. */
const EASY_SPAN = 12;
const WIDE_SPAN = 16;
const SPAN_COST = 0.6;
const WIDE_COST = 1;
const SHARED_PITCH_COST = 1.5;
const MOST_NOTES = 4;
const NOTE_COST = 1;
const RHYTHM_COST = 6;
const MOST_RHYTHMS = 2;
const LEDGER_COST = 1;
/**
 * What lies below C3 spans no hand: the bass of an ensemble stands under the rest wherever it sounds, a reader of the short score does not
 * play it with the chords (common practice, no source), and its depth may not draw a middle part to the upper staff.
 */
const BASS_BELOW = 48;
/** One of two staves is silent though there would be a line for each. */
const SILENT_STAFF_COST = 3;
/** Lowest pitch of the upper staff and highest of the lower one without a cost: G3, the lowest of a violin, and E4. */
const UPPER_FROM = 55;
const LOWER_TO = 64;
const MOVE_COST = 1;
const MOVING_LINE_COST = 1.5;
const TIED_MOVE_COST = 5;

/** Lines from the highest down. */
function sorted(lines: readonly Line[]): Line[] {
  return [...lines].sort((a, b) => b.centre - a.centre);
}

/** Cost of one hand that holds this many different pitches, from the lowest to the highest. */
function handCost(low: number, high: number, count: number): number {
  if (count === 0) return 0;
  const span = high - low;
  const beyond = Math.max(0, span - EASY_SPAN) * SPAN_COST + Math.max(0, span - WIDE_SPAN) * WIDE_COST;
  return beyond + Math.max(0, count - MOST_NOTES) * NOTE_COST;
}

/** Moments of a bar at which something starts, with the share of the bar until the next. */
function momentsOf(lines: readonly Line[], bar: GridBar): { readonly at: number; readonly share: number }[] {
  const places = [...new Set(lines.flatMap((line) => line.notes.map((note) => note.from)))].sort((a, b) => a - b);
  return places.map((at, index) => ({ at, share: ((places[index + 1] ?? bar.length) - at) / bar.length }));
}

/** Costs of the hand that takes the first 0, 1, 2 ... lines of a list, by their pitches at one moment. */
function growingHand(pitches: readonly (readonly number[])[]): number[] {
  let [low, high] = [Infinity, -Infinity];
  const held = new Set<number>();
  const costs = [0];
  for (const own of pitches) {
    for (const midi of own) {
      low = Math.min(low, Math.max(BASS_BELOW, midi));
      high = Math.max(high, midi);
      held.add(midi);
    }
    costs.push(handCost(low, high, held.size));
  }
  return costs;
}

/** For each cut, how many pitches sound on both sides of it. */
function sharedPitches(pitches: readonly (readonly number[])[]): number[] {
  const places = new Map<number, { readonly first: number; last: number }>();
  for (const [index, own] of pitches.entries()) {
    for (const midi of own) {
      const known = places.get(midi);
      if (known === undefined) places.set(midi, { first: index, last: index });
      else known.last = index;
    }
  }
  const shared = Array.from({ length: pitches.length + 1 }, () => 0);
  for (const { first, last } of places.values()) {
    for (let cut = first + 1; cut <= last; cut++) shared[cut] = (shared[cut] ?? 0) + 1;
  }
  return shared;
}

/** How many rhythms the first 0, 1, 2 ... of a list have beyond those that two voices hold. */
function extraRhythms(rhythms: readonly string[]): number[] {
  const seen = new Set<string>();
  return [0, ...rhythms.map((rhythm) => Math.max(0, seen.add(rhythm).size - MOST_RHYTHMS))];
}

/** By the note of a line that lies farthest from the staff: one low note of a figure is enough to want another clef. */
function ledgerCost({ notes }: Line, staff: 'upper' | 'lower'): number {
  const beyond = notes.map(({ midi }) => (staff === 'upper' ? UPPER_FROM - midi : midi - LOWER_TO));
  return Math.max(0, ...beyond) * LEDGER_COST;
}

/** What sounds of a note: a bass is as deep as it sounds, wherever it is written. */
function lowestOf({ midi, sounds }: LineNote): number {
  return sounds === undefined ? midi : Math.min(...sounds);
}

/** From a third ledger line on, on the side of the other staff. */
const THIRD_LEDGER = 3;

/** Whether a line leaves its staff so far that its ledger lines are counted rather than seen. */
export function isOffStaff(line: Line, staff: 'upper' | 'lower'): boolean {
  return ledgerCost(line, staff) >= THIRD_LEDGER * LEDGER_COST;
}

/** Cost of each cut: the first `cut` lines from the top stand on the upper staff. Of one staff, only all or none of them do. */
function cutCosts(lines: readonly Line[], bar: GridBar, staves: 1 | 2): number[] {
  const count = lines.length;
  const rhythms = lines.map(rhythmOf);
  const above = extraRhythms(rhythms);
  const below = extraRhythms([...rhythms].reverse());
  const costs = Array.from({ length: count + 1 }, (_, cut) => {
    const off = lines.reduce((sum, line, index) => sum + ledgerCost(line, index < cut ? 'upper' : 'lower'), 0);
    const isWhole = cut === 0 || cut === count;
    if (staves === 1 && !isWhole) return Infinity;
    const silent = count > 1 && isWhole && staves === 2 ? SILENT_STAFF_COST : 0;
    return silent + off + ((above[cut] ?? 0) + (below[count - cut] ?? 0)) * RHYTHM_COST;
  });
  for (const { at, share } of momentsOf(lines, bar)) {
    const pitches = lines.map(({ notes }) =>
      notes.flatMap((note) => (note.from <= at && note.to > at && note.isAdded !== true ? [lowestOf(note)] : [])),
    );
    const upper = growingHand(pitches);
    const lower = growingHand([...pitches].reverse());
    const shared = sharedPitches(pitches);
    for (let cut = 0; cut <= count; cut++) {
      const hands = (upper[cut] ?? 0) + (lower[count - cut] ?? 0) + (shared[cut] ?? 0) * SHARED_PITCH_COST;
      costs[cut] = (costs[cut] ?? 0) + share * hands;
    }
  }
  return costs;
}

/**
 * What it costs that lines change their staff from one bar to the next, by the cuts of both bars: a table with a row for each cut before. A line
 * changes where it was above the cut and is not, or the other way round: what was above, and what is, less twice what was and is. The costs are
 * halves, whose sums are the same in any order.
 */
function moveCosts(
  before: ReadonlyMap<string, number>,
  lines: readonly Line[],
): (cutBefore: number, cut: number) => number {
  const [rows, columns] = [before.size + 1, lines.length + 1];
  const wasAbove = new Float64Array(rows);
  const isAbove = new Float64Array(columns);
  const both = new Float64Array(rows * columns);
  for (const [place, line] of lines.entries()) {
    const placeBefore = before.get(line.key);
    if (placeBefore === undefined) continue;
    const isTied = line.notes.some((note) => note.continues);
    const cost = isTied ? TIED_MOVE_COST : line.notes.length > 1 ? MOVING_LINE_COST : MOVE_COST;
    for (let cutBefore = placeBefore + 1; cutBefore < rows; cutBefore++) {
      wasAbove[cutBefore] = (wasAbove[cutBefore] ?? 0) + cost;
      for (let cut = place + 1; cut < columns; cut++) {
        both[cutBefore * columns + cut] = (both[cutBefore * columns + cut] ?? 0) + cost;
      }
    }
    for (let cut = place + 1; cut < columns; cut++) isAbove[cut] = (isAbove[cut] ?? 0) + cost;
  }
  return (cutBefore, cut) =>
    (wasAbove[cutBefore] ?? 0) + (isAbove[cut] ?? 0) - 2 * (both[cutBefore * columns + cut] ?? 0);
}

export interface SplitBar {
  readonly upper: readonly Line[];
  readonly lower: readonly Line[];
}

export interface Split {
  readonly split: readonly SplitBar[];
  readonly cost: number;
}

/**
 * Lines of the background by bar index, from the highest down, on two staves, and what that costs. On one staff all lines of a bar are its upper
 * ones, as in the treble clef, or its lower ones.
 */
export function searchSplit(lines: readonly (readonly Line[])[], bars: readonly GridBar[], staves: 1 | 2): Split {
  const inOrder = lines.map(sorted);
  const choices: number[][] = [];
  let before = new Map<string, number>();
  let costsBefore: readonly number[] = [0];
  for (const [index, here] of inOrder.entries()) {
    const bar = bars[index];
    if (bar === undefined) break;
    const own = cutCosts(here, bar, staves);
    const from: number[] = [];
    const moveCost = moveCosts(before, here);
    const costs = own.map((cost, cut) => {
      let least = Infinity;
      for (const [cutBefore, costBefore] of costsBefore.entries()) {
        const total = costBefore + moveCost(cutBefore, cut);
        if (total < least) {
          least = total;
          from[cut] = cutBefore;
        }
      }
      return least + cost;
    });
    choices.push(from);
    before = new Map(here.map((line, place) => [line.key, place]));
    costsBefore = costs;
  }
  const cost = Math.min(...costsBefore);
  let cut = costsBefore.indexOf(cost);
  const split: SplitBar[] = [];
  for (let index = choices.length - 1; index >= 0; index--) {
    const here = inOrder[index] ?? [];
    split[index] = { upper: here.slice(0, cut), lower: here.slice(cut) };
    cut = choices[index]?.[cut] ?? 0;
  }
  return { split, cost };
}

/** The line that is the lowest for most of the bar, what doubles it below counted: the bass. */
export function bassOf(lines: readonly Line[]): Line | undefined {
  let bass: Line | undefined;
  let longest = 0;
  for (const line of lines) {
    const time = line.notes.reduce((sum, note) => {
      const isLowest = lines.every((other) =>
        other.notes.every(
          (below) =>
            below.midi + other.depth >= note.midi + line.depth || below.from >= note.to || below.to <= note.from,
        ),
      );
      return isLowest ? sum + note.to - note.from : sum;
    }, 0);
    if (time > longest) {
      longest = time;
      bass = line;
    }
  }
  return bass ?? lines.at(-1);
}
