/** Runs the compiled command line as a user does: its own process, its own working directory. */
import { spawn } from 'node:child_process';
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';

/** Makes the process say its greatest memory, in kB (as getrusage counts it), when it ends. */
const PEAK =
  'data:text/javascript,process.on("exit",()=>process.stderr.write(`\\npeak-kb ${process.resourceUsage().maxRSS}\\n`))';

export interface CliResult {
  readonly code: number;
  readonly out: string;
  readonly err: string;
  /** Greatest resident memory of the process, in MB. */
  readonly peakMb: number;
}

export function runCli(args: readonly string[], options: { readonly cwd?: string } = {}): Promise<CliResult> {
  return new Promise((done, fail) => {
    const child = spawn(process.execPath, ['--import', PEAK, resolve('dist/cli.js'), ...args], {
      cwd: options.cwd ?? process.cwd(),
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    let out = '';
    let err = '';
    child.stdout.on('data', (chunk: Buffer) => (out += chunk.toString()));
    child.stderr.on('data', (chunk: Buffer) => (err += chunk.toString()));
    child.on('error', fail);
    child.on('close', (code) => {
      const peak = /\npeak-kb (\d+)\n/.exec(err);
      done({
        code: code ?? -1,
        out,
        err: err.replace(/\npeak-kb \d+\n/, ''),
        peakMb: peak === null ? Number.NaN : Number(peak[1]) / 1024,
      });
    });
  });
}

/** A fresh empty folder that the system clears away. */
export function temporaryFolder(): string {
  return mkdtempSync(join(tmpdir(), 'dossier-test-'));
}
