/**
 * Bars over beats that were felt: which of them is the first of its bar, and how many make one. What stands out on a beat is a low note, a long
 * one, a loud one and a change of harmony (metrical cues after F. Lerdahl and R. Jackendoff, A Generative Theory of Tonal Music, 1983: preference
 * rules 4, 5 and 6, from memory); bars of two, three and four are compared by how far their first beats stand out from the others.
 */
import type { HeardNote } from './beat-tracking.ts';
import { lastAtOrBefore } from '../../model/sorted-search.ts';

export interface BarsByEar {
  readonly beatsInBar: 2 | 3 | 4;
  /** Indices of the beats that begin bars, rising; most are `beatsInBar` apart, some a beat more or less where the player waited or went on. */
  readonly firstBeats: readonly number[];
  /** True where the beat is divided in three throughout: a dotted quarter. */
  readonly inThirds: boolean;
}

const ON_BEAT_SECONDS = 0.09;
const SHARES = { low: 1, harmony: 1.3, long: 0.7, loud: 0.4 } as const;
/** How much more the first than the third of four beats must stand out, in standard deviations, for the bar to be one of four. */
const MAIN_OVER_SECOND = 0.2;
/** Bars of three are rarer than bars of two and four: they must show. */
const OF_THREE = 0.9;

interface Beat {
  low: number;
  long: number;
  loud: number;
  /** Seconds that each pitch class sounds. */
  readonly classes: Float64Array;
}

/** Standard scores; all nought where nothing differs. */
function standard(figures: readonly number[]): number[] {
  const mean = figures.reduce((sum, each) => sum + each, 0) / Math.max(1, figures.length);
  const deviation = Math.sqrt(figures.reduce((sum, each) => sum + (each - mean) ** 2, 0) / Math.max(1, figures.length));
  return figures.map((each) => (deviation < 1e-9 ? 0 : (each - mean) / deviation));
}

function cosine(one: Float64Array, other: Float64Array): number {
  let [both, a, b] = [0, 0, 0];
  for (let index = 0; index < 12; index++) {
    both += (one[index] ?? 0) * (other[index] ?? 0);
    a += (one[index] ?? 0) ** 2;
    b += (other[index] ?? 0) ** 2;
  }
  return a === 0 || b === 0 ? 1 : both / Math.sqrt(a * b);
}

function beatsOf(notes: readonly HeardNote[], beats: readonly number[]): Beat[] {
  const found = beats.map((): Beat => ({ low: 0, long: 0, loud: 0, classes: new Float64Array(12) }));
  const place = (second: number): number => lastAtOrBefore(beats, second, (each) => each);
  for (const note of notes) {
    const middle = place(note.startSecond + ON_BEAT_SECONDS);
    const own = found[middle];
    if (own === undefined) continue;
    if (Math.abs(note.startSecond - (beats[middle] ?? 0)) <= ON_BEAT_SECONDS) {
      own.low = Math.max(own.low, 72 - note.midi);
      own.long = Math.max(own.long, Math.min(2.5, note.endSecond - note.startSecond));
      own.loud = Math.max(own.loud, note.velocity);
    }
    for (let beat = middle; beat < beats.length; beat++) {
      const from = Math.max(note.startSecond, beats[beat] ?? 0);
      const to = Math.min(note.endSecond, beats[beat + 1] ?? Number.POSITIVE_INFINITY);
      if (to <= from) break;
      const { classes } = found[beat] as Beat;
      classes[note.midi % 12] = (classes[note.midi % 12] ?? 0) + (to - from);
    }
  }
  return found;
}

/** How far every beat stands out, in standard deviations of each cue. */
function accentsOf(notes: readonly HeardNote[], beats: readonly number[]): number[] {
  const found = beatsOf(notes, beats);
  const low = standard(found.map((beat) => beat.low));
  const long = standard(found.map((beat) => beat.long));
  const loud = standard(found.map((beat) => beat.loud));
  const harmony = standard(
    found.map((beat, index) => 1 - cosine(beat.classes, found[index - 1]?.classes ?? beat.classes)),
  );
  return beats.map(
    (_, index) =>
      SHARES.low * (low[index] ?? 0) +
      SHARES.long * (long[index] ?? 0) +
      SHARES.loud * (loud[index] ?? 0) +
      SHARES.harmony * (harmony[index] ?? 0),
  );
}

function meanAt(accents: readonly number[], step: number, from: number): number {
  const own = accents.filter((_, index) => index % step === from);
  return own.reduce((sum, each) => sum + each, 0) / Math.max(1, own.length);
}

/** The best first beat for bars of so many, and how far first beats stand out from the mean of all. */
function bestStart(accents: readonly number[], step: number): { readonly from: number; readonly by: number } {
  const ways = Array.from({ length: step }, (_, from) => ({ from, by: meanAt(accents, step, from) }));
  return ways.reduce((best, way) => (way.by > best.by ? way : best), { from: 0, by: Number.NEGATIVE_INFINITY });
}

/** What a bar a beat longer or shorter than the others must win, in standard deviations of an accent. */
const ODD_BAR = 4;

/** The first beats of bars that stand out most together, most bars being of `step` beats. */
function firstBeatsOf(accents: readonly number[], step: number): number[] {
  const best = new Float64Array(accents.length);
  const before = new Int32Array(accents.length).fill(-1);
  for (const [index, accent] of accents.entries()) {
    let most = index < step ? 0 : Number.NEGATIVE_INFINITY;
    for (const length of [step, step - 1, step + 1]) {
      const from = index - length;
      if (from < 0 || length < 2) continue;
      const sum = (best[from] ?? 0) - (length === step ? 0 : ODD_BAR);
      if (sum <= most) continue;
      most = sum;
      before[index] = from;
    }
    best[index] = most + accent;
  }
  let last = accents.length - 1;
  for (let index = Math.max(0, accents.length - step); index < accents.length; index++) {
    if ((best[index] ?? 0) > (best[last] ?? 0)) last = index;
  }
  const firsts: number[] = [];
  for (let index = last; index >= 0; index = before[index] ?? -1) firsts.push(index);
  return firsts.reverse();
}

function isInThirds(notes: readonly HeardNote[], beats: readonly number[]): boolean {
  let [thirds, others] = [0, 0];
  for (const { startSecond } of notes) {
    const index = lastAtOrBefore(beats, startSecond, (each) => each);
    const [from, to] = [beats[index], beats[index + 1]];
    if (from === undefined || to === undefined) continue;
    const phase = (startSecond - from) / (to - from);
    const near = (...places: number[]): number => Math.min(...places.map((each) => Math.abs(phase - each)));
    if (near(0, 1) < 0.09) continue;
    if (near(1 / 3, 2 / 3) < near(0.25, 0.5, 0.75)) thirds++;
    else others++;
  }
  return thirds > 2 * others;
}

/** How the beats (seconds) make bars; `notes` without drums. */
export function barsByEar(notes: readonly HeardNote[], beats: readonly number[]): BarsByEar {
  const accents = standard(accentsOf(notes, beats));
  const [two, three, four] = [bestStart(accents, 2), bestStart(accents, 3), bestStart(accents, 4)];
  const isThree = OF_THREE * three.by > Math.max(two.by, four.by * Math.SQRT1_2);
  const isFour = four.by - meanAt(accents, 4, (four.from + 2) % 4) > MAIN_OVER_SECOND && four.from % 2 === two.from;
  const beatsInBar = isThree ? 3 : isFour ? 4 : 2;
  return { beatsInBar, firstBeats: firstBeatsOf(accents, beatsInBar), inThirds: isInThirds(notes, beats) };
}
