/** Where a recording lies on the notes: its onsets beside those of the notes, at every shift. */
import FFT from 'fft.js';
import { LOOK_SECONDS } from './sound-meter.ts';

/** A note that begins, in seconds of the music. */
export interface Onset {
  readonly second: number;
  /** How much it counts: its strength, 0 to 1. */
  readonly weight: number;
}

export interface Place {
  /** Second of the recording at which the music's second 0 lies; negative where the recording begins later. */
  readonly offsetSeconds: number;
  /** How far the best place stands out: its agreement over that of the next best. */
  readonly clearness: number;
  /**
   * By how much each quarter of the music lies later than the whole, seconds; undefined where a quarter has too few notes, or too few that are in the recording. As long a search for each as
   * for the whole: only where it is asked for.
   */
  readonly quarters: () => readonly (number | undefined)[];
}

/** Places that are looked at: what bounces have of silence before the music, or lack of its beginning. */
const MOST_OFFSET_SECONDS = 30;
/** A place within this of the best is the same. */
const SAME_SECONDS = 0.12;
/** A quarter of the music is looked for within this of the whole. */
const QUARTER_SECONDS = 0.5;
const LEAST_ONSETS = 8;

/**
 * The bands rise most a little after a note begins: 5 ms where it is struck, 30 where it is bowed softly (attacks of 4 and 60 ms, on renders of known
 * places by the voice of this folder). The middle of both is taken off.
 */
const LATE_SECONDS = 0.0175;

/** Onsets of notes on the grid of looks, each shared out between the two nearest. */
function trainOf(onsets: readonly Onset[], size: number, firstSecond: number): Float64Array {
  const train = new Float64Array(size);
  for (const { second, weight } of onsets) {
    const place = (second - firstSecond) / LOOK_SECONDS - 0.5;
    const whole = Math.floor(place);
    const share = place - whole;
    if (whole < 0 || whole + 1 >= size) continue;
    train[whole] = (train[whole] ?? 0) + weight * (1 - share);
    train[whole + 1] = (train[whole + 1] ?? 0) + weight * share;
  }
  // Ten notes at once are heard as one onset, if a strong one.
  return train.map(Math.sqrt);
}

function withoutMean(values: Float64Array, length: number): Float64Array {
  let sum = 0;
  for (let index = 0; index < length; index++) sum += values[index] ?? 0;
  return values.map((value, index) => (index < length ? value - sum / length : 0));
}

/** Agreement of two rows at every shift of the first against the second: index `shift` modulo the size of the transform, which is theirs. */
function agreements(fft: FFT, heard: Float64Array, played: Float64Array): Float64Array {
  const size = heard.length;
  const lines = new Float64Array(2 * size);
  const product = new Float64Array(2 * size);
  // Both at once: one as the real, one as the imaginary part.
  for (let index = 0; index < size; index++) {
    product[2 * index] = heard[index] ?? 0;
    product[2 * index + 1] = played[index] ?? 0;
  }
  fft.transform(lines, product);
  for (let line = 0; line < size; line++) {
    const mirror = (size - line) % size;
    const [a, b] = [lines[2 * line] ?? 0, lines[2 * line + 1] ?? 0];
    const [c, d] = [lines[2 * mirror] ?? 0, lines[2 * mirror + 1] ?? 0];
    // H = (Z + conj Zm) / 2, P = (Z - conj Zm) / 2i; the product is H conj P.
    const [hr, hi] = [(a + c) / 2, (b - d) / 2];
    const [pr, pi] = [(b + d) / 2, (c - a) / 2];
    product[2 * line] = hr * pr + hi * pi;
    product[2 * line + 1] = hi * pr - hr * pi;
  }
  fft.inverseTransform(lines, product);
  return Float64Array.from({ length: size }, (_, index) => lines[2 * index] ?? 0);
}

interface Peak {
  readonly shift: number;
  readonly height: number;
}

/** Best shift between two, with the top of the parabola through it and its neighbours. */
function bestIn(agreement: Float64Array, from: number, to: number): Peak | undefined {
  const at = (shift: number): number => agreement[(shift + agreement.length) % agreement.length] ?? 0;
  let best = from;
  for (let shift = from; shift <= to; shift++) if (at(shift) > at(best)) best = shift;
  if (at(best) <= 0) return undefined;
  const [before, top, after] = [at(best - 1), at(best), at(best + 1)];
  const bend = before - 2 * top + after;
  const lean = bend < 0 ? Math.max(-0.5, Math.min(0.5, (before - after) / (2 * bend))) : 0;
  return { shift: best + lean, height: top };
}

/**
 * Where the music lies in a recording, by the rises of its bands (`SoundMeasure.onsets`) and the onsets of its notes. Undefined where there are too few
 * notes, or nothing agrees.
 */
export function placeOnNotes(heard: Float32Array, onsets: readonly Onset[]): Place | undefined {
  if (onsets.length < LEAST_ONSETS || heard.every((rise) => rise === 0)) return undefined;
  const seconds = onsets.map(({ second }) => second);
  const [first, last] = [Math.min(...seconds), Math.max(...seconds)];
  const played = Math.ceil((last - first) / LOOK_SECONDS) + 2;
  const size = 2 ** Math.ceil(Math.log2(heard.length + played));
  const row = new Float64Array(size);
  // A very strong onset counts for more than a weak one, but not for ten.
  heard.forEach((rise, index) => (row[index] = Math.sqrt(rise)));
  const heardRow = withoutMean(row, heard.length);
  const fft = new FFT(size);
  const agreementWith = (own: readonly Onset[]): Float64Array =>
    agreements(fft, heardRow, withoutMean(trainOf(own, size, first), played));
  const agreement = agreementWith(onsets);
  const reach = Math.floor(MOST_OFFSET_SECONDS / LOOK_SECONDS);
  const middle = Math.round(first / LOOK_SECONDS);
  const best = bestIn(agreement, middle - reach, middle + reach);
  if (best === undefined) return undefined;
  const near = Math.ceil(SAME_SECONDS / LOOK_SECONDS);
  const around = Math.round(best.shift);
  const others = [
    bestIn(agreement, middle - reach, around - near),
    bestIn(agreement, around + near, middle + reach),
  ].flatMap((peak) => peak?.height ?? []);
  const secondOf = ({ shift }: Peak): number => shift * LOOK_SECONDS - first - LATE_SECONDS;
  const offsetSeconds = secondOf(best);
  const quarter = (last - first) / 4;
  const quarters = (): readonly (number | undefined)[] =>
    [0, 1, 2, 3].map((index) => {
      const from = first + index * quarter;
      // What the recording does not reach says nothing of its tempo.
      const own = onsets.filter(({ second }) => {
        const place = second + offsetSeconds;
        return second >= from && second <= from + quarter && place >= 0 && place <= heard.length * LOOK_SECONDS;
      });
      if (own.length < LEAST_ONSETS) return undefined;
      const spread = Math.ceil(QUARTER_SECONDS / LOOK_SECONDS);
      const peak = bestIn(agreementWith(own), around - spread, around + spread);
      return peak === undefined ? undefined : secondOf(peak) - offsetSeconds;
    });
  return { offsetSeconds, clearness: best.height / Math.max(1e-9, ...others), quarters };
}
