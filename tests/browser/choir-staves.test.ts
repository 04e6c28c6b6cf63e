/** A short score whose choirs have staves of their own, as its readers meet it: on a telephone, played, on paper. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { beforeAll, expect, it } from 'vitest';
import { bigBand } from '../kinds/folders/big-band.ts';
import { browserOfFile } from '../support/browser.ts';
import { builtPages } from '../support/built-pages.ts';
import { pdfSheets } from '../support/pdf-text.ts';
import { withQuietPage } from '../support/quiet-page.ts';
import { temporaryFolder } from '../support/run-cli.ts';

const browser = browserOfFile();
let address = '';

beforeAll(async () => {
  const folder = join(temporaryFolder(), 'big-band');
  for (const [path, bytes] of bigBand.files(1)) {
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), bytes);
  }
  address = (await builtPages(folder)).get('index.html')!;
});

it('says that choirs have staves of their own and why, and is whole at any width', async () => {
  const page = await browser().newPage();
  await page.goto(address);
  expect(await page.locator('#score').textContent()).toMatch(
    /Choirs have staves of their own, because on two staves \d+.% of the bars/,
  );
  for (const width of [320, 390, 768, 1280]) {
    await page.setViewportSize({ width, height: 800 });
    const pictures = await page.evaluate(() =>
      [...document.querySelectorAll('#score .system-picture')].flatMap((one) => {
        const { left, right, height } = one.getBoundingClientRect();
        return height > 2 && one.checkVisibility() ? [[left, right]] : [];
      }),
    );
    expect(pictures.length).toBeGreaterThan(8);
    for (const [left = 0, right = 0] of pictures) {
      expect(left, String(width)).toBeGreaterThanOrEqual(-1);
      expect(right, String(width)).toBeLessThanOrEqual(width + 1);
    }
  }
  await page.close();
});

it('is played from the keyboard, the line over all of its staves', async () => {
  await withQuietPage(browser(), { address, before: () => undefined, mayAskFor: ['document'] }, async (page) => {
    await page.locator('.listen-open button').first().focus();
    await page.keyboard.press('Enter');
    const line = page.locator('#score .system-picture .sounding-line').first();
    await line.waitFor({ state: 'attached' });
    await page.keyboard.press('Space');
    const share = await line.evaluate((one) => {
      const staves = one.closest('.system-picture')!.querySelector('.sn-frame')!;
      return one.getBoundingClientRect().height / staves.getBoundingClientRect().height;
    });
    expect(share).toBeGreaterThanOrEqual(0.98);
  });
});

it('is printed with no line cut by the foot of a sheet, and names the choirs at the first line', async () => {
  const page = await browser().newPage({ viewport: { width: 794, height: 1000 } });
  await page.goto(address);
  const sheets = pdfSheets(await page.pdf({ preferCSSPageSize: true }));
  await page.emulateMedia({ media: 'print' });
  const tallest = await page.evaluate(() =>
    Math.max(
      ...[...document.querySelectorAll('#score .system-picture')].map((one) => one.getBoundingClientRect().height),
    ),
  );
  await page.close();
  // A4 upright without its margins, at 96 pixels an inch.
  expect(tallest).toBeLessThan(((297 - 30) / 25.4) * 96);
  const words = sheets.join(' ').replaceAll(/\s+/g, ' ');
  for (const name of ['Saxophones', 'Brass', 'Rhythm']) expect(words).toContain(name);
});
