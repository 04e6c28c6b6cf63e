/**
 * The flow step by step over one folder, in a process of its own that loads nothing but the compiled program: processor and wall time of
 * each step, and the greatest memory of the process up to its end. Prints one line of JSON. `node tests/bench/steps.mjs FOLDER`
 */
import { basename, join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';

/** @type {unknown} */
const loaded = await import(pathToFileURL(resolve('dist/library.js')).href);
const { flow, nodeEffects } = /** @type {typeof import('../../src/library.ts')} */ (loaded);
const folder = process.argv[2] ?? '';
const effects = nodeEffects();
/** @type {import('./measure.ts').StepFigure[]} */
const steps = [];

/**
 * @template T
 * @param {string} step
 * @param {() => T | Promise<T>} action
 * @returns {Promise<T>}
 */
async function clock(step, action) {
  const start = performance.now();
  const before = process.cpuUsage();
  const outcome = await action();
  const { user, system } = process.cpuUsage(before);
  const peakMb = process.resourceUsage().maxRSS / 1024;
  steps.push({ step, wallMs: performance.now() - start, cpuMs: (user + system) / 1000, peakMb });
  return outcome;
}

const raw = await clock('read', () => flow.readFolder(folder, effects.disk, { ignore: [] }));
const arrangement = await clock('assemble', () => flow.assemble(raw, { folderName: basename(folder) }));
const written = await clock('notate', () =>
  arrangement.stages.map((stage) => ({ stage, written: flow.notesOf(stage) })),
);
const read = await clock('analyse', () =>
  written.map((item) => ({ ...item, readings: flow.analyseStage(item.stage, item.written) })),
);
const judged = await clock('advise', () =>
  read.map((item) => ({ ...item, findings: flow.adviseStage({ ...item, limits: {}, accepted: [] }) })),
);
const drawn = await clock('draw', () =>
  judged.map((item, index) => flow.drawStage(item, arrangement, index === judged.length - 1)),
);
const input = await clock('compare', () => flow.dossierInputOf(arrangement, drawn));
await clock('publish', () =>
  flow.publishDossier(input, { folder: join(folder, 'dossier'), singleFile: false }, effects),
);
console.log(JSON.stringify(steps));
