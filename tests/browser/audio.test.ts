/** Audio that lies beside a stage, played in the page: opened from disk in a real browser, folder and single file alike. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import { createOggEncoder } from 'wasm-media-encoders';
import { browserOfFile } from '../support/browser.ts';
import { builtPages } from '../support/built-pages.ts';
import { writeExports } from '../support/kept-folder.ts';
import { withQuietPage } from '../support/quiet-page.ts';
import { temporaryFolder } from '../support/run-cli.ts';
import { wavBytes } from '../support/sound-bytes.ts';
import { STROKE_FILES, strokeSamples, strokeSecond, TEMPOS } from '../support/stroke-piece.ts';

/** Silence before the first bar in the audio of the second stage. */
const OFFSET_SECONDS = 0.7;
const RATE_HZ = 44_100;

/** Ogg Vorbis has no delay of its own: what was given is what is decoded. */
async function oggOf(samples: Float32Array): Promise<Uint8Array> {
  const encoder = await createOggEncoder();
  encoder.configure({ channels: 1, sampleRate: RATE_HZ, vbrQuality: 0 });
  const head = Uint8Array.from(encoder.encode([samples]));
  return Buffer.concat([head, encoder.finalize()]);
}

const browser = browserOfFile();
const pages = { folder: new Map<string, string>(), single: new Map<string, string>() };
const front = { folder: 'index.html', single: 'dossier.html' } as const;

beforeAll(async () => {
  const folder = join(temporaryFolder(), 'strokes');
  writeExports(folder, STROKE_FILES);
  writeFileSync(join(folder, '02 With cello.ogg'), await oggOf(strokeSamples(RATE_HZ, OFFSET_SECONDS)));
  writeFileSync(
    join(folder, '01 Sketch.wav'),
    wavBytes([[...strokeSamples(RATE_HZ, 0)]], { bits: 16, rateHz: RATE_HZ }),
  );
  writeFileSync(join(folder, '00 Early.mid'), STROKE_FILES['01 Sketch.mid']!);
  writeFileSync(join(folder, '00 Early.mp3'), Buffer.from('ID3 and nothing that could be played'.repeat(9)));
  writeFileSync(join(folder, 'dossier.yaml'), `stages: {"02 With cello": {offset: ${String(OFFSET_SECONDS)}}}\n`);
  pages.folder = new Map(await builtPages(folder));
  pages.single = new Map(await builtPages(folder, '--single-file'));
});

/** What the page showed whenever it moved its line, and where the audio stood as the page had read it for that. */
interface Shown {
  readonly at: number;
  readonly bar: number;
  readonly share: number;
}

/** Runs in the page before its own script. */
function recordLine(): void {
  const shown: object[] = [];
  let at = 0;
  Object.assign(globalThis, { shown });
  const place = Object.getOwnPropertyDescriptor(HTMLMediaElement.prototype, 'currentTime');
  Object.defineProperty(HTMLMediaElement.prototype, 'currentTime', {
    get(this: HTMLMediaElement) {
      at = Number(place?.get?.call(this));
      return at;
    },
    set(this: HTMLMediaElement, second: number) {
      place?.set?.call(this, second);
    },
  });
  new MutationObserver(() => {
    const line = document.querySelector('.bar-places .sounding-line');
    const bar = document.querySelector('.bar-places .is-sounding');
    if (line === null || bar === null) return;
    const number = (name: string): number => Number(bar.getAttribute(name));
    shown.push({
      at,
      bar: number('data-bar'),
      share: (Number(line.getAttribute('x1')) - number('x')) / number('width'),
    });
  }).observe(document, { subtree: true, childList: true, attributes: true, attributeFilter: ['x1'] });
}

const shownIn = (page: Page): Promise<readonly Shown[]> =>
  page.evaluate(() => (globalThis as unknown as { shown: Shown[] }).shown);

async function untilBar(page: Page, bar: number): Promise<void> {
  await page.waitForFunction(
    (last) => (globalThis as unknown as { shown: Shown[] }).shown.some((one) => one.bar >= last && one.at > 0),
    bar,
  );
}

function withPage(kind: keyof typeof pages, action: (page: Page) => Promise<void>): Promise<void> {
  const address = pages[kind].get(front[kind])!;
  return withQuietPage(browser(), { address, before: recordLine, mayAskFor: ['document', 'media'] }, action);
}

const note = (page: Page): ReturnType<Page['locator']> => page.locator('.listen-note');

describe.each(['folder', 'single'] as const)('the audio of a stage, as %s', (kind) => {
  it('is shown bar by bar within 50 ms, whatever the tempo, from the keyboard alone', async () => {
    await withPage(kind, async (page) => {
      await page.locator('.listen-open button').first().focus();
      await page.keyboard.press('Enter');
      await untilBar(page, 12);
      await page.keyboard.press('Space');
      expect(await note(page).textContent()).toMatch(/^The audio that lies beside the music\./);
      const frames = (await shownIn(page)).filter(({ bar, at }) => bar < 12 && at > OFFSET_SECONDS);
      expect(new Set(frames.map(({ bar }) => bar)).size).toBeGreaterThanOrEqual(10);
      for (const { at, bar, share } of frames) {
        const due = OFFSET_SECONDS + strokeSecond(bar) + share * (240 / TEMPOS[bar - 1]!);
        expect(Math.abs(due - at), `bar ${String(bar)}`).toBeLessThan(0.05);
      }
    });
  });

  it('plays from a clicked bar, takes its bar to a stage without audio that plays, and repeats the bar of a finding that is linked', async () => {
    await withPage(kind, async (page) => {
      await page.locator('.listen-open button').first().click();
      await page.keyboard.press('Space');
      await page.evaluate(() => {
        (globalThis as unknown as { shown: Shown[] }).shown.length = 0;
      });
      await page.locator('.bar-places [data-bar="7"]').first().click({ force: true });
      await untilBar(page, 7);
      expect((await shownIn(page)).filter(({ bar }) => bar < 7)).toEqual([]);
      // A link to a finding, followed while it plays.
      await page.locator('a[href$="finding-1"]').first().dispatchEvent('click');
      const repeat = page.locator('.listen-repeat');
      await page.waitForFunction(() => document.querySelector('.listen-repeat')?.textContent.startsWith('bar 5 '));
      const from = (await shownIn(page)).length;
      await page.waitForFunction((first) => {
        const { shown } = globalThis as unknown as { shown: Shown[] };
        return shown.slice(first).filter(({ at }, index, all) => at < (all[index - 1]?.at ?? 0) - 0.5).length >= 2;
      }, from);
      expect(new Set((await shownIn(page)).slice(from + 2).map(({ bar }) => bar))).toEqual(new Set([5]));
      // Another stage in turn, at the same bar, out of the MP3 that its WAV became.
      await page.getByLabel('In turn with').selectOption({ label: 'in turn with 2 Sketch' });
      await page.waitForFunction(() => document.querySelector('.listen-repeat')?.textContent.includes('now 2 Sketch'));
      expect(await note(page).textContent()).toMatch(/^The audio /);
      await page.getByLabel('In turn with').selectOption({ index: 0 });
      // The audio of the first stage is no audio.
      await page.locator('.listen').getByLabel('Stage', { exact: true }).selectOption({ index: 0 });
      await page.waitForFunction(() =>
        document.querySelector('.listen-note')?.textContent.startsWith('This browser does not play'),
      );
      expect(await repeat.textContent()).toMatch(/^bar 5 /);
      expect(await page.locator('.listen').getByLabel('Bar', { exact: true }).inputValue()).toBe('5');
    });
  });
});

it('stands at the same bar on the next page of the stage, and of another', async () => {
  await withPage('folder', async (page) => {
    await page.locator('.listen-open button').first().focus();
    await page.keyboard.press('Enter');
    await page.keyboard.press('Space');
    const bar = page.locator('.listen').getByLabel('Bar', { exact: true });
    await bar.fill('3');
    await bar.press('Enter');
    await page.locator('h1').first().click();
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('ArrowLeft');
    expect(await bar.inputValue()).toBe('4');
    for (const name of [...pages.folder.keys()].filter((file) => /full-score|^stage-01-sketch\.html$/.test(file))) {
      await page.goto(pages.folder.get(name)!);
      expect(await bar.inputValue(), name).toBe('4');
      expect(await page.locator('.is-sounding').first().getAttribute('data-bar'), name).toBe('4');
    }
    await page.getByRole('button', { name: 'Put away' }).click();
    await page.goto(pages.folder.get('index.html')!);
    expect(await page.locator('.listen').count()).toBe(0);
  });
});
