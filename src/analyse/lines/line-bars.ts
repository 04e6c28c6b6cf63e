/** A part bar by bar: where it sounds, and what begins there, so that one bar can be held beside another. */
import type { Part } from '../../model/music/arrangement.ts';
import type { Bar } from '../../model/music/timeline.ts';
import type { PlacedPart } from '../placed-notes/placed-notes.ts';

/** Two bars are the same music where so much of the fuller one is in both. */
const SAME_SHARE = 0.75;

const ONSETS_PER_QUARTER = 12;

export interface LineBars {
  readonly part: Part;
  readonly plays: readonly boolean[];
  /** Onset and pitch of what begins in each bar. */
  readonly content: readonly ReadonlySet<string>[];
  /** Lowest pitch of each bar; undefined where the part is silent. */
  readonly lows: readonly (number | undefined)[];
}

export function lineBars({ part, notes }: PlacedPart, bars: readonly Bar[]): LineBars {
  const plays = bars.map(() => false);
  const content = bars.map(() => new Set<string>());
  const lows = bars.map((): number | undefined => undefined);
  let index = 0;
  for (const { startQuarters, endQuarters, midi } of notes) {
    while (index + 1 < bars.length && (bars[index + 1]?.startQuarters ?? 0) <= startQuarters + 1e-6) index++;
    const onset = Math.round((startQuarters - (bars[index]?.startQuarters ?? 0)) * ONSETS_PER_QUARTER);
    content[index]?.add(`${String(onset)} ${String(midi)}`);
    for (let at = index; at < bars.length && (bars[at]?.startQuarters ?? 0) < endQuarters - 0.1; at++) {
      plays[at] = true;
      lows[at] = Math.min(lows[at] ?? 127, midi);
    }
  }
  return { part, plays, content, lows };
}

export function isSame({ plays, content }: LineBars, one: number, other: number): boolean {
  const [a, b] = [content[one], content[other]];
  if (a === undefined || b === undefined || plays[one] !== plays[other]) return false;
  const most = Math.max(a.size, b.size);
  return most === 0 || [...a].filter((each) => b.has(each)).length >= SAME_SHARE * most;
}

/** Runs of bars in which the part is silent. */
export function silences({ plays }: LineBars): readonly (readonly [from: number, to: number])[] {
  const runs: [number, number][] = [];
  plays.forEach((isPlaying, bar) => {
    const last = runs.at(-1);
    if (isPlaying) return;
    if (last?.[1] === bar - 1) last[1] = bar;
    else runs.push([bar, bar]);
  });
  return runs;
}

export function isAll(from: number, to: number, holds: (bar: number) => boolean): boolean {
  for (let bar = from; bar <= to; bar++) if (!holds(bar)) return false;
  return true;
}

/** Onsets of a part in a bar: how busy it is. */
export function busy({ content }: LineBars, bar: number): number {
  return new Set([...(content[bar] ?? [])].map((each) => each.split(' ')[0])).size;
}

/** Where in a bar something begins, as one word that is the same for the same rhythm. */
export function onsetsIn({ content }: LineBars, bar: number): string {
  return [...new Set([...(content[bar] ?? [])].map((each) => each.split(' ')[0] ?? ''))].sort().join(' ');
}
