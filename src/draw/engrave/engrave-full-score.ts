/** Engraves a full score page by page, its staves small enough for its number of parts. */
import type { EngravedScore } from '../../model/drawing.ts';
import type { ReducedScore } from '../../model/written.ts';
import { engraveScore } from './engrave-score.ts';

/** Staves times bars on one page: what a browser lays out while one waits (about 2 MB of markup). */
const MOST_STAFF_BARS = 4000;
/** Staves times bars up to which a second engraving for narrow screens is worth its size. */
const MOST_WITH_NARROW = 4000;
const NARROW_PX = 520;

/**
 * Width of a system at a staff height of 40 px. On the text of an A4 page (176 mm) 1200 px is a staff of 5.9 mm, 1500 px one of
 * 4.7 mm; a score of many staves has smaller ones, so that a system fits on a page (rastral sizes of scores, E. Gould, Behind Bars,
 * from memory).
 */
function widthFor(staves: number): number {
  return Math.round(Math.min(2300, Math.max(1200, 900 + staves * 42)));
}

/** Pages in order; none where there is nothing to show. Without `narrow` there is one engraving, which a telephone shows smaller. */
export function engraveFullScore(
  score: ReducedScore,
  options: { readonly title: string; readonly narrow: boolean },
): readonly EngravedScore[] {
  const staves = score.staves.length;
  if (staves === 0 || score.bars.length === 0) return [];
  const perPage = Math.max(16, Math.floor(MOST_STAFF_BARS / staves));
  const count = Math.ceil(score.bars.length / perPage);
  const size = Math.ceil(score.bars.length / count);
  const small = options.narrow && staves * score.bars.length <= MOST_WITH_NARROW;
  return Array.from({ length: count }, (_, page) => {
    const from = page * size;
    const bars = score.bars.slice(from, from + size);
    const next = score.bars[from + size];
    return engraveScore(
      { staves: score.staves, bars },
      {
        widthPx: widthFor(staves),
        title: options.title,
        hideEmpty: true,
        ...(small ? { narrowPx: NARROW_PX } : {}),
        ...(next === undefined ? {} : { next }),
      },
    );
  });
}
