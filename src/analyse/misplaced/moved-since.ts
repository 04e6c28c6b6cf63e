/**
 * Passages of a part that stood a beat, half a beat or a bar beside where they stand now, in the stage before, while the others have what they had:
 * put down at a wrong place, or moved on purpose. That they are worse placed now is what tells the one from the other. The figures are ours.
 */
import type { Part, Stage } from '../../model/music/arrangement.ts';
import type { Bar } from '../../model/music/timeline.ts';
import { barIndexAt, pulseQuarters } from '../../model/music/timeline.ts';
import { firstReaching } from '../../model/sorted-search.ts';

/** Music that stood elsewhere in the stage before. */
export interface MovedSince {
  readonly partId: string;
  readonly words:
    'a bar late' | 'a bar early' | 'a beat late' | 'a beat early' | 'half a beat late' | 'half a beat early';
  /** By so much later than it stood; negative where earlier. */
  readonly byQuarters: number;
  /** Its notes, where they begin as played, in order. */
  readonly onsets: readonly Onset[];
}

interface Onset {
  readonly midi: number;
  readonly quarters: number;
}

/** Takes of one passage differ by less; moves are larger. */
const TOLERANCE_QUARTERS = 0.15;
/** So many notes on so many pitches are no chance. */
const LEAST_NOTES = 3;
const LEAST_PITCHES = 2;
/** So much of the passage is not where it was: music that repeats itself is. */
const GONE_SHARE = 0.6;
/** So much of what stood in the old place has come along; what met other music may have been cut. */
const CARRIED_SHARE = 0.75;
/** So much of what the others play about it is as it was. */
const OTHERS_KEPT = 0.7;

/** Onsets of a part in order, its lateness taken out. */
function onsetsOf({ notes, latenessMs }: Part, bars: readonly Bar[]): readonly Onset[] {
  return notes
    .map(({ midi, startQuarters }) => {
      const tempo = bars[barIndexAt(bars, startQuarters)]?.tempo ?? 120;
      return { midi, quarters: startQuarters - ((latenessMs.median / 1000) * tempo) / 60 };
    })
    .sort((a, b) => a.quarters - b.quarters || a.midi - b.midi);
}

/** Tells whether a pitch begins within so many quarters of a place; `onsets` in order. */
export function findsOnset(onsets: readonly Onset[], tolerance: number): (midi: number, quarters: number) => boolean {
  const byPitch = new Map<number, number[]>();
  for (const { midi, quarters } of onsets) {
    const own = byPitch.get(midi);
    if (own === undefined) byPitch.set(midi, [quarters]);
    else own.push(quarters);
  }
  return (midi, quarters) => {
    const own = byPitch.get(midi) ?? [];
    const place = own[firstReaching(own, (start) => start >= quarters - tolerance)];
    return place !== undefined && place <= quarters + tolerance;
  };
}

/** Those that begin between two places, or as near to them as takes differ. */
function onsetsBetween(onsets: readonly Onset[], from: number, to: number): readonly Onset[] {
  return onsets.slice(
    firstReaching(onsets, ({ quarters }) => quarters >= from - TOLERANCE_QUARTERS),
    firstReaching(onsets, ({ quarters }) => quarters > to + TOLERANCE_QUARTERS),
  );
}

interface Side {
  readonly part: Part;
  readonly onsets: readonly Onset[];
  readonly has: (midi: number, quarters: number) => boolean;
}

function sidesOf({ parts, timeline }: Stage): ReadonlyMap<string, Side> {
  return new Map(
    parts.map((part) => {
      const onsets = onsetsOf(part, timeline.bars);
      return [part.id, { part, onsets, has: findsOnset(onsets, TOLERANCE_QUARTERS) }];
    }),
  );
}

/** Bars that both stages have at the same places, from the first on. */
function commonBars(before: readonly Bar[], after: readonly Bar[]): readonly Bar[] {
  const differs = after.findIndex((bar, index) => {
    const other = before[index];
    return (
      other === undefined ||
      other.number !== bar.number ||
      Math.abs(other.startQuarters - bar.startQuarters) > 1e-6 ||
      Math.abs(other.lengthQuarters - bar.lengthQuarters) > 1e-6
    );
  });
  return differs < 0 ? after : after.slice(0, differs);
}

type Step = readonly [name: 'a bar' | 'a beat' | 'half a beat', quartersOf: (bar: Bar) => number];
const STEPS: readonly Step[] = [
  ['a beat', ({ meter }) => pulseQuarters(meter)],
  ['a bar', ({ lengthQuarters }) => lengthQuarters],
  ['half a beat', ({ meter }) => pulseQuarters(meter) / 2],
];

/** Runs of notes that follow one another and stood so much earlier (later where negative), by that way to move them. */
function runsMoved(was: Side, is: Side, bars: readonly Bar[], step: Step, sign: 1 | -1): readonly MovedSince[] {
  const by = ({ quarters }: Onset): number => {
    const bar = bars[barIndexAt(bars, quarters + TOLERANCE_QUARTERS)];
    return bar === undefined ? 0 : sign * step[1](bar);
  };
  const end = (bars.at(-1)?.startQuarters ?? 0) + (bars.at(-1)?.lengthQuarters ?? 0);
  const runs: Onset[][] = [[]];
  let last = 0;
  for (const onset of is.onsets) {
    const shift = by(onset);
    const isMoved = onset.quarters < end && was.has(onset.midi, onset.quarters - shift);
    if (!isMoved) runs.push([]);
    else if (last !== shift) runs.push([onset]);
    else runs.at(-1)?.push(onset);
    last = isMoved ? shift : 0;
  }
  return runs.flatMap((run): MovedSince[] => {
    const stays = ({ midi, quarters }: Onset): boolean => was.has(midi, quarters);
    const from = run.findIndex((onset) => !stays(onset));
    const moved = run.slice(Math.max(0, from), run.findLastIndex((onset) => !stays(onset)) + 1);
    const [first] = moved;
    const final = moved.at(-1);
    if (from < 0 || first === undefined || final === undefined || moved.length < LEAST_NOTES) return [];
    if (new Set(moved.map(({ midi }) => midi)).size < LEAST_PITCHES) return [];
    if (moved.filter((onset) => !stays(onset)).length < GONE_SHARE * moved.length) return [];
    const shift = by(first);
    const stood = onsetsBetween(was.onsets, first.quarters - shift, final.quarters - shift);
    const carried = stood.filter(({ midi, quarters }) => is.has(midi, quarters + shift));
    const left = stood.filter(({ midi, quarters }) => is.has(midi, quarters));
    if (carried.length < CARRIED_SHARE * stood.length || left.length > (1 - GONE_SHARE) * stood.length) return [];
    const words = `${step[0]} ${sign > 0 ? 'late' : 'early'}` as const;
    return [{ partId: is.part.id, words, byQuarters: shift, onsets: moved }];
  });
}

/** From where to where notes begin. */
function reachOf(onsets: readonly Onset[]): readonly [first: number, last: number] {
  return [onsets[0]?.quarters ?? 0, onsets.at(-1)?.quarters ?? 0];
}

function meet(one: MovedSince, other: MovedSince): boolean {
  const [[from, to], [first, last]] = [reachOf(one.onsets), reachOf(other.onsets)];
  return from <= last && first <= to;
}

/** Passages that stood elsewhere in the stage before while the others stood as they do; none where the bars differ before them. */
export function movedSince(before: Stage, after: Stage): readonly MovedSince[] {
  const bars = commonBars(before.timeline.bars, after.timeline.bars);
  if (bars.length === 0) return [];
  const [was, is] = [sidesOf(before), sidesOf(after)];
  return [...is.values()].flatMap((own) => {
    const old = was.get(own.part.id);
    if (old === undefined || own.part.unpitched) return [];
    const isSame =
      old.onsets.length === own.onsets.length && own.onsets.every(({ midi, quarters }) => old.has(midi, quarters));
    if (isSame) return [];
    const found = STEPS.flatMap((step) => ([1, -1] as const).flatMap((sign) => runsMoved(old, own, bars, step, sign)));
    const kept = found.filter(({ onsets, byQuarters }) => {
      const [firstQuarters, lastQuarters] = reachOf(onsets);
      const [from, to] = [
        Math.min(firstQuarters, firstQuarters - byQuarters),
        Math.max(lastQuarters, lastQuarters - byQuarters),
      ];
      let all = 0;
      let same = 0;
      for (const other of is.values()) {
        const then = other === own ? undefined : was.get(other.part.id);
        if (then === undefined || other.part.unpitched) continue;
        for (const { midi, quarters } of onsetsBetween(other.onsets, from, to)) {
          all++;
          if (then.has(midi, quarters)) same++;
        }
      }
      return all > 0 && same >= OTHERS_KEPT * all;
    });
    const lengthOf = ({ onsets }: MovedSince): number => reachOf(onsets)[1] - reachOf(onsets)[0];
    const longest = [...kept].sort((a, b) => lengthOf(b) - lengthOf(a));
    return longest.filter((one, index) => !longest.slice(0, index).some((other) => meet(one, other)));
  });
}
