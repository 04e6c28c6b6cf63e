/** Who is in front, bar by bar, where nobody says. */
import type { PlayedNote, Section } from '../model/arrangement.ts';
import type { Bar } from '../model/timeline.ts';
import { searchLead } from './lead/lead-search.ts';
import type { BarLead } from './lead/lead-spans.ts';
import { fillBars } from './lead/lead-spans.ts';
import { SILENCE, salienceByBar } from './salience.ts';

export interface FrontCandidate {
  readonly id: string;
  readonly solo: boolean;
  /** True for the only singer among instruments. */
  readonly sung: boolean;
  readonly unpitched: boolean;
  readonly notes: readonly PlayedNote[];
}

/** A solo in the name counts 1; words draw the ear, so that the only singer counts 6 (common practice, no source). */
const SOLO = 1;
const SUNG = 6;
/** What a change of the part in front costs, in salience; at the start of a section half of it. */
const CHANGE = 2;
/** Salience as odds: a part that stands out by one over a bar leads e times as likely. */
const ODDS = 1;

function isHeard(salience: number | undefined): boolean {
  return salience !== undefined && salience !== SILENCE;
}

/** The part of highest melodic salience in each bar, left for another where that pays over the bars to come; none where nobody plays. */
export function guessLeads(
  parts: readonly FrontCandidate[],
  bars: readonly Bar[],
  sections: readonly Section[],
): readonly (BarLead | undefined)[] {
  const pitched = parts.filter((part) => !part.unpitched);
  const candidates = (pitched.length > 0 ? pitched : parts).filter(({ notes }) => notes.length > 0);
  if (candidates.length === 0 || bars.length === 0) return bars.map(() => undefined);
  const gains = salienceByBar(candidates, bars).map((own, index) => {
    const { solo = false, sung = false } = candidates[index] ?? {};
    return own.map((salience) => (isHeard(salience) ? salience + (solo ? SOLO : 0) + (sung ? SUNG : 0) : salience));
  });
  const starts = new Set(sections.map((section) => bars.findIndex((bar) => bar.number === section.from)));
  const costs = Float64Array.from(bars, (_, bar) => ODDS * (starts.has(bar) ? CHANGE / 2 : CHANGE));
  const free = new Float64Array(bars.length);
  const way = searchLead({
    fits: gains.map((own) => own.map((gain) => ODDS * gain)),
    leaving: candidates.map(() => costs),
    entering: candidates.map(() => free),
  });
  const isChosenHeard = (bar: number): boolean => isHeard(gains[way.parts[bar] ?? 0]?.[bar]);
  const nobodyHeard = !bars.some((_, bar) => isChosenHeard(bar));
  // A bar in which the chosen part is silent goes to whoever holds the bar before.
  return fillBars(
    bars.map((_, bar): BarLead | undefined => {
      const index = way.parts[bar] ?? 0;
      const chosen = candidates[index];
      if (chosen === undefined || (!nobodyHeard && !isChosenHeard(bar))) return undefined;
      const others = new Map<string, number>();
      candidates.forEach(({ id }, other) => {
        if (other !== index) others.set(id, way.chances[other]?.[bar] ?? 0);
      });
      return { partId: chosen.id, certainty: Math.min(0.99, way.chances[index]?.[bar] ?? 0), others };
    }),
  );
}
