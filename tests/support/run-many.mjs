/**
 * The compiled program again and again in one process. Takes runs `[{ args, cwd }]` as JSON on its input and prints what came of each, as JSON
 * of the shape of `CliResult`; `peakMb` is that of the process so far.
 */
import { resolve } from 'node:path';
import { text } from 'node:stream/consumers';
import { pathToFileURL } from 'node:url';

/** @type {unknown} */
const loaded = await import(pathToFileURL(resolve('dist/library.js')).href);
const { nodeEffects, run } = /** @type {typeof import('../../src/library.ts')} */ (loaded);
/** @type {unknown} */
const asked = JSON.parse(await text(process.stdin));
/** @type {import('./run-cli.ts').CliResult[]} */
const results = [];
for (const { args, cwd } of /** @type {readonly import('./run-cli.ts').CliRun[]} */ (asked)) {
  process.chdir(cwd);
  const said = { out: '', err: '' };
  const terminal = {
    isInteractive: false,
    out: (/** @type {string} */ more) => (said.out += more),
    err: (/** @type {string} */ more) => (said.err += more),
  };
  const before = process.cpuUsage();
  const code = await run(args, { ...nodeEffects(), terminal });
  const { user, system } = process.cpuUsage(before);
  const peakMb = process.resourceUsage().maxRSS / 1024;
  results.push({ code, ...said, peakMb, processorSeconds: (user + system) / 1e6 });
}
process.stdout.write(JSON.stringify(results));
