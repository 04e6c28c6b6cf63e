/** A page stays one that a browser can hold: it is as large as its music, and no larger. */
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { openBrowser } from '../support/browser.ts';
import { writeGeneratedFolder } from '../support/generated-folder.ts';
import { runCli, temporaryFolder } from '../support/run-cli.ts';

const [BARS, PARTS] = [96, 12];

let browser: Browser;
const out = join(temporaryFolder(), 'out');

beforeAll(async () => {
  const folder = temporaryFolder();
  mkdirSync(folder, { recursive: true });
  writeGeneratedFolder(folder, BARS, PARTS, 1);
  expect((await runCli(['build', folder, '--out', out, '--quiet'])).code).toBe(0);
  browser = await openBrowser();
});

afterAll(async () => {
  await browser.close();
});

// The aim, 45,000 elements at 525 bars of 18 parts, as a line: the reduced score grows with the bars, the charts with bars and parts. Flags and
// marked places of its findings come on top.
it('has at most 3,000 elements, 50 more a bar, 1.65 more a bar and part and 60 more a finding', async () => {
  const page = await browser.newPage();
  await page.goto(pathToFileURL(join(out, 'index.html')).href);
  const count = await page.evaluate(() => document.querySelectorAll('*').length);
  const findings = await page.locator('.findings > li').count();
  expect(findings).toBeLessThan(30);
  expect(count).toBeLessThan(3000 + 50 * BARS + 1.65 * BARS * PARTS + 60 * findings);
  // All of the music is there.
  expect(await page.locator(`#bar-${String(BARS)}`).count()).toBe(1);
});

it('keeps every table of a chart on the page of numbers', async () => {
  const page = await browser.newPage();
  await page.goto(pathToFileURL(join(out, 'index.html')).href);
  expect(await page.locator('.part:has(.chart) table').count()).toBe(0);
  const links = await page.$$eval('.numbers-links a', (all) => all.map((one) => one.getAttribute('href') ?? ''));
  expect(links.length).toBeGreaterThan(6);
  await page.goto(pathToFileURL(join(out, 'numbers.html')).href);
  for (const link of links) {
    const [file, id = ''] = link.split('#');
    expect(file).toBe('numbers.html');
    expect(await page.locator(`[id="${id}"] table tbody tr`).count(), link).toBeGreaterThan(0);
  }
});
