/**
 * The six-four chord over the dominant. Where a tonic triad (of the key, or of a degree that is one for a moment) stands over its fifth and the dominant follows over the same bass, its
 * sixth and fourth are suspensions over the dominant and the root that is heard is the dominant's: E. Aldwell and C. Schachter, Harmony and Voice
 * Leading, and W. Caplin, Classical Form (from memory), read it so; others write I with the figures six and four. We follow the first, because the
 * bass, which the ear takes for the ground, does not move.
 */
import type { ChordRun } from './chord-run.ts';

/** A rest or another chord between the two would break the suspension. */
const LONGEST_GAP = 480;

function endOf(run: ChordRun): number {
  const last = run.frames.at(-1);
  return last === undefined ? 0 : last.start + last.length;
}

const MAJOR_DEGREES = [2, 4, 5, 7, 9];
const MINOR_DEGREES = [3, 5, 7, 8, 10];

/**
 * True for the tonic of the key, and for a degree that is made a tonic for a moment: there only a dominant seventh shows that it is meant, since over a
 * plain triad the six-four is as often a neighbour (I, IV in six-four, I).
 */
function isResolvedBy(run: ChordRun, next: ChordRun): boolean {
  const above = (run.template.root - (run.key % 12) + 12) % 12;
  if (above === 0) return true;
  const degrees = run.key < 12 ? MAJOR_DEGREES : MINOR_DEGREES;
  return degrees.includes(above) && next.template.quality.name === 'dominant-seventh';
}

/** Where in a run of a major or minor triad the bass comes to stand on the dominant and stays to the end; its length where it does not. */
function sixFourFrom(run: ChordRun): number {
  const { root, quality } = run.template;
  let from = run.frames.length;
  if (quality.name !== 'major' && quality.name !== 'minor') return from;
  while (from > 0 && [(root + 7) % 12, -1].includes(run.frames[from - 1]?.bass ?? 0)) from--;
  return from;
}

function isDominant(run: ChordRun, root: number): boolean {
  const { quality } = run.template;
  const bass = run.frames.find((frame) => frame.bass >= 0)?.bass;
  return run.template.root === root && bass === root && ['major', 'dominant-seventh'].includes(quality.name);
}

/** The runs with each six-four chord over a dominant marked, and parted from the tonic before it. */
export function withSixFours(runs: readonly ChordRun[]): ChordRun[] {
  return runs.flatMap((run, index): ChordRun[] => {
    const next = runs[index + 1];
    if (next === undefined || (next.frames[0]?.start ?? Infinity) - endOf(run) >= LONGEST_GAP) return [run];
    if (!isDominant(next, (run.template.root + 7) % 12) || !isResolvedBy(run, next)) return [run];
    const from = sixFourFrom(run);
    if (from === run.frames.length) return [run];
    // It holds a stronger beat than the dominant begins on, or one as strong; an arpeggio that reaches the fifth before the bar line is none.
    const strongest = Math.min(...run.frames.slice(from).map((frame) => frame.strength));
    if (strongest > (next.frames[0]?.strength ?? 0)) return [run];
    const sixFour = { ...run, frames: run.frames.slice(from), isCadential: true };
    return from === 0 ? [sixFour] : [{ ...run, frames: run.frames.slice(0, from) }, sixFour];
  });
}
