/** The printed dossier is a book: heads and numbers of pages, heads of tables on every sheet, music that a player can read. */
import type { Page } from 'playwright-core';
import { beforeAll, expect, it } from 'vitest';
import { browserOfFile } from '../support/browser.ts';
import { builtPages, samplePages, type BuiltPages } from '../support/built-pages.ts';
import { writeGeneratedFolder } from '../support/generated-folder.ts';
import { pdfSheets } from '../support/pdf-text.ts';
import { temporaryFolder } from '../support/run-cli.ts';

const browser = browserOfFile();
let sample: BuiltPages;
let large: BuiltPages;

beforeAll(async () => {
  const folder = temporaryFolder();
  writeGeneratedFolder(folder, 24, 18, 1);
  sample = await samplePages('folder');
  large = await builtPages(folder);
});

async function opened(pages: BuiltPages, file: string, width = 794): Promise<Page> {
  const page = await browser().newPage({ viewport: { width, height: 1000 } });
  await page.goto(pages.get(file)!);
  return page;
}

async function printed(pages: BuiltPages, file: string): Promise<readonly string[]> {
  const page = await opened(pages, file);
  const sheets = pdfSheets(await page.pdf({ preferCSSPageSize: true }));
  await page.close();
  return sheets;
}

it('has the 48 bars of the sample on at most 16 sheets, and says on each what it is and which of how many', async () => {
  const sheets = await printed(sample, 'index.html');
  expect(sheets.length).toBeGreaterThan(8);
  expect(sheets.length).toBeLessThanOrEqual(16);
  sheets.forEach((sheet, index) => {
    const words = sheet.replaceAll(/\s+/g, ' ');
    expect(words).toContain('Ferry Lights, stage 4: Complete');
    expect(words).toContain(`${String(index + 1)} of ${String(sheets.length)}`);
  });
  const heads = ['At a glance', 'Reduced score', 'Register, entries', 'Ranges, playability'];
  for (const head of heads) expect(sheets.filter((sheet) => sheet.includes(head)).length, head).toBeGreaterThan(0);
  expect(sheets.slice(0, 3).join(' ')).toContain('In this order:');
});

// With the script at work: its buttons in the heads once kept the browser from repeating them.
it('repeats the head of a table on every sheet that the table goes on to', async () => {
  const sheets = await printed(sample, 'numbers.html');
  const register = sheets.findIndex((sheet) => sheet.includes('Lowest to highest sounding pitch'));
  expect(register).toBeGreaterThanOrEqual(0);
  const end = sheets.findIndex((sheet, index) => index > register && sheet.includes('\n48\n'));
  expect(end).toBeGreaterThan(register);
  for (const sheet of sheets.slice(register, end + 1)) {
    expect(sheet).toMatch(/Bar\nFlute\nClarinet\nBassoon\nHorn/);
    expect(sheet.match(/Bar\nFlute\nClarinet\nBassoon\nHorn/g)).toHaveLength(1);
  }
});

it.each([
  ['the reduced score', 'index.html', 178],
  ['the full score', 'full-score-written.html', 184],
])('prints every bar number of %s at 7 points at least', async (_, file, millimetres) => {
  for (const pages of [sample, large]) {
    const page = await opened(pages, file, Math.round((millimetres / 25.4) * 96));
    await page.emulateMedia({ media: 'print' });
    const points = await page.$$eval('.wide-score .sn-number', (numbers) =>
      numbers.map((number) => {
        const scale = (number as SVGGraphicsElement).getScreenCTM()?.a ?? 0;
        return scale * Number(number.getAttribute('font-size')) * 0.75;
      }),
    );
    // One for each system.
    expect(points.length).toBeGreaterThan(2);
    expect(Math.min(...points)).toBeGreaterThanOrEqual(7);
    await page.close();
  }
});
