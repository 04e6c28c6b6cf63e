/** Engraves a full score page by page, its staves small enough for its number of parts. */
import type { EngravedScore } from '../../model/drawing.ts';
import type { ReducedScore } from '../../model/written.ts';
import { engraveScore } from './engrave-score.ts';

/** Staves times bars on one page: what a browser lays out while one waits (about 2 MB of markup). */
const MOST_STAFF_BARS = 4000;
/** Staves times bars up to which a second engraving for narrow screens is worth its size. */
const MOST_WITH_NARROW = 4000;
const NARROW_PX = 520;

/** The row of flags above a system on paper: 17 of the 960 units of its width. */
const FLAGS_MM = (184 * 17) / 960;

/** What a printed A4 page of the full score has for music, by the margins of the style sheet, and the white after a system. */
const PAGE_MM = { width: 184, height: 268, between: 9 };
/** Height of a system for each of its staves, at a staff height of 40 px; measured on the sample. */
const PX_PER_STAFF = 97;
/** From 9 to 13 staves two systems stand on a page; their staves are then 5.6 to 3.9 mm high. */
const TWO_A_PAGE = { fewest: 9, most: 13 };
/** What one system of more staves than that is to fill, under the headings of the first page. */
const ONE_A_PAGE_MM = 225;

/**
 * Width of a system at a staff height of 40 px. On the text of an A4 page 1200 px is a staff of 6.1 mm, 1700 px one of
 * 4.3 mm; a score of many staves has smaller ones, so that whole systems fill a page (rastral sizes of scores, E. Gould, Behind Bars,
 * from memory).
 */
function widthFor(staves: number): number {
  const readable = Math.min(2300, Math.max(1200, 900 + staves * 42));
  if (staves < TWO_A_PAGE.fewest) return Math.round(readable);
  if (staves > TWO_A_PAGE.most)
    return Math.round(Math.max(1210, Math.min(readable, (staves * PX_PER_STAFF * PAGE_MM.width) / ONE_A_PAGE_MM)));
  const half = PAGE_MM.height / 2 - PAGE_MM.between - FLAGS_MM;
  return Math.round(Math.max(readable, (staves * PX_PER_STAFF * PAGE_MM.width) / half));
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
