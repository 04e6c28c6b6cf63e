/** Who leads, phrase by phrase, where nobody says. */
import type { PlayedNote, Section } from '../../model/music/arrangement.ts';
import type { Bar } from '../../model/music/timeline.ts';
import type { LeadOdds } from './lead-search.ts';
import { searchLead } from './lead-search.ts';
import type { LeadStep, PartSigns } from './lead-signs.ts';
import { leadSigns, leadSteps, SIGNS } from './lead-signs.ts';
import type { BarLead } from './lead-spans.ts';
import { fillBars } from './lead-spans.ts';
import { withoutVamps } from './vamps.ts';
import { KNOWN, SEARCH, SELDOM, WEIGHTS } from './lead-weights.ts';

export interface FrontCandidate {
  readonly id: string;
  /** Catalogue id or `unknown`. */
  readonly instrument: string;
  readonly unpitched: boolean;
  readonly notes: readonly PlayedNote[];
  /** What is known of the part besides its notes. */
  readonly known: readonly (keyof typeof KNOWN)[];
  /** Numbers of bars in which it has a tune that was given to it. */
  readonly given?: ReadonlySet<number>;
}

function knownOdds(part: FrontCandidate | undefined): number {
  if (part === undefined) return 0;
  return part.known.reduce((sum, own) => sum + KNOWN[own], -(SELDOM.get(part.instrument) ?? 0));
}

function oddsOf(
  candidates: readonly FrontCandidate[],
  signs: readonly PartSigns[],
  steps: readonly LeadStep[],
  bars: readonly Bar[],
): LeadOdds {
  const size = SIGNS.length;
  const weights = SIGNS.map((sign) => WEIGHTS[sign]);
  const fits = signs.map((own, part) => {
    const known = knownOdds(candidates[part]);
    const fit = new Float64Array(steps.length);
    for (let step = 0; step < steps.length; step++) {
      let sum = own.within[step] === 1 ? known : SEARCH.resting;
      if (candidates[part]?.given?.has(bars[steps[step]?.bar ?? 0]?.number ?? 0) === true) sum += KNOWN.given;
      if (own.within[step] === 1)
        for (let sign = 0; sign < size; sign++) sum += (weights[sign] ?? 0) * (own.signs[step * size + sign] ?? 0);
      fit[step] = SEARCH.beatWeight * sum;
    }
    return fit;
  });
  const leaving: Float64Array[] = [];
  const entering: Float64Array[] = [];
  for (const { within, begins } of signs) {
    const leave = new Float64Array(steps.length);
    const enter = new Float64Array(steps.length);
    for (const [step, { opensSection }] of steps.entries()) {
      const goesOn = within[step] === 1 && begins[step] !== 1;
      enter[step] = opensSection ? SEARCH.atSection : goesOn ? SEARCH.withinPhrase : SEARCH.atPhrase;
      leave[step] = opensSection || !goesOn || within[step - 1] === 1 ? (enter[step] ?? 0) : SEARCH.atPhrase;
    }
    leaving.push(leave);
    entering.push(enter);
  }
  return { fits, leaving, entering };
}

/** The signs of all who may lead: what the search starts from. */
interface ReadSigns {
  readonly steps: readonly LeadStep[];
  readonly candidates: readonly FrontCandidate[];
  readonly signs: readonly PartSigns[];
}

/** Signs of the parts with pitches, of all where none has any; undefined where there is nothing to read. */
function readSigns(
  parts: readonly FrontCandidate[],
  bars: readonly Bar[],
  sections: readonly Section[],
): ReadSigns | undefined {
  const pitched = parts.filter((part) => !part.unpitched);
  const candidates = (pitched.length > 0 ? pitched : parts).filter(({ notes }) => notes.length > 0);
  if (candidates.length === 0 || bars.length === 0) return undefined;
  const steps = leadSteps(bars, sections);
  return { steps, candidates, signs: leadSigns(candidates, bars, steps) };
}

/** Who leads in each bar: in most of its beats, of those in which it sounds. */
export function guessLeads(
  parts: readonly FrontCandidate[],
  bars: readonly Bar[],
  sections: readonly Section[],
): readonly (BarLead | undefined)[] {
  const read = readSigns(parts, bars, sections);
  if (read === undefined) return bars.map(() => undefined);
  return withoutVamps(
    leadsBySigns(read, bars),
    read.candidates.filter(({ known, given }) => known.length === 0 && (given?.size ?? 0) === 0),
    bars,
  );
}

function leadsBySigns({ steps, candidates, signs }: ReadSigns, bars: readonly Bar[]): readonly (BarLead | undefined)[] {
  const way = searchLead(oddsOf(candidates, signs, steps, bars));
  const beats = bars.map(() => new Float64Array(candidates.length));
  const chances = bars.map(() => new Float64Array(candidates.length));
  const counts = new Float64Array(bars.length);
  steps.forEach(({ bar }, step) => {
    const part = way.parts[step] ?? 0;
    const own = beats[bar];
    const all = chances[bar];
    if (own === undefined || all === undefined) return;
    counts[bar] = (counts[bar] ?? 0) + 1;
    own[part] = (own[part] ?? 0) + (signs[part]?.within[step] === 1 ? 1 : 0);
    for (let index = 0; index < candidates.length; index++)
      all[index] = (all[index] ?? 0) + (way.chances[index]?.[step] ?? 0);
  });
  const nobodyHeard = beats.every((own) => own.every((count) => count === 0));
  return fillBars(
    bars.map((_, bar): BarLead | undefined => {
      const own = beats[bar] ?? new Float64Array();
      const most = Math.max(...own);
      if (most === 0 && !nobodyHeard) return undefined;
      const index = own.indexOf(most);
      const chosen = candidates[index];
      if (chosen === undefined) return undefined;
      const others = new Map<string, number>();
      candidates.forEach(({ id }, other) => {
        if (other !== index) others.set(id, (chances[bar]?.[other] ?? 0) / (counts[bar] ?? 1));
      });
      return {
        partId: chosen.id,
        certainty: Math.min(0.99, (chances[bar]?.[index] ?? 0) / (counts[bar] ?? 1)),
        others,
      };
    }),
  );
}
