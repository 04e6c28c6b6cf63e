/** How alike the bars of two stages are. */
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import { overlap } from '../../../model/sorted-sets.ts';
import { PART_CODES, type BarContent, type MovedContents } from './bar-content.ts';
import { onceEach } from '../../../model/once-each.ts';

/** Weight of the lengths beside onsets and pitches: enough to decide between bars that are otherwise the same. */
const LENGTH_WEIGHT = 0.001;

/** Two bars in which none of the common parts begins a note have that in common. */
const SILENT_ALIKE = 0.5;

/** What a bar that was found again at another pitch counts beside one at the same. */
const MOVED_LIKENESS = 0.98;

/** Where a code stands in most bars (a drum, an ostinato) it still counts a little, so that bars of nothing else are told apart. */
const LEAST_WEIGHT = 0.05;

/** Rows of two stages of up to so many pairs of bars are kept. */
const MOST_KEPT = 1_000_000;

/** The codes of one stage by the places that they have in a list of all of them. */
interface Codes {
  /** Each once, ascending; of up to 2047 parts all are numbers that the engine handles without making objects of them. */
  readonly codes: Uint32Array;
  /** How often each stands in the stage. */
  readonly counts: Int32Array;
  /** Their places in `codes`, bar by bar: those of a bar from its start on; one more start marks the end. */
  readonly ids: Uint32Array;
  readonly starts: Uint32Array;
  /** The bars that have a code, code by code. */
  readonly bars: Uint32Array;
  readonly barStarts: Uint32Array;
  /** By rank of the part: its notes, and the bars in which it has some. */
  readonly notes: readonly number[];
  readonly sounding: readonly number[];
  /** Divisions for which the notes of a bar last. */
  readonly lengths: Float64Array;
}

/** Where the items of each group begin, from the size of each. */
function startsOf(sizes: Int32Array): Uint32Array {
  const starts = new Uint32Array(sizes.length + 1);
  for (let at = 0; at < sizes.length; at++) starts[at + 1] = (starts[at] ?? 0) + (sizes[at] ?? 0);
  return starts;
}

/** The codes of a list, each once, ascending; the place of each in them; and how often each is in the list. */
type Places = Pick<Codes, 'codes' | 'ids' | 'counts'>;

/** The same where codes are too far apart for a table of them. */
function placesSorted(every: Uint32Array): Places {
  // A code and where it stands are one number, exact for up to two million of them: sorted by itself it needs no table of codes.
  const keys = new Float64Array(every.length);
  for (let at = 0; at < keys.length; at++) keys[at] = (every[at] ?? 0) * keys.length + at;
  keys.sort();
  const codes = new Uint32Array(keys.length);
  const counts = new Int32Array(keys.length);
  const ids = new Uint32Array(keys.length);
  let id = -1;
  let last = -1;
  for (let place = 0; place < keys.length; place++) {
    const at = (keys[place] ?? 0) % keys.length;
    const code = every[at] ?? 0;
    if (code !== last) codes[++id] = last = code;
    ids[at] = id;
    counts[id] = (counts[id] ?? 0) + 1;
  }
  return { codes: codes.slice(0, id + 1), ids, counts: counts.slice(0, id + 1) };
}

/** Tables of codes have up to so many places. */
const MOST_PLACES = 1_000_000;

/** One place more than the highest that a part has in its codes, those of all parts looked at as one. */
function widthOf(every: Uint32Array): number {
  let bits = 0;
  for (let at = 0; at < every.length; at++) bits |= every[at] ?? 0;
  // A power of two above all of them will do.
  return 2 ** (32 - Math.clz32(bits & (PART_CODES - 1)));
}

/** So many bits of a code are its place in its part; those above them stand for the part. */
const PART_BITS = Math.log2(PART_CODES);

/** Which part a code is of, by rank. */
function rankOf(code: number): number {
  return code >>> PART_BITS;
}

/** Where a code stands in a table that has `less` places fewer for each part than there may be codes. */
function placeOf(code: number, less: number): number {
  return code - rankOf(code) * less;
}

/** How many parts the codes may be of. */
function partsIn(every: Uint32Array): number {
  let highest = 0;
  for (let at = 0; at < every.length; at++) if ((every[at] ?? 0) > highest) highest = every[at] ?? 0;
  return rankOf(highest) + 1;
}

/**
 * Counts each code in a table that has `width` places for each part, so that a code stands at its own place in its part's; returns the codes, each
 * once, as they come.
 */
function countCodes(every: Uint32Array, width: number, table: Uint32Array): Uint32Array {
  const found = new Uint32Array(every.length);
  const less = PART_CODES - width;
  let count = 0;
  for (let at = 0; at < every.length; at++) {
    const code = every[at] ?? 0;
    const place = placeOf(code, less);
    const known = table[place] ?? 0;
    if (known === 0) found[count++] = code;
    table[place] = known + 1;
  }
  return found.slice(0, count);
}

function placesOf(every: Uint32Array): Places {
  const width = widthOf(every);
  const less = PART_CODES - width;
  const size = partsIn(every) * width;
  if (size > MOST_PLACES) return placesSorted(every);
  const table = new Uint32Array(size);
  const codes = countCodes(every, width, table).sort();
  const counts = new Int32Array(codes.length);
  for (let id = 0; id < codes.length; id++) {
    const code = codes[id] ?? 0;
    const place = placeOf(code, less);
    counts[id] = table[place] ?? 0;
    table[place] = id;
  }
  const ids = new Uint32Array(every.length);
  for (let at = 0; at < ids.length; at++) {
    ids[at] = table[placeOf(every[at] ?? 0, less)] ?? 0;
  }
  return { codes, ids, counts };
}

/** Where the codes of each bar begin. */
function barsOf(contents: readonly BarContent[]): Uint32Array {
  const sizes = new Int32Array(contents.length);
  for (let bar = 0; bar < contents.length; bar++) sizes[bar] = contents[bar]?.common.length ?? 0;
  return startsOf(sizes);
}

/** The codes of all bars, one bar after the other. */
function everyOf(contents: readonly BarContent[], starts: Uint32Array): Uint32Array {
  const every = new Uint32Array(starts.at(-1) ?? 0);
  for (let bar = 0; bar < contents.length; bar++) every.set(contents[bar]?.common ?? [], starts[bar] ?? 0);
  return every;
}

const codesOf = onceEach((contents: readonly BarContent[]): Codes => {
  const starts = barsOf(contents);
  return codesIn(contents, everyOf(contents, starts), starts);
});

function codesIn(contents: readonly BarContent[], every: Uint32Array, starts: Uint32Array): Codes {
  const lengths = new Float64Array(contents.length);
  for (let bar = 0; bar < contents.length; bar++) lengths[bar] = contents[bar]?.commonLength ?? 0;
  const { codes, ids, counts } = placesOf(every);
  const barStarts = startsOf(counts);
  const bars = new Uint32Array(ids.length);
  const next = barStarts.slice();
  const notes: number[] = [];
  const sounding: number[] = [];
  for (let bar = 0; bar < contents.length; bar++) {
    let last = -1;
    for (let at = starts[bar] ?? 0; at < (starts[bar + 1] ?? 0); at++) {
      const id = ids[at] ?? 0;
      const place = next[id] ?? 0;
      bars[place] = bar;
      next[id] = place + 1;
      const rank = rankOf(every[at] ?? 0);
      notes[rank] = (notes[rank] ?? 0) + 1;
      if (rank !== last) sounding[rank] = (sounding[rank] ?? 0) + 1;
      last = rank;
    }
  }
  return { codes, counts, ids, starts, bars, barStarts, notes, sounding, lengths };
}

/** The codes of parts with pitch so many semitones higher. */
function movedCodes(codes: Uint32Array, semitones: number, isPitched: readonly boolean[]): Uint32Array {
  const moved = codes.slice();
  for (let at = 0; at < codes.length; at++) {
    const code = codes[at] ?? 0;
    if (isPitched[rankOf(code)] === true) moved[at] = code + semitones;
  }
  return moved;
}

function isAscending(codes: Uint32Array): boolean {
  for (let at = 1; at < codes.length; at++) if ((codes[at] ?? 0) <= (codes[at - 1] ?? 0)) return false;
  return true;
}

/** One of two stages whose bars are held against each other; its parts with pitch so many semitones higher. */
export interface LikenessSide {
  readonly contents: readonly BarContent[];
  readonly codes: Codes;
  readonly semitones: number;
}

export function sideOf(contents: readonly BarContent[]): LikenessSide {
  return { contents, codes: codesOf(contents), semitones: 0 };
}

/** Only the codes differ from those at the pitch that the stage has, and their order is the same but where an interval is wider than several octaves. */
export function movedSide({ contents, semitones, isPitched }: MovedContents): LikenessSide {
  const known = codesOf(contents);
  const codes = movedCodes(known.codes, semitones, isPitched);
  if (isAscending(codes)) return { contents, codes: { ...known, codes }, semitones };
  const every = movedCodes(everyOf(contents, known.starts), semitones, isPitched);
  return { contents, codes: codesIn(contents, every, known.starts), semitones };
}

/** How much each code of two stages says about which bar it is in, by its place in either; and its place in the later stage, or -1. */
interface Weights {
  readonly before: Float64Array;
  readonly after: Float64Array;
  readonly placeAfter: Int32Array;
}

/**
 * Each part has one voice however many notes it plays in a bar, and of a part what stands in every bar says almost nothing (inverse
 * document frequency, Sparck Jones 1972, on a scale from 0 to 1).
 */
function weightsOf(old: Codes, fresh: Codes): Weights {
  const scale = Math.log(Math.max(2, (old.lengths.length + fresh.lengths.length) / 2));
  // A code stands in a bar once: of a count there is one rarity, and there are no more counts than bars.
  const rarities = new Float64Array(old.lengths.length + fresh.lengths.length + 1);
  for (let count = 0; count < rarities.length; count++) {
    rarities[count] = Math.max(LEAST_WEIGHT, 1 - Math.log(Math.max(1, count / 2)) / scale);
  }
  const ranks = Math.max(old.notes.length, fresh.notes.length);
  const sounding = new Float64Array(ranks);
  const notes = new Float64Array(ranks);
  for (let rank = 0; rank < ranks; rank++) {
    sounding[rank] = (old.sounding[rank] ?? 0) + (fresh.sounding[rank] ?? 0);
    notes[rank] = (old.notes[rank] ?? 0) + (fresh.notes[rank] ?? 0);
  }
  const weightOf = (code: number, count: number): number => {
    const rank = rankOf(code);
    return ((rarities[count] ?? 0) * (sounding[rank] ?? 0)) / (notes[rank] ?? 0);
  };
  const before = new Float64Array(old.codes.length);
  const after = new Float64Array(fresh.codes.length);
  const placeAfter = new Int32Array(old.codes.length).fill(-1);
  for (let place = 0, other = 0; place < before.length || other < after.length;) {
    const code = place < before.length ? (old.codes[place] ?? Infinity) : Infinity;
    const codeAfter = other < after.length ? (fresh.codes[other] ?? Infinity) : Infinity;
    const isOld = code <= codeAfter;
    const isFresh = codeAfter <= code;
    const count = (isOld ? (old.counts[place] ?? 0) : 0) + (isFresh ? (fresh.counts[other] ?? 0) : 0);
    const weight = weightOf(isOld ? code : codeAfter, count);
    if (isOld) before[place] = weight;
    if (isFresh) after[other] = weight;
    if (isOld && isFresh) placeAfter[place] = other;
    if (isOld) place++;
    if (isFresh) other++;
  }
  return { before, after, placeAfter };
}

/** A thirty-second of difference for each note is the grid's. */
const LENGTH_TOLERANCE = DIVISIONS_PER_QUARTER / 8;

/** Whether the notes of two bars last as long, all together; `count`: how many there are in the bar that has more. */
function lastAlike(length: number, lengthAfter: number, count: number): boolean {
  return Math.abs(length - lengthAfter) <= LENGTH_TOLERANCE * count;
}

/** True of two lists of the same numbers in the same order. */
export function areEqual(some: ArrayLike<number>, others: ArrayLike<number>): boolean {
  if (some.length !== others.length) return false;
  for (let at = 0; at < some.length; at++) if (some[at] !== others[at]) return false;
  return true;
}

/** True where two bars are as alike as bars can be. */
export function isSameBar(one: BarContent | undefined, other: BarContent | undefined): boolean {
  if (one === undefined || other === undefined) return false;
  if (one === other) return true;
  if (!areEqual(one.common, other.common)) return false;
  const count = one.common.length;
  return count > 0 ? lastAlike(one.commonLength, other.commonLength, count) : areEqual(one.all(), other.all());
}

/** Likeness, 0..1, of one bar of a stage to every bar of another. */
export type LikenessRow = (one: number) => Float64Array;

/** Rows that are made when they are first asked for; of long stages only the last is kept. */
function keptRows(rowCount: number, width: number, fill: (row: Float64Array, one: number) => void): LikenessRow {
  const keepsAll = rowCount * width <= MOST_KEPT;
  // Small arrays of their own each cost more than what is written into them.
  const all = new Float64Array(keepsAll ? rowCount * width : 0);
  let rows: (Float64Array | undefined)[] = [];
  return (one) => {
    const known = rows[one];
    if (known !== undefined) return known;
    if (!keepsAll) rows = [];
    const row = keepsAll ? all.subarray(one * width, (one + 1) * width) : new Float64Array(width);
    fill(row, one);
    rows[one] = row;
    return row;
  };
}

/** Sum of the weights of the codes of a bar. */
function weightIn({ ids, starts }: Codes, weights: Float64Array, bar: number): number {
  let sum = 0;
  const end = starts[bar + 1] ?? 0;
  for (let at = starts[bar] ?? 0; at < end; at++) sum += weights[ids[at] ?? 0] ?? 0;
  return sum;
}

/**
 * How alike two bars are by the parts that both stages have, and by all parts where those rest. Shared onsets are counted through an
 * index of the other stage, so that bars that share nothing cost nothing.
 */
export function likenessRows(before: LikenessSide, after: LikenessSide): LikenessRow {
  const old = before.codes;
  const fresh = after.codes;
  const weights = weightsOf(old, fresh);
  const totals = new Float64Array(after.contents.length);
  for (let bar = 0; bar < totals.length; bar++) totals[bar] = weightIn(fresh, weights.after, bar);
  return keptRows(before.contents.length, after.contents.length, (row, one) => {
    const content = before.contents[one];
    if (content === undefined) return;
    const end = old.starts[one + 1] ?? 0;
    for (let at = old.starts[one] ?? 0; at < end; at++) {
      const id = old.ids[at] ?? 0;
      const other = weights.placeAfter[id] ?? -1;
      if (other < 0) continue;
      const weight = weights.before[id] ?? 0;
      const last = fresh.barStarts[other + 1] ?? 0;
      for (let place = fresh.barStarts[other] ?? 0; place < last; place++) {
        const bar = fresh.bars[place] ?? 0;
        row[bar] = (row[bar] ?? 0) + weight;
      }
    }
    const own = weightIn(old, weights.before, one);
    const ownCount = content.common.length;
    for (let bar = 0; bar < row.length; bar++) {
      const total = own + (totals[bar] ?? 0);
      const shared = row[bar] ?? 0;
      if (total === 0) {
        const all = after.contents[bar]?.all(after.semitones) ?? [];
        row[bar] = Math.max(SILENT_ALIKE, overlap(content.all(before.semitones), all));
      } else if (shared !== 0) {
        const likeness = (2 * shared) / total;
        const count = (fresh.starts[bar + 1] ?? 0) - (fresh.starts[bar] ?? 0);
        const isAsLong = lastAlike(content.commonLength, fresh.lengths[bar] ?? 0, Math.max(ownCount, count));
        row[bar] = (1 - LENGTH_WEIGHT) * likeness + LENGTH_WEIGHT * (isAsLong ? likeness : 0);
      }
    }
  });
}

/** At each place the greatest of several rows; all but the first count a little less, so that they decide only where they say more. */
export function greatestRows(rows: readonly LikenessRow[], rowCount: number): LikenessRow {
  const [first, ...others] = rows;
  if (first === undefined) return () => new Float64Array(0);
  if (others.length === 0) return first;
  const width = first(0).length;
  return keptRows(rowCount, width, (greatest, one) => {
    greatest.set(first(one));
    for (const other of others) {
      const row = other(one);
      for (let bar = 0; bar < width; bar++) {
        const likeness = MOVED_LIKENESS * (row[bar] ?? 0);
        if (likeness > (greatest[bar] ?? 0)) greatest[bar] = likeness;
      }
    }
  });
}
