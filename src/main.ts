#!/usr/bin/env node
/** The program as the system starts it. The only file, with node-effects, that touches the process. */
import { run } from './cli.ts';
import type { Effects } from './model/effects.ts';
import { nodeEffects } from './node-effects.ts';
import { faultText } from './terminal-text.ts';

/** True once something that was to be printed could not be. */
let outputFailed = false;

function noteOutputFailure(error: NodeJS.ErrnoException): void {
  // Whoever reads the output may have heard enough (`check … | head`): that is no fault, and the exit code stands.
  if (error.code === 'EPIPE' || outputFailed) return;
  outputFailed = true;
  // Later than the work itself, so that it is the last word.
  process.on('exit', () => (process.exitCode = 2));
  process.stderr.write(
    `The output cannot be written${error.code === 'ENOSPC' ? ' because the disk is full' : ''}: make room for it, or send it somewhere else.\n`,
  );
}

for (const stream of [process.stdout, process.stderr]) stream.on('error', noteOutputFailure);

/** The real effects; undefined, with a sentence, where the program itself is not whole. */
function ownEffects(): Effects | undefined {
  try {
    return nodeEffects();
  } catch (error) {
    process.stderr.write(faultText(error));
    return undefined;
  }
}

const effects = ownEffects();
process.exitCode = effects === undefined ? 70 : await run(process.argv.slice(2), effects);
