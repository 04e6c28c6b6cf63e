/** A page stays one that a browser can hold: it is as large as its music, and no larger. */
import type { Page } from 'playwright-core';
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

// The aim, 45,000 elements at 525 bars of 18 parts with its 54 findings, as a line: the reduced score grows with the bars, the charts with bars
// and parts; flags and marked places of the findings come on top.
it('has at most 2,700 elements, 50 more a bar, 1.35 more a bar and part and 60 more a finding', async () => {
  const page = await browser().newPage();
  await page.goto(pages.get('index.html')!);
  const count = await page.evaluate(() => document.querySelectorAll('*').length);
  const findings = await page.locator('.findings > li').count();
  expect(findings).toBeLessThan(30);
  expect(count).toBeLessThan(2700 + 50 * BARS + 1.35 * BARS * PARTS + 60 * findings);
  // All of the music is there.
  expect(await page.locator(`#bar-${String(BARS)}`).count()).toBe(1);
});

/** How many elements a browser asks anew how they look while something is done, from its own record of events. */
async function restyled(page: Page, action: () => Promise<void>): Promise<number> {
  const shown = (): Promise<void> =>
    page.evaluate(
      () =>
        new Promise<void>((done) => {
          requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done)));
        }),
    );
  await shown();
  await browser().startTracing(page, { categories: ['devtools.timeline'] });
  await action();
  await shown();
  const { traceEvents } = JSON.parse((await browser().stopTracing()).toString()) as {
    traceEvents: { name: string; args?: { elementCount?: number } }[];
  };
  return traceEvents
    .filter(({ name }) => name === 'UpdateLayoutTree')
    .reduce((sum, { args }) => sum + (args?.elementCount ?? 0), 0);
}

// Rules that ask what lies in an element (`:has`) once made every step cost a tenth of a second at 525 bars: the whole page was asked again.
it('looks again at a few elements only where a reader goes to a bar or finding', async () => {
  const page = await browser().newPage({ viewport: { width: 1280, height: 1000 } });
  await page.goto(pages.get('index.html')!);
  const to = (place: string) => async () => {
    await page.evaluate((hash) => {
      location.hash = hash;
    }, place);
  };
  const places = ['bar-20', 'bar-60', 'score-f1', 'map-f2', 'finding-3'];
  // What comes into sight for the first time is looked at then.
  for (const place of places) await restyled(page, to(place));
  for (const place of places) expect(await restyled(page, to(place)), place).toBeLessThan(100);
  expect(await restyled(page, () => page.keyboard.press('Alt+ArrowDown')), 'next finding').toBeLessThan(100);
  expect(await page.evaluate(() => location.hash)).toBe('#finding-4');
  // The same is marked as without the script.
  await to('score-f1')();
  await page.waitForFunction(() => document.querySelector('.place.is-named') !== null);
  const marked = await page.$$eval('.place', (places) =>
    places.filter((place) => getComputedStyle(place).opacity === '1').map((place) => place.classList.contains('f1')),
  );
  expect(marked.length).toBeGreaterThan(1);
  expect(marked.every(Boolean)).toBe(true);
});

// Every element that is laid out is asked anew where the paper changes its color: all lines of all charts took half of that.
it('lays out no line of a chart that is out of sight, and keeps its height', async () => {
  const page = await browser().newPage({ viewport: { width: 1280, height: 1000 } });
  await page.goto(pages.get('index.html')!);
  const lines = (): Promise<readonly { readonly isLaidOut: boolean; readonly height: number }[]> =>
    page.$$eval('.chart-line', (all) =>
      all.map((line) => ({
        isLaidOut: line.firstElementChild?.checkVisibility({ contentVisibilityAuto: true }) === true,
        height: Math.round(line.getBoundingClientRect().height),
      })),
    );
  const before = await lines();
  expect(before.length).toBeGreaterThan(7);
  expect(before.filter(({ isLaidOut }) => isLaidOut)).toEqual([]);
  await page.evaluate(() => document.querySelector('.chart-line')?.scrollIntoView());
  await page.waitForFunction(() =>
    document.querySelector('.chart-line > svg')?.checkVisibility({ contentVisibilityAuto: true }),
  );
  const after = await lines();
  expect(after.some(({ isLaidOut }) => isLaidOut)).toBe(true);
  expect(after.map(({ height }) => height)).toEqual(before.map(({ height }) => height));
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
  // One arrow, in the column by which rows are sorted.
  const arrows = (): Promise<number> =>
    page.$$eval('.sort', (all) => all.filter((one) => getComputedStyle(one, '::after').content !== 'none').length);
  expect(await arrows()).toBe(0);
  await page.locator('.sort').first().click();
  expect(await arrows()).toBe(1);
});
