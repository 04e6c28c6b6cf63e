/**
 * Short lines for narrow screens where a score was engraved once only: its long lines cut at bar lines. The short ones show pieces of the
 * long one's drawing (SVG `use`), so they cost next to nothing; names of parts are repeated, clefs are not.
 */
import type { EngravedBar, EngravedPicture, EngravedSystem } from '../../../model/drawing.ts';
import { element, round } from '../../../draw/svg.ts';
import { barSpanText } from '../../../model/words/plain-words.ts';

/** Most that a short line is wide, at the scale of the drawing, unless one bar alone is wider: what a telephone shows at half the size. */
const MOST_PX = 640;
/** What a line shows beyond its bar lines, so that numbers over them are whole. */
const EDGE_PX = 10;
/** Left of the first bar stand the names; the line that begins the system is not theirs. */
const SYSTEM_LINE_PX = 2;

/** Runs of bars that fit into a short line after the names, which take `headPx`. */
function runsOf(bars: readonly EngravedBar[], headPx: number): readonly (readonly EngravedBar[])[] {
  const runs: EngravedBar[][] = [];
  let width = 0;
  for (const bar of bars) {
    const run = runs.at(-1);
    if (run !== undefined && headPx + width + bar.widthPx <= MOST_PX) {
      run.push(bar);
      width += bar.widthPx;
    } else {
      runs.push([bar]);
      width = bar.widthPx;
    }
  }
  return runs;
}

/** A window on the drawing: `fromPx` to `fromPx + widthPx` of it, shown at `atPx`. */
function windowOf(id: string, size: { readonly widthPx: number; readonly heightPx: number }) {
  return (fromPx: number, widthPx: number, atPx: number): string =>
    element(
      'svg',
      {
        x: round(atPx),
        y: '0',
        width: round(widthPx),
        height: round(size.heightPx),
        viewBox: `${round(fromPx)} 0 ${round(widthPx)} ${round(size.heightPx)}`,
      },
      element('use', { href: `#${id}` }),
    );
}

function shortLine(system: EngravedSystem, run: readonly EngravedBar[], id: string): EngravedPicture {
  const { heightPx } = system;
  const [first, last] = [run[0], run.at(-1)];
  const firstIndex = first === undefined ? 0 : system.bars.indexOf(first);
  const isFirst = firstIndex === 0;
  const headPx = Math.max(0, (system.bars[0]?.xPx ?? 0) - SYSTEM_LINE_PX);
  const fromPx = isFirst ? headPx : (first?.xPx ?? 0) - EDGE_PX;
  const toPx = Math.min(system.widthPx, (last === undefined ? 0 : last.xPx + last.widthPx) + EDGE_PX);
  const barsPx = toPx - fromPx;
  const widthPx = headPx + barsPx;
  const show = windowOf(id, system);
  const label = barSpanText(first?.number ?? 0, last?.number ?? 0);
  return {
    svg: element(
      'svg',
      {
        class: 'sn',
        width: round(widthPx),
        height: round(heightPx),
        viewBox: `0 0 ${round(widthPx)} ${round(heightPx)}`,
        role: 'img',
        'aria-label': label,
        fill: 'currentColor',
        'font-family': 'serif',
      },
      show(0, headPx, 0) + show(fromPx, barsPx, headPx),
    ),
    label,
    bars: run.map((bar) => ({ ...bar, xPx: bar.xPx - fromPx + headPx })),
    staves: system.staves.map((staff) => ({
      ...staff,
      partIdsByBar: staff.partIdsByBar.slice(firstIndex, firstIndex + run.length),
    })),
    widthPx,
    heightPx,
  };
}

/** Systems with short lines, where they have none of their own; `name` begins the ids of the drawings and is unique in the page. */
export function withShortLines(systems: readonly EngravedSystem[], name: string): readonly EngravedSystem[] {
  return systems.map((system, index): EngravedSystem => {
    const runs = runsOf(system.bars, system.bars[0]?.xPx ?? 0);
    if (system.narrow.length > 0 || runs.length < 2) return system;
    const id = `${name}-${String(index + 1)}`;
    const [, start = '', inside = ''] = /^(<svg[^>]*>)(.*)<\/svg>$/s.exec(system.svg) ?? [];
    if (start === '') throw new Error('a system is not one picture');
    return {
      ...system,
      svg: `${start}${element('g', { id }, inside)}</svg>`,
      narrow: runs.map((run) => shortLine(system, run, id)),
    };
  });
}
