/**
 * What is a triplet and what is straight: the written places of a stream of onsets that explain its playing at least cost: a Viterbi search over the onsets. A state is a place of
 * a subdivision of a cell; going on costs by what the music does elsewhere (a metrical Markov model as in E. Nakamura, K. Yoshii,
 * S. Sagayama, IEEE/ACM TASLP 25(4), 2017, with subdivisions chosen cell by cell), and a place costs by its distance from the playing.
 */
import type { Votes } from './shared-subdivisions.ts';
import { FAMILIES, changesOf, findWays, noWays } from './subdivision-paths.ts';
import type { OnsetStates } from './onset-candidates.ts';
import type { RhythmCounts } from './rhythm-counts.ts';
import { countStep, noCounts, placesIn } from './rhythm-counts.ts';
import type { Subdivision } from './subdivisions.ts';

export interface SearchCosts {
  readonly spreadMs: number;
  /** By kind of subdivision. */
  readonly kinds: readonly number[];
  /** By kind: how likely a beat goes on like the one before. */
  readonly kept: readonly number[];
  /** Of changing from straight values to triplets. */
  readonly enterTriplets: number;
  /** By subdivision id, see `stepCosts`. */
  readonly steps: readonly Float64Array[];
  readonly together: number;
  readonly apart: number;
  /** What other parts say. */
  readonly votes: Votes;
}

/** Signs in the playing that two onsets that follow one another are one chord (positive) or are not, in nats; by the later onset. */
export type ApartSigns = Float64Array;

export interface OnsetPath {
  /** State of every onset, an index into the states. */
  readonly states: Int32Array;
  readonly counts: RhythmCounts;
  /** Of the whole path, in nats. */
  readonly cost: number;
}

/** Most that one badly fitting onset can cost, so that a slip does not decide a beat; and what it costs farther off. */
const WORST_FIT = 9;
const FARTHER_MS = 0.004;

/** Cost of a subdivision: what the music usually does, or what the others do here. */
function kindCost({ kinds, votes }: SearchCosts, cell: number, subdivision: Subdivision): number {
  const usual = kinds[subdivision.kind] ?? subdivision.cost;
  const { share, trust } = votes.subdivision(cell, subdivision.id);
  return trust === 0 ? usual : -Math.log((1 - trust) * Math.exp(-usual) + trust * share);
}

/** What the subdivisions of the last few cells cost: several onsets of a cell ask in turn. */
interface KindCosts {
  readonly cell: Int32Array;
  readonly kind: Float64Array;
  readonly keeping: Float64Array;
}

const CELLS_KEPT = 4;

function noKindCosts(subdivisions: number): KindCosts {
  const size = subdivisions * CELLS_KEPT;
  return { cell: new Int32Array(size).fill(-1), kind: new Float64Array(size), keeping: new Float64Array(size) };
}

/** Index of the costs of a subdivision of a cell. */
function kindPlace(known: KindCosts, costs: SearchCosts, cell: number, subdivision: Subdivision): number {
  const at = subdivision.id * CELLS_KEPT + (cell % CELLS_KEPT);
  if (known.cell[at] === cell) return at;
  const kind = kindCost(costs, cell, subdivision);
  const stays = costs.kept[subdivision.kind] ?? 0;
  known.cell[at] = cell;
  known.kind[at] = kind;
  known.keeping[at] = -Math.log(stays + (1 - stays) * Math.exp(-kind));
  return at;
}

/** Whether a state stands before those of a subdivision of a cell: they come by cell, then by id. */
function isBefore(states: OnsetStates, state: number, cell: number, id: number): boolean {
  const own = states.cell[state] as number;
  return own < cell || (own === cell && (states.subdivisionId[state] as number) < id);
}

function isOf(states: OnsetStates, state: number, cell: number, id: number): boolean {
  return states.cell[state] === cell && states.subdivisionId[state] === id;
}

/** The best state of every onset. `weights` say how much an onset's distance counts. */
export function searchOnsets(
  states: OnsetStates,
  weights: Float64Array,
  apartSigns: ApartSigns,
  costs: SearchCosts,
): OnsetPath {
  const count = weights.length;
  const reached = new Float64Array(states.position.length);
  const back = new Int32Array(states.position.length).fill(-1);
  const { steps } = costs;
  const leaving = costs.kept.map((stays) => -Math.log(1 - stays));
  const changes = changesOf(costs.enterTriplets);
  const ways = noWays();
  const scale = 1 / (2 * costs.spreadMs * costs.spreadMs);
  const known = noKindCosts(steps.length);
  for (let onset = 0; onset < count; onset++) {
    const from = states.from[onset] as number;
    const to = states.from[onset + 1] as number;
    const before = onset === 0 ? from : (states.from[onset - 1] as number);
    let waysInto = -1;
    const firstCell = onset === 0 ? Infinity : (states.cell[before] as number);
    const sign = apartSigns[onset] as number;
    const together = costs.together + Math.max(0, -sign);
    const apart = costs.apart + Math.max(0, sign);
    let kindAt = -1;
    let kind = 0;
    let keeping = 0;
    let group = before;
    let groupEnd = before;
    let asked: Subdivision | undefined;
    for (let state = from; state < to; state++) {
      const subdivision = states.subdivision[state] as Subdivision;
      const cell = states.cell[state] as number;
      const slot = states.slot[state] as number;
      const table = steps[subdivision.id] as Float64Array;
      const size = placesIn(subdivision) + 1;
      if (subdivision !== asked || cell !== kindAt) {
        const at = kindPlace(known, costs, cell, subdivision);
        kind = known.kind[at] as number;
        keeping = known.keeping[at] as number;
        asked = subdivision;
        kindAt = cell;
        // States of one subdivision of one cell stand together.
        for (group = groupEnd; group < from && isBefore(states, group, cell, subdivision.id);) group++;
        for (groupEnd = group; groupEnd < from && isOf(states, groupEnd, cell, subdivision.id);) groupEnd++;
      }
      const first = table[(size - 1) * size + slot] as number;
      let best = Infinity;
      let source = -1;
      if (onset === 0) best = kind + first + (subdivision.family === 'triplet' ? costs.enterTriplets : 0);
      for (let earlier = group; earlier < groupEnd; earlier++) {
        const earlierSlot = states.slot[earlier] as number;
        if (earlierSlot > slot) continue;
        const step = earlierSlot === slot ? together : apart + (table[earlierSlot * size + slot] as number);
        const cost = (reached[earlier] as number) + step;
        if (cost < best) {
          best = cost;
          source = earlier;
        }
      }
      // Most onsets lie inside the cell of the one before.
      if (cell > firstCell) {
        if (waysInto !== cell)
          findWays(ways, cell, { states, from: before, to: from, reached, steps, leaving, changes });
        waysInto = cell;
        const into = apart + first;
        const family = FAMILIES.indexOf(subdivision.family);
        const kept = (ways.keep[subdivision.kind] as number) + keeping + into;
        const again = (ways.again[subdivision.kind] as number) + kind + into;
        const changed = (ways.change[family] as number) + kind + into;
        if (kept < best) {
          best = kept;
          source = ways.keepFrom[subdivision.kind] as number;
        }
        if (again < best) {
          best = again;
          source = ways.againFrom[subdivision.kind] as number;
        }
        if (changed < best) {
          best = changed;
          source = ways.changeFrom[family] as number;
        }
      }
      const off = Math.abs(states.offMs[state] as number);
      const fit = Math.min(WORST_FIT, (weights[onset] as number) * off * off * scale) + off * FARTHER_MS;
      reached[state] = best + fit + costs.votes.place(cell, states.position[state] as number);
      back[state] = source;
    }
  }
  return traced(states, reached, back, count);
}

function traced(states: OnsetStates, reached: Float64Array, back: Int32Array, count: number): OnsetPath {
  const path = new Int32Array(count);
  const counts = noCounts();
  let state = -1;
  for (let at = states.from[Math.max(0, count - 1)] ?? 0; count > 0 && at < (states.from[count] as number); at++) {
    if (state < 0 || (reached[at] as number) < (reached[state] as number)) state = at;
  }
  const cost = reached[state] ?? 0;
  for (let onset = count - 1; onset >= 0; onset--) {
    path[onset] = state;
    state = back[state] as number;
  }
  let previous = -1;
  for (let onset = 0; onset < count; onset++) {
    const here = path[onset] as number;
    const subdivision = states.subdivision[here] as Subdivision;
    const slot = states.slot[here] as number;
    const earlier = previous < 0 ? undefined : states.subdivision[previous];
    if (earlier !== undefined && states.cell[previous] === states.cell[here]) {
      if (states.slot[previous] === slot) counts.together++;
      else {
        counts.apart++;
        countStep(counts, subdivision, states.slot[previous] as number, slot);
      }
    } else {
      if (earlier !== undefined) {
        counts.apart++;
        if (states.cell[previous] === (states.cell[here] as number) - 1) {
          counts.followed[earlier.kind] = (counts.followed[earlier.kind] ?? 0) + 1;
          if (earlier.kind === subdivision.kind) counts.kept[earlier.kind] = (counts.kept[earlier.kind] ?? 0) + 1;
        }
        countStep(counts, earlier, states.slot[previous] as number, placesIn(earlier));
      }
      counts.kinds[subdivision.kind] = (counts.kinds[subdivision.kind] ?? 0) + 1;
      countStep(counts, subdivision, placesIn(subdivision), slot);
    }
    previous = here;
  }
  return { states: path, counts, cost };
}
