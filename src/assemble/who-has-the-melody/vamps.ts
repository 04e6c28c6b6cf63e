/**
 * Bars in which nobody has a tune: it has come to its last note, or rests, and what goes on are chords in the very rhythm in which their player
 * accompanies elsewhere. Whoever led before stays, as a listener who waits for the tune to go on would say (common practice, no source).
 */
import type { PlayedNote } from '../../model/music/arrangement.ts';
import type { Bar } from '../../model/music/timeline.ts';
import { onceEach } from '../../model/once-each.ts';
import { barIndexAt } from '../../model/music/timeline.ts';
import type { BarLead } from './lead-spans.ts';

export interface VampPart {
  readonly id: string;
  readonly notes: readonly PlayedNote[];
}

/** A figure that it has in so many bars behind others, and in this share of those, is how the part accompanies. */
const FEWEST_BARS = 4;
const FIGURE_SHARE = 0.25;
/** So many of its onsets have more than one note. */
const CHORD_SHARE = 0.75;
/** Onsets are compared in eighths; what is played before the bar line by less belongs behind it. */
const STEPS_PER_QUARTER = 2;

/** Onsets of one bar, in eighths, and whether they are one chord struck again and again: a tune in thirds or octaves moves. */
interface BarFigure {
  readonly figure: string;
  readonly isChords: boolean;
}

function figuresOf(notes: readonly PlayedNote[], bars: readonly Bar[]): readonly (BarFigure | undefined)[] {
  const byBar = bars.map(() => new Map<number, Set<number>>());
  for (const { startQuarters, midi } of notes) {
    const index = barIndexAt(bars, startQuarters + 0.5 / STEPS_PER_QUARTER);
    const step = Math.round((startQuarters - (bars[index]?.startQuarters ?? 0)) * STEPS_PER_QUARTER);
    const own = byBar[index];
    own?.set(step, (own.get(step) ?? new Set()).add(midi));
  }
  return byBar.map((own) => {
    if (own.size === 0) return undefined;
    const chords = [...own.values()].filter(({ size }) => size > 1).length;
    const tops = new Set([...own.values()].map((keys) => Math.max(...keys)));
    return {
      figure: [...own.keys()].sort((a, b) => a - b).join(' '),
      isChords: own.size > 1 && tops.size === 1 && chords >= CHORD_SHARE * own.size,
    };
  });
}

interface LeadRun {
  readonly partId: string;
  readonly from: number;
  to: number;
}

function runsOf(leads: readonly (BarLead | undefined)[]): readonly LeadRun[] {
  const runs: LeadRun[] = [];
  leads.forEach((lead, index) => {
    if (lead === undefined) return;
    const last = runs.at(-1);
    if (last?.partId === lead.partId && last.to === index - 1) last.to = index;
    else runs.push({ partId: lead.partId, from: index, to: index });
  });
  return runs;
}

/** The leads of the bars, those of a mere vamp given to who led before, or at the beginning to who leads after. */
export function withoutVamps(
  leads: readonly (BarLead | undefined)[],
  parts: readonly VampPart[],
  bars: readonly Bar[],
): readonly (BarLead | undefined)[] {
  const runs = runsOf(leads);
  if (runs.length < 2) return leads;
  const kept = [...leads];
  const figuresFor = onceEach((part: VampPart) => figuresOf(part.notes, bars));
  for (const [index, run] of runs.entries()) {
    const part = parts.find(({ id }) => id === run.partId);
    // One after the other: who was given the bars before leads on.
    const partId = kept[run.from - 1]?.partId ?? runs[index + 1]?.partId;
    if (part === undefined || partId === undefined || partId === run.partId) continue;
    const figures = figuresFor(part);
    const behind = figures.flatMap((own, bar) =>
      own === undefined || leads[bar]?.partId === run.partId ? [] : [own.figure],
    );
    const isVamp = ({ figure, isChords }: BarFigure): boolean => {
      if (!isChords) return false;
      const same = behind.filter((other) => other === figure).length;
      return same >= FEWEST_BARS && same >= FIGURE_SHARE * behind.length;
    };
    const own = figures.slice(run.from, run.to + 1).filter((figure) => figure !== undefined);
    if (own.length === 0 || !own.every(isVamp)) continue;
    for (let bar = run.from; bar <= run.to; bar++) {
      const lead = leads[bar];
      if (lead === undefined) continue;
      const others = new Map(lead.others);
      others.delete(partId);
      kept[bar] = { ...lead, partId, others };
    }
  }
  return kept;
}
