/**
 * Faults while the pages are rendered: a disk that fails under the templates, or under the library that renders them, and templates that are
 * broken. The last good dossier stays as it is, nothing is half written, and there is one sentence.
 */
import { cpSync, mkdirSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { describe, expect, it, vi } from 'vitest';
import { withFileFailing } from '../support/failing-files.ts';
import type { Effects } from '../../src/model/effects.ts';
import { InputError } from '../../src/problems/problem.ts';
import { publishDossier } from '../../src/publish/publish-dossier.ts';
import { renderPages } from '../../src/publish/render/render-pages.ts';
import { scratchFolder, testEffects } from '../support/effects.ts';
import { failingEffects } from '../support/failing-disk.ts';
import { contentsUnder } from '../support/files-under.ts';
import { generatedMidi } from '../support/generated-folder.ts';
import { smallDossier } from '../support/published.ts';
import { runProgram } from '../support/run-cli.ts';

const scratch = scratchFolder();
const folder = join(scratch, 'dossier');
const input = smallDossier();

const OWN_FILES =
  /^The program’s own files in “[^”\n]+” cannot be read \(E[A-Z]+\), so no pages were written: try again, and install the program anew if that does not help\.$/;

async function published(effects: Effects): Promise<void> {
  await publishDossier(input, { folder, singleFile: false }, effects);
}

await published(testEffects());
const good = contentsUnder(folder);

/** What came of a build over the good dossier, which must be the same after it, whatever came. Nothing else may be printed. */
async function outcome(effects: Effects): Promise<Error | undefined> {
  const printed = [console.error, console.warn, console.log].map((method) => vi.spyOn(console, method.name as 'log'));
  const failure = await published(effects).then(
    () => undefined,
    (error: unknown) => error as Error,
  );
  expect(printed.flatMap(({ mock }) => mock.calls)).toEqual([]);
  vi.restoreAllMocks();
  expect(contentsUnder(folder)).toEqual(good);
  expect(failure?.message ?? '').not.toContain('\n');
  return failure;
}

describe('a disk that fails once', () => {
  it('under any template or style is told in one sentence', async () => {
    const unharmed = failingEffects('one I/O error', Infinity);
    await renderPages(input, { singleFile: false }, unharmed.effects);
    const operations = unharmed.operations();
    for (let failing = 1; failing <= operations; failing += 1) {
      const failure = await outcome(failingEffects('one I/O error', failing).effects);
      expect(failure).toBeInstanceOf(InputError);
      expect(failure?.message).toMatch(OWN_FILES);
    }
    const templates = readdirSync(resolve('templates'), { recursive: true, encoding: 'utf8' });
    // All of them but the one that Eleventy reads itself.
    expect(operations).toBeGreaterThanOrEqual(templates.filter((name) => /\.(njk|css)$/.test(name)).length - 1);
  });

  it('under the library that renders is told in one sentence, or does no harm', async () => {
    const effects = testEffects();
    const told: (string | undefined)[] = [];
    for (let failing = 1; ; failing += 1) {
      let failure: Error | undefined;
      const count = await withFileFailing(resolve('.'), failing, async () => {
        failure = await outcome(effects);
      });
      if (count < failing) break;
      told.push(failure?.message);
    }
    expect(told.length).toBeGreaterThan(3);
    for (const message of told)
      if (message !== undefined && !OWN_FILES.test(message))
        // What it takes for an empty folder.
        expect(message).toBe('a page could not be made: no page index.html came out of the templates');
    expect(told.some((message) => message !== undefined && OWN_FILES.test(message))).toBe(true);
  });
});

describe('a template', () => {
  const home = join(scratch, 'program');
  cpSync(resolve('templates'), join(home, 'templates'), { recursive: true });
  const partial = join(home, 'templates', '_includes', 'sections', 'ranges.njk');
  const whole = readFileSync(partial, 'utf8');

  it.each([
    ['whose syntax is broken', '{% if %}', 'unexpected token'],
    ['that ends in the middle of a loop', '{% for a in section %}', 'unexpected end of file'],
    ['that asks for what is not there', '{{ section.nothing }}', 'attempted to output null or undefined value'],
    ['that includes one that is not there', '{% include "nowhere.njk" %}', 'template not found'],
  ])('%s makes no page with a hole in it', async (_, text, said) => {
    writeFileSync(partial, text);
    const failure = await outcome({ ...testEffects(), packageRoot: home });
    writeFileSync(partial, whole);
    expect(failure).not.toBeInstanceOf(InputError);
    expect(failure?.message).toContain('a page could not be made: ');
    expect(failure?.message).toContain(said);
  });

  it('that ends too early makes no page that ends too early', async () => {
    const layout = join(home, 'templates', '_includes', 'base.njk');
    const text = readFileSync(layout, 'utf8');
    writeFileSync(layout, text.slice(0, text.indexOf('</main>')));
    const failure = await outcome({ ...testEffects(), packageRoot: home });
    writeFileSync(layout, text);
    expect(failure?.message).toContain('index.html that came out of the templates is not whole');
  });

  it('for all pages that is empty is a fault of the program and no dossier without pages', async () => {
    for (const name of ['dist', 'shared', 'package.json']) cpSync(resolve(name), join(home, name), { recursive: true });
    symlinkSync(resolve('node_modules'), join(home, 'node_modules'));
    writeFileSync(join(home, 'templates', 'sheet.njk'), '');
    const piece = join(scratch, 'piece');
    mkdirSync(piece);
    writeFileSync(join(piece, '1.mid'), generatedMidi(4, 1));
    const { code, out, err } = await runProgram(join(home, 'dist', 'cli.js'), ['build', piece, '--quiet']);
    expect([code, out]).toEqual([70, '']);
    expect(err).toMatch(
      /^This is a fault of arrangement-dossier, not of your folder \(.*no page index\.html .*\)\.[^\n]+\n$/,
    );
    expect(readdirSync(piece)).toEqual(['1.mid']);
    rmSync(home, { recursive: true });
  });
});
