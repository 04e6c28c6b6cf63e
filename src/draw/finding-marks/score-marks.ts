/** The lane of flags above a system, and the places on its staves that they are about. */
import type { EngravedPicture } from '../../model/drawing.ts';
import { element, round } from '../svg.ts';
import { flagLanes, type LaidFlag } from './flag-lanes.ts';
import { drawPaperFlags, flagUnits, LANE_UNITS } from './flag.ts';
import type { PlaceMark } from './place-mark.ts';

/** A place longer than this has its flag where it begins, a shorter one in every line that it reaches. */
const MOST_BARS_IN_EVERY_LINE = 16;
/** Of a longer place so many bars are marked: a finding about a whole piece is about a part, which is marked on the map. */
const MOST_MARKED_BARS = 64;
/** From the outer lines of a staff to the edge of what is marked: about two ledger lines. */
const ROUND_STAFF_PX = 16;

/** Height of the one row on paper: of a box and a little white. */
const PAPER_UNITS = 18;

export interface ScoreMarks {
  /** Flags, above y = 0; '' where there are none. */
  readonly lane: string;
  readonly lanePx: number;
  /** Lanes, of 24 units each. */
  readonly lanes: number;
  /** On paper the flags of several lanes as one row just above the staves, without lines; '' where one lane or none is as good, or none was asked for. */
  readonly onPaper: string;
  /** What is marked on the staves, seen only where the address names it. */
  readonly places: string;
}

interface BarSpan {
  readonly first: number;
  readonly last: number;
}

/** The bars of a picture that a mark is about, by index. */
function barsOf({ bars }: EngravedPicture, { from, to }: PlaceMark): BarSpan | undefined {
  const first = bars.findIndex(({ number }) => number >= from && number <= to);
  if (first < 0) return undefined;
  return { first, last: bars.findLastIndex(({ number }) => number >= from && number <= to) };
}

/** Staves on which the parts are written in these bars, else anywhere in the line, else all of them. */
function stavesOf({ staves }: EngravedPicture, { partIds }: PlaceMark, { first, last }: BarSpan): readonly number[] {
  const withPart = (bars: (index: number) => boolean): readonly number[] =>
    staves.flatMap(({ partIdsByBar }, staff) =>
      partIdsByBar.some((ids, index) => bars(index) && ids.some((id) => partIds.includes(id))) ? [staff] : [],
    );
  const here = withPart((index) => index >= first && index <= last);
  if (here.length > 0) return here;
  const inLine = withPart(() => true);
  return inLine.length > 0 ? inLine : [...staves.keys()];
}

/** Neighbouring staves as one span. */
function joined(staves: readonly number[]): readonly { readonly from: number; readonly to: number }[] {
  const spans: { from: number; to: number }[] = [];
  for (const staff of staves) {
    const last = spans.at(-1);
    if (last?.to === staff - 1) last.to = staff;
    else spans.push({ from: staff, to: staff });
  }
  return spans;
}

function placesOf(picture: EngravedPicture, mark: PlaceMark, span: BarSpan): string {
  const [first, last] = [picture.bars[span.first], picture.bars[span.last]];
  if (first === undefined || last === undefined) return '';
  return joined(stavesOf(picture, mark, span))
    .map(({ from, to }) => {
      const top = (picture.staves[from]?.topPx ?? 0) - ROUND_STAFF_PX;
      const bottom = (picture.staves[to]?.bottomPx ?? 0) + ROUND_STAFF_PX;
      return element('rect', {
        class: `place ${mark.key}`,
        x: round(first.xPx),
        y: round(top),
        width: round(last.xPx + last.widthPx - first.xPx),
        height: round(bottom - top),
      });
    })
    .join('');
}

function paperRow(flags: readonly LaidFlag[], unit: number): string {
  let freeFrom = -Infinity;
  const placed = flags.map(({ mark, x }) => {
    const left = Math.max(x, freeFrom);
    freeFrom = left + (flagUnits(mark.sign) + 3) * unit;
    return { mark, x: left };
  });
  return drawPaperFlags(placed, -(PAPER_UNITS + 3) * unit, unit);
}

/**
 * Marks of a picture. `unit`: how many of its pixels are shown as one CSS pixel, so that flags are as large in every score. `isForPaper`: with
 * a row for paper.
 */
export function scoreMarks(
  picture: EngravedPicture,
  marks: readonly PlaceMark[],
  unit: number,
  isForPaper = false,
): ScoreMarks {
  const firstBar = picture.bars[0]?.number ?? 0;
  const here = marks.flatMap((mark) => {
    const span = barsOf(picture, mark);
    return span === undefined ? [] : [{ mark, span }];
  });
  const laid = here
    .filter(({ mark: { kind, from, to } }) => {
      const isLong = to - from >= MOST_BARS_IN_EVERY_LINE;
      return kind !== 'accepted' && (!isLong || from >= firstBar);
    })
    .map(({ mark, span }): LaidFlag => {
      const [first, last] = [picture.bars[span.first], picture.bars[span.last]];
      const x = Math.min(first?.xPx ?? 0, picture.widthPx - (flagUnits(mark.sign) + 1) * unit);
      return { mark, x, end: (last?.xPx ?? 0) + (last?.widthPx ?? 0) - unit };
    });
  const { count, flags, drawAt } = flagLanes(laid, unit);
  const lanePx = Math.ceil(count * LANE_UNITS * unit);
  return {
    lanes: count,
    onPaper: isForPaper && count > 1 ? paperRow(flags, unit) : '',
    lane: drawAt(-lanePx),
    lanePx,
    places: here
      .filter(({ mark: { from } }) => firstBar < from + MOST_MARKED_BARS)
      .map(({ mark, span }) => placesOf(picture, mark, span))
      .join(''),
  };
}
