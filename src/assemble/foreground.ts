/** Who is in front, bar by bar. */
import type { ForegroundSpan } from '../model/arrangement.ts';
import { barIndexAt } from '../model/timeline.ts';
import type { Bar } from '../model/timeline.ts';
import type { PlayedNote, Section } from '../model/arrangement.ts';

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

/** Bars in which each part sounds, as a share of the bar (its top line only). */
interface Activity {
  readonly share: Float64Array;
  /** Duration-weighted top-line pitch. */
  readonly pitch: Float64Array;
  readonly velocity: Float64Array;
  readonly onsets: Float64Array;
}

function activityOf(notes: readonly PlayedNote[], bars: readonly Bar[]): Activity {
  const size = bars.length;
  const share = new Float64Array(size);
  const pitch = new Float64Array(size);
  const velocity = new Float64Array(size);
  const onsets = new Float64Array(size);
  let lastOnset = Number.NEGATIVE_INFINITY;
  for (let index = 0; index < notes.length; index++) {
    const note = notes[index];
    if (note === undefined) continue;
    // Only the top of what starts together.
    const above = notes[index + 1];
    if (above !== undefined && above.startQuarters - note.startQuarters < 0.05 && above.midi > note.midi) continue;
    const first = barIndexAt(bars, note.startQuarters);
    for (let at = first; at < size; at++) {
      const bar = bars[at];
      if (bar === undefined || bar.startQuarters >= note.endQuarters) break;
      const inside =
        Math.min(note.endQuarters, bar.startQuarters + bar.lengthQuarters) -
        Math.max(note.startQuarters, bar.startQuarters);
      if (inside <= 0) continue;
      share[at] = (share[at] ?? 0) + inside;
      pitch[at] = (pitch[at] ?? 0) + inside * note.midi;
      velocity[at] = (velocity[at] ?? 0) + inside * note.velocity;
    }
    if (note.startQuarters - lastOnset > 0.05) {
      onsets[first] = (onsets[first] ?? 0) + 1;
      lastOnset = note.startQuarters;
    }
  }
  for (let at = 0; at < size; at++) {
    const sounding = share[at] ?? 0;
    if (sounding <= 0) continue;
    pitch[at] = (pitch[at] ?? 0) / sounding;
    velocity[at] = (velocity[at] ?? 0) / sounding;
    share[at] = Math.min(1, sounding / (bars[at]?.lengthQuarters ?? 4));
  }
  return { share, pitch, velocity, onsets };
}

/**
 * Melodic salience of a bar: height (an octave counts 1), strength (32 velocity steps count 1), how much of the bar is filled, and
 * movement up to four onsets; a solo in the name counts 1; words draw the ear, so that the only singer counts 6 (common practice, no
 * source). Weights are ours, chosen so that height leads; a guess, and said to be one.
 */
function salienceOf(activity: Activity, at: number, { solo, sung }: FrontCandidate): number {
  const share = activity.share[at] ?? 0;
  if (share <= 0) return 0;
  const height = (activity.pitch[at] ?? 0) / 12;
  const strength = (activity.velocity[at] ?? 0) / 32;
  const movement = 0.4 * Math.min(4, activity.onsets[at] ?? 0);
  return share * (height + strength + movement + (solo ? 1 : 0) + (sung ? 6 : 0)) + 0.5 * (solo ? 1 : 0);
}

/** The part of highest melodic salience, section by section; long sections are looked at eight bars at a time and only left for a clear gain. */
export function guessForeground(
  parts: readonly FrontCandidate[],
  bars: readonly Bar[],
  sections: readonly Section[],
): readonly ForegroundSpan[] {
  const pitched = parts.filter((part) => !part.unpitched);
  const candidates = pitched.length > 0 ? pitched : parts;
  const activities = candidates.map((part) => activityOf(part.notes, bars));
  const idOfBar: (string | undefined)[] = bars.map(() => undefined);
  const starts = new Set(sections.map((section) => bars.findIndex((bar) => bar.number === section.from)));
  let blockStart = 0;
  let holder = -1;
  while (blockStart < bars.length) {
    let blockEnd = blockStart + 1;
    while (blockEnd < bars.length && blockEnd - blockStart < 8 && !starts.has(blockEnd)) blockEnd++;
    let best = -1;
    let bestSum = 0;
    let holderSum = 0;
    candidates.forEach((candidate, index) => {
      const activity = activities[index];
      if (activity === undefined) return;
      let sum = 0;
      for (let at = blockStart; at < blockEnd; at++) sum += salienceOf(activity, at, candidate);
      if (index === holder) holderSum = sum;
      if (sum > bestSum) {
        bestSum = sum;
        best = index;
      }
    });
    if (holder < 0 || bestSum > 1.25 * holderSum) holder = best >= 0 ? best : holder;
    const id = candidates[holder]?.id;
    if (bestSum > 0) for (let at = blockStart; at < blockEnd; at++) idOfBar[at] = id;
    blockStart = blockEnd;
  }
  return spansOf(bars, fillBars(idOfBar));
}
