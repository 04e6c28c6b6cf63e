/** Keys of a stage, bar span by bar span: stated ones first, else estimated from the sounding pitch classes. */
import type { Section, StatedKey } from '../model/arrangement.ts';
import type { SpelledClass } from '../model/pitch.ts';
import { className } from '../model/pitch.ts';
import type { KeySpan } from '../model/written.ts';
import { DIVISIONS_PER_QUARTER } from '../model/written.ts';
import { KEY_COUNT, keyDistances, keyLikelihoods, modeOf } from './key-profiles.ts';
import { classAt, fifthsOf, signatureOf } from './line-of-fifths.ts';
import type { ScoreTime } from './score-time.ts';
import { barIndexAtDivision } from './score-time.ts';

export interface SoundingNote {
  readonly midi: number;
  readonly start: number;
  readonly end: number;
}

export interface KeyReading {
  readonly keys: readonly KeySpan[];
  readonly remarks: readonly string[];
}

/** A key that holds for less than this is a passing tonicisation, unless a section is just as short. */
const FEWEST_BARS = 8;
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

function signatureByIndex(key: number): number {
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

/** Most likely key of every bar: Viterbi over 24 keys, emission by Temperley's profile. */
export function keyPath(histograms: readonly (readonly number[])[]): number[] {
  let scores: number[] = Array.from({ length: KEY_COUNT }, () => 0);
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
  let state = scores.indexOf(Math.max(...scores));
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

function spansOf(path: readonly number[]): Span[] {
  const spans: Span[] = [];
  for (const [index, key] of path.entries()) {
    const last = spans.at(-1);
    if (last?.key === key) last.to = index;
    else spans.push({ from: index, to: index, key });
  }
  return spans;
}

function sumOf(histograms: readonly (readonly number[])[], from: number, to: number): number[] {
  const sum = Array.from({ length: 12 }, () => 0);
  for (let index = from; index <= to; index++) {
    for (let pitchClass = 0; pitchClass < 12; pitchClass++) {
      sum[pitchClass] = (sum[pitchClass] ?? 0) + (histograms[index]?.[pitchClass] ?? 0);
    }
  }
  return sum;
}

/** Merges spans that are too short into the neighbour whose key suits their notes better. */
function withoutShortSpans(
  spans: Span[],
  histograms: readonly (readonly number[])[],
  sections: ReadonlySet<string>,
): Span[] {
  const kept = spans;
  for (;;) {
    const short = kept
      .filter(
        (span) => span.to - span.from + 1 < FEWEST_BARS && !sections.has(`${String(span.from)}:${String(span.to)}`),
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

export interface EstimatedKey {
  readonly key: number;
  readonly confidence: number;
}

/** The key nearest to a histogram and how far it stands ahead of the next best, 0..1. */
export function nearestKey(histogram: readonly number[]): EstimatedKey {
  if (histogram.every((weight) => weight === 0)) return { key: 0, confidence: 0 };
  const distances = keyDistances(histogram);
  const order = distances.map((distance, key) => ({ distance, key })).sort((a, b) => a.distance - b.distance);
  const best = order[0];
  const second = order[1];
  if (best === undefined || second === undefined) return { key: 0, confidence: 0 };
  return { key: best.key, confidence: confidenceOf(best.distance, second.distance) };
}

function confidenceOf(best: number, second: number): number {
  return Math.max(0, Math.min(1, second <= 0 ? 0 : 1.5 * (1 - best / second)));
}

/** Confidence of a given key against the best of the others. */
function confidenceIn(key: number, histogram: readonly number[]): number {
  const distances = keyDistances(histogram);
  const others = distances.filter((_, index) => index !== key);
  return confidenceOf(distances[key] ?? 1, Math.min(...others));
}

const MANY_ACCIDENTALS = 0.3;

/** Signatures of keys in a row, on the enharmonic side that keeps neighbours near on the circle of fifths and accidentals few. */
function signaturesOf(keys: readonly number[]): number[] {
  const options = keys.map((key) => {
    const signature = signatureByIndex(key);
    return [signature, signature + 12, signature - 12].filter((fifths) => Math.abs(fifths) <= 7);
  });
  let costs: number[] = [];
  const back: number[][] = [];
  for (const [index, choices] of options.entries()) {
    const before = options[index - 1];
    const pointers: number[] = [];
    costs = choices.map((fifths) => {
      let best = before === undefined ? 0 : Infinity;
      let from = 0;
      for (const [candidate, earlier] of (before ?? []).entries()) {
        const cost = (costs[candidate] ?? 0) + Math.abs(earlier - fifths);
        if (cost < best) {
          best = cost;
          from = candidate;
        }
      }
      pointers.push(from);
      return best + MANY_ACCIDENTALS * Math.abs(fifths);
    });
    back.push(pointers);
  }
  let state = costs.indexOf(Math.min(...costs));
  const chosen: number[] = [];
  for (let index = options.length - 1; index >= 0; index--) {
    chosen.push(options[index]?.[state] ?? 0);
    state = back[index]?.[state] ?? 0;
  }
  return chosen.reverse();
}

function estimatedSpans(
  histograms: readonly (readonly number[])[],
  time: ScoreTime,
  sections: readonly Section[],
): KeySpan[] {
  if (time.bars.length === 0) return [];
  const numbers = time.bars.map((bar) => bar.number);
  const sectionSpans = new Set(
    sections.map((section) => `${String(numbers.indexOf(section.from))}:${String(numbers.indexOf(section.to))}`),
  );
  const spans = withoutShortSpans(spansOf(keyPath(histograms)), histograms, sectionSpans);
  const only = spans[0];
  // One key throughout: the profile that names whole pieces best decides.
  if (spans.length === 1 && only !== undefined) only.key = nearestKey(sumOf(histograms, only.from, only.to)).key;
  const signatures = signaturesOf(spans.map((span) => span.key));
  return spans.map((span, index) => {
    const tonic = classAt((signatures[index] ?? 0) + (span.key < 12 ? 0 : 3));
    const mode = modeOf(span.key);
    const histogram = sumOf(histograms, span.from, span.to);
    return {
      from: numbers[span.from] ?? 1,
      to: numbers[span.to] ?? 1,
      tonic,
      mode,
      fifths: signatureOf(tonic, mode),
      confidence: confidenceIn(span.key, histogram),
      by: 'estimate',
    };
  });
}

function keyText(tonic: SpelledClass, mode: string): string {
  const name = className(tonic);
  return `${name.replace('#', '♯').replace('b', '♭')} ${mode}`;
}

/** Keys by bar span, covering all bars; empty only where the stage has no bars. */
export function keysOf(
  notes: readonly SoundingNote[],
  time: ScoreTime,
  sections: readonly Section[],
  stated: readonly StatedKey[],
): KeyReading {
  const histograms = barHistograms(notes, time);
  const first = time.bars[0];
  const last = time.bars.at(-1);
  if (first === undefined || last === undefined) return { keys: [], remarks: [] };
  const usable = [...stated]
    .filter((key) => key.fromBar <= last.number)
    .sort((a, b) => a.fromBar - b.fromBar)
    .filter((key, index, all) => all[index + 1]?.fromBar !== key.fromBar);
  if (usable.length === 0) return { keys: estimatedSpans(histograms, time, sections), remarks: [] };
  const keys = usable.map((key, index): KeySpan => {
    const from = index === 0 ? first.number : key.fromBar;
    const to = (usable[index + 1]?.fromBar ?? last.number + 1) - 1;
    return {
      from,
      to,
      tonic: key.tonic,
      mode: key.mode,
      fifths: signatureOf(key.tonic, key.mode),
      confidence: 1,
      by: key.by,
    };
  });
  const only = keys[0];
  if (keys.length === 1 && only?.by === 'file' && notes.length > 0)
    return checkedFileKey(only, histograms, time, sections);
  return { keys: keys.filter((key) => key.to >= key.from), remarks: [] };
}

/**
 * A lone signature in a file may be a default that nobody chose: C major is doubted where the notes speak clearly for another signature,
 * and a mode is corrected where the notes speak for the relative key (many files mark every key as major).
 */
function checkedFileKey(
  stated: KeySpan,
  histograms: readonly (readonly number[])[],
  time: ScoreTime,
  sections: readonly Section[],
): KeyReading {
  const whole = sumOf(histograms, 0, time.bars.length - 1);
  const estimate = nearestKey(whole);
  const mode = modeOf(estimate.key);
  const isDefault = stated.fifths === 0 && stated.mode === 'major' && fifthsOf(stated.tonic) === 0;
  const signature = signatureByIndex(estimate.key);
  if (isDefault && signature !== 0 && estimate.confidence >= 0.1) {
    const distances = keyDistances(whole);
    const statedDistance = Math.min(distances[0] ?? 1, distances[9 + 12] ?? 1);
    if ((distances[estimate.key] ?? 0) < 0.8 * statedDistance) {
      const keys = estimatedSpans(histograms, time, sections);
      const heard = keys[0];
      const name = heard === undefined ? 'another key' : keyText(heard.tonic, heard.mode);
      return {
        keys,
        remarks: [
          `The file's key signature is C major, as files have it where nobody set one; the notes speak for ${name}, which is used. Set "key" in the settings to decide.`,
        ],
      };
    }
  }
  const sameSignature = (signature - stated.fifths) % 12 === 0;
  if (stated.mode === 'major' && mode === 'minor' && sameSignature && estimate.confidence >= 0.05) {
    const tonic = classAt(stated.fifths + 3);
    return {
      keys: [{ ...stated, tonic, mode }],
      remarks: [
        `The file's key signature names ${keyText(stated.tonic, stated.mode)}; the notes speak for its relative ${keyText(tonic, mode)}, which has the same signature and is used.`,
      ],
    };
  }
  return { keys: [stated], remarks: [] };
}

/** The key in force in a bar. */
export function keyAtBar(keys: readonly KeySpan[], barNumber: number): KeySpan | undefined {
  return keys.find((key) => barNumber >= key.from && barNumber <= key.to) ?? keys[0];
}
