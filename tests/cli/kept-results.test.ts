/** Results that are kept from one build to the next: whatever becomes of them, the dossier is the one that a build without them writes. */
import { chmodSync, cpSync, mkdirSync, readFileSync, rmSync, statSync, utimesSync, writeFileSync } from 'node:fs';
import { createHash } from 'node:crypto';
import { dirname, join, resolve } from 'node:path';
import { deflateRawSync } from 'node:zlib';
import { beforeAll, describe, expect, it } from 'vitest';
import { buildDossier, checkFolder } from '../../src/build.ts';
import { keptMemory } from '../../src/commands/kept/kept-memory.ts';
import type { Memory } from '../../src/model/memory.ts';
import { nodeKeptStore, usualKeptFolder, versionOfProgram } from '../../src/node-kept.ts';
import { nodeRuns } from '../../src/node-runs.ts';
import { generatedMidi } from '../support/generated-folder.ts';
import { scratchFolder, testEffects } from '../support/effects.ts';
import { contentsUnder, filesUnder } from '../support/files-under.ts';
import { counting } from '../support/counting.ts';
import { runCli } from '../support/run-cli.ts';

const NOTES = '## Bar 2, viola\n\nIs this too low?\n';

/** Two stages, a note and settings. */
function pieceIn(folder: string): string {
  mkdirSync(folder, { recursive: true });
  for (const stage of [1, 2]) writeFileSync(join(folder, `0${String(stage)} s.mid`), generatedMidi(4, stage + 1));
  writeFileSync(join(folder, 'remarks.md'), NOTES);
  writeFileSync(join(folder, 'dossier.yaml'), 'limits: {late-part: 5}\n');
  return folder;
}

async function memoryIn(kept: string, version = 'this'): Promise<Memory> {
  return keptMemory((await nodeKeptStore(kept, nodeRuns()))!, version);
}

async function built(folder: string, out: string, memory?: Memory): Promise<ReadonlyMap<string, string>> {
  const remembering = memory === undefined ? {} : { memory };
  await buildDossier({ folder, out, singleFile: false, ...remembering }, testEffects());
  return contentsUnder(out);
}

const folder = pieceIn(join(scratchFolder(), 'piece'));
const kept = join(scratchFolder(), 'kept');
let plain: ReadonlyMap<string, string>;

beforeAll(async () => {
  plain = await built(folder, join(scratchFolder(), 'plain'));
  expect(await built(folder, join(scratchFolder(), 'first'), await memoryIn(kept))).toEqual(plain);
});

describe('a build with what an earlier one kept', () => {
  it('works nothing out again and writes the same bytes, wherever the dossier goes', async () => {
    const { memory, made } = counting(await memoryIn(kept));
    expect(await built(folder, join(scratchFolder(), 'elsewhere'), memory)).toEqual(plain);
    expect([made.get('judged'), made.get('engraving')]).toEqual([undefined, undefined]);
  });

  it('judges the changed stage alone, and draws the one alone that is no longer the last', async () => {
    const grown = pieceIn(join(scratchFolder(), 'grown'));
    writeFileSync(join(grown, '03 s.mid'), generatedMidi(4, 4));
    const { memory, made } = counting(await memoryIn(kept));
    const dossier = await built(grown, join(scratchFolder(), 'out'), memory);
    expect([made.get('judged'), made.get('engraving')]).toEqual([1, 2]);
    expect(dossier).toEqual(await built(grown, join(scratchFolder(), 'fresh')));
  });

  it('serves check as well', async () => {
    const { memory, made } = counting(await memoryIn(kept));
    const { checked } = await checkFolder({ folder, memory }, testEffects());
    expect(made.get('judged')).toBeUndefined();
    expect(checked.findings).toEqual((await checkFolder({ folder }, testEffects())).checked.findings);
  });

  it('takes another version of the program for one where a source, a table or a template differs', () => {
    const root = join(scratchFolder(), 'package');
    const files = ['src/read/midi.ts', 'shared/instruments.json', 'templates/page.njk', 'package.json'];
    for (const file of files) {
      mkdirSync(dirname(join(root, file)), { recursive: true });
      writeFileSync(join(root, file), 'as it was');
    }
    const before = versionOfProgram(root);
    expect(versionOfProgram(root)).toBe(before);
    for (const file of files) {
      writeFileSync(join(root, file), 'changed');
      expect(versionOfProgram(root), file).not.toBe(before);
      writeFileSync(join(root, file), 'as it was');
    }
  });

  it('takes nothing from another version of the program', async () => {
    const { memory, made } = counting(await memoryIn(kept, 'another'));
    expect(await built(folder, join(scratchFolder(), 'other'), memory)).toEqual(plain);
    expect(made.get('judged')).toBe(2);
  });

  it('writes nothing where the dossier stands as it was written, and all of it where a byte has changed, a file is gone or one was put in', async () => {
    const out = join(scratchFolder(), 'standing');
    await built(folder, out, await memoryIn(kept));
    const file = join(out, 'files.html');
    const before = statSync(file).ino;
    expect(await built(folder, out, await memoryIn(kept))).toEqual(plain);
    expect(statSync(file).ino).toBe(before);
    const harms: readonly (() => unknown)[] = [
      () => {
        writeFileSync(file, readFileSync(file, 'utf8').replace('e', 'a'));
      },
      () => {
        rmSync(file);
      },
      () => buildDossier({ folder, out, singleFile: true }, testEffects()),
    ];
    for (const harm of harms) {
      await harm();
      expect(await built(folder, out, await memoryIn(kept))).toEqual(plain);
    }
  });
});

/** What can become of a kept result: its bytes as they should be, where they lie, and the bytes of another one. */
const DAMAGE: readonly (readonly [string, (bytes: Buffer, path: string, other: Buffer) => void])[] = [
  [
    'cut off',
    (bytes, path) => {
      writeFileSync(path, bytes.subarray(0, bytes.length / 2));
    },
  ],
  [
    'emptied',
    (_, path) => {
      writeFileSync(path, '');
    },
  ],
  [
    'changed in one bit',
    (bytes, path) => {
      bytes[bytes.length - 9]! ^= 4;
      writeFileSync(path, bytes);
    },
  ],
  [
    'replaced by another result',
    (_, path, other) => {
      writeFileSync(path, other);
    },
  ],
  [
    'lost',
    (_, path) => {
      rmSync(path);
    },
  ],
  [
    'whole, but in a form that this Node does not read',
    (_, path) => {
      const packed = deflateRawSync('of another time');
      const address = path.split(/[\\/]/).at(-1)!;
      writeFileSync(path, Buffer.concat([createHash('sha256').update(`${address}\n`).update(packed).digest(), packed]));
    },
  ],
];

it.each(DAMAGE)('results that were %s are made again, and kept again', async (_what, harm) => {
  const place = join(scratchFolder(), 'kept');
  cpSync(kept, place, { recursive: true });
  const results = filesUnder(place).map((path) => ({
    path: join(place, path),
    bytes: readFileSync(join(place, path)),
  }));
  for (const [index, { path, bytes }] of results.entries()) harm(bytes, path, results.at(index - 1)!.bytes);
  const first = counting(await memoryIn(place));
  expect(await built(folder, join(scratchFolder(), 'out'), first.memory)).toEqual(plain);
  expect([first.made.get('judged'), first.made.get('engraving')]).toEqual([2, 2]);
  const second = counting(await memoryIn(place));
  await checkFolder({ folder, memory: second.memory }, testEffects());
  expect(second.made.get('judged')).toBeUndefined();
});

it('a result in whose place a folder lies is made anew each time', async () => {
  const place = join(scratchFolder(), 'kept');
  cpSync(kept, place, { recursive: true });
  for (const path of filesUnder(place)) {
    rmSync(join(place, path));
    mkdirSync(join(place, path));
  }
  expect(await built(folder, join(scratchFolder(), 'out'), await memoryIn(place))).toEqual(plain);
});

describe('the place where results are kept', () => {
  it('serves two builds at once: each writes the whole dossier, and every result is whole afterwards', async () => {
    const place = join(scratchFolder(), 'kept');
    const outs = [1, 2].map((number) => join(scratchFolder(), `out ${String(number)}`));
    const all = await Promise.all(
      outs.map((out) => runCli(['build', folder, '--out', out, '--kept', place, '--quiet'])),
    );
    expect(all.map(({ code, err }) => [code, err])).toEqual(all.map(() => [0, '']));
    for (const out of outs) expect(contentsUnder(out)).toEqual(contentsUnder(outs[0]!));
    expect(filesUnder(place).every((path) => /^[0-9a-f]{2}.[0-9a-f]{64}$/.test(path))).toBe(true);
    const before = contentsUnder(place);
    const again = await runCli(['build', folder, '--out', outs[0]!, '--kept', place, '--quiet']);
    expect([again.code, contentsUnder(place)]).toEqual([0, before]);
  });

  it('holds so much and no more: what was not asked for longest goes, and what is not ours stays', async () => {
    const place = scratchFolder();
    chmodSync(place, 0o700);
    const runs = { ...nodeRuns(), isOver: (run: string) => run === 'dead' };
    const store = (await nodeKeptStore(place, runs, 1000))!;
    const address = (first: string): string => first.padEnd(64, '0');
    const path = (first: string): string => join(place, address(first).slice(0, 2), address(first));
    for (const [age, first] of ['aa', 'bb', 'cc'].entries()) {
      store.write(address(first), new Uint8Array(300));
      utimesSync(path(first), age + 1, age + 1);
    }
    expect(store.read(address('aa'))).toHaveLength(300);
    for (const name of ['mine.txt', 'aa/mine.txt', `aa/${address('aa')}.dead.part`, `aa/${address('aa')}.live.part`])
      writeFileSync(join(place, name), '');
    store.write(address('dd'), new Uint8Array(300));
    store.clearUp();
    const left = filesUnder(place).map((name) => name.split(/[\\/]/).at(-1)!.replaceAll('0', ''));
    expect(left.sort()).toEqual(['aa', 'aa.live.part', 'dd', 'mine.txt', 'mine.txt'].sort());
  });

  it.skipIf(process.platform === 'win32')(
    'is no place where others can write: their results would go into our pages',
    async () => {
      const place = scratchFolder();
      chmodSync(place, 0o777);
      await expect(nodeKeptStore(place, nodeRuns())).rejects.toThrow(/others can write there/);
      chmodSync(place, 0o755);
      expect(await nodeKeptStore(place, nodeRuns())).toBeDefined();
      await expect(nodeKeptStore(join(resolve('package.json'), 'kept'), nodeRuns())).rejects.toThrow(
        /cannot be written .*--kept/,
      );
    },
  );

  it('is the folder of the system for such things where nothing is said', () => {
    // XDG Base Directory Specification 0.8: XDG_CACHE_HOME, else .cache in the home folder; relative paths are invalid.
    expect(usualKeptFolder({ XDG_CACHE_HOME: '/fast' }, 'linux', '/home/ann')).toBe(
      join('/fast', 'arrangement-dossier'),
    );
    for (const XDG_CACHE_HOME of [undefined, '', 'fast'])
      expect(usualKeptFolder({ XDG_CACHE_HOME }, 'linux', '/home/ann')).toBe(
        join('/home/ann', '.cache', 'arrangement-dossier'),
      );
  });
});
