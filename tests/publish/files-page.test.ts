/** Everything that there is to take along: on one page of the folder, and packed into the single file. */
import { inflateRawSync } from 'node:zlib';
import { JSDOM } from 'jsdom';
import { describe, expect, it } from 'vitest';
import { zipOf } from '../../src/publish/data/zip.ts';
import { dataFiles } from '../../src/publish/publish-dossier.ts';
import { packedLinks } from '../../src/publish/data/packed-files.ts';
import { renderPages } from '../../src/publish/render/render-pages.ts';
import { joinPages } from '../../src/publish/render/single-file.ts';
import { testEffects } from '../support/effects.ts';
import { smallDossier } from '../support/published.ts';

/** Names and texts of an archive, read by its directory as APPNOTE 4.3.12 and 4.3.16 have it. */
function unzipped(zip: Buffer): Map<string, string> {
  const end = zip.lastIndexOf(Buffer.from([0x50, 0x4b, 5, 6]));
  const files = new Map<string, string>();
  let at = zip.readUInt32LE(end + 16);
  for (let index = 0; index < zip.readUInt16LE(end + 10); index++) {
    const [packed, nameLength, local] = [
      zip.readUInt32LE(at + 20),
      zip.readUInt16LE(at + 28),
      zip.readUInt32LE(at + 42),
    ];
    const start = local + 30 + zip.readUInt16LE(local + 26) + zip.readUInt16LE(local + 28);
    const name = zip.toString('utf8', at + 46, at + 46 + nameLength);
    files.set(name, inflateRawSync(zip.subarray(start, start + packed)).toString('utf8'));
    at += 46 + nameLength + zip.readUInt16LE(at + 30) + zip.readUInt16LE(at + 32);
  }
  return files;
}

describe('an archive', () => {
  it('gives back what was put in, and is the same each time', () => {
    const files = [
      { path: 'a/bär.txt', text: 'Bär '.repeat(500) },
      { path: 'empty.csv', text: '' },
    ];
    expect([...unzipped(zipOf(files))]).toEqual(files.map(({ path, text }) => [path, text]));
    expect(zipOf(files).equals(zipOf(files))).toBe(true);
  });

  // CRC-32 of `123456789` is CBF43926 (the check value of the algorithm in catalogues of CRCs).
  it('has the check sum of its files', () => {
    expect(zipOf([{ path: 'x', text: '123456789' }]).readUInt32LE(14)).toBe(0xcbf43926);
  });
});

describe('the page of files', () => {
  it('links every file that the folder has beside its pages, and says what each is for', async () => {
    const input = smallDossier();
    const pages = await renderPages(input, { singleFile: false }, testEffects());
    const { document } = new JSDOM(pages.find(({ fileName }) => fileName === 'files.html')!.html).window;
    const links = [...document.querySelectorAll('.files a')].map((link) => link.getAttribute('href'));
    for (const { path } of dataFiles(input)) expect(links, path).toContain(path);
    for (const use of document.querySelectorAll('.files dd')) expect(use.textContent.length).toBeGreaterThan(10);
    // A table has one name, here and below its section.
    const named = new Map(
      [...document.querySelectorAll('.files a')].map((link) => [link.getAttribute('href'), link.textContent]),
    );
    const below = pages.flatMap(({ html, fileName }) =>
      fileName === 'files.html'
        ? []
        : [...new JSDOM(html).window.document.querySelectorAll('a[href$=".csv"]')].map((link) => [
            link.getAttribute('href'),
            link.textContent,
          ]),
    );
    expect(below.length).toBeGreaterThan(10);
    for (const [href, label] of below) expect(named.get(href!), href!).toBe(label);
    // Every page leads there.
    for (const { html, fileName } of pages) expect(html, fileName).toContain('href="files.html"');
    expect(pages[0]!.html).toContain('unpack the whole archive first');
  });
});

describe('the single file', () => {
  it('has every score, table and the data inside, each one link away', async () => {
    const input = smallDossier();
    const files = new Map(dataFiles(input).map(({ path, content }) => [path, content()]));
    const alone = await renderPages(input, { singleFile: true }, testEffects());
    const html = joinPages(
      alone,
      '',
      packedLinks(input, (path) => files.get(path) ?? ''),
    );
    const { document } = new JSDOM(html).window;
    const inside = new Map<string, string>();
    for (const link of document.querySelectorAll('a[download]')) {
      const [, base64 = ''] = (link.getAttribute('href') ?? '').split(',');
      for (const [name, text] of unzipped(Buffer.from(base64, 'base64'))) inside.set(name, text);
    }
    expect(files.size).toBeGreaterThan(10);
    for (const [path, text] of files) expect(inside.get(path.replace(/^.*\//, '')), path).toBe(text);
    expect(html).not.toContain('unpack the whole archive');
  });
});
