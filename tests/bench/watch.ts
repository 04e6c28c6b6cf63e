/**
 * How long `watch` takes to build again after one changed file, as it says itself: 64 bars, 12 parts, 5 stages, one stage a file.
 * Each stage is changed in turn, the last (and fullest) one first. `npm run bench:watch -- 64 12 5` for another size.
 */
import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { compile } from '../../src/launch.mjs';
import { generatedMidi, writeGeneratedFolder } from '../support/generated-folder.ts';

const [bars = 64, parts = 12, stages = 5] = process.argv.slice(2).map(Number);
const ROUNDS = 2;

await compile();
const folder = mkdtempSync(join(tmpdir(), 'dossier-bench-'));
writeGeneratedFolder(folder, bars, parts, stages);
const child = spawn(process.execPath, [resolve('dist/cli.js'), 'watch', folder], {
  stdio: ['ignore', 'pipe', 'inherit'],
});

/** Seconds of each build, as they come. */
const built: number[] = [];
let waiting: (() => void) | undefined;
child.stdout.on('data', (chunk: Buffer) => {
  for (const [, seconds = ''] of chunk.toString().matchAll(/Built in ([\d.]+) s/g)) built.push(Number(seconds));
  waiting?.();
});

function builds(count: number): Promise<void> {
  return new Promise((done) => {
    waiting = () => {
      if (built.length >= count) done();
    };
    waiting();
  });
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
    await builds(count + 1);
    console.log(`  stage ${stage} changed (${grown} parts): built again in ${String(built.at(-1))} s`);
  }
}
child.kill('SIGINT');
rmSync(folder, { recursive: true, force: true });
