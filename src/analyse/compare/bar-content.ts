/** What sounds anew in each bar, as sorted numbers that are quick to compare. */
import { DIVISIONS_PER_QUARTER } from '../../model/written.ts';
import type { BarPart } from './bar-notes.ts';

/** Onsets are told apart by sixteenths: the notation may place a loosely played note by a thirty-second either way. */
const ONSET_STEP = DIVISIONS_PER_QUARTER / 4;
const PITCHES = 128;

/** Weight of the lengths beside onsets and pitches: enough to decide between bars that are otherwise the same. */
const LENGTH_WEIGHT = 0.001;

/** Two bars in which none of the common parts begins a note have that in common. */
const SILENT_ALIKE = 0.5;

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

/** Content of every bar. Pitches are moved by `semitones`, but for parts without pitch. */
export function barContents(
  parts: readonly BarPart[],
  barCount: number,
  isCommon: (partId: string) => boolean,
  semitones: number,
): readonly BarContent[] {
  const all = Array.from({ length: barCount }, (): number[] => []);
  const common = Array.from({ length: barCount }, (): number[] => []);
  const commonLength = new Float64Array(barCount);
  for (const { part, notes } of parts) {
    const shift = part.unpitched ? 0 : semitones;
    const inBoth = isCommon(part.id);
    for (const note of notes) {
      const code = Math.round(note.onset / ONSET_STEP) * PITCHES + note.midi + shift;
      all[note.bar]?.push(code);
      if (!inBoth) continue;
      common[note.bar]?.push(code);
      commonLength[note.bar] = (commonLength[note.bar] ?? 0) + note.length;
    }
  }
  return all.map((codes, bar) => ({
    all: distinct(codes),
    common: distinct(common[bar] ?? []),
    commonLength: commonLength[bar] ?? 0,
  }));
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

/** How alike two bars are, 0..1, by the parts that both stages have; by all parts where those rest. */
export function barSimilarity(one: BarContent | undefined, other: BarContent | undefined): number {
  if (one === undefined || other === undefined) return 0;
  if (one.common.length > 0 || other.common.length > 0)
    return likenessOf(overlap(one.common, other.common), one, other);
  return Math.max(SILENT_ALIKE, overlap(one.all, other.all));
}

/** Likeness of one bar of the earlier stage to every bar of the later one. */
export type LikenessRow = (one: number) => Float64Array;

/**
 * The same as `barSimilarity`, row by row: shared onsets are counted through an index of the later stage, so that bars that
 * share nothing cost nothing. A row is good until the next one is asked for.
 */
export function likenessRows(before: readonly BarContent[], after: readonly BarContent[]): LikenessRow {
  const barsWith = new Map<number, number[]>();
  after.forEach(({ common }, bar) => {
    for (const code of common) {
      const bars = barsWith.get(code);
      if (bars === undefined) barsWith.set(code, [bar]);
      else bars.push(bar);
    }
  });
  const row = new Float64Array(after.length);
  let made = -1;
  return (one) => {
    if (one === made) return row;
    made = one;
    row.fill(0);
    const content = before[one];
    if (content === undefined) return row;
    for (const code of content.common) for (const bar of barsWith.get(code) ?? []) row[bar] = (row[bar] ?? 0) + 1;
    after.forEach((other, bar) => {
      const total = content.common.length + other.common.length;
      row[bar] =
        total === 0 ? barSimilarity(content, other) : likenessOf((2 * (row[bar] ?? 0)) / total, content, other);
    });
    return row;
  };
}
