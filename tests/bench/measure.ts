/** Figures of finished processes, as the operating system counts them. */
import { spawnSync } from 'node:child_process';
import { resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

export interface StepFigure {
  readonly step: string;
  readonly wallMs: number;
  /** User and system time of all threads: compiling and collecting of garbage run beside the program. */
  readonly cpuMs: number;
  /** Greatest resident memory of the process up to the end of the step. */
  readonly peakMb: number;
}

export interface WholeFigure {
  readonly wallSeconds: number;
  readonly cpuSeconds: number;
  readonly peakMb: number;
}

/** Makes a process say what it took when it ends. */
const REPORT =
  'data:text/javascript,process.on("exit",()=>{const u=process.resourceUsage();process.stderr.write(`\\nusage ${u.userCPUTime+u.systemCPUTime} ${u.maxRSS}\\n`)})';

function finished(args: readonly string[]): {
  readonly out: string;
  readonly err: string;
  readonly wallSeconds: number;
} {
  const start = performance.now();
  const child = spawnSync(process.execPath, [...args], { encoding: 'utf8', maxBuffer: 2 ** 26 });
  const wallSeconds = (performance.now() - start) / 1000;
  if (child.status !== 0) throw new Error(child.stderr);
  return { out: child.stdout, err: child.stderr, wallSeconds };
}

/** Builds the folder with the compiled command line, `runs` times, each time cold; the least of every figure, as others share the machine. */
export function wholeBuild(folder: string, runs: number): WholeFigure {
  let least: WholeFigure = { wallSeconds: Infinity, cpuSeconds: Infinity, peakMb: Infinity };
  for (let run = 0; run < runs; run++) {
    const { err, wallSeconds } = finished([
      '--import',
      REPORT,
      resolve('dist/cli.js'),
      'build',
      folder,
      '--anew',
      '--quiet',
    ]);
    const [, micros = '', kilobytes = ''] = /\nusage (\d+) (\d+)\n/.exec(err) ?? [];
    least = {
      wallSeconds: Math.min(least.wallSeconds, wallSeconds),
      cpuSeconds: Math.min(least.cpuSeconds, Number(micros) / 1e6),
      peakMb: Math.min(least.peakMb, Number(kilobytes) / 1024),
    };
  }
  return least;
}

/** The steps of one build; of several runs the least of every figure. */
export function stepFigures(folder: string, runs: number): StepFigure[] {
  const all = Array.from({ length: runs }, () => {
    const { out } = finished([fileURLToPath(new URL('steps.mjs', import.meta.url)), folder]);
    return JSON.parse(out.trim().split('\n').at(-1) ?? '[]') as StepFigure[];
  });
  return (all[0] ?? []).map((first, index) => {
    const of = (read: (figure: StepFigure) => number): number =>
      Math.min(...all.map((figures) => read(figures[index] ?? first)));
    return {
      step: first.step,
      wallMs: of(({ wallMs }) => wallMs),
      cpuMs: of(({ cpuMs }) => cpuMs),
      peakMb: of(({ peakMb }) => peakMb),
    };
  });
}
