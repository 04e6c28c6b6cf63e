/**
 * A dossier that is answered, as its readers do it: opened from disk in a real browser, folder and single file alike, written in, saved, put
 * into the folder and built again, as it was and with bars put in before the places that were answered.
 */
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import { FIRST_EIGHT, tuneOf, WITH_TWO_MORE } from '../support/answered-folder.ts';
import { axeFaults } from '../support/axe.ts';
import { browserOfFile } from '../support/browser.ts';
import { builtPages } from '../support/built-pages.ts';
import { temporaryFolder } from '../support/run-cli.ts';

/** A flute that begins here has most of its notes below all that flutes have, which is a finding. */
const TOO_LOW = 42;

const browser = browserOfFile();
const pages = { folder: '', single: '' };
/** The file that was saved from the pages of each. */
const saved = { folder: '', single: '' };
let folder = '';

const FORMS = ['folder', 'single'] as const;

/** The folder as it stands now, built in a form: its first page. */
async function built(form: (typeof FORMS)[number]): Promise<string> {
  const isSingle = form === 'single';
  const made = await builtPages(folder, ...(isSingle ? ['--single-file'] : []));
  return made.get(isSingle ? 'dossier.html' : 'index.html')!;
}

beforeAll(async () => {
  folder = join(temporaryFolder(), 'tune');
  mkdirSync(folder);
  writeFileSync(join(folder, '01 First.mid'), tuneOf(FIRST_EIGHT, TOO_LOW));
  writeFileSync(join(folder, 'breath.md'), '---\nkind: question\nbars: 7\n---\n# Does the cello breathe?\n');
  for (const form of FORMS) pages[form] = await built(form);
});

async function write(page: Page, at: string, kind: string, text: string): Promise<void> {
  await page.locator(`${at} .answer-open`).first().click();
  await page.locator('.answer-form label', { hasText: 'This is' }).locator('select').selectOption(kind);
  await page.locator('.answer-form textarea').fill(text);
}

/** Each answer once, though a question has two places. */
async function ownAnswers(page: Page): Promise<string[]> {
  return [...new Set(await page.locator('.answer-words').allTextContents())].sort();
}

const WORDS = [
  'After the first beat.',
  'An octave up, as it sounds.',
  'We keep “this”:\n--- the 2nd time too.\n---\nkind: question\n---',
];

describe.each(FORMS)('a dossier in the form “%s”', (form) => {
  it('takes answers, keeps them over a reload, and saves them as one file', async () => {
    const context = await browser().newContext();
    const page = await context.newPage();
    const faults: string[] = [];
    page.on('pageerror', ({ message }) => faults.push(message));
    await page.goto(pages[form]);
    expect(await page.locator('.answer-save').isVisible()).toBe(false);
    // "This" is said only beside what it could mean.
    expect(await page.getByRole('button', { name: 'Answer about a part', exact: true }).count()).toBe(1);
    expect(await page.locator('[data-section="notes"] > .answer-open').textContent()).toBe(
      'Answer about the whole piece',
    );

    await write(page, '#finding-1', 'accepted', WORDS[1]!);
    await page.locator('.answer-form label', { hasText: 'from' }).locator('input').fill('Mara Lind');
    // Nothing but writing: a page that is closed now has lost no word.
    await page.reload();
    expect(await ownAnswers(page)).toEqual([WORDS[1]]);

    await write(page, '.asked > li:has-text("breathe")', 'answer', WORDS[0]!);
    await page.getByRole('button', { name: 'Done' }).click();
    await write(page, '#score', 'decision', WORDS[2]!);
    expect(await axeFaults(page, { within: ['.answer-form', '.answer-own', '.answer-save'] })).toEqual([]);
    await page.locator('.answer-bars').fill('5-6');
    await page.locator('.answer-form label', { hasText: 'and' }).locator('select').selectOption('Cello');
    await page.getByRole('button', { name: 'Done' }).click();
    expect(await ownAnswers(page)).toEqual(WORDS);
    await page.reload();
    expect(await ownAnswers(page)).toEqual(WORDS);
    expect(await page.locator('#finding-1 .answer-about').textContent()).toContain('accepted as it is from Mara Lind');

    const download = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Save my answers (3)' }).click();
    const file = await download;
    expect(file.suggestedFilename()).toMatch(/^answers-mara-lind-[0-9a-f]{6}\.md$/);
    saved[form] = readFileSync(await file.path(), 'utf8');
    expect(await page.locator('.answer-told').textContent()).toContain('put it into the folder');
    await page.reload();
    expect(await page.locator('#finding-1 .answer-about').textContent()).toContain('saved');

    let asked = '';
    page.once('dialog', (dialog) => {
      asked = dialog.message();
      void dialog.dismiss();
    });
    await page.locator('#finding-1 .answer-own').getByRole('button', { name: 'Take away' }).click();
    expect(asked).toContain('lost');
    expect(await ownAnswers(page)).toEqual(WORDS);
    expect(faults).toEqual([]);
    await context.close();
  });

  it('says so where the browser keeps nothing, and does not let the reader leave unwarned', async () => {
    const context = await browser().newContext();
    const page = await context.newPage();
    await page.addInitScript(() => {
      Object.defineProperty(globalThis, 'localStorage', {
        get: () => {
          throw new Error('no storage here');
        },
      });
    });
    await page.goto(pages[form]);
    await write(page, '#finding-1', 'mended', 'Done.');
    expect(await page.locator('.answer-kept').textContent()).toContain('keeps nothing');
    await page.getByRole('button', { name: 'Done' }).click();
    expect(await ownAnswers(page)).toEqual(['Done.']);
    const warned = page.waitForEvent('dialog');
    const closing = page.close({ runBeforeUnload: true });
    const dialog = await warned;
    expect(dialog.type()).toBe('beforeunload');
    await dialog.accept();
    await closing;
    await context.close();
  });
});

describe('the file that was saved, put into the folder', () => {
  it('is the same from either form', () => {
    expect(saved.folder).toContain('from: "Mara Lind"');
    // All but the day on which each was written.
    const undated = (text: string): string => text.replaceAll(/^date: .*$/gm, '');
    expect(undated(saved.single)).toBe(undated(saved.folder));
  });

  it.each(FORMS)(
    'gives a dossier in the form “%s” in which each answer stands at its place with its name',
    async (form) => {
      writeFileSync(join(folder, 'answers.md'), saved[form]);
      const page = await browser().newPage();
      await page.goto(await built(form));
      expect(await page.locator('#finding-1 .note-links').textContent()).toContain('Accepted by Mara Lind');
      expect(await page.locator('.first-asked').textContent()).not.toContain('Does the cello breathe?');
      const notes = page.locator('article').first().locator('[data-section="notes"]');
      expect(await notes.locator('.memo-question').textContent()).toContain('Question answered by Mara Lind');
      const decision = notes.locator('.memo-decision');
      expect(await decision.textContent()).toMatch(/bars 5–6\s+Cello/);
      // Word for word, the line that looks like the head of another answer among them.
      expect(await decision.locator('.memo-text').innerText()).toMatch(/the 2nd time too\.[^]*kind: question/);
      expect(await notes.locator('.memo').count()).toBe(4);
      await page.close();
    },
  );

  it.each(FORMS)('stands two bars later in the form “%s” where two bars were put in before it', async (form) => {
    writeFileSync(join(folder, '02 Second.mid'), tuneOf(WITH_TWO_MORE, TOO_LOW));
    const page = await browser().newPage();
    await page.goto(await built(form));
    const current = page.locator('article').first();
    const decision = current.locator('.memo-decision');
    expect(await decision.textContent()).toMatch(/bars 7–8\s+Cello/);
    expect(await decision.locator('.memo-said').textContent()).toContain(
      'Written about bars 5–6 of stage “First”, now bars 7–8.',
    );
    expect(await current.locator('#finding-1 .note-links').textContent()).toContain('Accepted by Mara Lind');
    await page.close();
  });
});
