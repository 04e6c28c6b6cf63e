/** Keys estimated from what sounds: which one, how surely, and on which enharmonic side. */
import { classAt } from '../../model/music/pitch.ts';
import type { Section } from '../../model/music/arrangement.ts';
import type { KeySpan } from '../../model/music/written.ts';
import { keyPath, signatureByIndex, spansOf, sumOf, withoutShortSpans } from './key-path.ts';
import { keyDistances, modeOf } from './key-profiles.ts';
import { signatureOf } from './line-of-fifths.ts';
import type { ScoreTime } from '../score-time/score-time.ts';

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

export function estimatedSpans(
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
