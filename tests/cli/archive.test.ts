/** `--archive`: every build kept, nothing rewritten, and a story that outlives the exports it was told from. */
import {
  appendFileSync,
  copyFileSync,
  existsSync,
  mkdirSync,
  readFileSync,
  readdirSync,
  renameSync,
  rmSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { JSDOM } from 'jsdom';
import { buildDossier } from '../../src/build.ts';
import { InputError } from '../../src/problems/problem.ts';
import { isPicture } from '../../src/publish/archive/archive-picture.ts';
import { midiFile, note, track, trackName } from '../support/midi-bytes.ts';
import { scratchFolder, testEffects } from '../support/effects.ts';
import { hashesUnder, sha256 } from '../support/kept-folder.ts';

/** Two bars for piano, then with a violin, then with a cello under both. */
const melody = (name: string, ...keys: readonly number[]): number[] =>
  track(trackName(name), ...keys.map((key) => note(key, 480)));
const PIANO = melody('Piano', 60, 62, 64, 65, 67, 65, 64, 62);
const VIOLIN = melody('Violin', 72, 74, 76, 77, 79, 77, 76, 74);
const CELLO = melody('Cello', 48, 50, 52, 53, 55, 53, 52, 50);
const EXPORTS: Readonly<Record<string, Uint8Array>> = {
  '01 Solo sketch.mid': midiFile(1, 480, PIANO),
  '03 Winds.mid': midiFile(1, 480, PIANO, VIOLIN),
  '04 Complete.mid': midiFile(1, 480, PIANO, VIOLIN, CELLO),
};
const EARLY = '01 Solo sketch.mid';
const LATE = '03 Winds.mid';

let folder = '';
const archive = (): string => join(folder, 'dossier-archive');

beforeEach(() => {
  folder = scratchFolder();
  for (const name of [EARLY, LATE]) writeFileSync(join(folder, name), EXPORTS[name]!);
});

const build = () => buildDossier({ folder, singleFile: false, archive: true }, testEffects());

const records = (): string[] => readdirSync(join(archive(), 'records')).filter((name) => name.endsWith('.json'));

describe('an archive', () => {
  it('keeps each file under its own SHA-256 and adds nothing where the folder is the same', async () => {
    await build();
    const kept = hashesUnder(archive());
    for (const [name, hash] of Object.entries(kept)) {
      if (name.startsWith('objects')) expect(name).toBe(join('objects', hash));
    }
    const own = hashesUnder(folder);
    expect(Object.values(kept)).toEqual(expect.arrayContaining([own[EARLY], own[LATE], own['dossier/dossier.json']]));
    const dossier = hashesUnder(join(folder, 'dossier'));
    await build();
    expect(hashesUnder(archive())).toEqual(kept);
    expect(hashesUnder(join(folder, 'dossier'))).toEqual(dossier);
  });

  it('shows a stage whose export is gone, and says where it comes from', async () => {
    const before = (await build()).input.stages.map(({ stage }) => stage.title);
    rmSync(join(folder, EARLY));
    const keptObjects = hashesUnder(join(archive(), 'objects'));
    const { input } = await build();
    expect(input.stages.map(({ stage }) => stage.title)).toEqual(before);
    expect(input.changes).toHaveLength(1);
    expect(input.arrangement.problems.find(({ code }) => code === 'from-archive')).toMatchObject({ file: EARLY });
    // What was there stays byte for byte; a record was added.
    expect(hashesUnder(join(archive(), 'objects'))).toMatchObject(keptObjects);
    expect(records()).toHaveLength(2);
    const page = readFileSync(join(folder, 'dossier', 'changes.html'), 'utf8');
    expect(page).toContain(`not in the folder any more: ${EARLY}`);
    // And again the same bytes, now and later.
    const dossier = hashesUnder(join(folder, 'dossier'));
    await build();
    expect(hashesUnder(join(folder, 'dossier'))).toEqual(dossier);
    expect(records()).toHaveLength(2);
  });

  it('a stage that the settings leave out is forgotten, archived or not, and is back without that line', async () => {
    await build();
    rmSync(join(folder, EARLY));
    const titles = (): string[] =>
      (
        JSON.parse(readFileSync(join(folder, 'dossier', 'dossier.json'), 'utf8')) as { stages: { title: string }[] }
      ).stages.map(({ title }) => title);
    writeFileSync(join(folder, 'dossier.yaml'), 'stages: {"01 Solo sketch": {ignore: true}}\n');
    await build();
    expect(titles()).toEqual(['Winds']);
    expect(readFileSync(join(folder, 'dossier', 'index.html'), 'utf8')).not.toContain('of the archive kept it');
    // Without the archive nobody knows that name any more, and nobody minds.
    await buildDossier({ folder, singleFile: false }, testEffects());
    rmSync(join(folder, 'dossier.yaml'));
    await build();
    expect(titles()).toEqual(['Solo sketch', 'Winds']);
  });

  it('a renamed export is not gone, and a build without the archive neither reads nor changes it', async () => {
    await build();
    renameSync(join(folder, EARLY), join(folder, '01 First try.mid'));
    expect((await build()).input.stages).toHaveLength(2);
    const kept = hashesUnder(archive());
    const { input } = await buildDossier({ folder, singleFile: false }, testEffects());
    expect(input.arrangement.files.map(({ path }) => path)).toEqual(['01 First try.mid', LATE]);
    expect(hashesUnder(archive())).toEqual(kept);
  });

  it('says what became of it beside the problems of the folder, and mends a lost dossier.json from the one that was written', async () => {
    await build();
    const written = hashesUnder(join(folder, 'dossier'))['dossier.json'] ?? '';
    rmSync(join(archive(), 'objects', written));
    writeFileSync(join(folder, '04 Complete.mid'), EXPORTS['04 Complete.mid']!);
    const { input, remarks } = await build();
    expect(remarks.map(({ code }) => code)).toEqual(['archive-mended']);
    expect(remarks[0]?.message).toContain('dossier.json of build 1, which is missing');
    expect(input.arrangement.problems).toEqual([]);
    expect(existsSync(join(archive(), 'objects', written))).toBe(true);
  });

  it('a stage that was one file a part comes back whole', async () => {
    mkdirSync(join(folder, '02 Parts'));
    copyFileSync(join(folder, EARLY), join(folder, '02 Parts', 'Piano.mid'));
    appendFileSync(join(folder, '02 Parts', 'Piano.mid'), '\0');
    await build();
    rmSync(join(folder, '02 Parts'), { recursive: true });
    const { input } = await build();
    expect(input.stages).toHaveLength(3);
    expect(input.arrangement.files.map(({ path }) => path)).toContain('02 Parts/Piano.mid');
  });
});

describe('the page of an archive', () => {
  it('tells each build with its files, its date and its picture, and needs nothing but a browser', async () => {
    utimesSync(join(folder, EARLY), 0, Date.UTC(2024, 2, 5, 12) / 1000);
    utimesSync(join(folder, LATE), 0, Date.UTC(2024, 1, 29, 12) / 1000);
    await build();
    writeFileSync(join(folder, '04 <Complete>.mid'), EXPORTS['04 Complete.mid']!);
    await build();
    const page = readFileSync(join(archive(), 'index.html'), 'utf8');
    const { document } = new JSDOM(page).window;
    const [second, first] = document.querySelectorAll('article');
    expect(first!.querySelector('h2')!.textContent).toContain('Build 1');
    expect(first!.textContent).toContain('Newest file of 2024-03-05 (UTC).');
    expect(first!.querySelectorAll('.done li')).toHaveLength(0);
    const done = [...second!.querySelectorAll('.done li')].map(({ textContent }) => textContent);
    expect(done[0]).toContain('The current stage is “<Complete>”; it was “');
    expect(done.slice(1).some((sentence) => / is new: it plays in bars? /.test(sentence))).toBe(true);
    expect(second!.textContent).toContain('Files: new: 04 <Complete>.mid');
    for (const article of [first!, second!]) {
      expect(article.querySelectorAll('svg .piece-row')).not.toHaveLength(0);
      const links = [...article.querySelectorAll('a')];
      expect(links.length).toBeGreaterThan(2);
      for (const link of links) {
        const bytes = readFileSync(join(archive(), link.getAttribute('href')!));
        expect(link.getAttribute('href')).toBe(`objects/${sha256(bytes)}`);
      }
    }
    expect(page).not.toMatch(/<script|src=|https?:/);
  });

  it('shows no picture that was put in its place, whatever its hash', () => {
    for (const bad of [
      '<svg class="a"><script>alert(1)</script></svg>',
      '<svg class="a" onload="alert(1)"></svg>',
      '<svg class="a"><a href="x"></a></svg>',
      '<svg class="a"><path fill="url(#x)"/></svg>',
      '<svg class="a"></svg><svg class="b"></svg>',
      '<svg class="a"></svg><img src="x"></svg>',
      '<svg class="a"><g></svg>',
    ])
      expect(isPicture(bad), bad).toBe(false);
    expect(isPicture('<svg class="a"><path d="M0 0v4"/><text x="1">A &lt; b</text></svg>')).toBe(true);
  });
});

describe('--from-archive', () => {
  const restore = (number: number) => buildDossier({ folder, singleFile: false, fromArchive: number }, testEffects());

  it('writes the dossier and the files of any build again, byte for byte', async () => {
    await build();
    const then = [hashesUnder(join(folder, 'dossier'))];
    const files = [hashesUnder(folder)[EARLY], hashesUnder(folder)[LATE]];
    rmSync(join(folder, EARLY));
    writeFileSync(join(folder, 'notes.md'), 'The winds come later.\n');
    await build();
    then.push(hashesUnder(join(folder, 'dossier')));
    for (const name of [LATE, 'notes.md']) rmSync(join(folder, name));
    writeFileSync(join(folder, '04 Complete.mid'), EXPORTS['04 Complete.mid']!);
    await build();
    const [kept, now] = [hashesUnder(archive()), hashesUnder(join(folder, 'dossier'))];
    for (const [index, dossier] of then.entries()) {
      const { remarks } = await restore(index + 1);
      expect(remarks).toEqual([]);
      const restored = hashesUnder(join(folder, `dossier-build-${String(index + 1)}`));
      const own = Object.entries(restored).filter(([path]) => !path.startsWith('folder'));
      // The marker lists what the folder holds, the restored files with it.
      const isPage = ([path]: readonly [string, string]): boolean => !path.startsWith('.');
      expect(own.filter(isPage)).toEqual(Object.entries(dossier).filter(isPage));
      if (index === 0) expect([restored[`folder/${EARLY}`], restored[`folder/${LATE}`]]).toEqual(files);
    }
    expect(hashesUnder(archive())).toEqual(kept);
    // What was restored is no stage of the folder.
    await build();
    expect(hashesUnder(join(folder, 'dossier'))).toEqual(now);
  });

  it('says in one sentence what cannot be restored, and writes nothing', async () => {
    await build();
    const refused = async (number: number): Promise<string> => {
      const error: unknown = await restore(number).catch((reason: unknown) => reason);
      expect(error).toBeInstanceOf(InputError);
      const { problems } = error as InputError;
      expect(problems).toHaveLength(1);
      expect(existsSync(join(folder, `dossier-build-${String(number)}`))).toBe(false);
      return problems[0]!.message;
    };
    expect(await refused(2)).toContain('has build 1 alone, no build 2.');
    const hash = hashesUnder(folder)[EARLY]!;
    writeFileSync(join(archive(), 'objects', hash), 'spoilt');
    expect(await refused(1)).toContain(`“${EARLY}” of build 1, which was changed or cut short`);
    rmSync(join(archive(), 'objects'), { recursive: true });
    expect(await refused(1)).toContain('is missing');
    const [record] = records();
    writeFileSync(join(archive(), 'records', record!), '{"format": "arrangement-dossier-archive/3"');
    expect(await refused(1)).toContain('no build 1');
    rmSync(archive(), { recursive: true });
    expect(await refused(1)).toContain('no build 1');
    writeFileSync(archive(), 'a file');
    expect(await refused(1)).toContain('is not a folder');
  });
});

describe('writing', () => {
  it('a disk that fails while the build is kept leaves the archive as it was and says so', async () => {
    await build();
    const kept = hashesUnder(archive());
    rmSync(join(folder, EARLY));
    const effects = testEffects();
    const failing = testEffects({
      rename: (from, to) =>
        /records.[0-9a-f]{64}\.json$/.test(to)
          ? Promise.reject(new Error('no space left'))
          : effects.disk.rename(from, to),
    });
    await expect(buildDossier({ folder, singleFile: false, archive: true }, failing)).rejects.toThrow(
      'What the archive held before is untouched',
    );
    expect(hashesUnder(archive())).toMatchObject(kept);
    expect(records()).toHaveLength(1);
    // The next build goes on from there.
    await build();
    expect(records()).toHaveLength(2);
    expect(existsSync(join(folder, 'dossier', 'index.html'))).toBe(true);
  });
});
