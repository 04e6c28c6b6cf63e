/** A part bar by bar: where it sounds, and what begins there, so that one bar can be held beside another. */
import type { Part } from '../../model/music/arrangement.ts';
import type { Bar } from '../../model/music/timeline.ts';
import { distinct, overlap } from '../../model/sorted-sets.ts';
import { runsOf } from '../../model/words/plain-words.ts';
import type { PlacedPart } from '../placed-notes/placed-notes.ts';

/** Two bars are the same music where so much of the fuller one is in both. */
const SAME_SHARE = 0.75;

const ONSETS_PER_QUARTER = 12;

export interface LineBars {
  readonly part: Part;
  readonly plays: readonly boolean[];
  /** Onset and pitch of what begins in each bar. */
  readonly content: readonly ReadonlySet<string>[];
  /** Onsets in each bar, each once, ascending. */
  readonly onsets: readonly (readonly number[])[];
  /** Lowest pitch of each bar; undefined where the part is silent. */
  readonly lows: readonly (number | undefined)[];
}

export function lineBars({ part, notes }: PlacedPart, bars: readonly Bar[]): LineBars {
  const plays = bars.map(() => false);
  const content = bars.map(() => new Set<string>());
  const onsets = bars.map((): number[] => []);
  const lows = bars.map((): number | undefined => undefined);
  let index = 0;
  for (const { startQuarters, endQuarters, midi } of notes) {
    while (index + 1 < bars.length && (bars[index + 1]?.startQuarters ?? 0) <= startQuarters + 1e-6) index++;
    const onset = Math.round((startQuarters - (bars[index]?.startQuarters ?? 0)) * ONSETS_PER_QUARTER);
    onsets[index]?.push(onset);
    content[index]?.add(`${String(onset)} ${String(midi)}`);
    for (let at = index; at < bars.length && (bars[at]?.startQuarters ?? 0) < endQuarters - 0.1; at++) {
      plays[at] = true;
      lows[at] = Math.min(lows[at] ?? 127, midi);
    }
  }
  return { part, plays, content, onsets: onsets.map(distinct), lows };
}

export function isSame({ plays, content }: LineBars, one: number, other: number): boolean {
  const [a, b] = [content[one], content[other]];
  if (a === undefined || b === undefined || plays[one] !== plays[other]) return false;
  const most = Math.max(a.size, b.size);
  return most === 0 || [...a].filter((each) => b.has(each)).length >= SAME_SHARE * most;
}

/** Runs of bars, by index, in which the part is silent. */
export function silences({ plays }: LineBars): ReturnType<typeof runsOf> {
  return runsOf(plays.flatMap((isPlaying, bar) => (isPlaying ? [] : [bar])));
}

export function isAll(from: number, to: number, holds: (bar: number) => boolean): boolean {
  for (let bar = from; bar <= to; bar++) if (!holds(bar)) return false;
  return true;
}

/** How many onsets a part has in a bar: how busy it is. */
export function busy({ onsets }: LineBars, bar: number): number {
  return onsets[bar]?.length ?? 0;
}

/** True where a bar of one part and a bar of another, or of the same, begin their notes at the same places. */
export function isInRhythm(one: LineBars, bar: number, other: LineBars, otherBar: number): boolean {
  return overlap(one.onsets[bar] ?? [], other.onsets[otherBar] ?? []) === 1;
}
