/**
 * Many folders: `shelf` over 200 folders of one to three small stages in one run, in eight shares that run at once in places of their own and are
 * joined, and in a run that is killed at ten moments and begun again each time. Prints what each took and whether the bytes are the same.
 * `npm run bench:shelf -- 50` for another number of folders.
 */
import { spawn } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { compile } from '../../src/launch.mjs';
import { contentsUnder } from '../support/files-under.ts';
import { generatedMidi } from '../support/generated-folder.ts';

const [count = 200] = process.argv.slice(2).map(Number);
const SHARES = 8;
const KILLS = 10;

await compile();
const work = mkdtempSync(join(tmpdir(), 'dossier-bench-'));
const root = join(work, 'root');
for (let piece = 0; piece < count; piece++) {
  const folder = join(root, `client ${String(piece % 7)}`, `piece ${String(piece)}`);
  mkdirSync(folder, { recursive: true });
  for (let stage = 1; stage <= 1 + (piece % 3); stage++)
    writeFileSync(
      join(folder, `0${String(stage)} take.mid`),
      generatedMidi(8, 1 + ((piece + stage) % 4), piece * 10 + stage),
    );
}

/** Ends with the seconds that it took, or when `until` says so, then killed. */
async function shelf(args: readonly string[], until: () => boolean = () => false): Promise<number> {
  const start = performance.now();
  const child = spawn(process.execPath, [resolve('dist/cli.js'), 'shelf', ...args, '--quiet'], {
    stdio: ['ignore', 'inherit', 'inherit'],
  });
  const ended = new Promise((done) => child.on('close', done));
  const watching = { isOver: false };
  void ended.then(() => (watching.isOver = true));
  while (!watching.isOver) {
    if (until()) child.kill('SIGKILL');
    await Promise.race([ended, setTimeout(20)]);
  }
  return (performance.now() - start) / 1000;
}

function report(what: string, seconds: number, out: string): void {
  const isSame = [...contentsUnder(out)].every(([path, bytes]) => whole.get(path) === bytes);
  const isAll = isSame && contentsUnder(out).size === whole.size;
  console.log(`${what}: ${seconds.toFixed(0)} s, ${isAll ? 'the same bytes' : 'OTHER BYTES'}`);
}

const place = (name: string): string => join(work, name);
const first = await shelf([root, '--out', place('whole'), '--kept', place('kept whole')]);
const whole = contentsUnder(place('whole'));
const index = statSync(join(place('whole'), 'index.html')).size;
console.log(`${count} folders in one run: ${first.toFixed(0)} s; the index has ${(index / 1024).toFixed(0)} kB`);
report(
  'Run again, nothing changed',
  await shelf([root, '--out', place('whole'), '--kept', place('kept whole')]),
  place('whole'),
);

const numbers = Array.from({ length: SHARES }, (_, share) => String(share + 1));
const shares = await Promise.all(
  numbers.map((number) =>
    shelf([
      root,
      '--out',
      place(`share ${number}`),
      '--share',
      `${number}/${SHARES}`,
      '--kept',
      place(`kept ${number}`),
    ]),
  ),
);
const joining = await shelf(['--join', ...numbers.map((number) => place(`share ${number}`)), '--out', place('joined')]);
report(`${SHARES} shares at once and joined`, Math.max(...shares) + joining, place('joined'));

let seconds = 0;
for (let kill = 1; kill <= KILLS; kill++) {
  const dossiers = join(place('killed'), 'pieces');
  const goal = (kill * count) / (KILLS + 1);
  seconds += await shelf(
    [root, '--out', place('killed'), '--kept', place('kept killed')],
    () => existsSync(dossiers) && readdirSync(dossiers).length >= goal,
  );
}
seconds += await shelf([root, '--out', place('killed'), '--kept', place('kept killed')]);
report(`Killed at ${KILLS} moments and run again`, seconds, place('killed'));
rmSync(work, { recursive: true, force: true });
