/**
 * Folders spoilt at random, through the whole flow: `npm run mutate` (5000 of them), `npm run mutate -- 100 7000` for 100 from number 7000 on.
 * Each must give a dossier or sentences, in at most ten seconds of processor, without a word of the machine's on a page. Every hundredth is
 * rendered as pages; of the others what the pages are made from is looked through. Ends with 1 where one fails.
 */
import { compile } from '../../src/launch.mjs';
import { nodeEffects } from '../../src/node-effects.ts';
import { throughTheFlow } from '../support/flow-faults.ts';
import { spoiltFolder } from '../support/spoilt-folders.ts';

const [count = 5000, first = 1] = process.argv.slice(2).map(Number);
const MOST_SECONDS = 10;
const PAGES_EVERY = 100;
const TOLD_EVERY = 250;

await compile();
const effects = nodeEffects();
const kinds = { built: 0, refused: 0, thrown: 0 };
let failed = 0;
let longest = { seconds: 0, number: 0 };
for (let number = first; number < first + count; number++) {
  const before = process.cpuUsage();
  const { kind, faults } = await throughTheFlow(spoiltFolder(number), effects, number % PAGES_EVERY === 0);
  const { user, system } = process.cpuUsage(before);
  const seconds = (user + system) / 1e6;
  kinds[kind]++;
  if (seconds > longest.seconds) longest = { seconds, number };
  const told = [...faults, ...(seconds > MOST_SECONDS ? [`took ${seconds.toFixed(1)} s of processor`] : [])];
  if (told.length > 0) failed++;
  for (const fault of told) console.log(`${number} (${kind}): ${fault}`);
  if ((number - first + 1) % TOLD_EVERY === 0) console.log(`${number - first + 1} of ${count}`);
}
console.log(
  `${count} folders from number ${first}: ${kinds.built} built, ${kinds.refused} refused with sentences, ${kinds.thrown} thrown; ` +
    `${failed} failed; the longest took ${longest.seconds.toFixed(2)} s of processor (number ${longest.number}).`,
);
if (failed > 0) process.exitCode = 1;
