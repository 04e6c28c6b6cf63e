/** Runs the compiled command line as a user does: its own process, its own working directory. */
import { spawn } from 'node:child_process';
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';

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

/** A fresh empty folder that is removed with all temporary files of the test file. */
export function temporaryFolder(): string {
  return mkdtempSync(join(tmpdir(), 'dossier-test-'));
}
