/** What sounds anew in each bar, as sorted numbers that are quick to compare. */
import type { Bar } from '../../model/timeline.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/written.ts';
import type { BarPart } from './bar-notes.ts';

/** Onsets are told apart by sixteenths: the notation may place a loosely played note by a thirty-second either way. */
const ONSET_STEP = DIVISIONS_PER_QUARTER / 4;

/** Weight of the lengths beside onsets and pitches: enough to decide between bars that are otherwise the same. */
const LENGTH_WEIGHT = 0.001;

/** Two bars in which none of the common parts begins a note have that in common. */
const SILENT_ALIKE = 0.5;

/** What a bar that was found again at another pitch counts beside one at the same. */
const MOVED_LIKENESS = 0.98;

export interface BarContent {
  /** Onsets and pitches of all parts, each once, ascending. */
  readonly all: readonly number[];
  /** Of the parts that both stages have. */
  readonly common: readonly number[];
  /** Divisions for which the notes of those parts last, added up: tells bars apart that begin the same notes. */
  readonly commonLength: number;
}

function distinct(codes: readonly number[]): readonly number[] {
  return [...codes].sort((a, b) => a - b).filter((code, index, sorted) => code !== sorted[index - 1]);
}

/** Place of notes that are held into a bar: one that no onset has. */
const HELD_OVER = 4095;

/** Codes of one part are apart from those of all others. */
const PART_CODES = 4096 * 256;

/** Pitches that were moved may leave the 128 keys. */
function codeOf(place: number, midi: number): number {
  return place * 256 + midi + 64;
}

/** A number for each part that both stages have; undefined for the others. */
export type PartRank = (partId: string) => number | undefined;

/**
 * Content of every bar; of one in which the common parts begin nothing, the notes that they hold there. Pitches are moved by `semitones`,
 * but for parts without pitch.
 */
export function barContents(
  parts: readonly BarPart[],
  bars: readonly Pick<Bar, 'startQuarters'>[],
  rankOf: PartRank,
  semitones: number,
): readonly BarContent[] {
  const all = bars.map((): number[] => []);
  const common = bars.map((): number[] => []);
  const held = bars.map((): number[] => []);
  const commonLength = new Float64Array(bars.length);
  for (const { part, notes } of parts) {
    const shift = part.unpitched ? 0 : semitones;
    const rank = rankOf(part.id);
    for (const note of notes) {
      const code = codeOf(Math.round(note.onset / ONSET_STEP), note.midi + shift);
      all[note.bar]?.push(code);
      if (rank === undefined) continue;
      const own = rank * PART_CODES;
      common[note.bar]?.push(own + code);
      for (let bar = note.bar + 1; bar < bars.length; bar++) {
        const start = (bars[bar]?.startQuarters ?? Infinity) * DIVISIONS_PER_QUARTER;
        if (start > note.start + note.length - ONSET_STEP) break;
        held[bar]?.push(own + codeOf(HELD_OVER, note.midi + shift));
      }
      commonLength[note.bar] = (commonLength[note.bar] ?? 0) + note.length;
    }
  }
  return all.map((codes, bar) => ({
    all: distinct(codes),
    common: distinct((common[bar]?.length ?? 0) > 0 ? (common[bar] ?? []) : (held[bar] ?? [])),
    commonLength: commonLength[bar] ?? 0,
  }));
}

/** Where a code stands in most bars (a drum, an ostinato) it still counts a little, so that bars of nothing else are told apart. */
const LEAST_WEIGHT = 0.05;

export type WeightOf = (code: number) => number;

/**
 * How much a note says about which bar it is in: each part has one voice however many notes it plays in a bar, and of a part what
 * stands in every bar says almost nothing (inverse document frequency, Sparck Jones 1972, on a scale from 0 to 1).
 */
export function codeWeights(stages: readonly (readonly BarContent[])[]): WeightOf {
  const counts = new Map<number, number>();
  const parts = new Map<number, { notes: number; bars: number }>();
  let bars = 0;
  for (const contents of stages) {
    bars += contents.length;
    for (const { common } of contents) {
      let last = -1;
      for (const code of common) {
        counts.set(code, (counts.get(code) ?? 0) + 1);
        const rank = Math.floor(code / PART_CODES);
        const part = parts.get(rank) ?? { notes: 0, bars: 0 };
        part.notes++;
        if (rank !== last) part.bars++;
        last = rank;
        parts.set(rank, part);
      }
    }
  }
  const perStage = Math.max(1, stages.length);
  const scale = Math.log(Math.max(2, bars / perStage));
  const weights = new Map(
    [...counts].map(([code, count]) => {
      const { notes, bars: sounding } = parts.get(Math.floor(code / PART_CODES)) ?? { notes: 1, bars: 1 };
      const rarity = Math.max(LEAST_WEIGHT, 1 - Math.log(Math.max(1, count / perStage)) / scale);
      return [code, (rarity * sounding) / notes];
    }),
  );
  return (code) => weights.get(code) ?? 1;
}

/** Harmonic mean of precision and recall of two sets, each sorted; 1 where both are empty. */
export function overlap(one: readonly number[], other: readonly number[]): number {
  const total = one.length + other.length;
  if (total === 0) return 1;
  let shared = 0;
  for (let i = 0, j = 0; i < one.length && j < other.length;) {
    const difference = (one[i] ?? 0) - (other[j] ?? 0);
    if (difference === 0) shared++;
    if (difference <= 0) i++;
    if (difference >= 0) j++;
  }
  return (2 * shared) / total;
}

/** A thirty-second of difference for each note is the grid's. */
function lastsAlike(one: BarContent, other: BarContent): boolean {
  const tolerance = (DIVISIONS_PER_QUARTER / 8) * Math.max(one.common.length, other.common.length);
  return Math.abs(one.commonLength - other.commonLength) <= tolerance;
}

function likenessOf(shared: number, one: BarContent, other: BarContent): number {
  return (1 - LENGTH_WEIGHT) * shared + LENGTH_WEIGHT * (lastsAlike(one, other) ? shared : 0);
}

/** Likeness, 0..1, of one bar of a stage to every bar of another. */
export type LikenessRow = (one: number) => Float64Array;

/**
 * How alike two bars are by the parts that both stages have, and by all parts where those rest. Shared onsets are counted through an
 * index of the other stage, so that bars that share nothing cost nothing. A row is good until the next one is asked for.
 */
export function likenessRows(
  before: readonly BarContent[],
  after: readonly BarContent[],
  weightOf: WeightOf,
): LikenessRow {
  const barsWith = new Map<number, number[]>();
  after.forEach(({ common }, bar) => {
    for (const code of common) {
      const bars = barsWith.get(code);
      if (bars === undefined) barsWith.set(code, [bar]);
      else bars.push(bar);
    }
  });
  const totalOf = ({ common }: BarContent): number => {
    let sum = 0;
    for (const code of common) sum += weightOf(code);
    return sum;
  };
  const totals = after.map(totalOf);
  const row = new Float64Array(after.length);
  let made = -1;
  return (one) => {
    if (one === made) return row;
    made = one;
    row.fill(0);
    const content = before[one];
    if (content === undefined) return row;
    for (const code of content.common) {
      const bars = barsWith.get(code);
      if (bars === undefined) continue;
      const weight = weightOf(code);
      for (const bar of bars) row[bar] = (row[bar] ?? 0) + weight;
    }
    const own = totalOf(content);
    for (let bar = 0; bar < row.length; bar++) {
      const other = after[bar];
      if (other === undefined) continue;
      const total = own + (totals[bar] ?? 0);
      if (total === 0) row[bar] = Math.max(SILENT_ALIKE, overlap(content.all, other.all));
      else if (row[bar] !== 0) row[bar] = likenessOf((2 * (row[bar] ?? 0)) / total, content, other);
    }
    return row;
  };
}

/** At each place the greatest of several rows; all but the first count a little less, so that they decide only where they say more. */
export function greatestRows(rows: readonly LikenessRow[]): LikenessRow {
  const [first] = rows;
  if (first === undefined || rows.length === 1) return first ?? (() => new Float64Array(0));
  let made = -1;
  let greatest = new Float64Array(0);
  return (one) => {
    if (one === made) return greatest;
    made = one;
    greatest = Float64Array.from(first(one));
    for (const other of rows.slice(1)) {
      const row = other(one);
      for (let bar = 0; bar < greatest.length; bar++) {
        const likeness = MOVED_LIKENESS * (row[bar] ?? 0);
        if (likeness > (greatest[bar] ?? 0)) greatest[bar] = likeness;
      }
    }
    return greatest;
  };
}
