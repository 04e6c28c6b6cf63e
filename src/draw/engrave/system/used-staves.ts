/** The staves of a system that have something to play. */
import type { ScoreBar, StaffInfo } from '../../../model/music/written.ts';
import type { ReadyBar } from '../line-breaks/justify-line.ts';

interface StavesOfSystem {
  readonly staves: readonly StaffInfo[];
  /** Which staves of the score they are. */
  readonly staffIndices: readonly number[];
  readonly bars: readonly ReadyBar[];
  readonly next: ScoreBar | undefined;
}

/**
 * The system without staves that rest throughout it (common practice in scores after the first system; E. Gould, Behind
 * Bars, on the layout of a score, from memory): all such staves, or only those that say so themselves. The staves of one brace
 * stay together but for these; where all rest, the first staff stays.
 */
export function usedStaves(system: StavesOfSystem, which: 'all' | 'when-played'): StavesOfSystem {
  const plays = system.staves.map((_, index) =>
    system.bars.some((ready) => ready.prepared.staves[index]?.silent === false),
  );
  const kept = system.staves.flatMap((staff, index) => {
    const stays =
      plays[index] === true ||
      (staff.whenPlayed !== true &&
        (which === 'when-played' || (staff.brace !== '' && braceMates(system.staves, staff, plays))));
    return stays ? [index] : [];
  });
  const indices = kept.length === 0 ? [0] : kept;
  if (indices.length === system.staves.length) return system;
  const pick = <Item>(items: readonly Item[]): Item[] =>
    indices.flatMap((index) => {
      const item = items[index];
      return item === undefined ? [] : [item];
    });
  const less = (bar: ScoreBar): ScoreBar => ({ ...bar, staves: pick(bar.staves) });
  return {
    staves: pick(system.staves),
    staffIndices: pick(system.staffIndices),
    next: system.next === undefined ? undefined : less(system.next),
    bars: system.bars.map((ready) => ({
      ...ready,
      bars: ready.bars.map(less),
      prepared: { ...ready.prepared, bar: less(ready.prepared.bar), staves: pick(ready.prepared.staves) },
    })),
  };
}

function braceMates(staves: readonly StaffInfo[], staff: StaffInfo, plays: readonly boolean[]): boolean {
  return staves.some((other, index) => other.brace === staff.brace && plays[index] === true);
}
