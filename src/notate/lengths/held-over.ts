/** Where a note ends that is held over the next one of its staff. */
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import { SHORTEST, cellIndexAtDivision } from '../score-time/score-time.ts';
import type { Subdivision } from '../rhythm/subdivisions.ts';
import { endSlots } from '../rhythm/subdivisions.ts';

interface Ending {
  readonly end: number;
  readonly cost: number;
}

/** Places where a note may end near `target`: cell borders and the slots of the cell's own subdivision. */
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
    for (const slot of endSlots(cell.length, chosenBy?.get(index))) {
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

/** Written end in divisions of a note that was held for so many; `chosenBy` has the subdivisions of its staff by cell. */
export function heldEnd(
  time: ScoreTime,
  chosenBy: ReadonlyMap<number, Subdivision> | undefined,
  onset: number,
  held: number,
): number {
  let best = onset + Math.max(SHORTEST, Math.round(held / SHORTEST) * SHORTEST);
  let least = Infinity;
  for (const { end, cost } of endingsNear(time, chosenBy, onset, onset + held)) {
    const off = Math.abs(end - onset - held) / DIVISIONS_PER_QUARTER + cost;
    if (off < least) [least, best] = [off, end];
  }
  return best;
}
