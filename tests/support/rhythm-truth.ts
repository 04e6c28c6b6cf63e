/**
 * Written rhythm counted against the truth: onsets, values, rests and small notes. Rests are the silences of a line (a
 * staff of a printed score, a track of a folder), so that a value that is wrong and a rest that is missing can be told apart.
 */
import type { WrittenStage } from '../../src/model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../src/model/music/written.ts';
import type { Share } from './notation-truth.ts';
import { sumOf } from './notation-truth.ts';

/** A note of the truth, in quarters, and the line that it belongs to. */
export interface TrueValue {
  readonly start: number;
  readonly length: number;
  readonly line: string;
  /** Written with a dot; where nothing is known of dots it is absent. */
  readonly short?: boolean;
}

type WrittenNotes = WrittenStage['parts'][number]['notes'];

export interface RhythmCount {
  readonly onsets: Share;
  readonly values: Share;
  /** Rests of an eighth or longer: those that come back with their start and end. */
  readonly rests: Share;
  /** Those of them that are shorter than a half. */
  readonly shortRests: Share;
  /** Rests of a sixteenth or longer that are written where all of the time was to sound. */
  readonly inventedRests: number;
  readonly inventedGraces: number;
}

const NOTHING_COUNTED: RhythmCount = {
  onsets: { right: 0, all: 0 },
  values: { right: 0, all: 0 },
  rests: { right: 0, all: 0 },
  shortRests: { right: 0, all: 0 },
  inventedRests: 0,
  inventedGraces: 0,
};

export function addedRhythms(counts: readonly RhythmCount[]): RhythmCount {
  const shares = (key: 'onsets' | 'values' | 'rests' | 'shortRests'): Share => sumOf(counts.map((count) => count[key]));
  const numbers = (key: 'inventedRests' | 'inventedGraces'): number =>
    counts.reduce((sum, count) => sum + count[key], 0);
  return {
    onsets: shares('onsets'),
    values: shares('values'),
    rests: shares('rests'),
    shortRests: shares('shortRests'),
    inventedRests: numbers('inventedRests'),
    inventedGraces: numbers('inventedGraces'),
  };
}

/** Stretches in divisions, sorted. */
type Stretch = readonly [from: number, to: number];

const EIGHTH = 240;
const SIXTEENTH = 120;
const HALF = 960;
const CLOSE = 2;

/** Silences between the first and the last note. */
function silencesOf(notes: readonly Stretch[]): Stretch[] {
  const found: Stretch[] = [];
  let until = Infinity;
  for (const [from, to] of [...notes].sort((a, b) => a[0] - b[0])) {
    if (from > until + CLOSE) found.push([until, from]);
    until = until === Infinity ? to : Math.max(until, to);
  }
  return found;
}

function isClose(a: number, b: number): boolean {
  return Math.abs(a - b) < CLOSE;
}

/**
 * A value with a dot is heard for half of it: an eighth with a dot is a sixteenth and its rest, and copyists write the eighth (C. P. E. Bach,
 * Versuch I, 1753, on the dot; E. Gould, Behind Bars, on staccato in place of short rests; both from memory).
 */
function asHeard({ length, ornament }: WrittenNotes[number], truth: number): number {
  return ornament?.staccato === true && isClose(length, 2 * truth) ? truth : length;
}

export interface DotCount {
  /** Notes that were written short and have a dot, of all that were written short. */
  readonly found: Share;
  /** Dots at notes that were not written short, nor shorter by half than they are printed. */
  readonly false: number;
}

/** Counts staccato dots. */
export function dotsOf(
  notes: readonly { readonly note: WrittenNotes[number]; readonly truth: TrueValue | undefined }[],
): DotCount {
  const isDotted = ({ note }: (typeof notes)[number]): boolean => note.ornament?.staccato === true;
  const wanted = notes.filter(({ truth }) => truth?.short === true);
  const invented = notes.filter(
    (one) =>
      isDotted(one) &&
      one.truth?.short === false &&
      asHeard(one.note, one.truth.length * DIVISIONS_PER_QUARTER) === one.note.length,
  );
  return { found: { right: wanted.filter(isDotted).length, all: wanted.length }, false: invented.length };
}

/** Counts one part. `truths` are by the index of the played note; undefined where nothing is known of it. */
export function rhythmOf(written: WrittenNotes, truths: readonly (TrueValue | undefined)[]): RhythmCount {
  const inDivisions = (quarters: number): number => Math.round(quarters * DIVISIONS_PER_QUARTER);
  let onsets = 0;
  let values = 0;
  let known = 0;
  const lines = new Map<string, { truth: Stretch[]; found: Stretch[] }>();
  for (const truth of truths) {
    if (truth === undefined) continue;
    known++;
    const line = lines.get(truth.line) ?? { truth: [], found: [] };
    lines.set(truth.line, line);
    line.truth.push([inDivisions(truth.start), inDivisions(truth.start + truth.length)]);
  }
  let inventedGraces = 0;
  for (const note of written) {
    inventedGraces += (note.ornament?.graces ?? []).filter((grace) => truths[grace.played] !== undefined).length;
    const truth = truths[note.played];
    if (truth === undefined) continue;
    const length = asHeard(note, inDivisions(truth.length));
    lines.get(truth.line)?.found.push([note.start, note.start + length]);
    if (!isClose(note.start, inDivisions(truth.start))) continue;
    onsets++;
    if (isClose(length, inDivisions(truth.length))) values++;
  }
  const rests = [...lines.values()].map(({ truth, found }) => {
    const wanted = silencesOf(truth).filter(([from, to]) => to - from >= EIGHTH - CLOSE);
    const all = silencesOf(found);
    const back = wanted.filter(([from, to]) => all.some((rest) => isClose(rest[0], from) && isClose(rest[1], to)));
    const isShort = ([from, to]: Stretch): boolean => to - from < HALF - CLOSE;
    const silent = silencesOf(truth);
    const invented = all.filter(
      ([from, to]) =>
        to - from >= SIXTEENTH - CLOSE && !silent.some((rest) => rest[0] < to - CLOSE && rest[1] > from + CLOSE),
    );
    return {
      ...NOTHING_COUNTED,
      rests: { right: back.length, all: wanted.length },
      shortRests: { right: back.filter(isShort).length, all: wanted.filter(isShort).length },
      inventedRests: invented.length,
    };
  });
  return addedRhythms([
    ...rests,
    {
      ...NOTHING_COUNTED,
      onsets: { right: onsets, all: known },
      values: { right: values, all: known },
      inventedGraces,
    },
  ]);
}
