/**
 * Time and peak memory of every step, by bars and parts, each case in a process of its own; then how time grows with
 * ten times the bars. Figures of one run on one machine: read the ratios, not the seconds.
 *
 * `npm run bench` prints everything; `npm run bench -- 64 12 5` one case (bars, parts, stages).
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import type * as Library from '../../src/library.ts';
import { compile } from '../../src/launch.mjs';
import { printEngraving } from './engraving.ts';
import { writeGeneratedFolder } from '../support/generated-folder.ts';

interface StepFigure {
  readonly step: string;
  readonly ms: number;
  readonly peakMb: number;
}

interface CaseFigure {
  readonly bars: number;
  readonly parts: number;
  readonly stages: number;
  readonly steps: readonly StepFigure[];
  readonly wholeMs: number;
  readonly peakMb: number;
}

/** Runs inside the child process: the flow step by step, with a clock. */
async function measureSteps(folder: string): Promise<StepFigure[]> {
  const library = (await import(resolve('dist/library.js'))) as typeof Library;
  const effects = library.nodeEffects();
  const steps: StepFigure[] = [];
  const clock = async <T>(step: string, action: () => T | Promise<T>): Promise<T> => {
    const start = performance.now();
    const outcome = await action();
    steps.push({ step, ms: performance.now() - start, peakMb: process.resourceUsage().maxRSS / 1024 });
    return outcome;
  };
  const { flow } = library;
  const raw = await clock('read', () => flow.readFolder(folder, effects.disk, { ignore: [] }));
  const arrangement = await clock('assemble', () => flow.assemble(raw, { folderName: basename(folder) }));
  const written = await clock('notate', () => arrangement.stages.map((stage) => flow.notateStage(stage)));
  const judged = await clock('analyse', () =>
    arrangement.stages.map((stage, index) => ({
      stage,
      written: written[index]!,
      readings: flow.analyseStage(stage, written[index]!),
    })),
  );
  const findings = await clock('advise', () =>
    judged.map((item) => flow.adviseStage({ ...item, limits: {}, accepted: [] })),
  );
  const drawn = await clock('draw', () =>
    judged.map((item, index) =>
      flow.drawStage({ ...item, findings: findings[index]! }, arrangement, index === judged.length - 1),
    ),
  );
  await clock('publish', () =>
    flow.publishDossier(
      flow.dossierInputOf(arrangement, drawn),
      { folder: join(folder, 'dossier'), singleFile: false },
      effects,
    ),
  );
  return steps;
}

function runCase(bars: number, parts: number, stages: number): CaseFigure {
  const folder = mkdtempSync(join(tmpdir(), 'dossier-bench-'));
  writeGeneratedFolder(folder, bars, parts, stages);
  const steps = spawnSync(process.execPath, ['--import', 'tsx', fileURLToPath(import.meta.url), '--child', folder], {
    encoding: 'utf8',
  });
  if (steps.status !== 0) throw new Error(steps.stderr);
  rmSync(join(folder, 'dossier'), { recursive: true, force: true });
  const start = performance.now();
  const whole = spawnSync(process.execPath, [resolve('dist/cli.js'), 'build', folder, '--quiet'], { encoding: 'utf8' });
  const wholeMs = performance.now() - start;
  if (whole.status !== 0) throw new Error(whole.stderr);
  rmSync(folder, { recursive: true, force: true });
  const figures = JSON.parse(steps.stdout.split('\n').at(-2) ?? '[]') as StepFigure[];
  return { bars, parts, stages, steps: figures, wholeMs, peakMb: Math.max(...figures.map((figure) => figure.peakMb)) };
}

function printCase(figure: CaseFigure): void {
  const steps = figure.steps.map((step) => `${step.step} ${step.ms.toFixed(0)} ms (${step.peakMb.toFixed(0)} MB)`);
  console.log(
    `${String(figure.bars).padStart(5)} bars ${String(figure.parts).padStart(3)} parts ${figure.stages} stages: ` +
      `whole process ${(figure.wholeMs / 1000).toFixed(2)} s, peak ${figure.peakMb.toFixed(0)} MB; ${steps.join(', ')}`,
  );
}

function printGrowth(label: string, small: CaseFigure, large: CaseFigure): void {
  console.log(`${label}: whole process × ${(large.wholeMs / small.wholeMs).toFixed(2)}`);
  for (const step of small.steps) {
    const grown = large.steps.find((candidate) => candidate.step === step.step);
    if (grown !== undefined)
      console.log(`  ${step.step.padEnd(9)} × ${(grown.ms / Math.max(step.ms, 0.1)).toFixed(2)}`);
  }
}

const args = process.argv.slice(2);
if (args[0] === '--child') {
  console.log(JSON.stringify(await measureSteps(args[1] ?? '')));
} else {
  await compile();
  if (args.length > 0) {
    const [bars = 64, parts = 12, stages = 5] = args.map(Number);
    printCase(runCase(bars, parts, stages));
  } else {
    for (const parts of [4, 12, 40]) for (const bars of [16, 64, 256]) printCase(runCase(bars, parts, 1));
    printCase(runCase(64, 12, 5));
    printEngraving([64, 256, 1024]);
    const small = runCase(64, 12, 1);
    const large = runCase(640, 12, 1);
    printGrowth('ten times the bars (64 to 640, 12 parts)', small, large);
    printGrowth('ten times the parts (4 to 40, 64 bars)', runCase(64, 4, 1), runCase(64, 40, 1));
    printGrowth('ten times the stages (1 to 10, 32 bars, 12 parts)', runCase(32, 12, 1), runCase(32, 12, 10));
  }
}
