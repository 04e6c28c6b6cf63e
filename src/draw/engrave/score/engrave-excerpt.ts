/** A few bars of a score as one small picture, with the heads that are asked about ringed. */
import type { EngravedPicture } from '../../../model/drawing.ts';
import type { NoteHead, ReducedScore, ScoreBar } from '../../../model/music/written.ts';
import { checkBar } from '../accidentals-beams-rests/check-bar.ts';
import { describeBars } from '../system/describe-bars.ts';
import { drawSystem, marginOf } from '../system/draw-system.ts';
import type { DrawnSystem } from '../system/set-system.ts';
import { naturalWidth } from '../line-breaks/justify-line.ts';
import { ottavaOf } from '../accidentals-beams-rests/ottava.ts';
import { letterSizeFor, type LetterSize } from '../ink/words.ts';
import { readyBars } from '../line-breaks/ready-bars.ts';

/** A staff of 40 px is shown 24 px high, that of the reduced score on a page. */
const SHOWN_SCALE = 0.6;
/** The room beside the text of a finding on a sheet of A4, in points (`templates/styles/finding.css`, `print.css`). */
const PRINTED = { widthPt: 236, heightPt: 96, ptPerPx: SHOWN_SCALE * 0.75 } as const;

/** How wide a picture prints: as it is shown, smaller where it would leave its room. */
function printedPtOf(widthPx: number, heightPx: number): number {
  return widthPx * Math.min(PRINTED.ptPerPx, PRINTED.widthPt / widthPx, PRINTED.heightPt / Math.max(1, heightPx));
}

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
  const widthWith = (letters?: LetterSize): number => naturalWidth(ready, next, marginOf(staves, false, letters));
  const plainPx = widthWith();
  const drawFor = (printedPt: number): DrawnSystem => {
    const letters = letterSizeFor(plainPx, printedPt);
    return drawSystem({
      staves,
      staffIndices: staves.map((_, index) => index),
      bars: ready,
      next,
      fullNames: false,
      widthPx: widthWith(letters),
      label,
      ottava,
      dynamics: bars.flatMap((bar) => bar.dynamics),
      syllables: bars.flatMap(({ words = [] }) => words),
      glyphs,
      marked,
      shownScale: SHOWN_SCALE,
      letters,
      printedPt,
    });
  };
  // How high it is, and so how small it prints, is known when it is drawn.
  const widestPt = printedPtOf(plainPx, 0);
  const first = drawFor(widestPt);
  const printedPt = printedPtOf(plainPx, first.heightPx);
  const drawn = printedPt < widestPt ? drawFor(printedPt) : first;
  return { ...drawn, label, glyphs: [...glyphs].sort() };
}
