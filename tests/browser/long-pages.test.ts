/** A page stays one that a browser can hold: it is as large as its music, and no larger. */
import { beforeAll, expect, it } from 'vitest';
import { browserOfFile } from '../support/browser.ts';
import { builtPages, type BuiltPages } from '../support/built-pages.ts';
import { writeGeneratedFolder } from '../support/generated-folder.ts';
import { temporaryFolder } from '../support/run-cli.ts';

const [BARS, PARTS] = [96, 12];

const browser = browserOfFile();
let pages: BuiltPages;

beforeAll(async () => {
  const folder = temporaryFolder();
  writeGeneratedFolder(folder, BARS, PARTS, 1);
  pages = await builtPages(folder);
});

// The aim, 45,000 elements at 525 bars of 18 parts, as a line: the reduced score grows with the bars, the charts with bars and parts. Flags and
// marked places of its findings come on top.
it('has at most 3,000 elements, 50 more a bar, 1.65 more a bar and part and 60 more a finding', async () => {
  const page = await browser().newPage();
  await page.goto(pages.get('index.html')!);
  const count = await page.evaluate(() => document.querySelectorAll('*').length);
  const findings = await page.locator('.findings > li').count();
  expect(findings).toBeLessThan(30);
  expect(count).toBeLessThan(3000 + 50 * BARS + 1.65 * BARS * PARTS + 60 * findings);
  // All of the music is there.
  expect(await page.locator(`#bar-${String(BARS)}`).count()).toBe(1);
});

it('keeps every table of a chart on the page of numbers', async () => {
  const page = await browser().newPage();
  await page.goto(pages.get('index.html')!);
  expect(await page.locator('.part:has(.chart) table').count()).toBe(0);
  const links = await page.$$eval('.numbers-links a', (all) => all.map((one) => one.getAttribute('href') ?? ''));
  expect(links.length).toBeGreaterThan(6);
  await page.goto(pages.get('numbers.html')!);
  for (const link of links) {
    const [file, id = ''] = link.split('#');
    expect(file).toBe('numbers.html');
    expect(await page.locator(`[id="${id}"] table tbody tr`).count(), link).toBeGreaterThan(0);
  }
});
