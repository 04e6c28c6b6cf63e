/** How a line of bars is laid out: what cannot stretch, and the force on what can. */
import type { ScoreBar } from '../../../model/music/written.ts';
import type { CueBlock } from '../signs/cues.ts';
import { courtesyWidth, rigidWidth } from '../bar-spacing/bar-width.ts';
import type { PlacedWords } from '../bar-spacing/columns.ts';
import type { PreparedBar } from '../bar-spacing/prepare-bar.ts';
import type { PlacedSyllable } from '../signs/syllables.ts';
import { forceFor, leastWidth, widthAt } from '../bar-spacing/springs.ts';

/** A bar with the words above it, or a run of empty bars that is drawn as one rest. */
export interface ReadyBar {
  readonly prepared: PreparedBar;
  readonly chords: readonly PlacedWords[];
  readonly cues: readonly CueBlock[];
  readonly words: readonly PlacedSyllable[];
  /** The bars it stands for: one, or all of a rest of several bars. */
  readonly bars: readonly ScoreBar[];
}

/** Last lines fuller than this are stretched like any other. */
const STRETCH_LAST_FROM = 0.77;
export interface JustifiedLine {
  /** Wider than asked where one bar needs more. */
  readonly systemPx: number;
  readonly force: number;
}

/** Width at which a line of these bars is neither stretched nor pressed. */
export function naturalWidth(bars: readonly ReadyBar[], next: ScoreBar | undefined, margin: number): number {
  const rigid = bars.reduce(
    (sum, ready, index) => sum + rigidWidth(ready, bars[index + 1]?.prepared.bar ?? next, index === 0),
    margin + courtesyWidth(next) + 1,
  );
  const gaps = bars.flatMap((ready) => ready.prepared.gaps);
  return Math.ceil(rigid + widthAt(gaps, 1));
}

/** Lays out the bars of a line; `next` is the bar that follows it. */
export function justifyLine(
  bars: readonly ReadyBar[],
  next: ScoreBar | undefined,
  widthPx: number,
  margin: number,
): JustifiedLine {
  const gaps = bars.flatMap((ready) => ready.prepared.gaps);
  let rigid = margin + courtesyWidth(next) + 1;
  bars.forEach((ready, index) => {
    rigid += rigidWidth(ready, bars[index + 1]?.prepared.bar ?? next, index === 0);
  });
  const available = widthPx - rigid;
  const least = leastWidth(gaps);
  if (least > available) return { systemPx: Math.ceil(rigid + least), force: 0 };
  const natural = widthAt(gaps, 1);
  if (next === undefined && natural + rigid < STRETCH_LAST_FROM * widthPx) return { systemPx: widthPx, force: 1 };
  return { systemPx: widthPx, force: forceFor(gaps, available) };
}
