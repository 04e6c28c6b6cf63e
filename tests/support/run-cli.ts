/** Runs the compiled command line as a user does: its own process, its own working directory. */
import { spawn } from 'node:child_process';
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';

export interface CliResult {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

export function runCli(args: readonly string[], options: { readonly cwd?: string } = {}): Promise<CliResult> {
  return new Promise((done, fail) => {
    const child = spawn(process.execPath, [resolve('dist/cli.js'), ...args], {
      cwd: options.cwd ?? process.cwd(),
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    let out = '';
    let err = '';
    child.stdout.on('data', (chunk: Buffer) => (out += chunk.toString()));
    child.stderr.on('data', (chunk: Buffer) => (err += chunk.toString()));
    child.on('error', fail);
    child.on('close', (code) => {
      done({ code: code ?? -1, out, err });
    });
  });
}

/** A fresh empty folder that the system clears away. */
export function temporaryFolder(): string {
  return mkdtempSync(join(tmpdir(), 'dossier-test-'));
}
