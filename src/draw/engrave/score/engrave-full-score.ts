/** Engraves a full score page by page, its staves small enough for its number of parts. */
import type { EngravedScore } from '../../../model/drawing.ts';
import type { ReducedScore } from '../../../model/music/written.ts';
import { engraveScore } from './engrave-score.ts';
import type { SheetRoom } from './fill-sheets.ts';

/** Staves times bars on one page: what a browser lays out while one waits (about 2 MB of markup). */
const MOST_STAFF_BARS = 4000;
/** Staves times bars up to which a second engraving for narrow screens is worth its size. */
const MOST_WITH_NARROW = 4000;
const NARROW_PX = 520;

/** The row of flags above a system on paper: 17 of the 960 units of its width. */
const FLAGS_SHARE = 17 / 960;

/** What a printed A4 page of the full score has for music, by the margins of the style sheet, and the white after a system. */
const PAGE_MM = { width: 184, height: 268, between: 9 };
/** Height of a system for each of its staves, at a staff height of 40 px; measured on the sample. */
const PX_PER_STAFF = 97;
/** From 9 to 13 staves two systems stand on a page; their staves are then 5.6 to 3.9 mm high. */
const TWO_A_PAGE = { fewest: 9, most: 13 };
/**
 * Up to so many staves one system fills a sheet that lies on its long side: half as many pages to turn, and a system is seen as a whole on a
 * screen too. Its staves are 4.9 to 3.1 mm high; those of still more are larger on an upright sheet.
 */
const MOST_IN_LANDSCAPE = 22;
const LANDSCAPE_MM = { width: 271, height: 166 };
/** What one system of more staves than that is to fill, under the headings of the first page. */
const ONE_A_PAGE_MM = 225;
const PT_PER_MM = 72 / 25.4;

/**
 * What systems may fill, by the margins, headings and greatest heights of `print.css`: of A4, on which they are counted; upright sheets of letter paper,
 * 190 by 250 mm, are shorter.
 */
const UPRIGHT: SheetRoom = { first: 248 / 184, other: 267 / 184, filled: 250 / 190, round: 2.6 / 184 + FLAGS_SHARE };
const ON_LONG_SIDE: SheetRoom = { first: 157 / 271, other: 171 / 271, filled: 171 / 271, round: FLAGS_SHARE };

function liesOnLongSide(staves: number): boolean {
  return staves > TWO_A_PAGE.most && staves <= MOST_IN_LANDSCAPE;
}

/**
 * Width of a system at a staff height of 40 px. On the text of an A4 page 1200 px is a staff of 6.1 mm, 1700 px one of
 * 4.3 mm; a score of many staves has smaller ones, so that whole systems fill a page (rastral sizes of scores, E. Gould, Behind Bars,
 * from memory).
 */
function widthFor(staves: number): number {
  const readable = Math.min(2300, Math.max(1200, 900 + staves * 42));
  if (staves < TWO_A_PAGE.fewest) return Math.round(readable);
  if (liesOnLongSide(staves)) {
    const heightMm = LANDSCAPE_MM.height - FLAGS_SHARE * LANDSCAPE_MM.width;
    return Math.round((staves * PX_PER_STAFF * LANDSCAPE_MM.width) / heightMm);
  }
  if (staves > TWO_A_PAGE.most)
    return Math.round(Math.max(1210, Math.min(readable, (staves * PX_PER_STAFF * PAGE_MM.width) / ONE_A_PAGE_MM)));
  const half = PAGE_MM.height / 2 - PAGE_MM.between - FLAGS_SHARE * PAGE_MM.width;
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
  const isLandscape = liesOnLongSide(staves);
  const printedPt = PT_PER_MM * (isLandscape ? LANDSCAPE_MM : PAGE_MM).width;
  return Array.from({ length: count }, (_, page) => {
    const from = page * size;
    const bars = score.bars.slice(from, from + size);
    const next = score.bars[from + size];
    const engraved = engraveScore(
      { staves: score.staves, bars },
      {
        widthPx: widthFor(staves),
        title: options.title,
        hideEmpty: true,
        printedPt,
        sheets: isLandscape ? ON_LONG_SIDE : UPRIGHT,
        ...(small ? { narrowPx: NARROW_PX } : {}),
        ...(next === undefined ? {} : { next }),
      },
    );
    return isLandscape ? { ...engraved, isLandscape } : engraved;
  });
}
