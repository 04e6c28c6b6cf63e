/** Passages of a transposing instrument that are in the harmony only as written: pasted without being transposed, or transposed twice. */
import type { Part } from '../../model/music/arrangement.ts';
import type { Timeline } from '../../model/music/timeline.ts';
import { mean } from '../../model/music/dynamics.ts';
import { fitPitches } from './displaced-fit.ts';
import type { Moment } from './moments.ts';
import { meet } from './passages.ts';
import type { PlacedPart } from '../placed-notes/placed-notes.ts';
import { notesByBar } from '../placed-notes/placed-notes.ts';

/** So much of a bar's time is in the harmony at the other pitch, ... */
const FITS_THERE = 0.85;
/** ... at least so much more than here, in half of the bars and more. */
const BETTER_BY = 0.3;
/** On the whole no more is in the harmony as it sounds. */
const MOST_HERE = 0.6;
const FEWEST_BARS = 2;
/** Transposed twice is rarer. */
const FEWEST_BARS_TWICE = 4;
/** Whoever has fewer tones in a passage (a held note, a call of natural horns) says nothing of his key. */
const FEWEST_TONES = 3;

export interface UntransposedPassage {
  readonly part: Part;
  /** Bar indices. */
  readonly from: number;
  readonly to: number;
  /** By how much it would have to sound higher. */
  readonly semitones: number;
  readonly fitsHere: number;
  readonly fitsThere: number;
}

interface BarFit {
  readonly bar: number;
  readonly tones: ReadonlySet<number>;
  readonly here: number;
  readonly there: number;
}

/** Runs of bars that fit at the other pitch, from the first to the last that does so better; silent bars lie between. */
function runsOf(fits: readonly (BarFit | undefined)[]): readonly (readonly BarFit[])[] {
  const isBetter = ({ here, there }: BarFit): boolean => there - here >= BETTER_BY;
  const runs: BarFit[][] = [[]];
  for (const fit of fits) {
    if (fit === undefined) continue;
    if (fit.there < FITS_THERE) runs.push([]);
    else if (isBetter(fit) || (runs.at(-1)?.length ?? 0) > 0) runs.at(-1)?.push(fit);
  }
  return runs
    .map((run) => run.slice(0, run.findLastIndex(isBetter) + 1))
    .filter((run) => run.length >= FEWEST_BARS && run.filter(isBetter).length * 2 > run.length);
}

/** Passages of two bars and more in which a transposing part is in the harmony of the others as written, and not as it sounds. */
export function untransposedPassages(
  placed: readonly PlacedPart[],
  moments: readonly Moment[],
  { bars }: Timeline,
): readonly UntransposedPassage[] {
  const passages = placed.flatMap(({ part, notes }, partIndex): UntransposedPassage[] => {
    const { semitones } = part.transposition;
    if (part.unpitched || semitones % 12 === 0) return [];
    const byBar = notesByBar(notes, bars);
    return [semitones, -semitones].flatMap((shift) => {
      const fits = byBar.map((inBar, bar): BarFit | undefined => {
        const here = fitPitches(inBar, partIndex, moments, 0);
        const there = fitPitches(inBar, partIndex, moments, shift);
        if (here === undefined || there === undefined) return undefined;
        return { bar, tones: new Set(inBar.map(({ midi }) => midi % 12)), here, there };
      });
      return runsOf(fits).flatMap((run): UntransposedPassage[] => {
        const fitsHere = mean(run.map(({ here }) => here));
        const tones = new Set(run.flatMap((fit) => [...fit.tones]));
        if (fitsHere > MOST_HERE || tones.size < FEWEST_TONES) return [];
        if (shift !== semitones && run.length < FEWEST_BARS_TWICE) return [];
        const [from, to] = [run[0]?.bar ?? 0, run.at(-1)?.bar ?? 0];
        return [{ part, from, to, semitones: shift, fitsHere, fitsThere: mean(run.map(({ there }) => there)) }];
      });
    });
  });
  // Of two that stand beside each other who stands as written is told.
  const isAsWritten = ({ part, semitones }: UntransposedPassage): boolean => semitones === part.transposition.semitones;
  return passages.filter(
    (passage) => isAsWritten(passage) || !passages.some((other) => isAsWritten(other) && meet(other, passage)),
  );
}
