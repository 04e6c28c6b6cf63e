/**
 * Parts that go in the rhythm of others everywhere, and in one passage a beat or half a beat behind or before them: pasted beside the beat. They rest
 * for as much before they begin, as nobody does who is held over, and keep the lengths of the others, as no after-beats do. The figures are ours.
 */
import type { Part } from '../../model/music/arrangement.ts';
import { mean } from '../../model/music/dynamics.ts';
import type { Bar } from '../../model/music/timeline.ts';
import { pulseQuarters } from '../../model/music/timeline.ts';
import { distinct, overlap } from '../../model/sorted-sets.ts';
import { runsOf } from '../../model/words/plain-words.ts';
import type { PlacedPart } from '../placed-notes/placed-notes.ts';
import { notesByBar } from '../placed-notes/placed-notes.ts';

export interface LaggingPassage {
  readonly part: Part;
  /** Bar indices. */
  readonly from: number;
  readonly to: number;
  readonly displacement: 'a beat late' | 'a beat early' | 'half a beat late' | 'half a beat early';
  /** Share of its onsets at which others begin, where it is and where it would belong. */
  readonly togetherHere: number;
  readonly togetherThere: number;
}

/** Who has the same onsets in so many bars, and in so many of those in which both play, goes together. */
const FEWEST_BARS_TOGETHER = 6;
const TOGETHER_SHARE = 0.7;
const FEWEST_BARS = 3;
const THERE = 0.9;
const HERE = 0.4;
const SAME_LENGTH = 0.7;
const ONSETS_PER_QUARTER = 12;

type Notes = PlacedPart['notes'];
const tick = (quarters: number): number => Math.round(quarters * ONSETS_PER_QUARTER);

interface Line {
  readonly part: Part;
  readonly byBar: readonly Notes[];
  /** Onsets in each bar, each once, ascending. */
  readonly onsets: readonly (readonly number[])[];
  /** Length by onset. */
  readonly lengths: ReadonlyMap<number, number>;
}

function lineOf({ part, notes }: PlacedPart, bars: readonly Bar[]): Line {
  const lengths = new Map<number, number>();
  for (const { startQuarters, endQuarters } of notes) {
    const length = endQuarters - startQuarters;
    lengths.set(tick(startQuarters), Math.max(lengths.get(tick(startQuarters)) ?? 0, length));
  }
  const byBar = notesByBar(notes, bars);
  const onsets = byBar.map((inBar) => distinct(inBar.map(({ startQuarters }) => tick(startQuarters))));
  return { part, byBar, onsets, lengths };
}

function plays({ onsets }: Line, bar: number): boolean {
  return (onsets[bar] ?? []).length > 0;
}

function isTogether(one: Line, other: Line, bar: number): boolean {
  return overlap(one.onsets[bar] ?? [], other.onsets[bar] ?? []) === 1;
}

/** Share of the onsets of a bar, which has some, at which the other line, so many quarters before, begins a note of about the same length. */
function shareAt(own: Line, other: Line, bar: number, lag: number): number {
  const onsets = own.onsets[bar] ?? [];
  const met = onsets.filter((onset) => {
    const theirs = other.lengths.get(onset - tick(lag));
    return theirs !== undefined && (own.lengths.get(onset) ?? 0) >= SAME_LENGTH * theirs;
  });
  return met.length / onsets.length;
}

/** Passages of parts behind the foreground that lag, or run before, all those with whom they go elsewhere. */
export function laggingPassages(
  placed: readonly PlacedPart[],
  front: readonly ReadonlySet<string>[],
  bars: readonly Bar[],
): readonly LaggingPassage[] {
  const lines = placed.filter(({ part }) => !part.unpitched).map((each) => lineOf(each, bars));
  const all = lines.flatMap((own): LaggingPassage[] => {
    const companions = lines.filter((other) => {
      if (other === own) return false;
      const both = bars.flatMap((_, bar) => (plays(own, bar) && plays(other, bar) ? [bar] : []));
      const together = both.filter((bar) => isTogether(own, other, bar)).length;
      return together >= FEWEST_BARS_TOGETHER && together >= TOGETHER_SHARE * both.length;
    });
    if (companions.length === 0) return [];
    const passages = ([1, -1, 0.5, -0.5] as const).flatMap((beats): LaggingPassage[] => {
      const shares = bars.map((bar, index) => {
        const lag = beats * pulseQuarters(bar.meter);
        const playing = companions.filter((other) => plays(other, index));
        const at = (by: number): number => mean(playing.map((other) => shareAt(own, other, index, by)));
        const isOut = playing.length > 0 && plays(own, index) && !(front[index]?.has(own.part.id) ?? false);
        return { here: isOut ? at(0) : 1, there: isOut ? at(lag) : 0, lag };
      });
      const lagging = shares.flatMap(({ here, there }, bar) => (here <= HERE && there >= THERE ? [bar] : []));
      return runsOf(lagging).flatMap(({ from, to }): LaggingPassage[] => {
        const first = own.byBar[from]?.[0];
        const before = own.byBar.slice(0, from).findLast((notes) => notes.length > 0);
        const heldTo = Math.max(Number.NEGATIVE_INFINITY, ...(before ?? []).map(({ endQuarters }) => endQuarters));
        const lag = Math.abs(shares[from]?.lag ?? 0);
        if (to - from + 1 < FEWEST_BARS || first === undefined) return [];
        if (beats > 0 && first.startQuarters - heldTo < lag * SAME_LENGTH) return [];
        const passage = shares.slice(from, to + 1);
        // What two parts do together is how they are scored.
        const isShared = lines.some(
          (other) => other !== own && passage.every((_, index) => isTogether(own, other, from + index)),
        );
        if (isShared) return [];
        return [
          {
            part: own.part,
            from,
            to,
            displacement: `${Math.abs(beats) === 1 ? 'a' : 'half a'} beat ${beats > 0 ? 'late' : 'early'}`,
            togetherHere: mean(passage.map(({ here }) => here)),
            togetherThere: mean(passage.map(({ there }) => there)),
          },
        ];
      });
    });
    return passages.filter(
      (passage, index) =>
        !passages.slice(0, index).some((other) => other.from <= passage.to && other.to >= passage.from),
    );
  }); // Of two that go apart one is told: who comes late.
  return all.filter(
    (passage) =>
      !passage.displacement.endsWith('early') ||
      !all.some(
        ({ part, from, to, displacement }) =>
          part !== passage.part && displacement.endsWith('late') && from <= passage.to && to >= passage.from,
      ),
  );
}
