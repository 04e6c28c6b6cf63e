/**
 * A headless Chromium that comes with an npm package and brings its own system libraries, so that a machine with
 * nothing but Node and npm can run the browser tests. It is unpacked once a test run, into the folder of the run.
 */
import { existsSync, mkdirSync, mkdtempSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { chromium } from 'playwright-core';
import { afterAll, beforeAll } from 'vitest';
import { runFolder } from './run-folder.ts';

/** Runs something while this is the folder for temporary files. */
async function withTemporary<T>(folder: string, action: () => Promise<T>): Promise<T> {
  const before = process.env['TMPDIR'];
  process.env['TMPDIR'] = folder;
  try {
    return await action();
  } finally {
    if (before === undefined) delete process.env['TMPDIR'];
    else process.env['TMPDIR'] = before;
  }
}

/** The package's own list of fonts names fixed folders of the machine. */
function fontList(folder: string): string {
  return `<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "fonts.dtd">
<fontconfig><dir>${join(folder, 'fonts')}</dir><cachedir>${join(folder, 'fonts-cache')}</cachedir></fontconfig>
`;
}

/** Unpacks the browser beside its place and moves it there; whoever is second takes what the first has put there. */
async function unpack(place: string, executablePath: () => Promise<string>): Promise<void> {
  if (existsSync(place)) return;
  const partial = mkdtempSync(join(runFolder(), 'unpacking-'));
  await withTemporary(partial, executablePath);
  writeFileSync(join(partial, 'fonts', 'fonts.conf'), fontList(place));
  try {
    renameSync(partial, place);
  } catch (error) {
    rmSync(partial, { recursive: true, force: true });
    if (!existsSync(place)) throw error;
  }
}

/** In a single process the whole browser ends with its first closed page. */
const ONE_PROCESS = '--single-process';
/** The package imitates a graphics processor by program, which no reader's browser does to draw a page; its first pictures take half a second each. */
const IMITATED_GRAPHICS = [
  '--ignore-gpu-blocklist',
  '--use-gl=angle',
  '--use-angle=swiftshader',
  '--enable-unsafe-swiftshader',
];

/**
 * Starts the browser, without limits on the time a page may take: a busy machine is no fault. It draws as on a machine without a graphics
 * processor. The two variables make the package unpack its own shared libraries; they and the folder must stand before the import.
 */
export async function openBrowser(): Promise<Browser> {
  process.env['AWS_EXECUTION_ENV'] ??= 'AWS_Lambda_nodejs20.x';
  process.env['AWS_LAMBDA_JS_RUNTIME'] ??= 'nodejs22.x';
  const place = join(runFolder(), 'browser');
  const { default: sparticuz } = await withTemporary(place, () => import('@sparticuz/chromium'));
  await unpack(place, () => sparticuz.executablePath());
  const home = join(place, 'home');
  mkdirSync(home, { recursive: true });
  const unwanted = [ONE_PROCESS, ...IMITATED_GRAPHICS];
  const args = [...sparticuz.args.filter((argument) => !unwanted.includes(argument)), '--disable-gpu'];
  const env = { ...process.env, HOME: home, FONTCONFIG_PATH: join(place, 'fonts') };
  const browser = await chromium.launch({
    executablePath: join(place, 'chromium'),
    args,
    env,
    headless: true,
    timeout: 0,
  });
  browser.on('context', (context) => {
    context.setDefaultTimeout(0);
    context.setDefaultNavigationTimeout(0);
  });
  return browser;
}

/** The browser of a file of tests: open while they run. */
export function browserOfFile(): () => Browser {
  let browser: Browser | undefined;
  beforeAll(async () => {
    browser = await openBrowser();
  });
  afterAll(async () => {
    await browser?.close();
  });
  return () => {
    if (browser === undefined) throw new Error('the browser opens with the first test of the file');
    return browser;
  };
}
