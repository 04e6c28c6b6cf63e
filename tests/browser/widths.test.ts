/** Music is whole at every width that a reader may have: telephones, tablets either way up, screens, and each of them at twice the size. */
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { describe, expect, it } from 'vitest';
import { browserOfFile } from '../support/browser.ts';
import { samplePages } from '../support/built-pages.ts';
import { writeGeneratedFolder } from '../support/generated-folder.ts';
import { runCli, temporaryFolder } from '../support/run-cli.ts';

/** Widths in CSS pixels. At 200 % a window has half of its pixels (WCAG 2.2, 1.4.4 and 1.4.10, ask for as much). */
const WIDTHS = [320, 390, 600, 705, 768, 820, 960, 1024, 1280, 1440];
/** The single file has the pages of the folder under one style: a width on either side of where scores change is enough. */
const SINGLE_WIDTHS = [320, 705, 960, 1440];

const browser = browserOfFile();

interface Shown {
  /** Pictures of music that reach beyond the window or beyond a box that would have to be moved to see them. */
  readonly cut: readonly string[];
  /** Bars of the score that no picture shows. */
  readonly missing: readonly string[];
  readonly pictures: number;
}

/** Runs in the page. */
function musicShown(): Shown {
  const isSeen = (one: Element): boolean => {
    const { width, height } = one.getBoundingClientRect();
    return width > 2 && height > 2 && one.checkVisibility({ visibilityProperty: true });
  };
  /** The boxes that a line of music stands in are asked once, not for each of its bars. */
  const known = new Map<Element, boolean>();
  const isWhole = (one: Element): boolean => {
    const before = known.get(one) ?? isWithin(one);
    known.set(one, before);
    return before;
  };
  const isWithin = (one: Element): boolean => {
    const { left, right } = one.getBoundingClientRect();
    if (left < -1 || right > document.documentElement.clientWidth + 1) return false;
    for (let box = one.parentElement; box !== null; box = box.parentElement) {
      if (getComputedStyle(box).overflowX === 'visible') continue;
      const around = box.getBoundingClientRect();
      if (left < around.left - 1 || right > around.right + 1) return false;
    }
    return true;
  };
  const pictures = [...document.querySelectorAll('.system-picture, .finding-picture > svg')].filter(isSeen);
  const bars = [...document.querySelectorAll('.system [data-bar]')];
  const numberOf = (bar: Element): string =>
    `${bar.closest('article')?.id ?? ''} ${bar.getAttribute('data-bar') ?? ''}`;
  const isShown = (bar: Element): boolean => {
    const picture = bar.closest('.system-picture');
    if (picture === null || !isSeen(bar) || !isWhole(picture)) return false;
    const [own, around] = [bar.getBoundingClientRect(), picture.getBoundingClientRect()];
    return own.left >= around.left - 1 && own.right <= around.right + 1;
  };
  const shown = new Set(bars.filter(isShown).map(numberOf));
  return {
    cut: pictures
      .filter((one) => !isWhole(one))
      .map((one) => one.closest('[id]')?.id ?? '')
      .slice(0, 5),
    missing: [...new Set(bars.map(numberOf))].filter((bar) => !shown.has(bar)).slice(0, 5),
    pictures: pictures.length,
  };
}

describe.each([
  ['the current stage', 'folder', 'index.html'],
  ['an earlier stage', 'folder', 'stage-02-strings.html'],
  ['the full score', 'folder', 'full-score-written.html'],
  ['the full score of an earlier stage', 'folder', 'stage-02-strings-full-score-concert.html'],
  ['the single file', 'single', 'dossier.html'],
] as const)('the music of %s', (_, form, file) => {
  it.each([1, 2])('is whole at any width, the page at %d times its size', async (zoom) => {
    const context = await browser().newContext({ deviceScaleFactor: zoom });
    const page = await context.newPage();
    await page.goto((await samplePages(form)).get(file) ?? file);
    for (const width of form === 'single' ? SINGLE_WIDTHS : WIDTHS) {
      await page.setViewportSize({ width: Math.round(width / zoom), height: 800 });
      const { cut, missing, pictures } = await page.evaluate(musicShown);
      expect({ width, cut, missing }).toEqual({ width, cut: [], missing: [] });
      expect(pictures).toBeGreaterThan(3);
    }
    await context.close();
  });
});

it('nothing of the index of many dossiers hides at the side at any width', async () => {
  const [root, out] = [temporaryFolder(), temporaryFolder()];
  writeGeneratedFolder(join(root, 'Serenade for many winds'), 4, 12, 2);
  writeGeneratedFolder(join(root, 'waltz'), 4, 2, 1);
  expect((await runCli(['shelf', root, '--out', out, '--quiet'])).code).toBe(0);
  const page = await browser().newPage();
  await page.goto(pathToFileURL(join(out, 'index.html')).href);
  for (const width of WIDTHS) {
    await page.setViewportSize({ width, height: 800 });
    const wide = await page.evaluate(
      () =>
        [document.documentElement, ...document.querySelectorAll('.scroll, .scroll td, .scroll tbody th')].filter(
          ({ clientWidth, scrollWidth }) => scrollWidth > clientWidth + 1 && clientWidth > 0,
        ).length,
    );
    expect({ width, wide }).toEqual({ width, wide: 0 });
    // What each number counts stands in its head or beside it.
    const counted = await page.evaluate(() => {
      const head = document.querySelector('.scroll thead')!;
      const cell = document.querySelector('.scroll tbody td:nth-child(3)')!;
      return head.checkVisibility() || getComputedStyle(cell, '::before').content.includes('to fix');
    });
    expect(counted, String(width)).toBe(true);
  }
  await page.close();
});
