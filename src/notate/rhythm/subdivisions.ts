/** The ways in which a cell (beat) may be subdivided, and how dear each is before anything is known of the music. */
import { SHORTEST } from '../score-time/score-time.ts';

/** Families that music stays in for a while; `fine` values come and go with the figure they belong to. */
export type Rhythm = 'straight' | 'triplet' | 'fine';

export interface Subdivision {
  /** Unique among all subdivisions. */
  readonly id: number;
  /** Index into SUBDIVISION_KINDS. */
  readonly kind: number;
  readonly cost: number;
  readonly family: Rhythm;
  /** Places in divisions from the start of the cell; the last one is the start of the next cell. */
  readonly slots: readonly number[];
  /** Onsets that a cell must have to be read so: a fast triplet of two notes is none. */
  readonly fewest: number;
  /** How many onsets the cell must have, no more and no fewer; absent where any number will do. */
  readonly run?: number;
  /** Distance of the coarser grid that its finest places lie between. */
  readonly coarser: number;
}

interface Kind {
  readonly name: string;
  readonly family: Rhythm;
  /** Cost in nats against the plainest of its family. */
  readonly cost: number;
  readonly coarser: number;
}

/** By what a musician calls the value, so that a kind means the same in every meter. */
export const SUBDIVISION_KINDS: readonly Kind[] = [
  { name: 'beat', family: 'straight', cost: 0, coarser: 480 },
  { name: 'eighths', family: 'straight', cost: 0.7, coarser: 480 },
  { name: 'sixteenths', family: 'straight', cost: 2, coarser: 240 },
  { name: 'thirty-seconds', family: 'straight', cost: 5, coarser: 120 },
  { name: 'eighth triplets', family: 'triplet', cost: 0.5, coarser: 480 },
  { name: 'sixteenth triplets', family: 'fine', cost: 5, coarser: 160 },
  { name: 'sixteenths and triplets', family: 'fine', cost: 6, coarser: 240 },
  { name: 'dotted halves of a beat', family: 'straight', cost: 3, coarser: 720 },
  { name: 'beat among triplets', family: 'triplet', cost: 0.3, coarser: 480 },
  { name: 'thirty-second triplets', family: 'fine', cost: 9, coarser: 80 },
  { name: 'sixty-fourths', family: 'straight', cost: 10, coarser: 60 },
  { name: 'quintuplets', family: 'fine', cost: 5, coarser: 480 },
  { name: 'septuplets', family: 'fine', cost: 6.5, coarser: 480 },
];

/** A run of five or seven is one only where all of its places are filled, and nothing else. */
const RUNS: Readonly<Record<string, number>> = { quintuplets: 5, septuplets: 7 };

function every(step: number, length: number): number[] {
  const slots: number[] = [];
  for (let place = 0; place < length; place += step) slots.push(place);
  slots.push(length);
  return slots;
}

const made: Subdivision[] = [];

function make(kind: number, slots: readonly number[]): Subdivision {
  const { name = '', cost = 0, family = 'straight', coarser = 240 } = SUBDIVISION_KINDS[kind] ?? {};
  const fewest = family === 'fine' || name === 'sixty-fourths' ? 3 : 1;
  const run = RUNS[name];
  const own = { id: made.length, kind, cost, family, slots, fewest, coarser };
  const subdivision: Subdivision = run === undefined ? own : { ...own, run };
  made.push(subdivision);
  return subdivision;
}

/** Every subdivision that was asked for so far, by id. */
export function allSubdivisions(): readonly Subdivision[] {
  return made;
}

const QUARTER: readonly Subdivision[] = [
  make(0, [0, 480]),
  make(8, [0, 480]),
  make(1, every(240, 480)),
  make(2, every(120, 480)),
  make(3, every(60, 480)),
  make(4, every(160, 480)),
  make(5, every(80, 480)),
  make(6, [0, 120, 240, 320, 400, 480]),
  make(6, [0, 80, 160, 240, 360, 480]),
  make(9, every(40, 480)),
  make(10, every(30, 480)),
  make(11, every(96, 480)),
  make(12, [0, 69, 137, 206, 274, 343, 411, 480]),
];

const EIGHTH: readonly Subdivision[] = [
  make(1, [0, 240]),
  make(2, every(120, 240)),
  make(3, every(60, 240)),
  make(5, every(80, 240)),
  make(9, every(40, 240)),
  make(10, every(30, 240)),
];

const DOTTED_QUARTER: readonly Subdivision[] = [
  make(0, [0, 720]),
  make(1, every(240, 720)),
  make(2, every(120, 720)),
  make(3, every(60, 720)),
  make(5, every(80, 720)),
  make(7, every(360, 720)),
  make(9, every(40, 720)),
  make(10, every(30, 720)),
];

const DOTTED_EIGHTH: readonly Subdivision[] = [make(1, [0, 360]), make(2, every(120, 360)), make(3, every(60, 360))];

const odd = new Map<number, readonly Subdivision[]>();

/** Subdivisions open to a cell of this length in divisions. */
export function subdivisionsOf(length: number): readonly Subdivision[] {
  if (length === 480) return QUARTER;
  if (length === 240) return EIGHTH;
  if (length === 720) return DOTTED_QUARTER;
  if (length === 360) return DOTTED_EIGHTH;
  const known = odd.get(length);
  if (known !== undefined) return known;
  const options = [
    make(1, every(240, length)),
    make(2, every(120, length)),
    make(3, every(length % 60 === 0 ? 60 : SHORTEST, length)),
  ];
  odd.set(length, options);
  return options;
}

const plain = new Map<number, readonly number[]>();

/** The subdivision that a cell without onsets is read with when a note ends in it: halves of a simple beat, eighths of a compound one. */
function plainSubdivision(length: number): readonly number[] {
  const known = plain.get(length) ?? every(length % 240 === 0 ? 240 : SHORTEST * 4, length);
  plain.set(length, known);
  return known;
}

/** Places in divisions from the start of a cell of this length at which a note may end in it; `chosen` is how the onsets in it were read. */
export function endSlots(length: number, chosen: Subdivision | undefined): readonly number[] {
  // A cell with nothing but a note on the beat says nothing about where that note may end.
  return chosen === undefined || chosen.slots.length <= 2 ? plainSubdivision(length) : chosen.slots;
}
