/** A line of a score as the templates show it. */
import type { EngravedPicture, EngravedSystem } from '../../model/drawing.ts';
import { round } from '../../draw/svg.ts';
import { barSpanText } from '../../model/plain-words.ts';
import { trustedMarkup, type TrustedMarkup } from '../trusted-markup.ts';

interface ShownPicture {
  readonly label: string;
  /** Place of every bar over the picture; `id` is '' where another picture of the page has it. */
  readonly bars: readonly {
    readonly number: number;
    readonly id: string;
    readonly x: string;
    readonly width: string;
  }[];
  readonly viewBox: string;
  readonly height: string;
  readonly svg: TrustedMarkup;
}

export interface ShownSystem extends ShownPicture {
  readonly caption: string;
  readonly narrow: readonly ShownPicture[];
  readonly doublings: readonly string[];
  readonly leftOut: readonly string[];
}

function shownPicture(picture: EngravedPicture, label: string, idOf: (bar: number) => string): ShownPicture {
  return {
    label,
    bars: picture.bars.map((bar) => ({
      number: bar.number,
      id: idOf(bar.number),
      x: round(bar.xPx),
      width: round(bar.widthPx),
    })),
    viewBox: `0 0 ${round(picture.widthPx)} ${round(picture.heightPx)}`,
    height: round(picture.heightPx),
    svg: trustedMarkup(picture.svg),
  };
}

/** The systems of a score, and the numbers of the bars that links can lead to: the first place of each number. */
export function shownSystems(
  systems: readonly EngravedSystem[],
  name: string,
): { readonly systems: readonly ShownSystem[]; readonly placed: ReadonlySet<number> } {
  const placed = new Set<number>();
  const shown = systems.map((system): ShownSystem => {
    const caption = barSpanText(system.fromBar, system.toBar);
    const label = system.label === '' ? `${name}, ${caption}` : system.label;
    const idOf = (bar: number): string => {
      if (placed.has(bar)) return '';
      placed.add(bar);
      return `bar-${String(bar)}`;
    };
    return {
      ...shownPicture(system, label, idOf),
      caption,
      narrow: system.narrow.map((picture) => shownPicture(picture, picture.label, () => '')),
      doublings: [...new Set(system.doublings)],
      leftOut: [...new Set(system.leftOut)],
    };
  });
  return { systems: shown, placed };
}
