/** Runs the compiled command line as a user does: its own process, its own working directory. */
import { spawn, spawnSync } from 'node:child_process';
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

/** Makes the process say its greatest memory in kB and its processor time in µs (as getrusage counts them) when it ends. */
const USE =
  'data:text/javascript,process.on("exit",()=>{const{maxRSS:m,userCPUTime:u,systemCPUTime:s}=process.resourceUsage();process.stderr.write(`\\nused ${m} ${u+s}\\n`)})';

export interface CliResult {
  readonly code: number;
  readonly out: string;
  readonly err: string;
  /** Greatest resident memory of the process, in MB. */
  readonly peakMb: number;
  /** Processor time of all its threads. */
  readonly processorSeconds: number;
}

export function runCli(args: readonly string[], options: { readonly cwd?: string } = {}): Promise<CliResult> {
  return runProgram(resolve('dist/cli.js'), args, options);
}

/** The same with a program that is installed elsewhere. */
export function runProgram(
  program: string,
  args: readonly string[],
  options: { readonly cwd?: string } = {},
): Promise<CliResult> {
  return new Promise((done, fail) => {
    const child = spawn(process.execPath, ['--import', USE, program, ...args], {
      cwd: options.cwd ?? process.cwd(),
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    let out = '';
    let err = '';
    child.stdout.on('data', (chunk: Buffer) => (out += chunk.toString()));
    child.stderr.on('data', (chunk: Buffer) => (err += chunk.toString()));
    child.on('error', fail);
    child.on('close', (code) => {
      const used = /\nused (\d+) (\d+)\n/.exec(err);
      done({
        code: code ?? -1,
        out,
        err: err.replace(/\nused \d+ \d+\n/, ''),
        peakMb: used === null ? Number.NaN : Number(used[1]) / 1024,
        processorSeconds: used === null ? Number.NaN : Number(used[2]) / 1e6,
      });
    });
  });
}

export interface CliRun {
  readonly args: readonly string[];
  readonly cwd: string;
}

/** What comes of each run, all in one process of the compiled program: where the start itself is not what is asked about. Throws where it ends before its time. */
export function runMany(runs: readonly CliRun[]): readonly CliResult[] {
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    [fileURLToPath(new URL('./run-many.mjs', import.meta.url))],
    {
      input: JSON.stringify(runs),
      encoding: 'utf8',
      maxBuffer: 2 ** 28,
    },
  );
  if (status !== 0 || stderr !== '') throw new Error(`The process ended with ${String(status)}: ${stderr}`);
  return JSON.parse(stdout) as readonly CliResult[];
}

/** A fresh empty folder that is removed with all temporary files of the test file. */
export function temporaryFolder(): string {
  return mkdtempSync(join(tmpdir(), 'dossier-test-'));
}
