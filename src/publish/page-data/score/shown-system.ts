/** A line of a score as the templates show it. */
import { scoreMarks } from '../../../draw/finding-marks/score-marks.ts';
import type { PlaceMark } from '../../../draw/finding-marks/place-mark.ts';
import type { EngravedPicture, EngravedSystem } from '../../../model/drawing.ts';
import { round } from '../../../draw/svg.ts';
import { barSpanText } from '../../../model/words/plain-words.ts';
import { trustedMarkup, type TrustedMarkup } from '../../trusted-markup.ts';

/** Somewhere that a link can lead to; `bar` is '' where it is the place of a finding or note. */
interface Anchor {
  readonly id: string;
  readonly kind: string;
  readonly bar: number | '';
}

interface ShownPicture {
  readonly label: string;
  /** Stand in the lines of a narrow screen where there are any, and at the head of the system where those are not shown. */
  readonly anchors: readonly Anchor[];
  /** Place of every bar over the picture; `kind` is the same for the bar's anchor and for its place in either picture. */
  readonly bars: readonly {
    readonly number: number;
    readonly kind: string;
    readonly x: string;
    readonly width: string;
  }[];
  readonly viewBox: string;
  readonly height: string;
  readonly svg: TrustedMarkup;
  readonly lane: TrustedMarkup;
  /** How many rows of flags stand above it, and the one row that they are on paper. */
  readonly lanes: number;
  readonly onPaper: TrustedMarkup;
  /** '' where no flag stands above the line. */
  readonly laneLabel: string;
  readonly places: TrustedMarkup;
}

export interface ShownSystem extends ShownPicture {
  readonly caption: string;
  readonly narrow: readonly ShownPicture[];
  readonly doublings: readonly string[];
  readonly leftOut: readonly string[];
}

/** CSS pixels that a picture is shown wide, so that flags are of one size in all scores. */
const SHOWN_PX = { wide: 960, narrow: 350 };
/** A picture that is higher than wide is set smaller than the width of a sheet, by up to a fifth under headings. */
const OF_TALL_SHOWN = 0.77;

/** Bars of a system beyond this many are not marked without the script. */
export const MOST_MARKED_BARS = 40;

/** The first place of every bar and mark of a page. */
interface Placed {
  readonly bars: Set<number>;
  readonly keys: Set<string>;
}

function anchorsOf(
  picture: EngravedPicture,
  marks: readonly PlaceMark[],
  placed: Placed,
  kindOf: (bar: number) => string,
): readonly Anchor[] {
  const bars = picture.bars.flatMap(({ number }): Anchor[] => {
    if (placed.bars.has(number)) return [];
    placed.bars.add(number);
    return [{ id: `bar-${String(number)}`, kind: `bar-anchor at-${kindOf(number)}`, bar: number }];
  });
  const [first, last] = [picture.bars[0]?.number ?? 0, picture.bars.at(-1)?.number ?? -1];
  const places = marks.flatMap(({ key, from, to }): Anchor[] => {
    if (placed.keys.has(key) || from > last || to < first) return [];
    placed.keys.add(key);
    return [{ id: `score-${key}`, kind: `bar-anchor at-${key}`, bar: '' }];
  });
  return [...bars, ...places];
}

function shownPicture(
  picture: EngravedPicture,
  label: string,
  shownPx: number,
  marks: readonly PlaceMark[],
  anchors: readonly Anchor[],
  kindOf: (bar: number) => string,
  isForPaper = false,
): ShownPicture {
  const { lane, lanePx, lanes, onPaper, places } = scoreMarks(picture, marks, picture.widthPx / shownPx, isForPaper);
  const bars = barSpanText(picture.bars[0]?.number ?? 0, picture.bars.at(-1)?.number ?? 0);
  return {
    label,
    anchors,
    bars: picture.bars.map((bar) => ({
      number: bar.number,
      kind: kindOf(bar.number),
      x: round(bar.xPx),
      width: round(bar.widthPx),
    })),
    viewBox: `0 ${round(-lanePx)} ${round(picture.widthPx)} ${round(picture.heightPx + lanePx)}`,
    height: round(picture.heightPx),
    svg: trustedMarkup(picture.svg),
    lane: trustedMarkup(lane),
    lanes,
    onPaper: trustedMarkup(onPaper),
    laneLabel: lane === '' ? '' : `Findings and notes, ${bars}`,
    places: trustedMarkup(places),
  };
}

/** The systems of a score, and the numbers of the bars that links can lead to: the first place of each number. On paper flags stand in one row. */
export function shownSystems(
  systems: readonly EngravedSystem[],
  name: string,
  marks: readonly PlaceMark[] = [],
): { readonly systems: readonly ShownSystem[]; readonly placed: ReadonlySet<number> } {
  const placed: Placed = { bars: new Set(), keys: new Set() };
  const shown = systems.map((system): ShownSystem => {
    const caption = barSpanText(system.fromBar, system.toBar);
    const label = system.label === '' ? `${name}, ${caption}` : system.label;
    const here = marks.filter(({ from, to }) => from <= system.toBar && to >= system.fromBar);
    const places = new Map(system.bars.map(({ number }, index) => [number, index]));
    const kindOf = (bar: number): string => `b${String(places.get(bar) ?? MOST_MARKED_BARS)}`;
    const narrow = system.narrow.map((picture) =>
      shownPicture(picture, picture.label, SHOWN_PX.narrow, here, anchorsOf(picture, here, placed, kindOf), kindOf),
    );
    const widePx = SHOWN_PX.wide * (system.heightPx > system.widthPx ? OF_TALL_SHOWN : 1);
    const anchors = anchorsOf(system, here, placed, kindOf);
    return {
      ...shownPicture(system, label, widePx, here, anchors, kindOf, true),
      caption,
      narrow,
      doublings: [...new Set(system.doublings)],
      leftOut: [...new Set(system.leftOut)],
    };
  });
  return { systems: shown, placed: placed.bars };
}
