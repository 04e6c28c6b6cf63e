/**
 * Parts that go in the rhythm of others everywhere, and in one passage a beat or half a beat behind or before them: pasted beside the beat. They rest
 * for as much before they begin, as nobody does who is held over, and keep the lengths of the others, as no after-beats do. That the rhythm is
 * another one than elsewhere is no evidence by itself: an arranger changes an accompaniment as he likes. Moved, the passage must have all of the
 * rhythm of the others, and be better placed: in the harmony, or on stronger places of the bar. The figures are ours.
 */
import type { Part } from '../../model/music/arrangement.ts';
import { groupedBy } from '../../model/grouped.ts';
import { mean } from '../../model/music/dynamics.ts';
import type { Bar } from '../../model/music/timeline.ts';
import { barIndexAt, pulseQuarters } from '../../model/music/timeline.ts';
import { distinct } from '../../model/sorted-sets.ts';
import { numbersIn, runsOf } from '../../model/words/plain-words.ts';
import { fitSteps } from './displaced-fit.ts';
import type { Moment } from './moments.ts';
import { apart, meet } from './passages.ts';
import type { PlacedPart } from '../placed-notes/placed-notes.ts';
import { notesByBar } from '../placed-notes/placed-notes.ts';

export interface LaggingPassage {
  readonly part: Part;
  /** Bar indices. */
  readonly from: number;
  readonly to: number;
  readonly displacement: 'a beat late' | 'a beat early' | 'half a beat late' | 'half a beat early';
  /** Whether the parts with whom it goes elsewhere tell it, or the places of the bar at which it begins elsewhere itself. */
  readonly against: 'companions' | 'habit';
  /** Share of its onsets at which they begin, or it does, where it is and where it would belong. */
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
/** Moved, it has so much of what the others begin. */
const WHOLE_RHYTHM = 0.7;
/** On stronger places of the bar it may be in the harmony as little less as this; on others it has to be by so much more. */
const HARMONY_LOST = 0.15;
const HARMONY_WON = 0.2;
/** A place of the bar is one of a part where it begins there in a tenth of its bars, eight at least, those around the bar left out. */
const HABIT_SHARE = 0.1;
const FEWEST_HABIT_BARS = 8;
const AROUND = 6;
/** Who is late by his own habit keeps his lengths over the bar line in half of the bars, and elsewhere in no more than a quarter. */
const MOST_OVER_ELSEWHERE = 0.25;

type Notes = PlacedPart['notes'];
const tick = (quarters: number): number => Math.round(quarters * ONSETS_PER_QUARTER);

/** Where something begins in some bars: in how many anything does, and in how many at each place, in ticks from the bar line. */
interface Habit {
  readonly playing: number;
  readonly counts: ReadonlyMap<number, number>;
}

interface Line {
  readonly part: Part;
  readonly partIndex: number;
  readonly byBar: readonly Notes[];
  /** Onsets in each bar, each once, ascending. */
  readonly onsets: readonly (readonly number[])[];
  /** Length by onset. */
  readonly lengths: ReadonlyMap<number, number>;
  /** By length of the bars. */
  readonly habits: ReadonlyMap<number, Habit>;
}

function habitIn(onsets: Line['onsets'], bars: readonly Bar[], indices: readonly number[]): Habit {
  const counts = new Map<number, number>();
  let playing = 0;
  for (const bar of indices) {
    const own = onsets[bar] ?? [];
    if (own.length > 0) playing++;
    for (const onset of own) {
      const place = onset - tick(bars[bar]?.startQuarters ?? 0);
      counts.set(place, (counts.get(place) ?? 0) + 1);
    }
  }
  return { playing, counts };
}

function lineOf({ part, notes }: PlacedPart, partIndex: number, bars: readonly Bar[]): Line {
  const lengths = new Map<number, number>();
  for (const { startQuarters, endQuarters } of notes) {
    const length = endQuarters - startQuarters;
    lengths.set(tick(startQuarters), Math.max(lengths.get(tick(startQuarters)) ?? 0, length));
  }
  const byBar = notesByBar(notes, bars);
  const onsets = byBar.map((inBar) => distinct(inBar.map(({ startQuarters }) => tick(startQuarters))));
  const alike = groupedBy([...bars.keys()], (bar) => bars[bar]?.lengthQuarters ?? 0);
  const habits = new Map([...alike].map(([length, indices]) => [length, habitIn(onsets, bars, indices)]));
  return { part, partIndex, byBar, onsets, lengths, habits };
}

function plays({ onsets }: Line, bar: number): boolean {
  return (onsets[bar] ?? []).length > 0;
}

/** True where two lines have the same onsets in a bar. */
function isTogether(one: Line, other: Line, bar: number): boolean {
  const [own, theirs] = [one.onsets[bar] ?? [], other.onsets[bar] ?? []];
  return own.length === theirs.length && own.every((onset, index) => onset === theirs[index]);
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

interface Shares {
  readonly here: number;
  readonly there: number;
  /** Share of what the others begin that it would have there; all of its own habit. */
  readonly ofOthers: number;
}

/** Share of the onsets of the other line in a bar at which this one, so many quarters earlier, would begin too. */
function metAt(own: Line, other: Line, bar: number, lag: number): number {
  const onsets = other.onsets[bar] ?? [];
  return onsets.filter((onset) => own.lengths.has(onset + tick(lag))).length / onsets.length;
}

/** Where a line is and would be by the lines with whom it goes elsewhere; undefined where none of them plays. */
function byCompanions(own: Line, companions: readonly Line[], bar: number, lag: number): Shares | undefined {
  const playing = companions.filter((other) => plays(other, bar));
  if (playing.length === 0) return undefined;
  const at = (by: number): number => mean(playing.map((other) => shareAt(own, other, bar, by)));
  return { here: at(0), there: at(lag), ofOthers: mean(playing.map((other) => metAt(own, other, bar, lag))) };
}

/** Whether the line begins at a tick, as a place of its bar, in its bars of that length, those around one bar left out. */
function habitAround(own: Line, bars: readonly Bar[], around: number): ((at: number) => boolean) | undefined {
  const length = bars[around]?.lengthQuarters ?? 0;
  const all = own.habits.get(length);
  const near = numbersIn({ from: Math.max(0, around - AROUND), to: Math.min(bars.length - 1, around + AROUND) });
  const left = habitIn(
    own.onsets,
    bars,
    near.filter((bar) => bars[bar]?.lengthQuarters === length),
  );
  const playing = (all?.playing ?? 0) - left.playing;
  if (playing < FEWEST_HABIT_BARS) return undefined;
  return (at) => {
    const bar = bars[barIndexAt(bars, at / ONSETS_PER_QUARTER)];
    const place = at - tick(bar?.startQuarters ?? 0);
    return (all?.counts.get(place) ?? 0) - (left.counts.get(place) ?? 0) >= HABIT_SHARE * playing;
  };
}

/** The same by the places of the bar at which the line itself begins elsewhere. */
function byHabit(own: Line, bars: readonly Bar[], bar: number, lag: number): Shares | undefined {
  const onsets = own.onsets[bar] ?? [];
  const isUsual = habitAround(own, bars, bar);
  if (isUsual === undefined) return undefined;
  const shareOf = (by: number): number => onsets.filter((onset) => isUsual(onset - tick(by))).length / onsets.length;
  return { here: shareOf(0), there: shareOf(lag), ofOthers: 1 };
}

/** True where the line holds a note over the end of a bar. */
function holdsOver({ byBar }: Line, { startQuarters, lengthQuarters }: Bar, bar: number): boolean {
  return (byBar[bar] ?? []).some(({ endQuarters }) => endQuarters > startQuarters + lengthQuarters + 0.1);
}

/** True where notes go over the bar line in a passage (in its last bar they may be cut), and hardly ever elsewhere. */
function keepsLengths(own: Line, bars: readonly Bar[], from: number, to: number): boolean {
  const playing = bars.flatMap((bar, index) =>
    plays(own, index) ? [{ index, isOver: holdsOver(own, bar, index) }] : [],
  );
  const inside = playing.filter(({ index }) => index >= from && index < to);
  const outside = playing.filter(({ index }) => index < from - 1 || index > to);
  const over = (some: typeof playing): number => some.filter(({ isOver }) => isOver).length;
  return 2 * over(inside) >= inside.length && over(outside) <= MOST_OVER_ELSEWHERE * outside.length;
}

/** True where the bars of a passage have the very figure that most bars of the line have elsewhere: it is the others who left it. */
function goesAsElsewhere(own: Line, bars: readonly Bar[], from: number, to: number): boolean {
  const figureOf = (bar: number): string =>
    (own.onsets[bar] ?? []).map((onset) => onset - tick(bars[bar]?.startQuarters ?? 0)).join(' ');
  const elsewhere = [...bars.keys()].filter((bar) => (bar < from || bar > to) && plays(own, bar)).map(figureOf);
  return numbersIn({ from, to }).every(
    (bar) => 2 * elsewhere.filter((figure) => figure === figureOf(bar)).length > elsewhere.length,
  );
}

/** How strong a place of a bar is: its first beat, its middle where that is a beat, a beat, anything else. */
function strengthAt(quarters: number, bars: readonly Bar[]): number {
  const bar = bars[barIndexAt(bars, quarters + 1e-6)];
  if (bar === undefined) return 0;
  const place = quarters - bar.startQuarters;
  const isOn = (grid: number): boolean => Math.abs(place / grid - Math.round(place / grid)) * grid < 1e-3;
  const pulse = pulseQuarters(bar.meter);
  if (Math.abs(place) < 1e-3) return 3;
  if (!isOn(pulse)) return 0;
  const half = bar.lengthQuarters / 2;
  return isOn(half) && Math.abs(half / pulse - Math.round(half / pulse)) < 1e-6 ? 2 : 1;
}

/** True where the notes of some bars, so many quarters earlier, would be better placed: on stronger places of the bar, or in the harmony. */
function isBetterMoved(
  byBar: readonly Notes[],
  lag: number,
  partIndex: number,
  moments: readonly Moment[],
  bars: readonly Bar[],
): boolean {
  const notes = byBar.flat();
  const strength = (by: number): number => mean(notes.map(({ startQuarters }) => strengthAt(startQuarters - by, bars)));
  const harmony = (by: number): number => fitSteps(notes, partIndex, moments, -by, [0])?.[0] ?? 0;
  const won = harmony(lag) - harmony(0);
  return strength(lag) > strength(0) + 1e-6 ? won >= -HARMONY_LOST : won >= HARMONY_WON;
}

/** Passages of parts behind the foreground that lag, or run before, all those with whom they go elsewhere, or lag behind their own places in the bar. */
export function laggingPassages(
  placed: readonly PlacedPart[],
  moments: readonly Moment[],
  front: readonly ReadonlySet<string>[],
  bars: readonly Bar[],
): readonly LaggingPassage[] {
  const lines = placed.flatMap((each, partIndex) => (each.part.unpitched ? [] : [lineOf(each, partIndex, bars)]));
  const all = lines.flatMap((own): LaggingPassage[] => {
    const companions = lines.filter((other) => {
      if (other === own) return false;
      // Asked of every pair of parts: counted without lists of bars.
      let [both, together] = [0, 0];
      for (let bar = 0; bar < bars.length; bar++) {
        if (!plays(own, bar) || !plays(other, bar)) continue;
        both++;
        if (isTogether(own, other, bar)) together++;
      }
      return together >= FEWEST_BARS_TOGETHER && together >= TOGETHER_SHARE * both;
    });
    const passagesBy = (beats: 1 | -1 | 0.5 | -0.5, against: LaggingPassage['against']): LaggingPassage[] => {
      const shares = bars.map((bar, index) => {
        const lag = beats * pulseQuarters(bar.meter);
        const isOut = plays(own, index) && !(front[index]?.has(own.part.id) ?? false);
        const found = !isOut
          ? undefined
          : against === 'habit'
            ? byHabit(own, bars, index, lag)
            : byCompanions(own, companions, index, lag);
        return { ...(found ?? { here: 1, there: 0, ofOthers: 0 }), lag };
      });
      const lagging = shares.flatMap(({ here, there }, bar) => (here <= HERE && there >= THERE ? [bar] : []));
      return runsOf(lagging).flatMap(({ from, to }): LaggingPassage[] => {
        const first = own.byBar[from]?.[0];
        const before = own.byBar.slice(0, from).findLast((notes) => notes.length > 0);
        const heldTo = Math.max(Number.NEGATIVE_INFINITY, ...(before ?? []).map(({ endQuarters }) => endQuarters));
        const lag = Math.abs(shares[from]?.lag ?? 0);
        if (to - from + 1 < FEWEST_BARS || first === undefined) return [];
        if (beats > 0 && first.startQuarters - heldTo < lag * SAME_LENGTH) return [];
        if (against === 'habit' && !keepsLengths(own, bars, from, to)) return [];
        const passage = shares.slice(from, to + 1);
        if (mean(passage.map(({ ofOthers }) => ofOthers)) < WHOLE_RHYTHM) return [];
        if (goesAsElsewhere(own, bars, from, to)) return [];
        const by = beats > 0 ? lag : -lag;
        if (!isBetterMoved(own.byBar.slice(from, to + 1), by, own.partIndex, moments, bars)) return [];
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
            against,
            togetherHere: mean(passage.map(({ here }) => here)),
            togetherThere: mean(passage.map(({ there }) => there)),
          },
        ];
      });
    };
    return apart([
      ...(companions.length === 0 ? [] : ([1, -1, 0.5, -0.5] as const).flatMap((by) => passagesBy(by, 'companions'))),
      ...([1, 0.5] as const).flatMap((by) => passagesBy(by, 'habit')),
    ]);
  });
  // Of two that go apart one is told: who comes late.
  return all.filter(
    (passage) =>
      !passage.displacement.endsWith('early') ||
      !all.some((other) => other.part !== passage.part && other.displacement.endsWith('late') && meet(other, passage)),
  );
}
