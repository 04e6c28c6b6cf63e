// @ts-check
/**
 * Writes third-party.txt: the licences of the packages whose code is bundled into dist/. Run it with `node shared/notices/make-notices.mjs`
 * after a dependency changes.
 */
import { readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { bundled } from '../../src/launch.mjs';

const root = fileURLToPath(new URL('../..', import.meta.url));

/** @param {string} folder */
function noticeOf(folder) {
  const { name, version, license } = JSON.parse(readFileSync(join(root, folder, 'package.json'), 'utf8'));
  const file = readdirSync(join(root, folder)).find((entry) => /^(licen[cs]e|copying)/i.test(entry));
  const text =
    file === undefined ? `Licence by its package.json: ${license}` : readFileSync(join(root, folder, file), 'utf8');
  return `${name} ${version} (${license})\n\n${text.replaceAll('\r\n', '\n').trim()}\n`;
}

/** The whole text, packages by name. @returns {Promise<string>} */
export async function noticesText() {
  const folders = new Set(
    (await bundled()).flatMap((path) => /^(.*node_modules\/(?:@[^/]+\/)?[^/]+)\//.exec(path)?.[1] ?? []),
  );
  const head = 'Code of these packages is part of the compiled program, under their own licences.\n';
  return [head, ...[...folders].sort().map(noticeOf)].join(`\n${'-'.repeat(80)}\n\n`);
}

if (process.argv[1] === fileURLToPath(import.meta.url))
  writeFileSync(fileURLToPath(new URL('third-party.txt', import.meta.url)), await noticesText());
