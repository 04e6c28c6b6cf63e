/** Where a note ends that is held over the next one of its staff. */
import type { ScoreTime } from './score-time.ts';
import { SHORTEST, cellIndexAtDivision } from './score-time.ts';
import type { Subdivision } from './subdivisions.ts';
import { plainSubdivision } from './subdivisions.ts';

interface Ending {
  readonly end: number;
  readonly cost: number;
}

/** Places where a note may end near `target`: cell borders, the slots of the cell's own subdivision, and later onsets. */
function endingsNear(
  time: ScoreTime,
  chosenBy: ReadonlyMap<number, Subdivision> | undefined,
  onset: number,
  target: number,
): Ending[] {
  const found: Ending[] = [];
  const middle = cellIndexAtDivision(time, Math.max(onset, Math.min(target, time.end - 1)));
  for (let index = middle - 1; index <= middle + 1; index++) {
    const cell = time.cells[index];
    if (cell === undefined) continue;
    const chosen = chosenBy?.get(index);
    // A cell with nothing but a note on the beat says nothing about where that note may end.
    const slots = chosen === undefined || chosen.slots.length <= 2 ? plainSubdivision(cell.length) : chosen.slots;
    for (const slot of slots) {
      const end = cell.start + slot;
      if (end <= onset) continue;
      const onBeat = slot === 0 || slot === cell.length;
      found.push({
        end,
        cost: onBeat ? 0 : 0.04 + (0.06 * 120) / Math.max(30, slot % 240 === 0 ? 240 : slot % 120 === 0 ? 120 : 60),
      });
    }
  }
  return found;
}

function bestEnding(
  endings: readonly Ending[],
  onset: number,
  held: number,
  costOf: (ending: Ending) => number,
): number {
  let best = onset + Math.max(SHORTEST, Math.round(held / SHORTEST) * SHORTEST);
  let least = Infinity;
  for (const ending of endings) {
    const cost = costOf(ending);
    if (cost < least) {
      least = cost;
      best = ending.end;
    }
  }
  return best;
}

/** Written end in divisions of a note that was held for so many; `chosenBy` has the subdivisions of its staff by cell. */
export function heldEnd(
  time: ScoreTime,
  chosenBy: ReadonlyMap<number, Subdivision> | undefined,
  onset: number,
  held: number,
): number {
  const endings = endingsNear(time, chosenBy, onset, onset + held);
  return bestEnding(endings, onset, held, ({ end, cost }) => Math.abs(end - onset - held) / 480 + cost);
}
