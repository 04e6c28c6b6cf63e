/**
 * The dossier as its readers meet it: opened from disk in a real browser, folder and single file alike.
 */
import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import { browserOfFile } from '../support/browser.ts';
import { builtPages, samplePages } from '../support/built-pages.ts';
import { writeHostileFolder } from '../support/hostile-folder.ts';
import { temporaryFolder } from '../support/run-cli.ts';
import { SECTION_IDS } from '../support/section-ids.ts';

const browser = browserOfFile();
const pages = new Map<string, string>();

beforeAll(async () => {
  const hostile = temporaryFolder();
  writeHostileFolder(hostile);
  for (const [name, built] of [
    ['folder', await samplePages('folder')],
    ['single', await samplePages('single')],
    ['hostile', await builtPages(hostile)],
    ['hostile-single', await builtPages(hostile, '--single-file')],
  ] as const)
    for (const [file, address] of built) pages.set(`${name}/${file}`, address);
});

function addressOf(name: string): string {
  const address = pages.get(name);
  if (address === undefined) throw new Error(`no page ${name}; there are ${[...pages.keys()].join(', ')}`);
  return address;
}

/** The first page of a build, whatever its name. */
function firstPage(name: string): string {
  const names = [...pages.keys()].filter((key) => key.startsWith(`${name}/`));
  return addressOf(names.find((key) => key.endsWith('/index.html')) ?? names[0] ?? '');
}

async function withPage<T>(
  options: { javaScriptEnabled?: boolean; colorScheme?: 'light' | 'dark'; width?: number },
  action: (page: Page, trouble: string[]) => Promise<T>,
): Promise<T> {
  const context = await browser().newContext({
    javaScriptEnabled: options.javaScriptEnabled ?? true,
    colorScheme: options.colorScheme ?? 'light',
    viewport: { width: options.width ?? 1400, height: 1000 },
  });
  const page = await context.newPage();
  const trouble: string[] = [];
  page.on('console', (message) => {
    if (message.type() === 'error' || message.type() === 'warning') trouble.push(`console: ${message.text()}`);
  });
  page.on('pageerror', (error) => trouble.push(`error: ${error.message}`));
  page.on('dialog', (dialog) => {
    trouble.push(`dialog: ${dialog.message()}`);
    void dialog.dismiss();
  });
  page.on('request', (request) => {
    if (!request.url().startsWith('file://') || request.resourceType() !== 'document') {
      trouble.push(`request: ${request.url().slice(0, 200)}`);
    }
  });
  try {
    return await action(page, trouble);
  } finally {
    await context.close();
  }
}

async function visibleSections(page: Page): Promise<{ id: string; height: number; text: number }[]> {
  return page.$$eval('main section[data-section]', (sections) =>
    sections.map((section) => ({
      id: section.getAttribute('data-section') ?? '',
      height: section.getBoundingClientRect().height,
      text: section.textContent.trim().length,
    })),
  );
}

describe.each(['folder', 'single'])('the sample as %s', (kind) => {
  it('is complete without script', async () => {
    await withPage({ javaScriptEnabled: false }, async (page, trouble) => {
      await page.goto(firstPage(kind));
      const sections = await visibleSections(page);
      for (const id of SECTION_IDS) {
        const found = sections.find((section) => section.id === id);
        expect(found, id).toBeDefined();
        expect(found?.height, id).toBeGreaterThan(40);
        expect(found?.text, id).toBeGreaterThan(20);
      }
      expect(await page.locator('figure svg').count()).toBeGreaterThanOrEqual(3);
      expect(trouble).toEqual([]);
    });
  });

  it('runs its script without an error and without a request', async () => {
    await withPage({}, async (page, trouble) => {
      await page.goto(firstPage(kind));
      await page.mouse.move(700, 500);
      const sorter = page.locator('th button').first();
      if ((await sorter.count()) > 0) await sorter.click();
      await page.waitForTimeout(200);
      expect(trouble).toEqual([]);
    });
  });

  it('marks one section as the one that is read, however many stand beside one another', async () => {
    await withPage({ width: 1280 }, async (page) => {
      await page.goto(firstPage(kind).replace('index.html', 'client-sheet.html'));
      for (const y of [0, 200, 400, 600, 800]) {
        await page.evaluate(async (to) => {
          scrollTo(0, to);
          for (let frame = 0; frame < 3; frame++) await new Promise((done) => requestAnimationFrame(done));
        }, y);
        // In the single file each page has its bar.
        const marked = await page.$$eval('.stay', (bars) =>
          bars.map((bar) => bar.querySelectorAll('a[aria-current]').length),
        );
        expect(Math.max(...marked), `${String(y)} px`).toBeLessThanOrEqual(1);
        if (y === 0) expect(Math.max(...marked)).toBe(1);
      }
    });
  });

  it('never scrolls sideways as a whole, wide or on a phone', async () => {
    await withPage({}, async (page) => {
      await page.goto(firstPage(kind));
      for (const width of [1400, 390]) {
        await page.setViewportSize({ width, height: 1000 });
        const overflow = await page.evaluate(
          () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
        );
        expect(overflow, `${width} px`).toBeLessThanOrEqual(1);
      }
    });
  });

  it('prints whole on A4: no element is wider than the paper, every table is open', async () => {
    await withPage({ javaScriptEnabled: false, width: 794 }, async (page) => {
      await page.goto(firstPage(kind));
      const pdf = await page.pdf({ format: 'A4', preferCSSPageSize: true });
      const text = pdf.toString('latin1');
      expect(text.startsWith('%PDF')).toBe(true);
      const sheets = (text.match(/\/Type\s*\/Page\b/g) ?? []).length;
      expect(sheets).toBeGreaterThanOrEqual(3);
      await page.emulateMedia({ media: 'print' });
      const faults = await page.evaluate(() => {
        const paper = document.documentElement.clientWidth;
        const wide = [...document.querySelectorAll('main svg, main table, main figure')]
          .filter((element) => element.getBoundingClientRect().right > paper + 1)
          .map((element) => `too wide: ${element.tagName} ${element.getAttribute('class') ?? ''}`);
        const shut = [...document.querySelectorAll('main details table')]
          .filter((table) => table.getBoundingClientRect().height === 0)
          .map((table) => `shut: ${table.querySelector('caption')?.textContent ?? ''}`);
        return [...wide, ...shut];
      });
      expect(faults).toEqual([]);
    });
  });
});

/** How many of the pictures matched by a selector are to be seen, and how tall the lowest of them is. */
async function seen(page: Page, selector: string): Promise<{ all: number; shown: number; leastWidth: number }> {
  return page.evaluate((wanted) => {
    const pictures = [...document.querySelectorAll<SVGElement>(wanted)];
    const shown = pictures.filter((picture) => {
      const { width, height } = picture.getBoundingClientRect();
      return width > 2 && height > 2 && picture.checkVisibility({ visibilityProperty: true });
    });
    const widths = shown.map((picture) => picture.getBoundingClientRect().width);
    return { all: pictures.length, shown: shown.length, leastWidth: Math.min(Infinity, ...widths) };
  }, selector);
}

interface Arrival {
  readonly href: string;
  /** From where the address leads to the top of the line that holds the first marked bar; 0 where the page can scroll no further. */
  readonly missPx: number;
  /** Places to be seen marked. */
  readonly marked: number;
  /** Places of other findings and notes that are to be seen. */
  readonly strays: number;
}

/** Follows links to the places of findings and notes, on whatever page they lie. */
async function arrivals(page: Page, from: string, selector: string): Promise<Arrival[]> {
  await page.goto(from);
  const hrefs = await page.$$eval(selector, (links) => links.map((link) => link.getAttribute('href') ?? ''));
  const found: Arrival[] = [];
  // Page by page, so that each is loaded once.
  for (const href of hrefs.sort()) {
    await page.goto(new URL(href, from).href);
    found.push(
      await page.evaluate((address) => {
        const target = document.querySelector(':target');
        const key = /-([fn]\d+)$/.exec(address)?.[1] ?? '';
        const places = [...(target?.closest('section')?.querySelectorAll(`.place.${key}`) ?? [])].filter(
          (place) => place.getBoundingClientRect().width > 0 && getComputedStyle(place).opacity === '1',
        );
        const tops = places.map((place) => (place.closest('svg.system-picture') ?? place).getBoundingClientRect().top);
        const strays = [...document.querySelectorAll(`.place:not(.${key})`)].filter(
          (place) => getComputedStyle(place).opacity !== '0',
        ).length;
        const root = document.documentElement;
        const px = Math.min(...tops) - (parseFloat(getComputedStyle(root).scrollPaddingTop) || 0);
        const isAtEnd = root.scrollHeight - root.clientHeight - scrollY < 2;
        return { href: address, missPx: isAtEnd && px > 0 && px < 900 ? 0 : px, marked: places.length, strays };
      }, href),
    );
  }
  return found;
}

describe.each([1280, 390])('links from findings and notes at %i px', (width) => {
  it.each(['folder', 'single'])('lead to the line of their bars and mark them, without a script (%s)', async (kind) => {
    await withPage({ width, javaScriptEnabled: false }, async (page) => {
      const ways = await arrivals(page, firstPage(kind), '.sheet:first-child .ways a');
      for (const end of ['score-f', 'score-n', 'map-f', 'map-n'])
        expect(
          ways.some(({ href }) => href.includes(`#${end}`)),
          end,
        ).toBe(true);
      if (kind === 'folder') expect(ways.some(({ href }) => href.includes('full-score'))).toBe(true);
      for (const { href, missPx, marked, strays } of ways) {
        expect(strays, href).toBe(0);
        expect(Math.abs(missPx), href).toBeLessThan(80);
        expect(marked, href).toBeGreaterThan(0);
      }
    });
  });

  it('have links back from every score and chart', async () => {
    await withPage({ width, javaScriptEnabled: false }, async (page) => {
      for (const [file, section] of [
        ['index.html', '#score'],
        ['index.html', '#entries'],
        ['index.html', '#balance'],
        ['full-score-concert.html', '#full-score'],
      ] as const) {
        await page.goto(addressOf(`folder/${file}`));
        const flags = await page.$$eval(`${section} .flag`, (links) =>
          links
            .filter((link) => link.getBoundingClientRect().width > 0)
            .map((link) => link.getAttribute('href')?.replace('index.html', '') ?? ''),
        );
        for (const finding of [1, 2, 3, 4, 5, 6, 7, 8, 9])
          expect(flags, section).toContain(`#finding-${String(finding)}`);
        // Charts of balance, register and harmony are about findings; notes have their places in the scores and on the map.
        expect(flags.some((href) => href.startsWith('#note-'))).toBe(section !== '#balance');
      }
    });
  });
});

const WIDE = '.has-narrow > .wide-score svg.sn';
const NARROW = '.narrow-score svg.sn';

describe.each([
  ['the reduced score', 'folder', 'index.html'],
  ['the full score', 'folder', 'full-score-written.html'],
  ['the single file', 'single', ''],
])('the lines of %s', (_, kind, file) => {
  const address = (): string => (file === '' ? firstPage(kind) : addressOf(`${kind}/${file}`));

  it('are the short ones on a telephone, as wide as its text and no wider', async () => {
    await withPage({ width: 390 }, async (page) => {
      await page.goto(address());
      const [wide, narrow] = [await seen(page, WIDE), await seen(page, NARROW)];
      expect(narrow.all).toBeGreaterThan(5);
      expect(narrow.shown).toBe(narrow.all);
      expect(wide.shown).toBe(0);
      expect(narrow.leastWidth).toBeGreaterThan(300);
      const scrolls = await page.evaluate(() =>
        [...document.querySelectorAll('.narrow-score')].filter((one) => one.scrollWidth > one.clientWidth + 1),
      );
      expect(scrolls).toEqual([]);
    });
  });

  it('are the long ones on a wide screen and on paper, whatever the screen that prints', async () => {
    await withPage({}, async (page) => {
      await page.goto(address());
      for (const [width, media] of [
        [1400, 'screen'],
        [1400, 'print'],
        [390, 'print'],
      ] as const) {
        await page.setViewportSize({ width, height: 1000 });
        await page.emulateMedia({ media });
        const [wide, narrow] = [await seen(page, WIDE), await seen(page, NARROW)];
        expect(wide.all, `${String(width)} ${media}`).toBeGreaterThan(2);
        expect(wide.shown, `${String(width)} ${media}`).toBe(wide.all);
        expect(narrow.shown, `${String(width)} ${media}`).toBe(0);
      }
    });
  });

  it('have the sign that is meant at every corner of the lines that hold signs, and strokes that are no shapes', async () => {
    await withPage({ javaScriptEnabled: false }, async (page) => {
      await page.goto(address());
      const drawn = await page.$$eval('.sn polyline, .sn path[stroke-width]', (lines) =>
        lines.map((line) => {
          const { fill, stroke, markerMid } = getComputedStyle(line);
          const sign = /#(\w+)/.exec(markerMid)?.[1] ?? '';
          const isSign = sign !== '' && document.getElementById(sign)?.localName === 'marker';
          return line.localName === 'polyline'
            ? fill === 'none' && isSign && sign === line.getAttribute('class')
            : fill === 'none' && stroke !== 'none';
        }),
      );
      expect(drawn.length).toBeGreaterThan(100);
      expect(drawn.filter((isDrawn) => !isDrawn)).toEqual([]);
    });
  });
});

describe('the printed full score', () => {
  // Common practice, no source: a conductor turns pages that are full; a score of eleven parts has two systems on a sheet of A4.
  it('of eleven parts has two systems on every page', async () => {
    await withPage({ javaScriptEnabled: false, width: 794 }, async (page) => {
      await page.goto(addressOf('folder/full-score-written.html'));
      const pdf = (await page.pdf({ format: 'A4', preferCSSPageSize: true })).toString('latin1');
      const systems = await page.locator('.wide-score svg.sn').count();
      expect(systems).toBeGreaterThan(4);
      expect((pdf.match(/\/Type\s*\/Page\b/g) ?? []).length).toBe(Math.ceil(systems / 2));
    });
  });
});

/** What stands in attributes of the elements of a page, by its text. */
function attributes(html: string, element: string, name: string): readonly string[] {
  const found = html.matchAll(new RegExp(`<${element}\\b[^>]*?\\s${name}="([^"]*)"`, 'g'));
  return [...found].map(([, text = '']) => text.replaceAll('&amp;', '&'));
}

describe('links between the pages', () => {
  it('lead to pages and places that exist', () => {
    for (const [name, address] of pages) {
      const html = readFileSync(new URL(address), 'utf8').replaceAll(/<(script|style)\b.*?<\/\1>/gs, '');
      const ids = new Set(attributes(html, '[a-z][a-z0-9]*', 'id'));
      // Of links in pictures too.
      const links = new Set(attributes(html, 'a', 'href').map((href) => new URL(href, address).href));
      expect(Math.min(ids.size, links.size), name).toBeGreaterThan(2);
      for (const link of links) {
        const [file = '', anchor] = link.split('#');
        if (!file.startsWith('file:')) continue;
        if (file === address) {
          if (anchor !== undefined && anchor !== '')
            expect(ids.has(decodeURIComponent(anchor)), `${name}: ${link}`).toBe(true);
        } else if (file.endsWith('.html')) {
          expect([...pages.values()], `${name}: ${link}`).toContain(file);
        }
      }
    }
  });
});

describe.each(['hostile', 'hostile-single'])('names and notes that are markup (%s)', (kind) => {
  it('are shown as text and do nothing', async () => {
    for (const [name, address] of pages) {
      if (!name.startsWith(`${kind}/`)) continue;
      await withPage({}, async (page, trouble) => {
        await page.goto(address);
        await page.waitForTimeout(100);
        expect(trouble, name).toEqual([]);
        expect(await page.evaluate(() => 'stolen' in globalThis)).toBe(false);
        expect(await page.locator('img').count()).toBe(0);
        expect(await page.locator('script').count()).toBe(1);
      });
    }
    await withPage({}, async (page) => {
      await page.goto(firstPage(kind));
      const text = (await page.locator('main').first().textContent()) ?? '';
      expect(text).toContain('<script>stolen=1</script>');
      expect(text).toContain('{{ 7 * 7 }}');
      // The title is a template in no hand but the user's: seven times seven is never worked out.
      expect(await page.locator('h1').first().textContent()).not.toMatch(/\b49\b/);
      expect(await page.title()).not.toMatch(/\b49\b/);
    });
  });
});
