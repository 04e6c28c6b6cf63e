/**
 * What each thing costs that a reader can do on a page: processor time of the browser's main thread until two frames later, and, on a processor
 * slowed four times, how long it takes from the key or click to the picture (Event Timing, W3C), beside what a key on an empty page takes just before, which
 * is what else the machine does. 525 bars of 18 parts; `npm run bench:pages -- 96 12`
 * for another size. Four times the processor time is beside it.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, CDPSession, Page } from 'playwright-core';
import { compile } from '../../src/launch.mjs';
import { median } from '../../src/model/music/dynamics.ts';
import { openBrowser } from '../support/browser.ts';
import { builtPages } from '../support/built-pages.ts';
import { writeGeneratedFolder } from '../support/generated-folder.ts';
import { setRunFolder } from '../support/run-folder.ts';

const [bars = 525, parts = 18] = process.argv.slice(2).map(Number);
const SLOWED = 4;
/** So many times in all on the slowed processor: others are at work on most machines. */
const SLOWED_RUNS = 3;

interface Step {
  readonly name: string;
  readonly file: string;
  /** Brings the page to where it can be done; returns what is hit, or a key. */
  readonly before?: (page: Page) => Promise<void>;
  readonly act: (page: Page) => Promise<void>;
}

/** Hits the middle of an element with the mouse, without what a test would look for first. */
async function hit(page: Page, selector: string): Promise<void> {
  const place = await page.evaluate((wanted) => {
    const found = document.querySelector(wanted);
    const { left = 0, top = 0, width = 0, height = 0 } = found?.getBoundingClientRect() ?? {};
    if (width === 0 || top < 0 || top > innerHeight) throw new Error(`nothing to be seen is ${wanted}`);
    return { x: left + Math.min(width / 2, 12), y: top + height / 2 };
  }, selector);
  await page.mouse.click(place.x, place.y);
}

async function bringUp(page: Page, selector: string): Promise<void> {
  await page.evaluate((wanted) => {
    const found = document.querySelector(wanted);
    const row = found?.closest('details');
    if (row && found?.localName !== 'summary') row.open = true;
    found?.scrollIntoView({ block: 'center' });
  }, selector);
  // Places that come into sight are laid out, and move the others, once they are there.
  await settled(page);
  await page.evaluate((wanted) => document.querySelector(wanted)?.scrollIntoView({ block: 'center' }), selector);
}

function clicked(name: string, selector: string, file = 'index.html'): Step {
  return { name, file, before: (page) => bringUp(page, selector), act: (page) => hit(page, selector) };
}

function pressed(name: string, keys: string, focus: string | undefined, file = 'index.html'): Step {
  return {
    name,
    file,
    before: async (page) => {
      if (focus !== undefined) await page.evaluate((at) => document.querySelector<HTMLElement>(at)?.focus(), focus);
    },
    act: (page) => page.keyboard.press(keys),
  };
}

function jump(bar: number): Step {
  return {
    name: `bar field: bar ${String(bar)}`,
    file: 'index.html',
    before: async (page) => {
      await page.evaluate((wanted) => {
        const field = document.querySelector<HTMLInputElement>('.bar-field input');
        if (field === null) return;
        field.value = String(wanted);
        field.focus({ preventScroll: true });
      }, bar);
    },
    act: (page) => page.keyboard.press('Enter'),
  };
}

function chosen(key: string): readonly Step[] {
  const selector = `.finding-choice select[name="${key}"]`;
  return ['ArrowDown', 'ArrowUp'].map((arrow) =>
    pressed(`findings by ${key}${arrow === 'ArrowUp' ? ', all again' : ''}`, arrow, selector),
  );
}

const STEPS: readonly Step[] = [
  jump(Math.round(bars * 0.4)),
  jump(bars - 5),
  clicked('link from a finding to the reduced score', '#finding-5 .ways a[href*="score-f"]'),
  clicked('link from a flag back to the finding', '#score .system:nth-child(4) .flag'),
  clicked('link from a finding to the map', '#finding-6 .ways a[href*="map-f"]'),
  clicked('link to a section', '.stay a[href="#harmony"]'),
  pressed('key to the first finding', 'Alt+ArrowDown', undefined),
  pressed('key to the next finding', 'Alt+ArrowDown', undefined),
  ...['part', 'family', 'level'].flatMap(chosen),
  clicked('other paper', '.theme button'),
  clicked('other paper, back', '.theme button'),
  clicked('a check opened', 'details.check > summary'),
  pressed('arrow to the first bar of a chart', 'ArrowRight', '#register .chart-scroll'),
  pressed('arrow to the next bar', 'ArrowRight', '#register .chart-scroll'),
  pressed('ten bars on', 'PageDown', '#register .chart-scroll'),
  pressed('arrow to a bar of the score', 'ArrowRight', '.wide-score'),
  clicked('bar of a chart clicked', '#register .hit [data-bar="40"]'),
  clicked('listen', '.listen-open button'),
  clicked('listen, stop', '.listen-go'),
  clicked('column sorted', '#numbers-register table .sort', 'numbers.html'),
  pressed('rows searched', '7', '#numbers-register .filter input', 'numbers.html'),
];

async function settled(page: Page): Promise<void> {
  await page.evaluate(
    () =>
      new Promise<void>((done) => {
        requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done, 0)));
      }),
  );
}

async function taskMs(session: CDPSession): Promise<number> {
  const { metrics } = await session.send('Performance.getMetrics');
  return 1000 * (metrics.find(({ name }) => name === 'TaskDuration')?.value ?? 0);
}

/** Runs in the page before its own script: the longest event so far, in ms. */
function recordEvents(): void {
  Object.assign(globalThis, { longestEvent: 0 });
  new PerformanceObserver((list) => {
    const here = globalThis as unknown as { longestEvent: number };
    for (const { duration } of list.getEntries()) here.longestEvent = Math.max(here.longestEvent, duration);
  }).observe({ type: 'event', durationThreshold: 16 } as PerformanceObserverInit);
}

interface Timed {
  readonly ms: number;
  /** Of a key on an empty page; 0 where it is not slowed, or less than an event is told of. */
  readonly emptyMs: number;
}

interface Opened {
  readonly page: Page;
  readonly session: CDPSession;
}

async function opened(browser: Browser, address: string, slowed: boolean): Promise<Opened> {
  const page = await browser.newPage({ viewport: { width: 1280, height: 1000 } });
  await page.addInitScript(recordEvents);
  await page.goto(address);
  const session = await page.context().newCDPSession(page);
  await session.send('Performance.enable', { timeDomain: 'threadTicks' });
  if (slowed) await session.send('Emulation.setCPUThrottlingRate', { rate: SLOWED });
  return { page, session };
}

/** The longest event while something is done, in ms. */
async function longestEvent(page: Page, act: () => Promise<void>): Promise<number> {
  await page.evaluate(() => Object.assign(globalThis, { longestEvent: 0 }));
  await act();
  await settled(page);
  // Event Timing tells of an event after its frame.
  await page.waitForTimeout(400);
  return page.evaluate(() => (globalThis as unknown as { longestEvent: number }).longestEvent);
}

/** Milliseconds of every step: of the processor, or, slowed, until the picture stands. */
async function measured(pages: ReadonlyMap<string, string>, slowed: boolean): Promise<readonly Timed[]> {
  const browser = await openBrowser();
  const open = new Map<string, Opened>();
  const times: Timed[] = [];
  const empty = await opened(browser, 'data:text/html,<p>', slowed);
  for (const { file, before, act } of STEPS) {
    const { page, session } = open.get(file) ?? (await opened(browser, pages.get(file)!, slowed));
    open.set(file, { page, session });
    await empty.page.bringToFront();
    const emptyMs = slowed ? await longestEvent(empty.page, () => empty.page.keyboard.press('a')) : 0;
    await page.bringToFront();
    await before?.(page);
    await settled(page);
    await settled(page);
    if (slowed) {
      times.push({ ms: await longestEvent(page, () => act(page)), emptyMs });
      continue;
    }
    const start = await taskMs(session);
    await act(page);
    await settled(page);
    times.push({ ms: (await taskMs(session)) - start, emptyMs });
  }
  await browser.close();
  return times;
}

await compile();
const run = mkdtempSync(join(tmpdir(), 'dossier-bench-'));
setRunFolder(run);
try {
  const folder = join(run, 'piece');
  writeGeneratedFolder(folder, bars, parts, 1);
  const pages = await builtPages(folder);
  const processor = await measured(pages, false);
  const slow: (readonly Timed[])[] = [];
  for (let run = 0; run < SLOWED_RUNS; run++) slow.push(await measured(pages, true));
  const row = (name: string, times: readonly number[]): void => {
    console.log(`${name.padEnd(44)}${times.map((ms) => ms.toFixed(0).padStart(8)).join('')}`);
  };
  console.log(
    `${String(bars)} bars, ${String(parts)} parts: ms of processor, ${String(SLOWED)} times that, slowed ${String(SLOWED)} times on the clock (${String(SLOWED_RUNS)} runs, their median, and that of a key on an empty page)`,
  );
  STEPS.forEach(({ name }, index) => {
    const own = processor[index]?.ms ?? 0;
    const late = slow.map((run) => run[index]?.ms ?? 0);
    const empty = slow.map((run) => run[index]?.emptyMs ?? 0);
    row(name, [own, SLOWED * own, ...late, median(late) ?? 0, median(empty) ?? 0]);
  });
  const most = Math.max(...processor.map(({ ms }) => ms));
  const worst = slow.map((run) => Math.max(...run.map(({ ms }) => ms)));
  const worstEmpty = slow.map((run) => Math.max(...run.map(({ emptyMs }) => emptyMs)));
  row('worst', [most, SLOWED * most, ...worst, median(worst) ?? 0, median(worstEmpty) ?? 0]);
} finally {
  rmSync(run, { recursive: true, force: true });
}
