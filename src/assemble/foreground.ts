/** Who is in front, bar by bar. */
import type { ForegroundSpan } from '../model/arrangement.ts';
import type { Bar } from '../model/timeline.ts';
import type { PlayedNote, Section } from '../model/arrangement.ts';
import { SILENCE, salienceByBar } from './salience.ts';

export interface FrontCandidate {
  readonly id: string;
  readonly solo: boolean;
  /** True for the only singer among instruments. */
  readonly sung: boolean;
  readonly unpitched: boolean;
  readonly notes: readonly PlayedNote[];
}

/** Joins neighbouring bars with the same part. */
export function spansOf(bars: readonly Bar[], idOfBar: readonly (string | undefined)[]): ForegroundSpan[] {
  const spans: { partId: string; from: number; to: number }[] = [];
  bars.forEach((bar, index) => {
    const partId = idOfBar[index];
    if (partId === undefined) return;
    const last = spans.at(-1);
    if (last?.partId === partId && last.to === bar.number - 1) last.to = bar.number;
    else spans.push({ partId, from: bar.number, to: bar.number });
  });
  return spans;
}

/** Bars that nobody holds go to whoever holds the bar before (or the first bar after). */
export function fillBars(idOfBar: readonly (string | undefined)[]): (string | undefined)[] {
  const filled = [...idOfBar];
  for (let index = 1; index < filled.length; index++) filled[index] ??= filled[index - 1];
  for (let index = filled.length - 2; index >= 0; index--) filled[index] ??= filled[index + 1];
  return filled;
}

/** A solo in the name counts 1; words draw the ear, so that the only singer counts 6 (common practice, no source). */
const SOLO = 1;
const SUNG = 6;
/** What a change of the part in front costs, in salience; at the start of a section half of it. */
const CHANGE = 2;

/** The way through the bars with the most salience, changes paid for (a search by dynamic programming); indices of parts. */
function bestWay(
  gains: readonly Float64Array[],
  barCount: number,
  costOfChange: (bar: number) => number,
): readonly number[] {
  const sums = new Float64Array(gains.length);
  const origins: Int32Array[] = [];
  for (let bar = 0; bar < barCount; bar++) {
    let leader = 0;
    for (let part = 1; part < sums.length; part++) if ((sums[part] ?? 0) > (sums[leader] ?? 0)) leader = part;
    const changed = (sums[leader] ?? 0) - (bar === 0 ? 0 : costOfChange(bar));
    const origin = new Int32Array(gains.length);
    for (let part = 0; part < sums.length; part++) {
      const sum = sums[part] ?? 0;
      origin[part] = sum >= changed ? part : leader;
      sums[part] = Math.max(sum, changed) + (gains[part]?.[bar] ?? 0);
    }
    origins.push(origin);
  }
  const way: number[] = [];
  let part = sums.indexOf(Math.max(...sums));
  for (let bar = barCount - 1; bar >= 0; bar--) {
    way.push(part);
    part = origins[bar]?.[part] ?? part;
  }
  return way.reverse();
}

function isHeard(salience: number | undefined): boolean {
  return salience !== undefined && salience !== SILENCE;
}

/** The part of highest melodic salience in each bar, left for another where that pays over the bars to come. */
export function guessForeground(
  parts: readonly FrontCandidate[],
  bars: readonly Bar[],
  sections: readonly Section[],
): readonly ForegroundSpan[] {
  const pitched = parts.filter((part) => !part.unpitched);
  const candidates = pitched.length > 0 ? pitched : parts;
  if (candidates.length === 0 || bars.length === 0) return [];
  const gains = salienceByBar(candidates, bars).map((own, index) => {
    const { solo = false, sung = false } = candidates[index] ?? {};
    return own.map((salience) => (isHeard(salience) ? salience + (solo ? SOLO : 0) + (sung ? SUNG : 0) : salience));
  });
  const starts = new Set(sections.map((section) => bars.findIndex((bar) => bar.number === section.from)));
  const way = bestWay(gains, bars.length, (bar) => (starts.has(bar) ? CHANGE / 2 : CHANGE));
  if (candidates.every(({ notes }) => notes.length === 0)) return [];
  // A bar in which the chosen part is silent goes to whoever holds the bar before.
  const heard = way.map((index, bar) => (isHeard(gains[index]?.[bar]) ? candidates[index]?.id : undefined));
  const idOfBar = heard.some((id) => id !== undefined) ? heard : way.map((index) => candidates[index]?.id);
  return spansOf(bars, fillBars(idOfBar));
}
