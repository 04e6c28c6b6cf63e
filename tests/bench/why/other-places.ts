/** Where else an onset could have been written: the last reading asked again with all other places of that onset taken away. */
import type { OnsetQuestion } from '../../../src/notate/explain.ts';
import { searchOnsets } from '../../../src/notate/rhythm/straight-or-triplet.ts';
import type { OnsetStates } from '../../../src/notate/rhythm/onset-candidates.ts';
import { SUBDIVISION_KINDS } from '../../../src/notate/rhythm/subdivisions.ts';

export interface PlaceOption {
  /** Divisions from the start of bar 1. */
  readonly position: number;
  /** Played away from it, in ms: positive is late. */
  readonly offMs: number;
  readonly subdivision: string;
  /** What the whole reading costs more than the cheapest one, in nats. */
  readonly lostBy: number;
}

/** The states without those of one onset that stand elsewhere. */
function onlyAt(states: OnsetStates, onset: number, position: number): OnsetStates {
  const kept: number[] = [];
  const from = new Int32Array(states.from.length);
  for (let at = 0; at + 1 < states.from.length; at++) {
    from[at] = kept.length;
    for (let state = states.from[at] ?? 0; state < (states.from[at + 1] ?? 0); state++) {
      if (at !== onset || states.position[state] === position) kept.push(state);
    }
  }
  from[states.from.length - 1] = kept.length;
  const pick = (numbers: Int32Array): Int32Array => Int32Array.from(kept, (state) => numbers[state] ?? 0);
  return {
    from,
    cell: pick(states.cell),
    slot: pick(states.slot),
    position: pick(states.position),
    subdivisionId: pick(states.subdivisionId),
    offMs: Float64Array.from(kept, (state) => states.offMs[state] ?? 0),
    subdivision: kept.flatMap((state) => states.subdivision[state] ?? []),
  };
}

/** All places that a played note may have, the chosen one first; undefined where it was not read as an onset of its own. */
export function placeOptions({ parts, costs }: OnsetQuestion, note: number): readonly PlaceOption[] | undefined {
  const at = parts.streams.findIndex(({ onsets }) => onsets.some(({ notes }) => notes.includes(note)));
  const stream = parts.streams[at];
  const asked = costs[at];
  if (stream === undefined || asked === undefined) return undefined;
  const { states, onsets, weights, apartSigns } = stream;
  const onset = onsets.findIndex(({ notes }) => notes.includes(note));
  const positions = new Set(states.position.subarray(states.from[onset], states.from[onset + 1]));
  const read = [...positions].map((position) => {
    const left = onlyAt(states, onset, position);
    const path = searchOnsets(left, weights, apartSigns, asked);
    const state = path.states[onset] ?? 0;
    const kind = SUBDIVISION_KINDS[left.subdivision[state]?.kind ?? 0]?.name ?? '';
    return { position, offMs: left.offMs[state] ?? 0, subdivision: kind, cost: path.cost };
  });
  const least = Math.min(...read.map(({ cost }) => cost));
  return read
    .map(({ cost, ...option }): PlaceOption => ({ ...option, lostBy: cost - least }))
    .sort((a, b) => a.lostBy - b.lostBy);
}
