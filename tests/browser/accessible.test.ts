/** For readers who see little, hear the page, or hit it with a finger: every kind of page, in either paper. */
import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { axeFaults } from '../support/axe.ts';
import { browserOfFile } from '../support/browser.ts';
import { samplePages } from '../support/built-pages.ts';

/** A page of every kind. */
const KINDS = [
  'index.html',
  'client-sheet.html',
  'full-score-written.html',
  'numbers.html',
  'changes.html',
  'judged.html',
  'files.html',
] as const;

const browser = browserOfFile();

async function opened(
  form: 'folder' | 'single',
  file: string,
  colorScheme: 'light' | 'dark',
  width = 1280,
): Promise<Page> {
  const page = await browser().newPage({ colorScheme, viewport: { width, height: 1000 } });
  await page.goto((await samplePages(form)).get(file) ?? file);
  await page.evaluate(() => {
    for (const details of document.querySelectorAll('details')) details.open = true;
  });
  return page;
}

describe('axe finds nothing', () => {
  it.each(KINDS)('on %s, on light paper by all its rules and on dark paper by contrast', async (file) => {
    for (const [scheme, rules] of [
      ['light', {}],
      ['dark', { only: 'color-contrast' }],
    ] as const) {
      const page = await opened('folder', file, scheme);
      expect(await axeFaults(page, rules), scheme).toEqual([]);
      await page.close();
    }
  });

  // Its colours are those of the folder's pages; its ids and headings are its own.
  it('in the single file', async () => {
    const page = await opened('single', 'dossier.html', 'light');
    expect(await axeFaults(page, { but: 'color-contrast' })).toEqual([]);
    await page.close();
  });
});

/** Lines and grounds that help to read and say nothing alone, and what is left white in a filled sign. */
const NO_SIGNS = [
  '.grid, .silence, .piece-silence, .piece-tick, .staff-zone, .tint, .hatch',
  '.front-band, .front-row, .front-halo',
  '.strip-paper, .pacing-lines, .chord-gap, .is-fix > text, .level-fix > text',
].join(', ');

// WCAG 2.2, 1.4.11: what one needs to see stands out by 3 to 1; letters and notes are read, which wants 4.5 (1.4.3).
describe.each(['light', 'dark'] as const)('on %s paper', (scheme) => {
  it.each(['index.html', 'full-score-written.html', 'changes.html'])(
    'every sign of %s stands out by 3 to 1, letters and notes by 4.5, and no words are hidden',
    async (file) => {
      const page = await opened('folder', file, scheme);
      const { looked, weak, unseen } = await page.evaluate((noSigns) => {
        const numbers = (colour: string): number[] => (colour.match(/[\d.]+/g) ?? []).map(Number);
        const brightness = (colour: readonly number[]): number => {
          const [red = 0, green = 0, blue = 0] = colour.map((part) =>
            part / 255 <= 0.04045 ? part / 255 / 12.92 : ((part / 255 + 0.055) / 1.055) ** 2.4,
          );
          return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
        };
        const grounds = [document.body, document.documentElement].map((one) => getComputedStyle(one).backgroundColor);
        const paper = numbers(grounds.find((ground) => !/,\s*0\)$/.test(ground)) ?? 'rgb(255, 255, 255)');
        const contrast = (colour: string, opacity: number): number => {
          if (!colour.startsWith('rgb')) return 0;
          const [red = 0, green = 0, blue = 0, alpha = 1] = numbers(colour);
          const seen = [red, green, blue].map((part, index) => {
            const share = alpha * opacity;
            return part * share + (paper[index] ?? 0) * (1 - share);
          });
          const [ink, ground] = [brightness(seen), brightness(paper)];
          return (Math.max(ink, ground) + 0.05) / (Math.min(ink, ground) + 0.05);
        };
        const weak = new Map<string, number>();
        let looked = 0;
        for (const sign of document.querySelectorAll('main svg :is(path, rect, circle, polyline, use, text)')) {
          if (sign.matches(noSigns) || sign.closest('defs') !== null) continue;
          if (!sign.checkVisibility({ visibilityProperty: true, opacityProperty: true })) continue;
          const style = getComputedStyle(sign);
          const hasStroke = style.stroke !== 'none' && parseFloat(style.strokeWidth) > 0;
          const fill = style.fill === 'none' ? 0 : contrast(style.fill, Number(style.fillOpacity));
          const stroke = hasStroke ? contrast(style.stroke, Number(style.strokeOpacity)) : 0;
          const most = Math.max(fill, stroke);
          // Nothing to be seen: where a finger hits, or what only shows when the address names it.
          if (most <= 1) continue;
          looked += 1;
          const isRead = sign.localName === 'text' || sign.closest('.sn') !== null;
          if (most < (isRead ? 4.5 : 3)) weak.set(`${sign.localName}.${sign.getAttribute('class') ?? ''}`, most);
        }
        const unseen = [
          ...document.querySelectorAll<HTMLElement>('main :is(li, p, td, th) :is(span, bdi, a, strong)'),
        ].filter((one) => one.innerText.trim() !== '' && getComputedStyle(one).opacity === '0');
        return { looked, weak: [...weak], unseen: unseen.map((one) => one.innerText) };
      }, NO_SIGNS);
      expect(looked).toBeGreaterThan(100);
      expect(weak).toEqual([]);
      expect(unseen).toEqual([]);
      await page.close();
    },
  );
});

/** WCAG 2.2, 2.5.8: 24 CSS pixels, here of everything that can be hit, in a line of text too; half a pixel is rounding. */
const LEAST_PX = 23.5;

describe.each([1280, 390])('at %i px', (width) => {
  it.each(KINDS)('what a finger hits on %s is 24 px high and wide', async (file) => {
    const page = await opened('folder', file, 'light', width);
    const { looked, small } = await page.evaluate((least) => {
      const seen = [...document.querySelectorAll('a[href], button, summary, input, select')].filter((one) => {
        const { width, height } = one.getBoundingClientRect();
        return width > 2 && height > 2 && one.checkVisibility({ visibilityProperty: true });
      });
      const small = seen.flatMap((one) => {
        const { width, height } = one.getBoundingClientRect();
        if (width >= least && height >= least) return [];
        const place = one.closest('[data-section]')?.id ?? one.closest('nav')?.className ?? '';
        return [
          `${place} ${one.localName} ${one.textContent.trim().slice(0, 30)} ${String(width)} × ${String(height)}`,
        ];
      });
      return { looked: seen.length, small };
    }, LEAST_PX);
    expect(looked).toBeGreaterThan(7);
    expect(small).toEqual([]);
    await page.close();
  });
});
