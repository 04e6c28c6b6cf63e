/**
 * Processor time of comparing ten stages of 200 bars and twelve parts, every one with every other: `npm run bench:compare`.
 *
 * The stages are those of a piece that grows: from stage to stage parts are added, rewritten, moved by an octave and played softer, bars are put in
 * and cut; and the same with every second stage played in anew. The engine is set up as a build sets it up, and the compiled program compares: run
 * from its sources every function is given its name as often as it is made, which no build does. Each of the two has a process of its own: after the
 * other one it would find its code compiled, which no build does either.
 */
import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import type { ComparedStage } from '../../src/analyse/compare-stages.ts';
import { compile } from '../../src/launch.mjs';
import type { flow } from '../../src/library.ts';
import { tuneEngine } from '../../src/node-engine.ts';
import { writtenOf } from '../support/written.ts';
import { grownPieces } from '../analyse/compare/grown-pieces.ts';
import { stageOfPiece } from '../analyse/compare/edited-piece.ts';

async function measure(isAnew: boolean): Promise<void> {
  const loaded: unknown = await import(new URL('../../dist/library.js', import.meta.url).href);
  const { compareStages } = (loaded as { readonly flow: typeof flow }).flow;
  tuneEngine();
  const stages = grownPieces(10, 200, 12, isAnew).map((piece, index): ComparedStage => {
    const stage = stageOfPiece(piece, `stage-${String(index + 1)}`);
    const written = writtenOf(stage);
    return { stage, written, readings: analyseStage(stage, written) };
  });
  // What notating has left behind is not the comparison's to collect.
  globalThis.gc?.();
  const start = process.cpuUsage();
  let pairs = 0;
  for (const [index, after] of stages.entries()) {
    for (const before of stages.slice(0, index)) {
      compareStages(before, after);
      pairs++;
    }
  }
  const { user, system } = process.cpuUsage(start);
  console.log(
    `${String(pairs)} pairs of ${String(stages.length)} stages of 200 bars and 12 parts${isAnew ? ', every second one played in anew' : ''}: ${((user + system) / 1e6).toFixed(2)} s of processor`,
  );
}

const CASES = ['as played', 'played in anew'] as const;
const [asked] = process.argv.slice(2);
if (asked !== undefined) await measure(asked === CASES[1]);
else {
  await compile();
  for (const one of CASES) {
    const { status } = spawnSync(process.execPath, [...process.execArgv, fileURLToPath(import.meta.url), one], {
      stdio: 'inherit',
    });
    if (status !== 0) process.exitCode = 1;
  }
}
