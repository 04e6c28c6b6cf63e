/** The printed dossier is a book: heads and numbers of pages, heads of tables on every sheet, music that a player can read. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { beforeAll, expect, it } from 'vitest';
import { ballad } from '../kinds/folders/ballad.ts';
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
  const heads = ['At a glance', 'Reduced score', 'Charts, ranges, notes, reading'];
  for (const head of heads) expect(sheets.filter((sheet) => sheet.includes(head)).length, head).toBeGreaterThan(0);
  expect(sheets.slice(0, 3).join(' ')).toContain('In this order:');
});

it('has the client sheet on two sheets, each stage with its picture and words under its name', async () => {
  const sheets = await printed(sample, 'client-sheet.html');
  expect(sheets.length).toBeLessThanOrEqual(2);
  const stages = sheets.find((sheet) => sheet.includes('\nWhat changed\n')) ?? '';
  for (const words of ['4 Complete', 'It adds Horn', '1 Solo sketch', 'As played in the harbour'])
    expect(stages).toContain(words);
});

it('leaves no heading alone at the foot of a sheet', async () => {
  const page = await opened(sample, 'index.html');
  const headings = await page.$$eval('.part > h2, .part > h3', (all) => all.map((one) => one.textContent.trim()));
  await page.close();
  const sheets = await printed(sample, 'index.html');
  for (const heading of headings.filter((text) => !/fi|fl/.test(text))) {
    const rest = sheets.flatMap((sheet) => sheet.split(`\n${heading}\n`).slice(1)).map((text) => text.length);
    // The first is in the list of contents. A heading with its sentence alone, or with the head of a table alone, has some 150 letters after it.
    if (rest.length > 1) expect(Math.max(...rest.slice(1)), heading).toBeGreaterThan(250);
  }
  expect(headings).toContain('Findings');
});

// A heading takes room for what must stand under it on the same sheet.
it('keeps the first row of a table with the head and the heading over it', async () => {
  const page = await opened(sample, 'index.html');
  await onPaper(page, 178);
  const room = await page.$eval('.part-playability', (part) => {
    const heading = part.querySelector('h2')!;
    const row = part.querySelector('tbody tr')!;
    const kept = Number.parseFloat(getComputedStyle(heading, '::after').height);
    const wanted = row.getBoundingClientRect().bottom - (heading.getBoundingClientRect().bottom - kept);
    return { kept, wanted };
  });
  await page.close();
  expect(room.kept).toBeGreaterThan(room.wanted);
});

// In this folder the sentence over the chords once stood at the foot of a sheet, and one line over the balance at the head of the next.
it('keeps what is said over a chart in one piece and on the sheet of the chart', async () => {
  const folder = temporaryFolder();
  for (const [path, bytes] of ballad.files(1)) writeFileSync(join(folder, path), bytes);
  const sheets = await printed(await builtPages(folder), 'index.html');
  const sheetOf = (words: string): number => sheets.findIndex((sheet) => sheet.includes(words));
  expect(sheetOf('Chords are read from the notes')).toBe(sheetOf('\nChords, who sounds them, and who has the bass\n'));
  expect(sheetOf('Chords are read from the notes')).toBe(sheetOf('\nmissing\n'));
  expect(sheetOf('not measured in a room')).toBe(sheetOf('By estimate, taken without'));
  expect(sheetOf('not measured in a room')).toBeGreaterThan(0);
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

/** Sets a page as on paper. `millimetres`: width of the text on an upright sheet. */
async function onPaper(page: Page, millimetres: number): Promise<void> {
  const isLandscape = (await page.locator('.is-landscape').count()) > 0;
  const px = Math.round(((isLandscape ? 271 : millimetres) / 25.4) * 96);
  await page.setViewportSize({ width: px, height: 1000 });
  await page.emulateMedia({ media: 'print' });
}

/** Sizes of the bar numbers of a score as they print, in points; one for each system at least. */
async function numberPoints(page: Page, millimetres: number): Promise<readonly number[]> {
  await onPaper(page, millimetres);
  return page.$$eval('.wide-score .sn-number', (all) =>
    all.map((one) => {
      const scale = (one as SVGGraphicsElement).getScreenCTM()?.a ?? 0;
      return scale * Number(one.getAttribute('font-size')) * 0.75;
    }),
  );
}

it.each([
  ['the reduced score', 'index.html', 178],
  ['the full score', 'full-score-written.html', 184],
])('prints every bar number of %s at 7 points at least', async (_, file, millimetres) => {
  for (const pages of [sample, large]) {
    const page = await opened(pages, file);
    const numbers = await numberPoints(page, millimetres);
    expect(numbers.length).toBeGreaterThan(1);
    expect(Math.min(...numbers)).toBeGreaterThanOrEqual(7);
    await page.close();
  }
});

/** Every run of letters on a printed page that is smaller than so many points, with its size. */
async function smallLetters(page: Page, millimetres: number, points: number): Promise<readonly string[]> {
  await onPaper(page, millimetres);
  return page.$$eval(
    'body :not(script, style, title, desc)',
    (all, least) =>
      all.flatMap((element) => {
        const own = [...element.childNodes].filter(
          ({ nodeType, data }: Node & { data?: string }) => nodeType === 3 && data?.trim() !== '',
        );
        if (own.length === 0 || !element.checkVisibility() || element.getBoundingClientRect().width === 0) return [];
        const drawn = element.closest<SVGGraphicsElement>('text');
        const size = Number.parseFloat(getComputedStyle(element).fontSize) * 0.75 * (drawn?.getScreenCTM()?.a ?? 1);
        return size < least - 0.01 ? [`${element.textContent.trim().slice(0, 20)}: ${size.toFixed(2)}`] : [];
      }),
    points,
  );
}

// 6 points: what is still read from a stand in a small print (common practice, no source). Cues once printed at 4.6, names in pictures of findings at 3.6.
it('prints no letter under 6 points: pages, charts, scores, cues, flags and pictures of findings', async () => {
  const files = ['index.html', 'client-sheet.html', 'changes.html', 'numbers.html'];
  const scores = ['full-score-written.html', 'full-score-concert.html'];
  const all = [[sample, [...files, ...scores]] as const, [large, ['index.html', ...scores]] as const];
  for (const [pages, names] of all) {
    for (const file of names) {
      const page = await opened(pages, file);
      expect(await smallLetters(page, file.startsWith('full') ? 184 : 178, 6), file).toEqual([]);
      await page.close();
    }
  }
});

it('prints a score of 18 parts on sheets that lie on their long side, a system on each, one of 11 on upright ones', async () => {
  const sizeOf = async (pages: BuiltPages): Promise<readonly [width: number, height: number, sheets: number]> => {
    const page = await opened(pages, 'full-score-concert.html');
    const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
    await page.close();
    const [, width, height] = /MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/.exec(pdf) ?? [];
    return [Number(width), Number(height), pdf.match(/\/Type \/Page\b/g)?.length ?? 0];
  };
  const [width, height, sheets] = await sizeOf(large);
  expect(width).toBeGreaterThan(height);
  const page = await opened(large, 'full-score-concert.html');
  expect(sheets).toBe(await page.locator('.system').count());
  await page.close();
  const [upright, tall] = await sizeOf(sample);
  expect(upright).toBeLessThan(tall);
});

// Common practice, no source: title and kind of score stand on one line over the first system, which leaves room for a second one.
it('prints a full score under one line of headings, upright or lying', async () => {
  for (const pages of [sample, large]) {
    const page = await opened(pages, 'full-score-concert.html');
    await page.emulateMedia({ media: 'print' });
    const [title, reading, system] = await Promise.all(
      ['.title h1', '.part-full-score > h2', '.system'].map((place) => page.locator(place).first().boundingBox()),
    );
    await page.close();
    expect(Math.abs(title!.y - reading!.y)).toBeLessThan(title!.height);
    expect(title!.x + title!.width).toBeLessThan(reading!.x + reading!.width);
    expect(system!.y - title!.y).toBeLessThan(3.5 * title!.height);
  }
});

it('prints the numbers of findings over the music, in the reduced score and in the full one', async () => {
  for (const file of ['index.html', 'full-score-concert.html']) {
    const page = await opened(sample, file);
    const wanted = await page.$$eval('.wide-score .lane .flag', (flags) => flags.map((flag) => flag.textContent));
    await page.emulateMedia({ media: 'print' });
    const shown = await page.$$eval('.wide-score :is(.lane, .on-paper) .flag text', (flags) =>
      flags.filter((flag) => flag.getClientRects().length > 0).map((flag) => flag.textContent),
    );
    expect(wanted.length).toBeGreaterThan(4);
    expect([...shown].sort()).toEqual([...wanted].sort());
    await page.close();
  }
});

it('has no flag reach out of its system, where the edge of a sheet would cut it', async () => {
  const page = await opened(sample, 'index.html');
  await page.emulateMedia({ media: 'print' });
  const beyond = await page.$$eval('.part-score .system', (systems) =>
    systems.map((system) => {
      const { top } = system.getBoundingClientRect();
      const boxes = [...system.querySelectorAll('svg a rect')].map((box) => box.getBoundingClientRect());
      const shown = boxes.filter(({ width }) => width > 0);
      return shown.length === 0 ? 0 : Math.max(...shown.map((box) => top - box.top));
    }),
  );
  expect(beyond.length).toBeGreaterThan(1);
  expect(Math.max(...beyond)).toBeLessThanOrEqual(0);
  await page.close();
});
