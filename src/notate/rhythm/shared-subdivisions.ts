/** What the streams of a stage tell one another: parts that move together share the subdivision of a beat and their places in it. */
import type { OnsetStates } from './onset-candidates.ts';

/** Where a stream has its onsets in a cell, and how it subdivides the cell. */
interface Ballot {
  readonly positions: Set<number>;
  readonly subdivision: number;
}

export type Ballots = ReadonlyMap<number, Ballot>;

/** What the others say to one stream. */
export interface Votes {
  /** Cost in nats of a place in a cell, negative where others agree; 0 where nobody speaks. */
  readonly place: (cell: number, position: number) => number;
  /** Share of the others who subdivide the cell this way, and how much they are to be believed (0..1). */
  readonly subdivision: (cell: number, id: number) => { readonly share: number; readonly trust: number };
}

const SILENCE = { share: 0, trust: 0 };
export const NO_VOTES: Votes = { place: () => 0, subdivision: () => SILENCE };

/** Other onsets this close, in divisions, but elsewhere, speak against a place. */
const CLOSE = 90;
/** More voices than this say no more. */
const MOST_VOICES = 8;
/** Voices that a place has before any is heard, for and against. */
const ASSUMED_VOICES = 1;
/** Most that the others together are believed, and how many voices it takes to be half believed. */
const MOST_TRUST = 0.6;
const HALF_TRUSTED = 1;

/** Ballots of a path through states. */
export function ballotsOf(states: OnsetStates, path: Int32Array): Ballots {
  return ballotsByVoter(states, path, 1, () => 0)[0] ?? new Map<number, Ballot>();
}

/** The same of a path that several voters have together; `voterOf` says whose an onset is. */
export function ballotsByVoter(
  states: OnsetStates,
  path: Int32Array,
  voters: number,
  voterOf: (onset: number) => number,
): readonly Ballots[] {
  const ballots = Array.from({ length: voters }, () => new Map<number, Ballot>());
  for (let onset = 0; onset < path.length; onset++) {
    const state = path[onset] as number;
    const byCell = ballots[voterOf(onset)];
    const cell = states.cell[state] as number;
    const position = states.position[state] as number;
    const known = byCell?.get(cell);
    if (known === undefined) {
      byCell?.set(cell, { positions: new Set([position]), subdivision: states.subdivision[state]?.id ?? 0 });
    } else known.positions.add(position);
  }
  return ballots;
}

interface Voices {
  agree: number;
  differ: number;
}

interface Tally {
  readonly positions: Map<number, number>;
  /** What is said about a place, once it was asked for. */
  readonly said: Map<number, Voices>;
  readonly subdivisions: Map<number, number>;
  voters: number;
}

function voicesAt(tally: Tally, position: number): Voices {
  const known = tally.said.get(position);
  if (known !== undefined) return known;
  const voices = { agree: 0, differ: 0 };
  for (const [other, count] of tally.positions) {
    if (other === position) voices.agree += count;
    else if (Math.abs(other - position) <= CLOSE) voices.differ += count;
  }
  tally.said.set(position, voices);
  return voices;
}

function placeCost(tally: Tally | undefined, mine: Ballot | undefined, position: number): number {
  if (tally === undefined || tally.voters === (mine === undefined ? 0 : 1)) return 0;
  let { agree, differ } = voicesAt(tally, position);
  for (const other of mine?.positions ?? []) {
    if (other === position) agree--;
    else if (Math.abs(other - position) <= CLOSE) differ--;
  }
  if (agree + differ === 0) return 0;
  const scale = Math.min(1, MOST_VOICES / (agree + differ));
  return -Math.log((2 * (scale * agree + ASSUMED_VOICES)) / (scale * (agree + differ) + 2 * ASSUMED_VOICES));
}

/** For every voter, what the others say. */
export function votesOf(voters: readonly Ballots[]): Votes[] {
  const tallies = new Map<number, Tally>();
  for (const ballots of voters) {
    for (const [cell, { positions, subdivision }] of ballots) {
      let tally = tallies.get(cell);
      if (tally === undefined) {
        tally = { positions: new Map(), said: new Map(), subdivisions: new Map(), voters: 0 };
        tallies.set(cell, tally);
      }
      tally.voters++;
      tally.subdivisions.set(subdivision, (tally.subdivisions.get(subdivision) ?? 0) + 1);
      for (const position of positions) tally.positions.set(position, (tally.positions.get(position) ?? 0) + 1);
    }
  }
  return voters.map((own): Votes => {
    const asked = new Map<number, number>();
    let lastCell = -1;
    let tally: Tally | undefined;
    let mine: Ballot | undefined;
    const look = (cell: number): void => {
      if (cell === lastCell) return;
      lastCell = cell;
      tally = tallies.get(cell);
      mine = own.get(cell);
    };
    return {
      place: (cell, position) => {
        const before = asked.get(position);
        if (before !== undefined) return before;
        look(cell);
        const cost = placeCost(tally, mine, position);
        asked.set(position, cost);
        return cost;
      },
      subdivision: (cell, id) => {
        look(cell);
        const others = (tally?.voters ?? 0) - (mine === undefined ? 0 : 1);
        if (tally === undefined || others === 0) return SILENCE;
        const same = (tally.subdivisions.get(id) ?? 0) - (mine?.subdivision === id ? 1 : 0);
        return { share: same / others, trust: (MOST_TRUST * others) / (others + HALF_TRUSTED) };
      },
    };
  });
}
