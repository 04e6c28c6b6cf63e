/**
 * The six-four chord over the dominant. Where a tonic triad stands over the fifth of its key and the dominant follows over the same bass, its
 * sixth and fourth are suspensions over the dominant and the root that is heard is the dominant's: E. Aldwell and C. Schachter, Harmony and Voice
 * Leading, and W. Caplin, Classical Form (from memory), read it so; others write I with the figures six and four. We follow the first, because the
 * bass, which the ear takes for the ground, does not move.
 */
import type { ChordRun } from './chord-runs.ts';

/** A rest or another chord between the two would break the suspension. */
const LONGEST_GAP = 480;

function endOf(run: ChordRun): number {
  const last = run.frames.at(-1);
  return last === undefined ? 0 : last.start + last.length;
}

/** Where in a run of a tonic triad the bass comes to stand on the dominant and stays to the end; its length where it does not. */
function sixFourFrom(run: ChordRun): number {
  const { root, quality } = run.template;
  let from = run.frames.length;
  if ((quality.name !== 'major' && quality.name !== 'minor') || root !== run.key % 12) return from;
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
    if (!isDominant(next, (run.template.root + 7) % 12)) return [run];
    const from = sixFourFrom(run);
    if (from === run.frames.length) return [run];
    const sixFour = { ...run, frames: run.frames.slice(from), isCadential: true };
    return from === 0 ? [sixFour] : [{ ...run, frames: run.frames.slice(0, from) }, sixFour];
  });
}
