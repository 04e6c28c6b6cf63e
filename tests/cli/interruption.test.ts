/** How the process behaves when it is asked to end, and when nobody reads on (signals and pipes of POSIX). */
import { spawn } from 'node:child_process';
import { resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { describe, expect, it } from 'vitest';

interface Ending {
  readonly code: number | null;
  readonly signal: NodeJS.Signals | null;
  readonly out: string;
  readonly err: string;
}

function ending(args: readonly string[], readsOn = true): Promise<Ending> {
  return new Promise((done, fail) => {
    const child = spawn(process.execPath, args, { stdio: ['ignore', 'pipe', 'pipe'] });
    let out = '';
    let err = '';
    child.stdout.on('data', (chunk: Buffer) => (out += chunk.toString()));
    child.stderr.on('data', (chunk: Buffer) => (err += chunk.toString()));
    child.on('error', fail);
    child.on('close', (code, signal) => {
      done({ code, signal, out, err });
    });
    if (!readsOn) child.stdout.destroy();
  });
}

/** A program that does a piece of work in which it is told to end. */
function program(work: string): readonly string[] {
  const effects = pathToFileURL(resolve('src/node-effects.ts')).href;
  const script = `
    import { nodeEffects } from ${JSON.stringify(effects)};
    const pause = (ms) => new Promise((done) => setTimeout(done, ms));
    /** Until the wish has arrived, which takes as long as the machine is busy. */
    const told = async (isEndWanted) => { for (let round = 0; round < 3000 && !isEndWanted(); round++) await pause(10); };
    await nodeEffects().withoutInterruption(async (isEndWanted) => { ${work} });
    await pause(2000);
    console.log('went on');`;
  return ['--import', 'tsx', '--input-type=module', '--eval', script];
}

describe.skipIf(process.platform === 'win32')('a program that is asked to end', () => {
  it.each(['SIGINT', 'SIGTERM', 'SIGHUP'] as const)(
    'by %s ends the work in hand first, then itself',
    async (signal) => {
      const work = `process.kill(process.pid, '${signal}'); await told(isEndWanted); console.log(isEndWanted());`;
      expect(await ending(program(work))).toEqual({ code: null, signal, out: 'true\n', err: '' });
    },
  );

  it('a second time ends at once', async () => {
    const work = `process.kill(process.pid, 'SIGINT'); await told(isEndWanted); process.kill(process.pid, 'SIGINT'); await pause(30000); console.log('went on');`;
    expect(await ending(program(work))).toEqual({ code: null, signal: 'SIGINT', out: '', err: '' });
  });

  it('by nobody goes on', async () => {
    expect(await ending(program('console.log(isEndWanted());'))).toMatchObject({ code: 0, out: 'false\nwent on\n' });
  });
});

describe('a program whose output nobody reads on', () => {
  it('keeps its exit code and complains of nothing', async () => {
    expect(await ending([resolve('dist/cli.js'), '--help'], false)).toEqual({
      code: 0,
      signal: null,
      out: '',
      err: '',
    });
  });
});
