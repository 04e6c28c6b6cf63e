/** Many folders: a dossier each, one index over them, in one run or in shares. */
import { spawn } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { JSDOM } from 'jsdom';
import { beforeAll, describe, expect, it } from 'vitest';
import { buildShelf, type ShelfOutcome } from '../../src/commands/shelf/build-shelf.ts';
import { findPieces, type FoundPiece } from '../../src/commands/shelf/find-pieces.ts';
import { joinShelf } from '../../src/commands/shelf/join-shelf.ts';
import { shareOf } from '../../src/commands/shelf/share-out.ts';
import { keptMemory } from '../../src/commands/kept/kept-memory.ts';
import { builtEntry, shelfSchema, type Shelf, type Share } from '../../src/publish/shelf/shelf-entry.ts';
import { shelfPage } from '../../src/publish/shelf/shelf-page.ts';
import { counting } from '../support/counting.ts';
import { nodeDisk } from '../../src/node-effects.ts';
import { nodeKeptStore } from '../../src/node-kept.ts';
import { nodeRuns } from '../../src/node-runs.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { publishedOf, smallDossier } from '../support/published.ts';
import { bundledClient, scratchFolder, testEffects } from '../support/effects.ts';
import { contentsUnder } from '../support/files-under.ts';
import { generatedMidi } from '../support/generated-folder.ts';
import { runCli } from '../support/run-cli.ts';

function written(root: string, files: Readonly<Record<string, string | Uint8Array>>): string {
  for (const [path, content] of Object.entries(files)) {
    mkdirSync(dirname(join(root, path)), { recursive: true });
    writeFileSync(join(root, path), content);
  }
  return root;
}

const HOSTILE = '<img src=x onerror=alert(1)> & "Söhne"';

/** Five folders: two with a viola, one with a name that wants to be markup, one broken, one with wrong settings. */
function pieces(): string {
  return written(scratchFolder(), {
    'Ann/aubade/01 sketch.mid': generatedMidi(3, 1),
    'Ann/aubade/02 four.mid': generatedMidi(3, 4),
    'Ann/aubade/notes.md': '---\nkind: decision\n---\n\n## Bar 2\n\nSo be it.\n',
    [`Ann/${HOSTILE}/one.mid`]: generatedMidi(3, 2, 3),
    'Bea/carol/one.mid': generatedMidi(5, 4, 5),
    'Bea/broken/one.mid': 'no MIDI at all',
    'Bea/wrong/one.mid': generatedMidi(2, 1),
    'Bea/wrong/dossier.yaml': 'titel: Carol\n',
  });
}

const MIDI = generatedMidi(1, 1);

async function found(files: Readonly<Record<string, string | Uint8Array>>): Promise<readonly string[]> {
  return (await findPieces(written(scratchFolder(), files), nodeDisk, [])).pieces.map(({ path }) => path);
}

describe('a piece below a root', () => {
  it('is a folder with MIDI files, and the folders in it are its stages', async () => {
    expect(await found({ 'a/x.mid': MIDI, 'a/more/y.mid': MIDI, 'b/c/z.smf': MIDI, 'b/readme.md': '' })).toEqual([
      'a',
      'b/c',
    ]);
  });

  it('is a folder of numbered folders, or of any folders where it has settings, unless those have settings of their own', async () => {
    expect(await found({ 'a/01 solo/x.mid': MIDI, 'a/02 duo/y.mid': MIDI })).toEqual(['a']);
    expect(await found({ 'a/solo/x.mid': MIDI, 'a/duo/y.mid': MIDI })).toEqual(['a/duo', 'a/solo']);
    expect(await found({ 'a/solo/x.mid': MIDI, 'a/duo/y.mid': MIDI, 'a/dossier.yaml': '' })).toEqual(['a']);
    expect(await found({ 'a/01 air/x.mid': MIDI, 'a/02 jig/y.mid': MIDI, 'a/02 jig/dossier.yaml': '' })).toEqual([
      'a/01 air',
      'a/02 jig',
    ]);
  });

  it('may lie deeper than a build looks, and is no dossier, nothing hidden and nothing behind a link', async () => {
    expect(await found({ 'a/x.mid': MIDI, 'a/old/take/y.mid': MIDI })).toEqual(['a', 'a/old/take']);
    const root = written(scratchFolder(), {
      'a/x.mid': MIDI,
      'a/dossier/y.mid': MIDI,
      '.b/y.mid': MIDI,
      'out/.arrangement-dossier': '',
      'out/y.mid': MIDI,
    });
    symlinkSync(join(root, 'a'), join(root, 'link'));
    expect((await findPieces(root, nodeDisk, [])).pieces.map(({ path }) => path)).toEqual(['a']);
  });

  it('has a name of its own that is the same on every machine, and the root is none', async () => {
    const files = { 'x.mid': MIDI, 'a/Lied.1/x.mid': MIDI, 'b/lied 1/x.mid': MIDI };
    const [here, there] = [
      await findPieces(written(scratchFolder(), files), nodeDisk, []),
      await findPieces(written(scratchFolder(), files), nodeDisk, []),
    ];
    expect(here.pieces.map(({ id }) => id)).toEqual(there.pieces.map(({ id }) => id));
    expect(new Set(here.pieces.map(({ id }) => id)).size).toBe(2);
    expect(here.problems.map(({ code }) => code)).toEqual(['midi-in-root']);
  });
});

it('shares are equal as far as the pieces let them, and together they are all', () => {
  const sizes = [90, 70, 50, 50, 40, 30, 30, 20, 10, 10];
  const all = sizes.map((bytes, index): FoundPiece => ({
    folder: '',
    path: `piece ${String(index)}`,
    id: `p-${String(index)}`,
    bytes,
  }));
  const shares = [1, 2, 3].map((number) => shareOf(all, { number, of: 3 }));
  expect(
    shares
      .flat()
      .map(({ id }) => id)
      .sort(),
  ).toEqual(all.map(({ id }) => id).sort());
  // Graham's bound for the largest first: 4/3 - 1/(3 m) of the best, here 400/3.
  for (const share of shares)
    expect(share.reduce((sum, { bytes }) => sum + bytes, 0)).toBeLessThanOrEqual((400 / 3) * (4 / 3 - 1 / 9));
  expect(
    [1, 2, 3].map((number) =>
      shareOf([...all].reverse(), { number, of: 3 })
        .map(({ id }) => id)
        .sort(),
    ),
  ).toEqual(shares.map((share) => share.map(({ id }) => id).sort()));
  expect(shareOf(all.slice(0, 1), { number: 2, of: 2 })).toEqual([]);
});

describe('a shelf', () => {
  const root = pieces();
  const kept = join(scratchFolder(), 'kept');
  const whole = join(scratchFolder(), 'whole');
  let outcome: ShelfOutcome;

  async function shelved(out: string, share?: Share): Promise<ShelfOutcome> {
    const memory = keptMemory((await nodeKeptStore(kept, nodeRuns()))!, '');
    return buildShelf({ root, out, memory, ...(share === undefined ? {} : { share }) }, testEffects());
  }

  beforeAll(async () => {
    outcome = await shelved(whole);
  });

  const indexOf = (out: string): Document => new JSDOM(readFileSync(join(out, 'index.html'), 'utf8')).window.document;

  it('has a dossier of each piece, and says of the others what is wrong, without a place of this machine', () => {
    expect(outcome.entries.map(({ kind, path }) => [kind, path])).toEqual([
      ['built', `Ann/${HOSTILE}`],
      ['built', 'Ann/aubade'],
      ['failed', 'Bea/broken'],
      ['built', 'Bea/carol'],
      ['failed', 'Bea/wrong'],
    ]);
    const without = [...indexOf(whole).querySelectorAll('#without li')].map(({ textContent }) => textContent);
    expect(without).toHaveLength(2);
    expect(without[0]).toMatch(/^Bea\/broken: one\.mid: This is not a Standard MIDI File/);
    expect(without[1]).toMatch(/^Bea\/wrong: dossier\.yaml:1:1: “titel” is not a setting/);
    for (const content of contentsUnder(whole).values()) expect(content.includes(root)).toBe(false);
  });

  it('tells in its index, without a script, the newest stage, size, parts, state and picture of each, with a link that leads there', () => {
    const document = indexOf(whole);
    const rows = [...document.querySelectorAll<HTMLTableRowElement>('tbody tr')];
    const aubade = rows.find((row) => row.textContent.includes('aubade'))!;
    const cells = [...aubade.cells].map(({ textContent }) => textContent);
    expect(cells[6]).toBe('Four2 stages');
    expect(cells[7]).toBe('3');
    expect(cells[9]).toContain('Viola');
    // One decision in the notes.
    expect(cells[5]).toBe('1');
    expect(aubade.querySelector('svg.piece-stamp path')).not.toBeNull();
    for (const link of document.querySelectorAll<HTMLAnchorElement>('tbody a'))
      expect(readFileSync(join(whole, link.getAttribute('href')!), 'utf8')).toContain('<!DOCTYPE html>');
  });

  it('takes names for text', () => {
    const document = indexOf(whole);
    expect(document.querySelector('img')).toBeNull();
    expect([...document.querySelectorAll('tbody th')].some((cell) => cell.textContent.includes(HOSTILE))).toBe(true);
  });

  it('builds again only what has changed', async () => {
    const { memory, made } = counting(keptMemory((await nodeKeptStore(kept, nodeRuns()))!, ''));
    const before = contentsUnder(whole);
    await buildShelf({ root, out: whole, memory }, testEffects());
    // A folder is read each time, to see what it says; of what is made of it nothing is made again.
    const isReading = (purpose: string): boolean => ['midi file', 'tracks', 'finished stage'].includes(purpose);
    expect([...made].filter(([purpose]) => !isReading(purpose))).toEqual([['stage', 4]]);
    expect(contentsUnder(whole)).toEqual(before);
  });

  it('is the same byte for byte when it was made in shares and joined', async () => {
    const shares = [1, 2, 3].map((number) => join(scratchFolder(), `share ${String(number)}`));
    for (const [index, out] of shares.entries()) await shelved(out, { number: index + 1, of: 3 });
    const joined = join(scratchFolder(), 'joined');
    const { missing } = await joinShelf({ shares: [...shares].reverse(), out: joined }, testEffects());
    expect(missing).toEqual([]);
    expect(contentsUnder(joined)).toEqual(contentsUnder(whole));
    const part = join(scratchFolder(), 'part');
    expect((await joinShelf({ shares: shares.slice(0, 2), out: part }, testEffects())).missing).toEqual([3]);
    expect(indexOf(part).body.textContent).toContain('What is in share 3 is not here');
    await expect(joinShelf({ shares: [shares[0]!, shares[0]!], out: part }, testEffects())).rejects.toThrow(
      /both hold share 1/,
    );
    await expect(joinShelf({ shares: [whole], out: part }, testEffects())).rejects.toThrow(/a whole shelf/);
    await expect(joinShelf({ shares: [root], out: part }, testEffects())).rejects.toThrow(/no share/);
    await expect(shelved(shares[0]!, { number: 2, of: 3 })).rejects.toThrow(/holds share 1 of 3/);
  });

  it('believes nothing that a share says of itself', async () => {
    const out = join(scratchFolder(), 'out');
    const share = join(scratchFolder(), 'share');
    await shelved(share, { number: 1, of: 1 });
    const data = join(share, 'shelf.json');
    const said = JSON.parse(readFileSync(data, 'utf8')) as Shelf;
    const entry = said.entries.find(({ kind }) => kind === 'built')!;
    const rewrite = (change: object): void => {
      writeFileSync(data, JSON.stringify({ ...said, entries: [{ ...entry, ...change }] }));
    };
    rewrite({ id: '../../elsewhere-0123456789ab' });
    await expect(joinShelf({ shares: [share], out }, testEffects())).rejects.toThrow(/no index that this version/);
    rewrite({ picture: '<svg class="x"><script>alert(1)</script></svg>' });
    await joinShelf({ shares: [share], out }, testEffects());
    expect(indexOf(out).querySelectorAll('tbody svg')).toHaveLength(0);
    expect(indexOf(out).querySelectorAll('script')).toHaveLength(1);
    const page = join(share, 'pieces', entry.id, 'files.html');
    rmSync(page);
    symlinkSync(resolve('package.json'), page);
    await expect(joinShelf({ shares: [share], out }, testEffects())).rejects.toThrow(/is a link/);
  });
});

it('the index counts bars as a musician does: a pickup is none', () => {
  const timeline = timelineOf(4, { numerator: 4, denominator: 4 }, 60, 1);
  const published = publishedOf(stageOf([partOf('flute', 'G5:-1:1 A5:0:4', timeline)], timeline));
  expect(timeline.bars[0]!.number).toBe(0);
  expect(builtEntry({ id: 'pickup-000000000000', path: 'pickup' }, smallDossier({ stages: [published] })).bars).toBe(4);
});

it('the index names the folder of a piece where its title does not', () => {
  const entry = (title: string): Shelf['entries'][number] => ({
    kind: 'built',
    id: 'waltz-000000000000',
    path: 'waltz',
    title,
    stage: 'Last',
    stages: 1,
    bars: 8,
    seconds: 20,
    parts: [],
    findings: { fix: 0, look: 0, note: 0 },
    questions: 0,
    answers: 0,
    picture: '',
  });
  const cellOf = (title: string): string =>
    new JSDOM(
      shelfPage({ format: 'arrangement-dossier-shelf/1', entries: [entry(title)] }, '', ''),
    ).window.document.querySelector('tbody th')!.textContent;
  expect(cellOf('waltz')).toBe('waltz');
  expect(cellOf('Slow waltz')).toBe('Slow waltzwaltz');
});

it('the index finds pieces by an instrument and sorts them by what is to be fixed', () => {
  const entries = Array.from({ length: 20 }, (_, number) => ({
    kind: 'built' as const,
    id: `piece-${String(number).padStart(12, '0')}`,
    path: `piece ${String(number)}`,
    title: `Piece ${String(number)}`,
    stage: 'Last',
    stages: 1,
    bars: 8,
    seconds: 20,
    parts: [{ name: number % 5 === 0 ? 'Bratsche' : 'Fl.', instrument: number % 5 === 0 ? 'viola' : 'flute' }],
    findings: { fix: number % 7, look: 0, note: 0 },
    questions: 0,
    answers: 0,
    picture: '',
  }));
  const page = shelfPage(shelfSchema.parse({ format: 'arrangement-dossier-shelf/1', entries }), '', bundledClient());
  const { window } = new JSDOM(page, {
    runScripts: 'dangerously',
    beforeParse: (opened) => {
      opened.matchMedia = () => ({ matches: false }) as MediaQueryList;
    },
  });
  const { document } = window;
  const shown = (): string[] =>
    [...document.querySelectorAll<HTMLTableRowElement>('tbody tr')]
      .filter((row) => !row.hidden)
      .map((row) => row.cells[0]!.querySelector('a')!.textContent);
  const field = document.querySelector<HTMLInputElement>('.filter input')!;
  field.value = 'VIOLA piece';
  field.dispatchEvent(new window.Event('input'));
  expect(shown()).toEqual(['Piece 0', 'Piece 5', 'Piece 10', 'Piece 15']);
  const toFix = [...document.querySelectorAll<HTMLButtonElement>('button.sort')].find(
    (button) => button.textContent === 'To fix',
  )!;
  toFix.click();
  toFix.click();
  expect(shown()[0]).toBe('Piece 5');
  // The column of pictures has no order.
  expect([...document.querySelectorAll('button.sort')].map(({ textContent }) => textContent)).not.toContain('Picture');
});

describe.skipIf(process.platform === 'win32')('a run that is killed', () => {
  it('goes on where it stopped when it is run again, and the bytes are those of one run', async () => {
    const root = pieces();
    const kept = join(scratchFolder(), 'kept');
    const out = join(scratchFolder(), 'out');
    const args = ['shelf', root, '--out', out, '--kept', kept];
    for (const moment of [1, 3]) {
      const child = spawn(process.execPath, [resolve('dist/cli.js'), ...args], { stdio: 'ignore' });
      const ended = new Promise<NodeJS.Signals | null>((done) =>
        child.on('close', (_, signal) => {
          done(signal);
        }),
      );
      const begun = (): number => (existsSync(join(out, 'pieces')) ? readdirSync(join(out, 'pieces')).length : 0);
      while (begun() < moment && child.exitCode === null) await setTimeout(5);
      child.kill('SIGKILL');
      expect(await ended).toBe('SIGKILL');
      expect(readFileSync(join(out, 'index.html'), 'utf8')).toContain('This index is not finished');
    }
    const once = join(scratchFolder(), 'once');
    await buildShelf({ root, out: once }, testEffects());
    const last = await runCli([...args, '--quiet']);
    expect(last.code, last.err).toBe(0);
    expect(contentsUnder(out)).toEqual(contentsUnder(once));
  });
});
