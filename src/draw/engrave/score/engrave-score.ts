/** Engraves a score: one SVG for each system, as strings, the same whatever was engraved before. */
import type { EngravedPicture, EngravedScore, EngravedSystem } from '../../../model/drawing.ts';
import type { ReducedScore, ScoreBar } from '../../../model/music/written.ts';
import { gatherLeftOut } from '../../../notate/reduction/cues.ts';
import { breakLines } from '../line-breaks/break-lines.ts';
import { checkBar } from '../accidentals-beams-rests/check-bar.ts';
import { describeBars } from '../system/describe-bars.ts';
import { layOutSystem, marginOf } from '../system/draw-system.ts';
import type { SheetRoom } from './fill-sheets.ts';
import { airOfSystems } from './fill-sheets.ts';
import type { ReadyBar } from '../line-breaks/justify-line.ts';
import { barWidth, courtesyWidth, rigidWidth } from '../bar-spacing/bar-width.ts';
import { ottavaOf } from '../accidentals-beams-rests/ottava.ts';
import { readyBars } from '../line-breaks/ready-bars.ts';
import { leastWidth } from '../bar-spacing/springs.ts';
import type { LetterSize } from '../ink/words.ts';
import { letterSizeFor } from '../ink/words.ts';
import type { SettableSystem } from '../system/set-system.ts';
import { usedStaves } from '../system/used-staves.ts';

export { glyphDefs } from '../ink/glyph-table.ts';

const NARROWEST_PX = 320;

export interface EngraveOptions {
  readonly widthPx: number;
  /** A second engraving for narrow screens, its lines within those of the first; none where absent. */
  readonly narrowPx?: number;
  readonly title: string;
  /** Width on paper in points; that of an upright A4 sheet where absent. */
  readonly printedPt?: number;
  /** Sheets of paper that systems are to fill, by the distances of their staves; these are as near as may be where absent. */
  readonly sheets?: SheetRoom;
  /** Staves that rest for a whole system are left out of it after the first one. */
  readonly hideEmpty?: boolean;
  /** The bar after the last one, where the score goes on elsewhere. */
  readonly next?: ScoreBar;
}

function uniqueLines(bars: readonly ScoreBar[], of: (bar: ScoreBar) => readonly string[]): readonly string[] {
  return [...new Set(bars.flatMap((bar) => of(bar)))];
}

interface Lines {
  readonly widthPx: number;
  readonly letters: LetterSize | undefined;
  /** Index of the first ready bar of each line. */
  readonly starts: readonly number[];
}

function linesOf(
  score: ReducedScore,
  ready: readonly ReadyBar[],
  options: EngraveOptions,
  widthPx: number,
  forced: ReadonlySet<number>,
  fullNames: boolean,
): Lines {
  const letters = letterSizeFor(widthPx, options.printedPt);
  const margins = [marginOf(score.staves, fullNames, letters), marginOf(score.staves, false, letters)] as const;
  const widths = ready.map((one, index) => {
    const next = ready[index + 1]?.prepared.bar ?? options.next;
    const rigid = rigidWidth(one, next, false);
    return {
      natural: barWidth(one, next, 1),
      least: rigid + leastWidth(one.prepared.gaps),
      asFirst: rigidWidth(one, next, true) - rigid,
      asLast: courtesyWidth(next),
      startsLine: forced.has(index),
    };
  });
  return { widthPx, letters, starts: breakLines(widths, (first) => widthPx - margins[first === 0 ? 0 : 1] - 1) };
}

/** A line with its number of staves and what it shows, ready to be drawn. */
interface LaidOutLine extends SettableSystem {
  readonly staves: number;
  readonly label: string;
}

function drawn({ draw, label }: LaidOutLine, airPx: number): EngravedPicture {
  return { ...draw(airPx), label };
}

/**
 * Engraves a score for lines of `widthPx` pixels at a staff height of 40 px (1200 px on A4 is a staff of 6 mm). Returns no
 * systems where there are no bars or no staves. Throws an Error that names the bar where a voice does not fill it or a
 * figure belies its length. A page that shows the systems needs `glyphDefs(result.glyphs)` once.
 */
export function engraveScore(score: ReducedScore, options: EngraveOptions): EngravedScore {
  if (score.staves.length === 0 || score.bars.length === 0) return { systems: [], glyphs: [] };
  for (const bar of score.bars) checkBar(bar, score.staves.length);
  const ottava = ottavaOf(score);
  const ready = readyBars(score, ottava);
  const glyphs = new Set<string>();
  const dynamics = score.bars.flatMap((bar) => bar.dynamics);
  const syllables = score.bars.flatMap(({ words = [] }) => words);

  const layOut = (lines: Lines, line: number, fullNames: boolean): LaidOutLine => {
    const start = lines.starts[line] ?? 0;
    const end = lines.starts[line + 1] ?? ready.length;
    const all = {
      staves: score.staves,
      staffIndices: score.staves.map((_, index) => index),
      bars: ready.slice(start, end),
      next: ready[end]?.prepared.bar ?? options.next,
    };
    const used = fullNames ? all : usedStaves(all, options.hideEmpty === true ? 'all' : 'when-played');
    const bars = all.bars.flatMap((one) => one.bars);
    const label = describeBars(bars, options.title);
    const { widthPx, letters } = lines;
    const { printedPt } = options;
    const request = { ...used, fullNames, widthPx, label, ottava, dynamics, syllables, glyphs, letters, printedPt };
    return { ...layOutSystem(request), staves: used.staves.length, label };
  };

  const wide = linesOf(score, ready, options, Math.max(NARROWEST_PX, options.widthPx), new Set(), true);
  const narrow =
    options.narrowPx === undefined
      ? undefined
      : linesOf(score, ready, options, Math.max(NARROWEST_PX, options.narrowPx), new Set(wide.starts), false);
  const laidOut = wide.starts.map((_, line) => layOut(wide, line, line === 0));
  const air = options.sheets === undefined ? [] : airOfSystems(laidOut, wide.widthPx, options.sheets);
  const systems = laidOut.map((system, line): EngravedSystem => {
    const start = wide.starts[line] ?? 0;
    const end = wide.starts[line + 1] ?? ready.length;
    const bars = ready.slice(start, end).flatMap((one) => one.bars);
    const narrowLines = (narrow?.starts ?? []).flatMap((place, index) =>
      place >= start && place < end ? [index] : [],
    );
    return {
      ...drawn(system, air[line] ?? 0),
      narrow: narrow === undefined ? [] : narrowLines.map((index) => drawn(layOut(narrow, index, false), 0)),
      fromBar: bars[0]?.number ?? 0,
      toBar: bars.at(-1)?.number ?? 0,
      doublings: uniqueLines(bars, (bar) => bar.doublings),
      leftOut: gatherLeftOut(bars.flatMap((bar) => bar.leftOut)),
    };
  });
  return { systems, glyphs: [...glyphs].sort() };
}
