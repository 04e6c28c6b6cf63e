/**
 * Time and peak memory of whole builds and of every step, by bars, parts and stages, each in a process of its own; then how they grow
 * with ten times the bars, parts or stages. Every figure is the least of a few runs. Processor seconds count all threads; on a machine
 * that others use they say more than wall time.
 *
 * `npm run bench` prints everything but the largest size; `npm run bench -- 64 12 5` one case (bars, parts, stages);
 * `npm run bench -- large` 1000 bars of 40 parts, in one stage and in five.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { compile } from '../../src/launch.mjs';
import { writeGeneratedFolder } from '../support/generated-folder.ts';
import { printEngraving } from './engraving.ts';
import type { StepFigure, WholeFigure } from './measure.ts';
import { stepFigures, wholeBuild } from './measure.ts';

interface Size {
  readonly bars: number;
  readonly parts: number;
  readonly stages: number;
  /** True: every stage has all parts, so that ten times the stages are ten times the notes. */
  readonly full?: boolean;
}

interface CaseFigure extends Size {
  readonly steps: readonly StepFigure[];
  readonly whole: WholeFigure;
}

const RUNS = 3;

function measure(size: Size, runs = RUNS): CaseFigure {
  const folder = mkdtempSync(join(tmpdir(), 'dossier-bench-'));
  try {
    writeGeneratedFolder(folder, size.bars, size.parts, size.stages, size.full === true);
    const steps = stepFigures(folder, runs);
    rmSync(join(folder, 'dossier'), { recursive: true, force: true });
    return { ...size, steps, whole: wholeBuild(folder, runs) };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function seconds(ms: number): string {
  return (ms / 1000).toFixed(2);
}

function print({ bars, parts, stages, steps, whole }: CaseFigure): void {
  console.log(
    `${String(bars).padStart(5)} bars ${String(parts).padStart(3)} parts ${String(stages).padStart(2)} stages: whole process ` +
      `${whole.wallSeconds.toFixed(2)} s (${whole.cpuSeconds.toFixed(2)} s of processor), peak ${whole.peakMb.toFixed(0)} MB`,
  );
  const each = steps.map(
    ({ step, wallMs, cpuMs, peakMb }) => `${step} ${seconds(wallMs)} (${seconds(cpuMs)}) ${peakMb.toFixed(0)} MB`,
  );
  console.log(`      seconds (of processor) and peak so far, by step: ${each.join(', ')}`);
}

function times(large: number, small: number): string {
  return `× ${(large / Math.max(small, 1e-3)).toFixed(2)}`;
}

/** The start of the process weighs on small sizes and flatters the growth of the whole; the steps together do without it. */
function printGrowth(label: string, small: Size, large: Size): void {
  const [before, after] = [measure(small), measure(large)];
  const sum = ({ steps }: CaseFigure): number => steps.reduce((all, { cpuMs }) => all + cpuMs, 0);
  console.log(
    `${label}: processor time of the whole process ${times(after.whole.cpuSeconds, before.whole.cpuSeconds)}, ` +
      `of the steps together ${times(sum(after), sum(before))}; wall time ${times(after.whole.wallSeconds, before.whole.wallSeconds)}; ` +
      `peak memory ${times(after.whole.peakMb, before.whole.peakMb)}`,
  );
  for (const { step, cpuMs } of before.steps) {
    const grown = after.steps.find((candidate) => candidate.step === step);
    if (grown !== undefined)
      console.log(`  ${step.padEnd(9)} ${seconds(cpuMs)} to ${seconds(grown.cpuMs)} s ${times(grown.cpuMs, cpuMs)}`);
  }
}

await compile();
const args = process.argv.slice(2);
if (args[0] === 'large') {
  for (const stages of [1, 5]) print(measure({ bars: 1000, parts: 40, stages }, 1));
} else if (args.length > 0) {
  const [bars = 64, parts = 12, stages = 5] = args.map(Number);
  print(measure({ bars, parts, stages }));
} else {
  for (const parts of [4, 12, 40]) for (const bars of [16, 64, 256]) print(measure({ bars, parts, stages: 1 }));
  print(measure({ bars: 64, parts: 12, stages: 5 }));
  printEngraving([64, 256, 1024]);
  printGrowth(
    'ten times the bars (64 to 640, 12 parts)',
    { bars: 64, parts: 12, stages: 1 },
    { bars: 640, parts: 12, stages: 1 },
  );
  printGrowth(
    'ten times the parts (4 to 40, 64 bars)',
    { bars: 64, parts: 4, stages: 1 },
    { bars: 64, parts: 40, stages: 1 },
  );
  printGrowth(
    'ten times the stages (1 to 10, each of 32 bars and 12 parts)',
    { bars: 32, parts: 12, stages: 1, full: true },
    { bars: 32, parts: 12, stages: 10, full: true },
  );
}
