/** Which bars a picture of a finding shows. */
import type { BarBalance, Finding } from '../../model/readings/readings.ts';
import type { Bar } from '../../model/music/timeline.ts';

/** Indices of bars, both included, and the one that must be among them. */
export interface PictureBars {
  readonly from: number;
  readonly to: number;
  readonly worst: number;
}

const MOST_BARS = 4;

/** The bar in which the foreground is least clear of the background; undefined where nothing is known of it. */
function leastClear(from: number, to: number, balance: readonly BarBalance[]): number | undefined {
  let worst: { readonly index: number; readonly marginDb: number } | undefined;
  for (let index = from; index <= to; index++) {
    const marginDb = balance[index]?.marginDb;
    if (marginDb !== undefined && (worst === undefined || marginDb < worst.marginDb)) worst = { index, marginDb };
  }
  return worst?.index;
}

/** Where in a long finding a picture was taken: '' where one picture shows all its notes. */
export type PicturePlace = '' | 'first' | 'worst' | 'last';

/** The pictures that a finding needs: one, or, where its notes are spread over more than four bars, a bar each of its first, worst and last place. */
export function pictureViews(
  finding: Finding,
  noteBars: readonly number[],
  bars: readonly Bar[],
): readonly (PictureBars & { readonly place: PicturePlace })[] {
  const [worst] = noteBars;
  const [low, high] = [Math.min(...noteBars), Math.max(...noteBars)];
  if (worst === undefined || high - low < MOST_BARS) return [{ ...pictureBars(finding, noteBars, bars), place: '' }];
  const at = (index: number, place: PicturePlace): PictureBars & { readonly place: PicturePlace } => ({
    ...{ from: index, to: index, worst: index },
    place,
  });
  return [
    ...(low === worst ? [] : [at(low, 'first')]),
    at(worst, 'worst'),
    ...(high === worst ? [] : [at(high, 'last')]),
  ];
}

/**
 * At most four bars of a finding: those of the notes that it is about, the first of them the one that its text names, which lie that close; else
 * its first bars. `noteBars` are the indices of the bars of its notes.
 */
function pictureBars(finding: Finding, noteBars: readonly number[], bars: readonly Bar[]): PictureBars {
  const first = bars[0]?.number ?? 1;
  const clamp = (index: number): number => Math.min(Math.max(index, 0), bars.length - 1);
  const [worst] = noteBars;
  if (worst === undefined) {
    const from = clamp(finding.from - first);
    return { from, to: clamp(Math.min(finding.to - first, from + MOST_BARS - 1)), worst: from };
  }
  const low = Math.min(...noteBars);
  const high = Math.max(...noteBars);
  return { from: low, to: high, worst };
}

/** Bars of a picture of the balance: those of the finding with two on either side, of a long one those round its worst bar. */
export function marginBars(finding: Finding, balance: readonly BarBalance[], bars: readonly Bar[]): PictureBars {
  const first = bars[0]?.number ?? 1;
  const [beside, most] = [2, 24];
  const [start, end] = [finding.from - first, finding.to - first];
  const worst = leastClear(start, end, balance) ?? start;
  const from = Math.max(0, end - start < most ? start - beside : worst - most / 2);
  return { from, to: Math.min(bars.length - 1, end - start < most ? end + beside : from + most), worst };
}
