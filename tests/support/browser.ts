/**
 * A headless Chromium that comes with an npm package and brings its own system libraries, so that a machine with
 * nothing but Node and npm can run the browser tests.
 */
import type { Browser } from 'playwright-core';
import { chromium } from 'playwright-core';

/** Starts the browser. The two variables make the package unpack its own shared libraries; they must stand before the import. */
export async function openBrowser(): Promise<Browser> {
  process.env['AWS_EXECUTION_ENV'] ??= 'AWS_Lambda_nodejs20.x';
  process.env['AWS_LAMBDA_JS_RUNTIME'] ??= 'nodejs22.x';
  const { default: sparticuz } = await import('@sparticuz/chromium');
  // In a single process the whole browser ends with its first closed page.
  const args = sparticuz.args.filter((argument) => argument !== '--single-process');
  return chromium.launch({ executablePath: await sparticuz.executablePath(), args, headless: true });
}
