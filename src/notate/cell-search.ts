/** The search for the subdivision of every cell that explains the onsets of a part at least cost (Viterbi over cells). */
import type { Part } from '../model/arrangement.ts';
import { DIVISIONS_PER_QUARTER } from '../model/written.ts';
import type { Cluster } from './clusters.ts';
import type { Priors } from './rhythm-priors.ts';
import type { Cell, ScoreTime } from './score-time.ts';
import { cellIndexAtDivision } from './score-time.ts';
import type { Subdivision } from './subdivisions.ts';
import { subdivisionsOf } from './subdivisions.ts';

/** Most that one badly fitting onset can cost, so that a slip does not decide a beat. */
const WORST_FIT = 10;
const CHANGE_OF_FAMILY = 1.2;
const CHANGE_WITHIN_FAMILY = 0.15;

interface Fit {
  readonly cost: number;
  readonly firstAtStart: boolean;
  readonly lastAtEnd: boolean;
}

export function nearestSlot(slots: readonly number[], place: number): number {
  let best = 0;
  let distance = Infinity;
  for (let index = 0; index < slots.length; index++) {
    const from = Math.abs((slots[index] ?? 0) - place);
    if (from < distance) {
      distance = from;
      best = index;
    }
  }
  return best;
}

/** Two onsets written at one place: cheap for a spread chord, dear for notes that were clearly apart or one key struck twice. */
function mergeCost(part: Part, before: Cluster, after: Cluster): number {
  const gap = after.milliseconds - before.milliseconds;
  const again = after.notes.some((a) => before.notes.some((b) => part.notes[a]?.midi === part.notes[b]?.midi));
  return Math.min(6, Math.max(0, (gap - 40) / 12)) + (again ? 5 : 0);
}

function fitOf(
  part: Part,
  cell: Cell,
  subdivision: Subdivision,
  clusters: readonly Cluster[],
  spreadDivisions: number,
  priors: Priors,
  around: { readonly before: number; readonly after: number },
): Fit {
  let cost = priors.costs[subdivision.kind] ?? subdivision.cost;
  let slotBefore = -1;
  let firstSlot = -1;
  for (const [index, cluster] of clusters.entries()) {
    const slot = nearestSlot(subdivision.slots, cluster.place - cell.start);
    const off = cluster.place - cell.start - (subdivision.slots[slot] ?? 0);
    const spread = spreadDivisions / Math.sqrt(Math.min(3, cluster.notes.length));
    cost += Math.min(WORST_FIT, (off * off) / (2 * spread * spread));
    const before = clusters[index - 1];
    if (slot === slotBefore && before !== undefined) cost += mergeCost(part, before, cluster);
    if (subdivision.alone > 0 && (subdivision.slots[slot] ?? 0) % subdivision.coarser !== 0) {
      const earlier = before?.place ?? around.before;
      const later = clusters[index + 1]?.place ?? around.after;
      const reach = 1.5 * subdivision.step;
      if (cluster.place - earlier > reach && later - cluster.place > reach) cost += subdivision.alone;
    }
    if (index === 0) firstSlot = slot;
    slotBefore = slot;
  }
  return { cost, firstAtStart: firstSlot === 0, lastAtEnd: slotBefore === subdivision.slots.length - 1 };
}

export interface FilledCell {
  readonly cellIndex: number;
  readonly cell: Cell;
  readonly clusters: readonly Cluster[];
  readonly millisecondsPerDivision: number;
}

export function fillCells(time: ScoreTime, clusters: readonly Cluster[]): FilledCell[] {
  const filled: { cellIndex: number; cell: Cell; clusters: Cluster[]; millisecondsPerDivision: number }[] = [];
  for (const cluster of clusters) {
    let index = cellIndexAtDivision(time, cluster.place);
    const here = time.cells[index];
    const next = time.cells[index + 1];
    // A cell begins a little early: who comes in before the beat means the beat.
    if (here !== undefined && next !== undefined && next.start - cluster.place < here.length / 16) index++;
    const cell = time.cells[index];
    if (cell === undefined) continue;
    const last = filled.at(-1);
    if (last?.cellIndex === index) last.clusters.push(cluster);
    else {
      const secondsPerQuarter = time.bars[cell.barIndex]?.secondsPerQuarter ?? 0.5;
      const millisecondsPerDivision = (secondsPerQuarter * 1000) / DIVISIONS_PER_QUARTER;
      filled.push({ cellIndex: index, cell, clusters: [cluster], millisecondsPerDivision });
    }
  }
  return filled;
}

function changeCost(from: Subdivision, to: Subdivision, priors: Priors): number {
  if (from.family === to.family) return from.kind === to.kind ? 0 : CHANGE_WITHIN_FAMILY;
  return to.family === 'triplet' && from.family === 'straight' ? priors.enter : CHANGE_OF_FAMILY;
}

export function searchCells(
  part: Part,
  filled: readonly FilledCell[],
  spreadMs: number,
  priors: Priors,
): Subdivision[] {
  let costs: number[] = [];
  let fitsBefore: readonly Fit[] = [];
  let optionsBefore: readonly Subdivision[] = [];
  const back: number[][] = [];
  for (const [index, item] of filled.entries()) {
    const options = subdivisionsOf(item.cell.length);
    const spread = Math.max(5, spreadMs / item.millisecondsPerDivision);
    const before = filled[index - 1];
    const adjacent = before?.cellIndex === item.cellIndex - 1;
    const lastCluster = before?.clusters.at(-1);
    const firstCluster = item.clusters[0];
    const joint =
      adjacent && lastCluster !== undefined && firstCluster !== undefined
        ? mergeCost(part, lastCluster, firstCluster)
        : 0;
    const around = {
      before: lastCluster?.place ?? -Infinity,
      after: filled[index + 1]?.clusters[0]?.place ?? Infinity,
    };
    const fits = options.map((option) => fitOf(part, item.cell, option, item.clusters, spread, priors, around));
    const nextCosts: number[] = [];
    const pointers: number[] = [];
    for (const [to, option] of options.entries()) {
      const fit = fits[to];
      let best = before === undefined ? (option.family === 'triplet' ? priors.enter : 0) : Infinity;
      let from = 0;
      for (const [candidate, earlier] of optionsBefore.entries()) {
        let step = costs[candidate] ?? 0;
        step += changeCost(earlier, option, priors);
        if (fitsBefore[candidate]?.lastAtEnd === true && fit?.firstAtStart === true) step += joint;
        if (step < best) {
          best = step;
          from = candidate;
        }
      }
      nextCosts.push(best + (fit?.cost ?? 0));
      pointers.push(from);
    }
    costs = nextCosts;
    back.push(pointers);
    fitsBefore = fits;
    optionsBefore = options;
  }
  let state = costs.indexOf(Math.min(...costs));
  const path: Subdivision[] = [];
  for (let index = filled.length - 1; index >= 0; index--) {
    const option = subdivisionsOf(filled[index]?.cell.length ?? 0)[state];
    if (option !== undefined) path.push(option);
    state = back[index]?.[state] ?? 0;
  }
  return path.reverse();
}
