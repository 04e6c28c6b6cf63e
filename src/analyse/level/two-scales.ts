/** Levels on two scales: parts shaped by a controller beside parts of the same make that go by velocity. Nothing says which setting is which velocity. */
import type { Part } from '../../model/music/arrangement.ts';
import { groupedBy } from '../../model/grouped.ts';
import { instrumentById } from '../../model/music/catalogue.ts';
import { median } from '../../model/music/dynamics.ts';
import { onceEach } from '../../model/once-each.ts';
import type { BarBalance, StageReadings } from '../../model/readings/readings.ts';
import { isLevelLeftOut } from './left-out.ts';

/** Whose notes can swell after they have begun: of such a part velocity or a controller may be the dynamic. Drums are in no sum. */
function isShapable(part: Part): boolean {
  return part.notes.length > 0 && !part.unpitched && (instrumentById(part.instrument)?.sustaining ?? true);
}

/**
 * Ids of the parts whose dynamic is a controller where other parts that could be shaped so go by velocity; empty where all go by one scale. What is
 * struck or plucked has velocity by nature, and a level that the settings trim was judged.
 */
export const partsOnAnotherScale = onceEach((parts: readonly Part[]): ReadonlySet<string> => {
  const shapable = parts.filter(isShapable);
  const byController = shapable.filter(({ dynamics, levelBy }) => dynamics !== 'velocity' && levelBy === undefined);
  return new Set(byController.length === shapable.length ? [] : byController.map(({ id }) => id));
});

/** The bars with every part by its own dynamic: what its thickness is drawn by, and what changed is measured by. */
export function barsAsShaped({ balance, asShaped = balance }: StageReadings): readonly BarBalance[] {
  return asShaped;
}

/** The part as General MIDI reads it: velocity is the dynamic, controller 11 a gain, 1 and 2 change no level. */
export function byVelocity(part: Part): Part {
  return { ...part, dynamics: 'velocity' };
}

/** True where at least half of what is against the foreground of a bar is on another scale than most of the foreground. */
function crossesScales(
  { partsDb }: BarBalance,
  front: ReadonlySet<string>,
  apart: ReadonlySet<string>,
  leftOut: ReadonlySet<string>,
): boolean {
  const power = { front: [0, 0], back: [0, 0] };
  for (const [id, db] of Object.entries(partsDb)) {
    if (leftOut.has(id)) continue;
    const scale = apart.has(id) ? 1 : 0;
    const side = power[front.has(id) ? 'front' : 'back'];
    side[scale] = (side[scale] ?? 0) + 10 ** (db / 10);
  }
  const [byVelocityFront = 0, byControllerFront = 0] = power.front;
  const [byVelocityBack = 0, byControllerBack = 0] = power.back;
  return byControllerFront > byVelocityFront ? byVelocityBack >= byControllerBack : byControllerBack >= byVelocityBack;
}

/** A bar that stands out of those of the same foreground by about one dynamic grade does so on any scale. Our convention. */
const STANDING_OUT_DB = 6;

/** Median margin of the bars with the same foreground, by index of a bar. */
function usualMargins(
  bars: readonly BarBalance[],
  front: readonly ReadonlySet<string>[],
): (index: number) => number | undefined {
  const keyOf = (index: number): string => [...(front[index] ?? [])].sort().join(' ');
  const same = groupedBy([...bars.keys()], keyOf);
  const usual = new Map([...same].map(([key, own]) => [key, median(own.flatMap((at) => bars[at]?.marginDb ?? []))]));
  return (index) => usual.get(keyOf(index));
}

/**
 * The bars as they may be told: where foreground and background are on two scales, by whichever reading puts the foreground further in front, so that
 * nothing rests on the difference of the scales alone; but not where the bar stands out by the shape of the parts themselves. The same object where all
 * parts go by one scale.
 * @param byVelocities the same bars where the parts on another scale are read `byVelocity`
 * @param front ids of the parts in front, by bar index
 */
export function fairerBars(
  asShaped: readonly BarBalance[],
  byVelocities: () => readonly BarBalance[],
  front: readonly ReadonlySet<string>[],
  parts: readonly Part[],
): readonly BarBalance[] {
  const apart = partsOnAnotherScale(parts);
  if (apart.size === 0) return asShaped;
  const leftOut = new Set(parts.filter(isLevelLeftOut).map(({ id }) => id));
  const others = byVelocities();
  const usualOf = usualMargins(asShaped, front);
  return asShaped.map((bar, index) => {
    const other = others[index];
    if ((usualOf(index) ?? 0) - (bar.marginDb ?? 0) >= STANDING_OUT_DB) return bar;
    if (bar.marginDb === undefined || other?.marginDb === undefined || other.marginDb <= bar.marginDb) return bar;
    return crossesScales(bar, front[index] ?? new Set(), apart, leftOut) ? other : bar;
  });
}
