/** Parts that move together: in unison, octaves, thirds or sixths. */
import type { Doubling } from '../../model/readings/readings.ts';
import type { Timeline } from '../../model/music/timeline.ts';
import { barIndexAt } from '../../model/music/timeline.ts';
import type { PlacedPart } from '../placed-notes/placed-notes.ts';

/** Who doubles so has the very line, in whatever octave. */
export const FULL_DOUBLINGS: readonly string[] = ['unison', 'octave', 'two-octaves'];

/** A doubling is at least this share of the busier part's onsets, and this many notes. */
const COINCIDENCE = 0.75;
const FEWEST_NOTES = 3;

interface IntervalKind {
  readonly name: string;
  /** Signed semitones from the first part to the second. */
  readonly semitones: readonly number[];
}

const KINDS: readonly IntervalKind[] = [
  { name: 'unison', semitones: [0] },
  { name: 'octave', semitones: [12] },
  { name: 'octave', semitones: [-12] },
  { name: 'two-octaves', semitones: [24] },
  { name: 'two-octaves', semitones: [-24] },
  { name: 'third', semitones: [3, 4] },
  { name: 'third', semitones: [-3, -4] },
  { name: 'sixth', semitones: [8, 9] },
  { name: 'sixth', semitones: [-8, -9] },
];

const KIND_OF_SEMITONES = new Map(
  KINDS.flatMap((kind, index) => kind.semitones.map((semitones) => [semitones, index])),
);

/** One onset of a part: its top pitch stands for a chord. */
interface Onset {
  readonly start: number;
  readonly midi: number;
}

interface Line {
  readonly partId: string;
  /** Onsets by bar index. */
  readonly byBar: readonly (readonly Onset[])[];
  readonly sounds: Uint8Array;
}

function lineOf({ part, notes }: PlacedPart, { bars }: Timeline): Line {
  const byBar = bars.map((): Onset[] => []);
  const sounds = new Uint8Array(bars.length);
  for (const { written, startQuarters, endQuarters } of notes) {
    const barIndex = barIndexAt(bars, startQuarters);
    for (let index = barIndex; index >= 0 && (bars[index]?.startQuarters ?? Infinity) < endQuarters - 1e-4; index++) {
      sounds[index] = 1;
    }
    const onsets = byBar[barIndex];
    const previous = onsets?.at(-1);
    if (previous?.start === written.start) onsets?.pop();
    onsets?.push({ start: written.start, midi: written.midi });
  }
  return { partId: part.id, byBar, sounds };
}

/** Semitones from one line to the other at every onset they share in a bar. */
function sharedIntervals(one: readonly Onset[], other: readonly Onset[]): number[] {
  const intervals: number[] = [];
  let second = 0;
  for (const onset of one) {
    while ((other[second]?.start ?? Infinity) < onset.start) second++;
    const match = other[second];
    if (match?.start === onset.start) intervals.push(match.midi - onset.midi);
  }
  return intervals;
}

interface OpenSpan {
  readonly kind: number;
  readonly fromIndex: number;
  toIndex: number;
  readonly intervals: number[];
}

function mostFrequent(numbers: readonly number[]): number {
  const counts = new Map<number, number>();
  for (const number of numbers) counts.set(number, (counts.get(number) ?? 0) + 1);
  return [...counts].sort(([a, many], [b, more]) => more - many || a - b)[0]?.[0] ?? 0;
}

/** The kind of interval that holds for a bar of two lines; undefined where there is none. */
function kindOfBar(one: readonly Onset[], other: readonly Onset[]): { kind: number; intervals: number[] } | undefined {
  const intervals = sharedIntervals(one, other);
  const busier = Math.max(one.length, other.length);
  if (intervals.length < busier * COINCIDENCE) return undefined;
  const byKind = new Map<number, number[]>();
  for (const semitones of intervals) {
    const kind = KIND_OF_SEMITONES.get(semitones);
    if (kind !== undefined) byKind.set(kind, [...(byKind.get(kind) ?? []), semitones]);
  }
  for (const [kind, ofKind] of byKind) if (ofKind.length >= busier * COINCIDENCE) return { kind, intervals: ofKind };
  return undefined;
}

function doublingsOfPair(one: Line, other: Line, { bars }: Timeline): Doubling[] {
  const found: OpenSpan[] = [];
  let open: OpenSpan | undefined;
  for (let index = 0; index < bars.length; index++) {
    const first = one.byBar[index] ?? [];
    const second = other.byBar[index] ?? [];
    if (first.length === 0 && second.length === 0) {
      // Both hold on: the span goes on. Otherwise it is over.
      if (one.sounds[index] !== 1 || other.sounds[index] !== 1) open = undefined;
      continue;
    }
    const reading = first.length === 0 || second.length === 0 ? undefined : kindOfBar(first, second);
    if (reading === undefined) {
      open = undefined;
    } else if (open?.kind === reading.kind) {
      open.toIndex = index;
      open.intervals.push(...reading.intervals);
    } else {
      open = { kind: reading.kind, fromIndex: index, toIndex: index, intervals: reading.intervals };
      found.push(open);
    }
  }
  return found
    .filter((span) => span.intervals.length >= FEWEST_NOTES)
    .map((span) => ({
      partIds: [one.partId, other.partId] as const,
      interval: KINDS[span.kind]?.name ?? 'unison',
      semitones: mostFrequent(span.intervals),
      from: bars[span.fromIndex]?.number ?? 0,
      to: bars[span.toIndex]?.number ?? 0,
    }));
}

/**
 * Spans of whole bars in which two parts double each other: in every bar at least 75 % of the busier part's onsets coincide
 * at the same kind of interval, at least three notes in all. Major and minor thirds (sixths) count as one kind.
 */
export function doublingsOf(placed: readonly PlacedPart[], timeline: Timeline): readonly Doubling[] {
  const lines = placed
    .filter(({ part, notes }) => !part.unpitched && notes.length >= FEWEST_NOTES)
    .map((part) => lineOf(part, timeline));
  return lines.flatMap((one, index) =>
    lines.slice(index + 1).flatMap((other) => doublingsOfPair(one, other, timeline)),
  );
}
