/** A stage played in the page, as its readers do it: opened from disk in a real browser, folder and single file alike. */
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import { browserOfFile } from '../support/browser.ts';
import { builtPages } from '../support/built-pages.ts';
import { writeExports } from '../support/kept-folder.ts';
import { withQuietPage } from '../support/quiet-page.ts';
import { temporaryFolder } from '../support/run-cli.ts';
import { CELLO_FROM, STROKE_FILES, strokeSecond, TEMPOS } from '../support/stroke-piece.ts';

const browser = browserOfFile();
/** The page with the stages, of the folder and of the single file. */
const pages = { folder: '', single: '' };

beforeAll(async () => {
  const folder = join(temporaryFolder(), 'strokes');
  writeExports(folder, STROKE_FILES);
  pages.folder = (await builtPages(folder)).get('index.html')!;
  pages.single = (await builtPages(folder, '--single-file')).get('dossier.html')!;
});

/** What the page gave to the loudspeakers, and what it showed at the same moments. */
interface Heard {
  /** Stretches of sound: when each began on the clock of the sound, how long it is, and how loud each 5 ms of it. */
  readonly stretches: readonly { readonly at: number; readonly seconds: number; readonly steps: readonly number[] }[];
  /** What the page showed whenever it moved its line, and the clock as it had read it for that. */
  readonly frames: readonly { readonly now: number; readonly bar: number; readonly share: number }[];
}

/** Runs in the page before its own script: keeps a copy of all that is played, and of where the line through the score stood. */
function recordSound(): void {
  const heard = { stretches: [] as object[], frames: [] as object[] };
  Object.assign(globalThis, { heard });
  let sound: AudioContext | undefined;
  // The clock goes on while a busy machine draws: what was read last is what the page went by.
  let clock = 0;
  // eslint-disable-next-line @typescript-eslint/unbound-method -- called with its own clock below
  const read = Object.getOwnPropertyDescriptor(BaseAudioContext.prototype, 'currentTime')?.get;
  Object.defineProperty(BaseAudioContext.prototype, 'currentTime', {
    get(this: BaseAudioContext) {
      clock = Number(read?.call(this));
      return clock;
    },
  });
  // eslint-disable-next-line @typescript-eslint/unbound-method -- called with its own source below
  const { start } = AudioBufferSourceNode.prototype;
  AudioBufferSourceNode.prototype.start = function (at = 0): void {
    start.call(this, at);
    sound = this.context as AudioContext;
    const samples = this.buffer?.getChannelData(0) ?? new Float32Array();
    const step = Math.round(sound.sampleRate / 200);
    const steps = Array.from({ length: Math.ceil(samples.length / step) }, (_, index) =>
      Math.hypot(...samples.subarray(index * step, (index + 1) * step)),
    );
    heard.stretches.push({ at, seconds: samples.length / sound.sampleRate, steps });
  };
  // Told at once after the page has moved its line.
  new MutationObserver(() => {
    const line = document.querySelector('.bar-places .sounding-line');
    const place = document.querySelector('.bar-places .is-sounding');
    if (sound === undefined || line === null || place === null) return;
    heard.frames.push({
      now: clock - (sound.outputLatency || sound.baseLatency),
      bar: Number(place.getAttribute('data-bar')),
      share: (Number(line.getAttribute('x1')) - Number(place.getAttribute('x'))) / Number(place.getAttribute('width')),
    });
  }).observe(document, { subtree: true, childList: true, attributes: true, attributeFilter: ['x1'] });
}

const heardIn = (page: Page): Promise<Heard> => page.evaluate(() => (globalThis as unknown as { heard: Heard }).heard);

/** Moments at which sound begins after silence, in seconds of what was played: pauses of a machine that came too late do not count. */
function strokesHeard({ stretches }: Heard): readonly number[] {
  let isSilent = true;
  let played = 0;
  return stretches.flatMap(({ seconds, steps }) => {
    const from = played;
    played += seconds;
    return steps.flatMap((size, index) => {
      const begins = isSilent && size > 0.01;
      if (begins) isSilent = false;
      else if (size < 1e-4) isSilent = true;
      return begins ? [from + (index * seconds) / steps.length] : [];
    });
  });
}

/** How many seconds had been played at a moment of the clock. */
function playedAt({ stretches }: Heard, now: number): number {
  return stretches.reduce((sum, { at, seconds }) => sum + Math.min(seconds, Math.max(0, now - at)), 0);
}

function withPage(kind: keyof typeof pages, action: (page: Page) => Promise<void>): Promise<void> {
  return withQuietPage(browser(), { address: pages[kind], before: recordSound, mayAskFor: ['document'] }, action);
}

/** Waits until the page has shown so many bars or says that it stands still. */
async function untilBar(page: Page, bar: number): Promise<void> {
  await page.waitForFunction(
    (last) => (globalThis as unknown as { heard: Heard }).heard.frames.some((frame) => frame.bar >= last),
    bar,
  );
}

const heardFrom = (page: Page): ReturnType<Page['locator']> => page.locator('.listen');
const go = (page: Page): ReturnType<Page['locator']> => page.locator('.listen-go');
const shownBar = (page: Page): Promise<number> =>
  heardFrom(page).getByLabel('Bar', { exact: true }).inputValue().then(Number);

describe.each(['folder', 'single'] as const)('the sketch of a stage, as %s', (kind) => {
  it('shows the sounding bar within 50 ms, whatever the tempo, from the keyboard alone', async () => {
    await withPage(kind, async (page) => {
      await page.locator('.listen-open button').first().focus();
      await page.keyboard.press('Enter');
      await untilBar(page, 12);
      // The space bar stops where the line itself has the focus.
      await page.keyboard.press('Space');
      expect(await go(page).textContent()).toBe('Listen');
      const heard = await heardIn(page);
      const begun = strokesHeard(heard);
      expect(begun.length).toBeGreaterThanOrEqual(12);
      // The sound itself keeps the tempo map: a bar of four beats lasts 240 / tempo seconds.
      for (const [index, tempo] of TEMPOS.slice(0, 11).entries())
        expect(begun[index + 1]! - begun[index]!).toBeCloseTo(240 / tempo, 1);
      const late = heard.frames
        .filter(({ bar }) => bar < 12)
        .map(({ bar, share, now }) => ({
          bar,
          seconds: begun[bar - 1]! + share * (begun[bar]! - begun[bar - 1]!) - playedAt(heard, now),
        }));
      expect(new Set(late.map(({ bar }) => bar)).size).toBeGreaterThanOrEqual(10);
      for (const { bar, seconds } of late) expect(Math.abs(seconds), `bar ${String(bar)}`).toBeLessThan(0.05);
    });
  });

  it('plays from a bar that is clicked or named, repeats some, and takes its bar along into another stage', async () => {
    await withPage(kind, async (page) => {
      await page.locator('.listen-open button').first().click();
      await page.locator('.bar-places [data-bar="7"]').first().click({ force: true });
      await page.waitForFunction(() =>
        (globalThis as unknown as { heard: Heard }).heard.frames.some(({ bar }) => bar === 7),
      );
      await page.keyboard.press('Escape');
      await page.evaluate(() => {
        (document.activeElement as HTMLElement).blur();
      });
      await page.keyboard.press('[');
      await page.keyboard.press(']');
      const repeat = page.locator('.listen-repeat');
      expect(await repeat.textContent()).toMatch(/^bars? \d+(–\d+)? again and again/);
      await page.getByRole('button', { name: 'Play on' }).click();
      await go(page).click();
      await heardFrom(page).getByLabel('Bar', { exact: true }).fill('9');
      await heardFrom(page).getByLabel('Bar', { exact: true }).press('Enter');
      await heardFrom(page).getByLabel('Stage', { exact: true }).selectOption({ index: 0 });
      expect(await shownBar(page)).toBe(9);
      await page.getByLabel('In turn with').selectOption({ index: 2 });
      expect(await repeat.textContent()).toMatch(/^bars 9–12 in turn/);
    });
  });

  it('plays the bar of a finding again and again', async () => {
    await withPage(kind, async (page) => {
      await page.getByLabel('Listen to bar 5', { exact: true }).first().click();
      expect(await page.locator('.listen-repeat').textContent()).toMatch(/^bar 5 again and again/);
      // Until it has begun twice.
      await page.waitForFunction(() => {
        const { frames } = (globalThis as unknown as { heard: Heard }).heard;
        return frames.filter(({ share }, index) => share < (frames[index - 1]?.share ?? 0)).length >= 2;
      });
      const { frames } = await heardIn(page);
      expect(new Set(frames.map(({ bar }) => bar))).toEqual(new Set([5]));
    });
  });

  it('plays one part alone', async () => {
    await withPage(kind, async (page) => {
      await page.locator('.listen-open button').first().click();
      await go(page).click();
      await heardFrom(page).getByLabel('Stage', { exact: true }).selectOption({ index: 1 });
      await page.getByLabel('What is heard').selectOption({ label: 'Cello alone' });
      await heardFrom(page).getByLabel('Bar', { exact: true }).fill('1');
      await heardFrom(page).getByLabel('Bar', { exact: true }).press('Enter');
      await page.evaluate(() => {
        const { heard } = globalThis as unknown as { heard: { stretches: object[]; frames: object[] } };
        [heard.stretches.length, heard.frames.length] = [0, 0];
      });
      await go(page).click();
      await untilBar(page, CELLO_FROM + 1);
      const heard = await heardIn(page);
      const [first = 0] = strokesHeard(heard);
      // Three bars of rest come first.
      expect(first).toBeGreaterThan(strokeSecond(CELLO_FROM) - 0.05);
    });
  });

  it('has everything in reach of the keyboard: a bar, one part, another stage, two in turn, a finding, bars again', async () => {
    await withPage(kind, async (page) => {
      const { keyboard } = page;
      const at = (selector: string): Promise<boolean> =>
        page.evaluate((own) => document.activeElement?.matches(own) ?? false, selector);
      const tabTo = async (selector: string): Promise<void> => {
        for (let tabs = 0; !(await at(selector)); tabs++) {
          expect(tabs, selector).toBeLessThan(40);
          await keyboard.press('Tab');
        }
      };
      /** Goes down a list until its choice reads so. */
      const choose = async (label: string, wanted: string): Promise<void> => {
        await tabTo(`[aria-label="${label}"]`);
        const chosen = (): Promise<string> =>
          page.evaluate(() => (document.activeElement as HTMLSelectElement).selectedOptions[0]?.text ?? '');
        for (let steps = 0; (await chosen()) !== wanted; steps++) {
          expect(steps, wanted).toBeLessThan(20);
          await keyboard.press('ArrowDown');
        }
      };
      await tabTo('.listen-open button');
      await keyboard.press('Enter');
      await untilBar(page, 1);
      await keyboard.press('Space');
      await tabTo('.listen [aria-label="Bar"]');
      await keyboard.press('Control+A');
      await keyboard.type('9');
      await keyboard.press('Enter');
      await choose('What is heard', 'Cello alone');
      await choose('What is heard', 'without Cello');
      await tabTo('.listen [aria-label="Stage"]');
      await keyboard.press('ArrowUp');
      expect([await page.locator('.listen [aria-label="Stage"]').inputValue(), await shownBar(page)]).toEqual([
        'stage-01-sketch',
        9,
      ]);
      await choose('In turn with', 'in turn with 2 With cello');
      const repeat = page.locator('.listen-repeat');
      expect(await repeat.textContent()).toMatch(/^bars 9–12 in turn/);
      await tabTo('.listen-repeat button');
      await keyboard.press('Enter');
      expect(await repeat.isVisible()).toBe(false);
      await keyboard.press('ArrowLeft');
      await keyboard.press('[');
      await keyboard.press('ArrowRight');
      await keyboard.press(']');
      expect(await repeat.textContent()).toMatch(/^bars 8–9 again and again/);
      await keyboard.press('Alt+ArrowDown');
      await tabTo('.finding-listen');
      await keyboard.press('Enter');
      expect(await repeat.textContent()).toMatch(/^bar 5 again and again/);
      expect(await go(page).textContent()).toBe('Stop');
    });
  });

  it('is not on paper', async () => {
    await withPage(kind, async (page) => {
      await page.locator('.listen-open button').first().click();
      await page.emulateMedia({ media: 'print' });
      for (const name of ['.listen', '.listen-open'])
        expect(await page.locator(name).first().isVisible(), name).toBe(false);
    });
  });
});

it('is not on a page without script', async () => {
  const context = await browser().newContext({ javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(pages.folder);
  expect(await page.getByText('Listen', { exact: true }).count()).toBe(0);
  await context.close();
});
