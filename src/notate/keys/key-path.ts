/** The most likely key of every bar, and the spans that are long enough to be called a key. */
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';
import { KEY_COUNT, keyLikelihoods } from './key-profiles.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import { barIndexAtDivision } from '../score-time/score-time.ts';

export interface SoundingNote {
  readonly midi: number;
  readonly start: number;
  readonly end: number;
}

/** A key that holds for less than this is a passing tonicisation, unless a section is just as short. */
const FEWEST_BARS = 8;
/** The key of the piece (or its other mode, as in a slow introduction) is stated in less at the outset, and confirmed in less at the end. */
const FEWEST_HOME_BARS = 3;
const STAY = 8;
const PER_FIFTH = 0.5;
const PARALLEL = 1;
/** Many doubled parts say no more about the key than a few: weight of a bar is capped at this many quarters of sound a quarter of time. */
const MOST_WEIGHT = 3;

/** Sounding duration in quarters by bar and pitch class. */
export function barHistograms(notes: readonly SoundingNote[], time: ScoreTime): number[][] {
  const bars = time.bars.map(() => Array.from({ length: 12 }, () => 0));
  for (const note of notes) {
    for (let index = barIndexAtDivision(time, note.start); index < time.bars.length; index++) {
      const bar = time.bars[index];
      if (bar === undefined || bar.start >= note.end) break;
      const overlap = Math.min(note.end, bar.start + bar.length) - Math.max(note.start, bar.start);
      const histogram = bars[index];
      const pitchClass = note.midi % 12;
      if (histogram !== undefined && overlap > 0) {
        histogram[pitchClass] = (histogram[pitchClass] ?? 0) + overlap / DIVISIONS_PER_QUARTER;
      }
    }
  }
  return bars.map((histogram, index) => {
    const whole = histogram.reduce((sum, weight) => sum + weight, 0);
    const most = ((time.bars[index]?.length ?? 0) / DIVISIONS_PER_QUARTER) * MOST_WEIGHT;
    return whole > most ? histogram.map((weight) => (weight * most) / whole) : histogram;
  });
}

export function signatureByIndex(key: number): number {
  const fifths = ((key % 12) * 7) % 12;
  const signature = fifths - (key < 12 ? 0 : 3);
  return ((signature + 5 + 24) % 12) - 5;
}

function changeCost(from: number, to: number): number {
  if (from === to) return 0;
  if (from % 12 === to % 12) return STAY + PARALLEL;
  const apart = Math.abs(signatureByIndex(from) - signatureByIndex(to));
  const modes = from < 12 === to < 12 ? 0 : 1;
  return STAY + PER_FIFTH * (Math.min(apart, 12 - apart) + modes);
}

const CHANGES = Array.from({ length: KEY_COUNT }, (_, from) =>
  Array.from({ length: KEY_COUNT }, (__, to) => changeCost(from, to)),
);

/** What a change from one key to another costs the search; 0 where they are the same. */
export function keyChangeCost(from: number, to: number): number {
  return CHANGES[from]?.[to] ?? 0;
}

/** A piece begins and ends at home unless its notes say otherwise: what the home key is favoured by there, and half of it for the other mode. */
const HOME = 6;
/** Bars at either end that speak for the home key beside the whole. */
const EDGE_BARS = 8;

/** The key (0..23) that suits the whole of a piece, its first and its last bars best. */
function homeKey(histograms: readonly (readonly number[])[]): number {
  const meanIn = (from: number, to: number): number[] => {
    const sum = sumOf(histograms, from, to);
    const whole = sum.reduce((all, weight) => all + weight, 0);
    return keyLikelihoods(sum).map((likelihood) => (whole > 0 ? likelihood / whole : 0));
  };
  const last = histograms.length - 1;
  const all = meanIn(0, last);
  const first = meanIn(0, Math.min(last, EDGE_BARS - 1));
  const final = meanIn(Math.max(0, last - EDGE_BARS + 1), last);
  const suits = all.map((mean, key) => mean + 0.25 * (first[key] ?? 0) + 0.5 * (final[key] ?? 0));
  return suits.indexOf(Math.max(...suits));
}

/** Favour of each key at the ends of a piece. */
function homeFavours(histograms: readonly (readonly number[])[]): number[] {
  const home = homeKey(histograms);
  return Array.from({ length: KEY_COUNT }, (_, key) => (key === home ? HOME : key % 12 === home % 12 ? HOME / 2 : 0));
}

/** Most likely key of every bar: Viterbi over 24 keys, emission by Temperley's profile. */
export function keyPath(histograms: readonly (readonly number[])[]): number[] {
  const favours = homeFavours(histograms);
  let scores: number[] = favours;
  const back: number[][] = [];
  for (const histogram of histograms) {
    const likelihoods = keyLikelihoods(histogram);
    const next: number[] = [];
    const pointers: number[] = [];
    for (let to = 0; to < KEY_COUNT; to++) {
      let best = -Infinity;
      let pointer = to;
      for (let from = 0; from < KEY_COUNT; from++) {
        const score = (scores[from] ?? 0) - (CHANGES[from]?.[to] ?? 0);
        if (score > best) {
          best = score;
          pointer = from;
        }
      }
      next.push(best + (likelihoods[to] ?? 0));
      pointers.push(pointer);
    }
    scores = next;
    back.push(pointers);
  }
  const ends = scores.map((score, key) => score + (favours[key] ?? 0));
  let state = ends.indexOf(Math.max(...ends));
  const path: number[] = [];
  for (let index = histograms.length - 1; index >= 0; index--) {
    path.push(state);
    state = back[index]?.[state] ?? state;
  }
  return path.reverse();
}

interface Span {
  from: number;
  to: number;
  key: number;
}

export function spansOf(path: readonly number[]): Span[] {
  const spans: Span[] = [];
  for (const [index, key] of path.entries()) {
    const last = spans.at(-1);
    if (last?.key === key) last.to = index;
    else spans.push({ from: index, to: index, key });
  }
  return spans;
}

export function sumOf(histograms: readonly (readonly number[])[], from: number, to: number): number[] {
  const sum = Array.from({ length: 12 }, () => 0);
  for (let index = from; index <= to; index++) {
    for (let pitchClass = 0; pitchClass < 12; pitchClass++) {
      sum[pitchClass] = (sum[pitchClass] ?? 0) + (histograms[index]?.[pitchClass] ?? 0);
    }
  }
  return sum;
}

/** Merges spans that are too short into the neighbour whose key suits their notes better. */
export function withoutShortSpans(
  spans: Span[],
  histograms: readonly (readonly number[])[],
  sections: ReadonlySet<string>,
): Span[] {
  const kept = spans;
  const home = homeKey(histograms) % 12;
  const fewest = ({ from, to, key }: Span): number =>
    key % 12 === home && (from === 0 || to === histograms.length - 1) ? FEWEST_HOME_BARS : FEWEST_BARS;
  for (;;) {
    const short = kept
      .filter(
        (span) => span.to - span.from + 1 < fewest(span) && !sections.has(`${String(span.from)}:${String(span.to)}`),
      )
      .sort((a, b) => a.to - a.from - (b.to - b.from))[0];
    if (short === undefined || kept.length < 2) return kept;
    const index = kept.indexOf(short);
    const before = kept[index - 1];
    const after = kept[index + 1];
    const likelihoods = keyLikelihoods(sumOf(histograms, short.from, short.to));
    const suits = (span: Span | undefined): number =>
      span === undefined ? -Infinity : (likelihoods[span.key] ?? -Infinity);
    const into = suits(before) >= suits(after) ? before : after;
    if (into === undefined) return kept;
    into.from = Math.min(into.from, short.from);
    into.to = Math.max(into.to, short.to);
    kept.splice(index, 1);
    const joined = kept.indexOf(into);
    const next = kept[joined + 1];
    const previous = kept[joined - 1];
    if (next?.key === into.key) {
      into.to = next.to;
      kept.splice(joined + 1, 1);
    }
    if (previous?.key === into.key) {
      previous.to = into.to;
      kept.splice(joined, 1);
    }
  }
}
