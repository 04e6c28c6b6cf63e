/**
 * How long `watch` takes after one changed file: to build again, as it says itself, and from the change to the finished dossier (it
 * looks every fifth of a second, sooner where the system tells of a change, and waits until the file has come to rest). 64 bars, 12 parts, 5 stages, one stage a file; each stage
 * is changed in turn, the last (and fullest) one first, to other music in every part. `npm run bench:watch -- 64 12 5` for another size.
 */
import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { createInterface } from 'node:readline';
import { compile } from '../../src/launch.mjs';
import { generatedMidi, writeGeneratedFolder } from '../support/generated-folder.ts';

const [bars = 64, parts = 12, stages = 5] = process.argv.slice(2).map(Number);
const ROUNDS = 2;

await compile();
const folder = mkdtempSync(join(tmpdir(), 'dossier-bench-'));
writeGeneratedFolder(folder, bars, parts, stages);
const child = spawn(process.execPath, [resolve('dist/cli.js'), 'watch', folder, '--anew'], {
  stdio: ['ignore', 'pipe', 'inherit'],
});

/** Seconds of each build, as they come. */
const built: number[] = [];
let waiting: (() => void) | undefined;
createInterface({ input: child.stdout }).on('line', (line) => {
  const seconds = /Built in ([\d.]+) s/.exec(line)?.[1];
  if (seconds !== undefined) built.push(Number(seconds));
  waiting?.();
});
child.on('exit', (code) => {
  if (code !== 0) process.exit(1);
});

function builds(count: number): Promise<void> {
  return new Promise((done) => {
    waiting = () => {
      if (built.length >= count) done();
    };
    waiting();
  });
}

/** Processor seconds of the watching process so far, all threads; undefined where the system has no `/proc` (see proc(5): ticks of 10 ms). */
function cpuSeconds(): number | undefined {
  const file = `/proc/${String(child.pid)}/stat`;
  if (!existsSync(file)) return undefined;
  // The name of the program, in brackets, may hold blanks: the fields are counted after it.
  const fields = readFileSync(file, 'utf8').split(') ')[1]?.split(' ') ?? [];
  return (Number(fields[11]) + Number(fields[12])) / 100;
}

await builds(1);
console.log(`${bars} bars, ${parts} parts, ${stages} stages: first build ${String(built[0])} s`);
for (let round = 1; round <= ROUNDS; round++) {
  for (let stage = stages; stage >= 1; stage--) {
    const count = built.length;
    const grown = Math.max(1, Math.round((parts * stage) / stages));
    writeFileSync(
      join(folder, `${String(stage).padStart(2, '0')} stage.mid`),
      generatedMidi(bars, grown, 100 * round + stage),
    );
    const changed = performance.now();
    const before = cpuSeconds();
    await builds(count + 1);
    const whole = (performance.now() - changed) / 1000;
    const after = cpuSeconds();
    const cpu =
      before === undefined || after === undefined ? '' : ` (${(after - before).toFixed(2)} s of processor since then)`;
    console.log(
      `  stage ${stage} changed (${grown} parts): built again in ${String(built.at(-1))} s, ${whole.toFixed(2)} s after the change${cpu}`,
    );
  }
}
child.kill('SIGINT');
rmSync(folder, { recursive: true, force: true });
