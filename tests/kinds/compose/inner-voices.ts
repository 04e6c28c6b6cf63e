/**
 * Inner voices between a tune and a bass that are both written by hand: for each chord the tones that move least, with its third, without
 * parallel fifths, octaves or crossings, leading notes and sevenths led home. Places are quarters from bar 1.
 */
import { Chord, Note } from 'tonal';
import type { ChordSpan } from './harmony.ts';
import type { Line } from './compose.ts';
import type { Written } from '../write/shorthand.ts';

/** Lowest and highest key of a voice. */
export type Compass = readonly [low: number, high: number];

const CLOSE = 1e-6;
const STATES_KEPT = 80;

interface Slot extends ChordSpan {
  readonly chromas: readonly number[];
  readonly names: readonly string[];
  readonly topStart: number | undefined;
  readonly topEnd: number | undefined;
  readonly bassStart: number | undefined;
  readonly bassEnd: number | undefined;
  /** First and last keys of the voices that are there already. */
  readonly others: readonly (readonly [number, number] | undefined)[];
  readonly ceiling: number;
  readonly floor: number;
}

interface State {
  readonly keys: readonly number[];
  readonly cost: number;
  readonly before: State | undefined;
}

function soundingIn(line: Line, from: number, to: number): Written[] {
  return line.filter((note) => note.start < to - CLOSE && note.start + note.length > from + CLOSE);
}

function slotOf(span: ChordSpan, top: Line, bass: Line, others: readonly Line[]): Slot {
  const { notes: names } = Chord.get(span.symbol.split('/')[0] ?? '');
  if (names.length === 0) throw new Error(`not a chord: ${span.symbol}`);
  const tops = soundingIn(top, span.start, span.start + span.length);
  const lows = soundingIn(bass, span.start, span.start + span.length);
  return {
    ...span,
    names,
    chromas: names.map((name) => Note.chroma(name)),
    topStart: tops[0]?.midi,
    topEnd: tops.at(-1)?.midi,
    bassStart: lows[0]?.midi,
    bassEnd: lows.at(-1)?.midi,
    others: others.map((line) => {
      const own = soundingIn(line, span.start, span.start + span.length);
      const [first, last] = [own[0], own.at(-1)];
      return first === undefined || last === undefined ? undefined : ([first.midi, last.midi] as const);
    }),
    ceiling: Math.min(127, ...tops.map(({ midi }) => midi)),
    floor: Math.max(0, ...lows.map(({ midi }) => midi)),
  };
}

function settings(slot: Slot, compasses: readonly Compass[]): number[][] {
  let partial: number[][] = [[]];
  for (const [low, high] of compasses) {
    partial = partial.flatMap((keys) => {
      const above = keys.at(-1) ?? slot.ceiling;
      const made: number[][] = [];
      for (let key = Math.max(low, slot.floor); key <= Math.min(high, above); key++) {
        const isClose = keys.length === 0 || above - key <= 12;
        if (isClose && slot.chromas.includes(key % 12)) made.push([...keys, key]);
      }
      return made;
    });
  }
  return partial;
}

/** What a setting costs by itself: missing third or seventh, doubled leading note or seventh, unisons. */
function ownCost(slot: Slot, keys: readonly number[]): number {
  const [root = 0, third = 0, fifth = 0, seventh] = slot.chromas;
  const all = [slot.topStart, ...keys, slot.bassStart].filter((key) => key !== undefined).map((key) => key % 12);
  const count = (chroma: number): number => all.filter((each) => each === chroma).length;
  let cost = 0;
  if (count(third) === 0) cost += 60;
  if (count(root) === 0) cost += 40;
  if (count(fifth) === 0) cost += 6;
  if (count(third) > 1) cost += seventh === undefined ? 3 : 25;
  if (seventh !== undefined) cost += count(seventh) === 0 ? 30 : 25 * (count(seventh) - 1);
  keys.forEach((key, index) => {
    const above = keys[index - 1] ?? slot.topStart;
    if (above === key) cost += 12;
    if (above !== undefined && above - key > 12) cost += 2;
    if (above !== undefined && above - key === 1) cost += 8;
  });
  return cost;
}

/** What it costs to go from one setting to the next: steps, parallels, a leading note or a seventh left hanging. */
function stepCost(before: Slot, from: readonly number[], after: Slot, to: readonly number[]): number {
  let cost = 0;
  const old = [before.topEnd, ...from, before.bassEnd, ...before.others.map((each) => each?.[1])];
  const now = [after.topStart, ...to, after.bassStart, ...after.others.map((each) => each?.[0])];
  const voices = from.length + 2;
  from.forEach((key, index) => {
    const size = Math.abs((to[index] ?? key) - key);
    cost += size + (size > 5 ? 6 : 0) + (size > 9 ? 20 : 0) + (size === 6 ? 10 : 0);
  });
  for (let high = 0; high < old.length; high++) {
    for (let low = high + 1; low < old.length; low++) {
      const [a, b, c, d] = [old[high], old[low], now[high], now[low]];
      if (a === undefined || b === undefined || c === undefined || d === undefined) continue;
      const isPerfect = Math.abs(a - b) % 12 === Math.abs(c - d) % 12 && [0, 7].includes(Math.abs(c - d) % 12);
      if (isPerfect && a !== c && b !== d) cost += 90;
      // A voice that goes beyond where its neighbour has just been.
      if (low === high + 1 && low < voices && (c < b || d > a)) cost += 10;
    }
  }
  const isHome = (after.chromas[0] ?? 0) === ((before.chromas[0] ?? 0) + 5) % 12;
  const [, third = -1, , seventh = -1] = before.chromas;
  const isMajor = (third - (before.chromas[0] ?? 0) + 12) % 12 === 4;
  from.forEach((key, index) => {
    const next = to[index] ?? key;
    if (isHome && isMajor && key % 12 === third && next - key !== 1 && next !== key) cost += 9;
    if (key % 12 === seventh && ![0, 1, 2].includes(key - next)) cost += 14;
  });
  return cost;
}

/** One line a compass, from the highest down, a note a chord; nor do they run parallel with `others` that sound already. */
export function innerVoices(
  spans: readonly ChordSpan[],
  top: Line,
  bass: Line,
  compasses: readonly Compass[],
  others: readonly Line[] = [],
): Written[][] {
  const slots = spans.map((span) => slotOf(span, top, bass, others));
  let states: State[] = [];
  slots.forEach((slot, index) => {
    const before = slots[index - 1];
    const own = settings(slot, compasses).map((keys) => ({ keys, cost: ownCost(slot, keys) }));
    if (own.length === 0) throw new Error(`no setting of ${slot.symbol} in bar ${String(slot.bar)}`);
    const reached = own.map(({ keys, cost }): State => {
      if (before === undefined) return { keys, cost, before: undefined };
      let best: State = { keys, cost: Infinity, before: undefined };
      for (const state of states) {
        const sum = state.cost + cost + stepCost(before, state.keys, slot, keys);
        if (sum < best.cost) best = { keys, cost: sum, before: state };
      }
      return best;
    });
    states = reached.sort((a, b) => a.cost - b.cost).slice(0, STATES_KEPT);
  });
  const chosen: (readonly number[])[] = [];
  for (let state = states[0]; state !== undefined; state = state.before) chosen.unshift(state.keys);
  return compasses.map((_, voice) =>
    slots.map(({ start, length, bar, names }, index) => {
      const midi = chosen[index]?.[voice] ?? 60;
      const name = names.find((each) => Note.chroma(each) === midi % 12) ?? 'C';
      const octave = [-1, 0, 1].find((shift) => Note.midi(name + String(Math.floor(midi / 12) - 1 + shift)) === midi);
      const pitch = name + String(Math.floor(midi / 12) - 1 + (octave ?? 0));
      return { start, length, midi, pitch, bar, short: false, stressed: false };
    }),
  );
}
