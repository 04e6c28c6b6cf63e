/** Sets the staves of a system that is laid out one under another, and puts frame, names and music together as one picture. */
import { escapeXml } from '../../svg.ts';
import type { EngravedBar, EngravedStaff } from '../../../model/drawing.ts';
import type { StaffInfo } from '../../../model/music/written.ts';
import type { Sheet } from '../ink/sheet.ts';
import { sheetMarkup } from '../ink/sheet.ts';
import { bottomOf } from '../ink/ink.ts';
import type { ReadyBar } from '../line-breaks/justify-line.ts';
import type { BarLine } from './frame.ts';
import type { labelsOf } from './frame.ts';
import { bracketEndPx, frameMarkup, labelMarkup } from './frame.ts';
import { STAFF_PX, spreadStaves, stackStaves } from './stack-staves.ts';

export interface DrawnSystem {
  readonly svg: string;
  readonly bars: readonly EngravedBar[];
  readonly staves: readonly EngravedStaff[];
  readonly widthPx: number;
  readonly heightPx: number;
}

/** A system of which all is placed but the staves, one under another. */
export interface SettableSystem {
  readonly widthPx: number;
  /** At the least distances of its staves. */
  readonly heightPx: number;
  /** Draws it with so many more pixels, of `heightPx`, between its staves and under them. */
  readonly draw: (airPx: number) => DrawnSystem;
}

/** The music of a system, each staff on a sheet of its own. */
export interface PlacedMusic {
  readonly staves: readonly StaffInfo[];
  readonly bars: readonly ReadyBar[];
  readonly label: string;
  readonly glyphs: Set<string>;
  readonly shownScale?: number;
  readonly widthPx: number;
  /** Width of the drawing, of which `scale` makes `widthPx`. */
  readonly systemPx: number;
  readonly scale: number;
  readonly margin: number;
  readonly labels: ReturnType<typeof labelsOf>;
  readonly sheets: readonly Sheet[];
  readonly barLines: readonly { readonly x: number; readonly kind: BarLine }[];
  readonly engraved: readonly EngravedBar[];
}

const FOOT_PX = 8;
/** Of more room so much stands under the system, before the next one. */
const BELOW = 0.2;

const NOBODY: readonly string[] = [];

/** The staves of a system with the parts that are written on them, bar by bar. */
function staffPlaces(bars: readonly ReadyBar[], staffYs: readonly number[], scale: number): readonly EngravedStaff[] {
  const px = (value: number): number => Math.round(value * scale * 10) / 10;
  return staffYs.map((y, staff) => ({
    topPx: px(y),
    bottomPx: px(y + STAFF_PX),
    partIdsByBar: bars.flatMap((ready) =>
      ready.bars.map(({ staves }) => {
        const ids = new Set<string>();
        for (const voice of staves[staff]?.voices ?? [])
          for (const { heads } of voice) for (const { partIds } of heads) for (const id of partIds) ids.add(id);
        return ids.size === 0 ? NOBODY : [...ids];
      }),
    ),
  }));
}

function heightOf({ staves, sheets, systemPx }: PlacedMusic, staffYs: readonly number[]): number {
  const lowest = sheets.at(-1);
  const last = staffYs.at(-1) ?? 0;
  const bottom = last + Math.max(STAFF_PX, lowest === undefined ? 0 : bottomOf(lowest.ink, 0, systemPx));
  return Math.ceil(Math.max(bottom + FOOT_PX, last + STAFF_PX + bracketEndPx(staves)));
}

/** A system as its music is placed: how high it is at the least distances of its staves, and the picture of it with more. */
export function settableSystem(placed: PlacedMusic): SettableSystem {
  const { staves, sheets, systemPx, scale, widthPx } = placed;
  const nearest = stackStaves(staves, sheets, systemPx);
  return {
    widthPx,
    heightPx: Math.ceil(heightOf(placed, nearest) * scale),
    draw: (airPx) => {
      const below = (BELOW * airPx) / scale;
      return setSystem(placed, airPx === 0 ? nearest : spreadStaves(staves, nearest, airPx / scale - below), below);
    },
  };
}

function setSystem(placed: PlacedMusic, staffYs: readonly number[], belowPx: number): DrawnSystem {
  const { staves, sheets, systemPx, scale, widthPx, margin, labels, barLines, glyphs, label, bars, engraved } = placed;
  const height = Math.ceil(heightOf(placed, staffYs) + belowPx);
  const letters = sheets.flatMap((sheet, index) =>
    sheet.letters.map((box) => {
      const down = staffYs[index] ?? 0;
      return { ...box, top: box.top + down, bottom: box.bottom + down };
    }),
  );
  const bodies = sheets.map((sheet, index) => sheetMarkup(sheet, staffYs[index] ?? 0)).join('');
  const shown = placed.shownScale ?? scale;
  const size = ` width="${String(Math.round(systemPx * shown))}" height="${String(Math.ceil(height * shown))}"`;
  const svg =
    `<svg class="sn"${size} viewBox="0 0 ${String(systemPx)} ${String(height)}" role="img" aria-label="${escapeXml(label)}" ` +
    `fill="currentColor" font-family="serif">` +
    frameMarkup(staves, staffYs, margin, barLines, glyphs, letters) +
    labelMarkup(labels, staves, staffYs, margin) +
    bodies +
    `</svg>`;
  return {
    svg,
    widthPx,
    heightPx: Math.ceil(height * scale),
    bars: engraved,
    staves: staffPlaces(bars, staffYs, scale),
  };
}
