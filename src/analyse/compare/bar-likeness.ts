/** How alike the bars of two stages are. */
import { DIVISIONS_PER_QUARTER } from '../../model/written.ts';
import { overlap, PART_CODES, type BarContent } from './bar-content.ts';

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

/** The codes of two stages as numbers from 0 on, by bar. */
interface Codes {
  readonly before: readonly Uint32Array[];
  readonly after: readonly Uint32Array[];
  /** How much each says about which bar it is in. */
  readonly weights: Float64Array;
}

/**
 * Each part has one voice however many notes it plays in a bar, and of a part what stands in every bar says almost nothing (inverse
 * document frequency, Sparck Jones 1972, on a scale from 0 to 1).
 */
function codesOf(before: readonly BarContent[], after: readonly BarContent[]): Codes {
  const ids = new Map<number, number>();
  const ranks: number[] = [];
  const counts: number[] = [];
  const notes: number[] = [];
  const sounding: number[] = [];
  const numbered = ({ common }: BarContent): Uint32Array => {
    let last = -1;
    const own = new Uint32Array(common.length);
    common.forEach((code, place) => {
      let id = ids.get(code);
      const rank = Math.floor(code / PART_CODES);
      if (id === undefined) {
        id = ids.size;
        ids.set(code, id);
        ranks.push(rank);
        counts.push(0);
      }
      own[place] = id;
      counts[id] = (counts[id] ?? 0) + 1;
      notes[rank] = (notes[rank] ?? 0) + 1;
      if (rank !== last) sounding[rank] = (sounding[rank] ?? 0) + 1;
      last = rank;
    });
    return own;
  };
  const [olds, news] = [before.map(numbered), after.map(numbered)];
  const scale = Math.log(Math.max(2, (before.length + after.length) / 2));
  const weights = Float64Array.from(counts, (count, id) => {
    const rank = ranks[id] ?? 0;
    const rarity = Math.max(LEAST_WEIGHT, 1 - Math.log(Math.max(1, count / 2)) / scale);
    return (rarity * (sounding[rank] ?? 1)) / (notes[rank] ?? 1);
  });
  return { before: olds, after: news, weights };
}

/** A thirty-second of difference for each note is the grid's. */
function lastsAlike(one: BarContent, other: BarContent): boolean {
  const tolerance = (DIVISIONS_PER_QUARTER / 8) * Math.max(one.common.length, other.common.length);
  return Math.abs(one.commonLength - other.commonLength) <= tolerance;
}

/** True where two bars are as alike as bars can be. */
export function isSameBar(one: BarContent | undefined, other: BarContent | undefined): boolean {
  if (one === undefined || other === undefined) return false;
  const isSame = (some: readonly number[], others: readonly number[]): boolean =>
    some.length === others.length && some.every((code, index) => code === others[index]);
  if (!isSame(one.common, other.common)) return false;
  return one.common.length > 0 ? lastsAlike(one, other) : isSame(one.all(), other.all());
}

function likenessOf(shared: number, one: BarContent, other: BarContent): number {
  return (1 - LENGTH_WEIGHT) * shared + LENGTH_WEIGHT * (lastsAlike(one, other) ? shared : 0);
}

/** Likeness, 0..1, of one bar of a stage to every bar of another. */
export type LikenessRow = (one: number) => Float64Array;

/** Rows that are made when they are first asked for; of long stages only the last is kept. */
function keptRows(rowCount: number, width: number, fill: (row: Float64Array, one: number) => void): LikenessRow {
  const rows = new Map<number, Float64Array>();
  return (one) => {
    const known = rows.get(one);
    if (known !== undefined) return known;
    if (rowCount * width > MOST_KEPT) rows.clear();
    const row = new Float64Array(width);
    fill(row, one);
    rows.set(one, row);
    return row;
  };
}

/**
 * How alike two bars are by the parts that both stages have, and by all parts where those rest. Shared onsets are counted through an
 * index of the other stage, so that bars that share nothing cost nothing.
 */
export function likenessRows(before: readonly BarContent[], after: readonly BarContent[]): LikenessRow {
  const codes = codesOf(before, after);
  const { weights } = codes;
  // The bars with a code stand together, from `starts` of that code on.
  const starts = new Uint32Array(weights.length + 1);
  for (const own of codes.after) for (const id of own) starts[id + 1] = (starts[id + 1] ?? 0) + 1;
  for (let id = 1; id < starts.length; id++) starts[id] = (starts[id] ?? 0) + (starts[id - 1] ?? 0);
  const barsWith = new Uint32Array(starts.at(-1) ?? 0);
  const next = starts.slice();
  codes.after.forEach((own, bar) => {
    for (const id of own) {
      const place = next[id] ?? 0;
      barsWith[place] = bar;
      next[id] = place + 1;
    }
  });
  const totalOf = (own: Uint32Array | undefined): number => {
    let sum = 0;
    for (const id of own ?? []) sum += weights[id] ?? 0;
    return sum;
  };
  const totals = Float64Array.from(codes.after, totalOf);
  return keptRows(before.length, after.length, (row, one) => {
    const content = before[one];
    const ids = codes.before[one];
    if (content === undefined || ids === undefined) return;
    for (const id of ids) {
      const weight = weights[id] ?? 0;
      const end = starts[id + 1] ?? 0;
      for (let place = starts[id] ?? 0; place < end; place++) {
        const bar = barsWith[place] ?? 0;
        row[bar] = (row[bar] ?? 0) + weight;
      }
    }
    const own = totalOf(ids);
    for (let bar = 0; bar < row.length; bar++) {
      const other = after[bar];
      if (other === undefined) continue;
      const total = own + (totals[bar] ?? 0);
      if (total === 0) row[bar] = Math.max(SILENT_ALIKE, overlap(content.all(), other.all()));
      else if (row[bar] !== 0) row[bar] = likenessOf((2 * (row[bar] ?? 0)) / total, content, other);
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
