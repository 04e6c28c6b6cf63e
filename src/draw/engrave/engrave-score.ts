/** Engraves a reduced score: one SVG for each system, as strings, the same whatever was engraved before. */
import type { EngravedScore, EngravedSystem } from '../../model/drawing.ts';
import type { ReducedScore, ScoreBar } from '../../model/written.ts';
import type { Remembered } from './accidentals.ts';
import { breakLines } from './break-lines.ts';
import { checkBar } from './check-bar.ts';
import { cueBlocks } from './cues.ts';
import type { ReadyBar } from './draw-system.ts';
import { courtesyWidth, drawSystem, marginOf, rigidWidth } from './draw-system.ts';
import { prepareBar } from './prepare-bar.ts';
import { leastWidth, widthAt } from './spacing.ts';
import { prepareVexflow } from './vexflow-setup.ts';
import { chordWords, oneLine } from './words.ts';

export { glyphDefs } from './glyph-table.ts';

const NARROWEST_PX = 320;

function readyBar(
  score: ReducedScore,
  bar: ScoreBar,
  before: readonly Remembered[],
): { readonly ready: ReadyBar; readonly remembered: readonly Remembered[] } {
  const chords = bar.chords.map(({ start, text }) => ({ start, words: chordWords(text) }));
  const cues = cueBlocks(bar);
  const { prepared, remembered } = prepareBar(bar, score.staves, [chords, cues], before);
  return { ready: { prepared, chords, cues }, remembered };
}

function uniqueLines(bars: readonly ScoreBar[], of: (bar: ScoreBar) => readonly string[]): readonly string[] {
  return [...new Set(bars.flatMap((bar) => of(bar)))];
}

function describe(bars: readonly ScoreBar[], title: string): string {
  const from = bars[0]?.number ?? 0;
  const to = bars.at(-1)?.number ?? from;
  const parts = [oneLine(title), from === to ? `bar ${String(from)}` : `bars ${String(from)} to ${String(to)}`].filter(
    (part) => part !== '',
  );
  const sections = bars.flatMap((bar) =>
    bar.sectionName === undefined ? [] : [`${oneLine(bar.sectionName)} from bar ${String(bar.number)}`],
  );
  const chords = bars.flatMap((bar) =>
    bar.chords.length === 0
      ? []
      : [`bar ${String(bar.number)} ${bar.chords.map((chord) => oneLine(chord.text)).join(', ')}`],
  );
  return (
    `${parts.join(', ')}.` +
    (sections.length === 0 ? '' : ` Sections: ${sections.join('; ')}.`) +
    (chords.length === 0 ? '' : ` Chords: ${chords.join('; ')}.`)
  );
}

/**
 * Engraves a score for lines of `widthPx` pixels at a staff height of 40 px (1200 px on A4 is a staff of 6 mm). Returns no
 * systems where there are no bars or no staves. Throws an Error that names the bar where a voice does not fill it or a
 * figure belies its length. A page that shows the systems needs `glyphDefs(result.glyphs)` once.
 */
export function engraveScore(
  score: ReducedScore,
  options: { readonly widthPx: number; readonly title: string },
): EngravedScore {
  if (score.staves.length === 0 || score.bars.length === 0) return { systems: [], glyphs: [] };
  prepareVexflow();
  for (const bar of score.bars) checkBar(bar, score.staves.length);
  const widthPx = Math.max(NARROWEST_PX, options.widthPx);
  const margins = [marginOf(score.staves, true), marginOf(score.staves, false)] as const;

  let before: readonly Remembered[] = score.staves.map(() => new Map<string, number>());
  const ready: (ReadyBar | undefined)[] = [];
  for (const bar of score.bars) {
    const made = readyBar(score, bar, before);
    ready.push(made.ready);
    before = made.remembered;
  }
  const widths = ready.map((one, index) => {
    if (one === undefined) return { natural: 0, least: 0, asFirst: 0, asLast: 0 };
    const next = score.bars[index + 1];
    const rigid = rigidWidth(one, next, false);
    return {
      natural: rigid + widthAt(one.prepared.gaps, 1),
      least: rigid + leastWidth(one.prepared.gaps),
      asFirst: rigidWidth(one, next, true) - rigid,
      asLast: courtesyWidth(next),
    };
  });
  const starts = breakLines(widths, (first) => widthPx - margins[first === 0 ? 0 : 1] - 1);

  const glyphs = new Set<string>();
  const systems = starts.map((start, index): EngravedSystem => {
    const end = starts[index + 1] ?? score.bars.length;
    const bars = score.bars.slice(start, end);
    const label = describe(bars, options.title);
    const drawn = drawSystem({
      staves: score.staves,
      bars: ready.slice(start, end).flatMap((one) => one ?? []),
      next: score.bars[end],
      first: start === 0,
      widthPx,
      label,
      glyphs,
    });
    // The notes of a drawn system are not needed again.
    ready.fill(undefined, start, end);
    return {
      ...drawn,
      label,
      fromBar: bars[0]?.number ?? 0,
      toBar: bars.at(-1)?.number ?? 0,
      doublings: uniqueLines(bars, (bar) => bar.doublings),
      leftOut: uniqueLines(bars, (bar) => bar.leftOut),
    };
  });
  return { systems, glyphs: [...glyphs].sort() };
}
