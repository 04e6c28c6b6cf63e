/**
 * A tempo that playing keeps to although the file has another: the frequency at which the moments of the onsets agree best (length of the mean
 * vector on the circle, as for the bar lines). Rubato has none; it is offered as a remark and never used.
 */
import type { Part } from '../../model/music/arrangement.ts';

const SLOWEST = 60;
const FASTEST = 120;
/** Agreement that so many onsets of free playing do not reach by chance at any tempo; to a click with 20 ms of spread it is above 0.6. */
const FEWEST_ONSETS = 48;
const LEAST_AGREEMENT = 0.55;
const PARTS_OF_BEAT = [1, 2, 4] as const;
const TOGETHER_SECONDS = 0.03;
const MOST_ONSETS = 300;
/** No player counts on through a longer silence: what comes after it is a new start. */
const LONGEST_PAUSE_SECONDS = 8;
/**
 * Onsets sparser than this on the average show no beat. It bounds the work by the onsets: how many tempos are tried grows with the time that they span.
 */
const SECONDS_AN_ONSET = 1;

/** The longest stretch, by onsets, without a pause, as far as it is dense enough. */
function momentsOf(parts: readonly Part[]): Float64Array {
  const sorted = Float64Array.from(parts.flatMap((part) => part.notes.map((note) => note.startSecond))).sort();
  const moments = sorted.filter((second, index) => index === 0 || second - (sorted[index - 1] ?? 0) > TOGETHER_SECONDS);
  let stretch = moments.subarray(0, 0);
  let from = 0;
  for (let to = 1; to <= moments.length; to++) {
    const pause = (moments[to] ?? Number.POSITIVE_INFINITY) - (moments[to - 1] ?? 0);
    if (pause <= LONGEST_PAUSE_SECONDS) continue;
    if (to - from > stretch.length) stretch = moments.subarray(from, to);
    from = to;
  }
  const first = stretch[0] ?? 0;
  return stretch.subarray(0, MOST_ONSETS).filter((second) => second - first <= MOST_ONSETS * SECONDS_AN_ONSET);
}

function agreement(moments: Float64Array, perSecond: number): number {
  let x = 0;
  let y = 0;
  for (const second of moments) {
    const angle = 2 * Math.PI * perSecond * second;
    x += Math.cos(angle);
    y += Math.sin(angle);
  }
  return Math.hypot(x, y) / moments.length;
}

/** Beats a minute between 60 and 120, to a tenth; undefined where the playing has no steady beat. */
export function steadyBeatOf(parts: readonly Part[]): number | undefined {
  const moments = momentsOf(parts);
  const whole = (moments.at(-1) ?? 0) - (moments[0] ?? 0);
  if (moments.length < FEWEST_ONSETS || whole <= 0) return undefined;
  // Fine enough that the last onset moves by a seventh of a quarter beat from one try to the next.
  const step = 2 / whole;
  let best = 0;
  let most = 0;
  for (let tempo = SLOWEST; tempo < FASTEST; tempo += step) {
    const agreed = Math.max(...PARTS_OF_BEAT.map((parts) => agreement(moments, (parts * tempo) / 60)));
    if (agreed > most) {
      most = agreed;
      best = tempo;
    }
  }
  return most < LEAST_AGREEMENT ? undefined : Math.round(best * 10) / 10;
}
