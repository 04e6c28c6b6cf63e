/** A page that is opened, used and closed without a word of complaint and without a request for anything that is not its own. */
import type { Browser, Page } from 'playwright-core';
import { expect } from 'vitest';

interface Opened {
  readonly address: string;
  /** Runs in the page before its own script. */
  readonly before: () => void;
  /** What it may ask for, from the disk or out of itself: `document`, `media`. */
  readonly mayAskFor: readonly string[];
}

/** Fails where the page wrote to the console, threw, or asked for more than it may. */
export async function withQuietPage(
  browser: Browser,
  { address, before, mayAskFor }: Opened,
  action: (page: Page) => Promise<void>,
): Promise<void> {
  const context = await browser.newContext({ viewport: { width: 1280, height: 1000 } });
  const page = await context.newPage();
  const trouble: string[] = [];
  page.on('console', (message) => trouble.push(`console: ${message.text()}`));
  page.on('pageerror', (error) => trouble.push(`error: ${error.message}`));
  page.on('request', (request) => {
    const isOwn = mayAskFor.includes(request.resourceType()) && /^(file|data):/.test(request.url());
    if (!isOwn) trouble.push(`request: ${request.url().slice(0, 200)}`);
  });
  try {
    await page.addInitScript(before);
    await page.goto(address);
    await action(page);
    expect(trouble).toEqual([]);
  } finally {
    await context.close();
  }
}
