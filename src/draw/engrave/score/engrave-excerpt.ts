/** A few bars of a score as one small picture, with the heads that are asked about ringed. */
import type { EngravedPicture } from '../../../model/drawing.ts';
import type { NoteHead, ReducedScore, ScoreBar } from '../../../model/music/written.ts';
import { checkBar } from '../accidentals-beams-rests/check-bar.ts';
import { describeBars } from '../system/describe-bars.ts';
import { drawSystem, marginOf } from '../system/draw-system.ts';
import { naturalWidth } from '../line-breaks/lay-line.ts';
import { ottavaOf } from '../accidentals-beams-rests/ottava.ts';
import { readyBars } from '../line-breaks/ready-bars.ts';

/** A staff of 40 px is shown 24 px high, that of the reduced score on a page. */
const SHOWN_SCALE = 0.6;

export interface Excerpt extends EngravedPicture {
  /** Ids of the glyphs that it uses, sorted. */
  readonly glyphs: readonly string[];
}

/**
 * Engraves a short score as one line at its natural width; the heads of `marked` (the very objects of the score) are ringed and drawn in
 * the colour of `.sn-marks`. `next` is the bar after the last one. Undefined where there are no bars or no staves. Throws as
 * `engraveScore` does.
 */
export function engraveExcerpt(
  score: ReducedScore,
  marked: ReadonlySet<NoteHead>,
  next: ScoreBar | undefined,
): Excerpt | undefined {
  const { staves, bars } = score;
  if (staves.length === 0 || bars.length === 0) return undefined;
  for (const bar of bars) checkBar(bar, staves.length);
  const ottava = ottavaOf(score);
  const ready = readyBars(score, ottava);
  const glyphs = new Set<string>();
  const label = describeBars(bars, '');
  const drawn = drawSystem({
    staves,
    staffIndices: staves.map((_, index) => index),
    bars: ready,
    next,
    fullNames: false,
    widthPx: naturalWidth(ready, next, marginOf(staves, false)),
    label,
    ottava,
    dynamics: bars.flatMap((bar) => bar.dynamics),
    glyphs,
    marked,
    shownScale: SHOWN_SCALE,
  });
  return { ...drawn, label, glyphs: [...glyphs].sort() };
}
