/**
 * Damaged and hostile folders, through the program as a user runs it: the exit code of the contract, sentences instead of
 * stack traces, nothing half-written, bounded time and memory (the greatest resident memory, as the system counts it).
 */
import { chmodSync, existsSync, mkdirSync, readdirSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { generatedMidi } from '../support/generated-folder.ts';
import { runCli, runMany, temporaryFolder, type CliResult } from '../support/run-cli.ts';

const GOOD = generatedMidi(4, 2);

function ascii(text: string): number[] {
  return Array.from(text, (letter) => letter.charCodeAt(0));
}

function chunk(type: string, body: readonly number[], length = body.length): number[] {
  return [...ascii(type), (length >>> 24) & 255, (length >>> 16) & 255, (length >>> 8) & 255, length & 255, ...body];
}

const END = [0x00, 0xff, 0x2f, 0x00];
const NOTE = [0x00, 0x90, 0x3c, 0x40, 0x83, 0x60, 0x80, 0x3c, 0x00];

function file(division: number, tracks: readonly (readonly number[])[], format = 1): Uint8Array {
  const header = chunk('MThd', [
    0,
    format,
    tracks.length >> 8,
    tracks.length & 255,
    (division >> 8) & 255,
    division & 255,
  ]);
  return Uint8Array.from([...header, ...tracks.flatMap((track) => chunk('MTrk', track))]);
}

interface Case {
  readonly name: string;
  readonly write: (folder: string) => void;
  readonly code: number;
  /** What the sentence must say (on either stream). */
  readonly says: RegExp;
  readonly args?: readonly string[];
}

function midiCase(name: string, bytes: Uint8Array, code: number, says: RegExp): Case {
  return {
    name,
    code,
    says,
    write: (folder) => {
      writeFileSync(join(folder, 'a.mid'), bytes);
    },
  };
}

function besideGood(name: string, fileName: string, content: string | Uint8Array, code: number, says: RegExp): Case {
  return {
    name,
    code,
    says,
    write: (folder) => {
      writeFileSync(join(folder, 'good.mid'), GOOD);
      mkdirSync(join(folder, fileName, '..'), { recursive: true });
      writeFileSync(join(folder, fileName), content);
    },
  };
}

const CASES: readonly Case[] = [
  { name: 'an empty folder', write: () => undefined, code: 3, says: /\.mid/ },
  {
    name: 'a folder without MIDI',
    write: (folder) => {
      writeFileSync(join(folder, 'photo.jpg'), 'x');
    },
    code: 3,
    says: /\.mid/,
  },
  midiCase('an empty file', new Uint8Array(), 3, /a\.mid.*empty/i),
  midiCase('text called .mid', Uint8Array.from(ascii('this is no music at all')), 3, /a\.mid/),
  midiCase('a header and nothing else', file(480, []), 3, /a\.mid|no notes/i),
  midiCase('a file cut in the middle of the header', GOOD.slice(0, 9), 3, /a\.mid/),
  midiCase('a file cut in the middle of a track', GOOD.slice(0, Math.floor(GOOD.length * 0.7)), 0, /a\.mid/),
  midiCase(
    'a track that claims four gigabytes',
    Uint8Array.from([...chunk('MThd', [0, 0, 0, 1, 1, 224]), ...chunk('MTrk', [...NOTE, ...END], 0xffffffff)]),
    0,
    /a\.mid/,
  ),
  midiCase(
    '65535 tracks promised, one delivered',
    Uint8Array.from([...chunk('MThd', [0, 1, 255, 255, 1, 224]), ...chunk('MTrk', [...NOTE, ...END])]),
    0,
    /a\.mid/,
  ),
  midiCase('a division of zero', file(0, [[...NOTE, ...END]]), 3, /division|ticks/i),
  midiCase('a format that does not exist', file(480, [[...NOTE, ...END]], 7), 0, /a\.mid.*format 7/i),
  midiCase('no end of track', file(480, [[...NOTE]]), 0, /a\.mid.*end/i),
  midiCase(
    'junk after the end',
    Uint8Array.from([...GOOD, ...Array.from({ length: 500 }, (_, index) => (index * 37) & 255)]),
    0,
    /a\.mid/,
  ),
  midiCase(
    'a note that never ends',
    file(480, [[0, 0x90, 60, 64, ...NOTE.map((byte, index) => (index === 2 || index === 6 ? 64 : byte)), ...END]]),
    0,
    /a\.mid/,
  ),
  midiCase('a tempo of zero', file(480, [[0, 0xff, 0x51, 3, 0, 0, 0, ...NOTE, ...END]]), 0, /tempo/i),
  midiCase('a meter of nought', file(480, [[0, 0xff, 0x58, 4, 0, 2, 24, 8, ...NOTE, ...END]]), 0, /meter/i),
  midiCase(
    'a meter over two to the 200th',
    file(480, [[0, 0xff, 0x58, 4, 4, 200, 24, 8, ...NOTE, ...END]]),
    0,
    /meter/i,
  ),
  midiCase(
    'a delta time that never ends',
    file(480, [[...Array.from({ length: 64 }, () => 0xff), ...END]]),
    3,
    /a\.mid/,
  ),
  midiCase(
    'a note a hundred thousand years away',
    file(1, [[...NOTE, 0xff & 0xbf, 0xff, 0xff, 0x7f, 0x90, 60, 64, 1, 0x80, 60, 0, ...END]]),
    3,
    /a\.mid.*bars/i,
  ),
  midiCase('a data byte over 127', file(480, [[0, 0x90, 200, 64, ...NOTE, ...END]]), 0, /a\.mid/),
  midiCase('no notes at all', file(480, [[...END]]), 3, /no notes/i),
  midiCase(
    'a meta event longer than the file',
    file(480, [[...NOTE, 0, 0xff, 0x03, 0x8f, 0xff, 0xff, 0x7f, 65, 66]]),
    0,
    /a\.mid/,
  ),
  besideGood('one bad file beside a good one', 'bad.mid', 'nonsense', 0, /bad\.mid/),
  besideGood('an unknown key in the settings', 'dossier.yaml', 'titel: x\n', 2, /dossier\.yaml:1:1.*titel.*title/),
  besideGood('settings that are not YAML', 'dossier.yaml', 'title: [unclosed\nparts: }\n', 2, /dossier\.yaml:\d+:\d+/),
  besideGood('settings that are a list', 'dossier.yaml', '- a\n- b\n', 2, /dossier\.yaml/),
  besideGood('a part that is not there', 'dossier.yaml', 'foreground: Violn I\n', 2, /dossier\.yaml:1:\d+.*Violn I/),
  besideGood(
    'bars beyond the end',
    'dossier.yaml',
    'sections:\n  - name: A\n    bars: 2-90\n',
    2,
    /dossier\.yaml:3:\d+.*90/,
  ),
  besideGood(
    'bars that run backwards',
    'dossier.yaml',
    'sections:\n  - name: A\n    bars: 4-2\n',
    2,
    /dossier\.yaml:3:\d+/,
  ),
  besideGood(
    'an exploding YAML',
    'dossier.yaml',
    [
      'a: &a [x,x,x,x,x,x,x,x,x]',
      ...'bcdefghij'
        .split('')
        .map(
          (letter, index) =>
            `${letter}: &${letter} [${Array.from({ length: 9 }, () => `*${'abcdefghi'[index] ?? 'a'}`).join(',')}]`,
        ),
    ].join('\n'),
    2,
    /dossier\.yaml/,
  ),
  besideGood(
    'a note about bars that do not exist',
    'note.md',
    '---\nbars: 40-41\n---\nHello\n',
    2,
    /note\.md:2:\d+.*4[01]/,
  ),
  besideGood('a note with an unknown key', 'note.md', '---\nbarz: 4\n---\nHello\n', 2, /note\.md:2:1.*barz.*bars/),
  besideGood(
    'settings in bytes that are no text',
    'dossier.yaml',
    Uint8Array.from([0xff, 0xfe, 0x00, 0x80, 0x81]),
    2,
    /dossier\.yaml/,
  ),
  {
    name: 'links that leave the folder and go in circles',
    code: 0,
    says: /link/i,
    write: (folder) => {
      writeFileSync(join(folder, 'good.mid'), GOOD);
      symlinkSync('/etc', join(folder, 'stage'));
      symlinkSync('.', join(folder, 'circle'));
      symlinkSync('/etc/hostname', join(folder, 'z.mid'));
    },
  },
  {
    name: 'an output folder with somebody else’s files',
    code: 2,
    says: /dossier/,
    write: (folder) => {
      writeFileSync(join(folder, 'good.mid'), GOOD);
      mkdirSync(join(folder, 'dossier'));
      writeFileSync(join(folder, 'dossier', 'thesis.txt'), 'years of work');
    },
  },
  { name: 'a folder that is not there', code: 2, says: /nowhere/, write: () => undefined, args: ['nowhere'] },
  {
    name: 'an unknown stage',
    code: 2,
    says: /“nine”/,
    write: (folder) => {
      writeFileSync(join(folder, 'good.mid'), GOOD);
    },
    args: ['.', '--stage', 'nine'],
  },
];

/** For a build of a small or refused folder, start of the program included: it takes 2 to 10 s of processor on a machine of 2020. */
const PROCESSOR_SECONDS = 60;

/** The folder of a case, what lay in it, and what came of its build. */
interface Built {
  readonly folder: string;
  readonly before: readonly string[];
  readonly result: CliResult;
}

describe('damaged and hostile input', () => {
  const built = new Map<string, Built>();

  // One process after the other would start 42 times; in one, what a case leaves behind would also meet the next.
  beforeAll(() => {
    const folders = CASES.map(({ write }) => {
      const folder = temporaryFolder();
      write(folder);
      return { folder, before: readdirSync(folder).sort() };
    });
    const runs = folders.map(({ folder }, index) => ({
      args: ['build', ...(CASES[index]?.args ?? ['.'])],
      cwd: folder,
    }));
    runMany(runs).forEach((result, index) => built.set(CASES[index]!.name, { ...folders[index]!, result }));
  });

  it.each(CASES)('$name', ({ name, code, says }) => {
    const { folder, before, result } = built.get(name)!;
    expect(result.processorSeconds).toBeLessThan(PROCESSOR_SECONDS);
    expect(result.peakMb).toBeLessThan(1024);
    const said = result.err + result.out;
    expect(said).not.toMatch(/\n\s+at |node:internal|undefined|NaN|\[object/);
    expect(result.code, said).toBe(code);
    expect(said).toMatch(says);
    const after = readdirSync(folder).sort();
    if (code === 0) expect(after).toEqual([...new Set([...before, 'dossier'])].sort());
    else expect(after).toEqual(before);
    if (existsSync(join(folder, 'dossier', 'thesis.txt')))
      expect(readdirSync(join(folder, 'dossier'))).toEqual(['thesis.txt']);
  });

  it('leaves the last good dossier when the next build fails', async () => {
    const folder = temporaryFolder();
    writeFileSync(join(folder, 'a.mid'), GOOD);
    expect((await runCli(['build', '.', '--quiet'], { cwd: folder })).code).toBe(0);
    const before = readdirSync(join(folder, 'dossier')).sort();
    writeFileSync(join(folder, 'dossier.yaml'), 'nonsense: 1\n');
    expect((await runCli(['build', '.', '--quiet'], { cwd: folder })).code).toBe(2);
    expect(readdirSync(join(folder, 'dossier')).sort()).toEqual(before);
    expect(readdirSync(folder).sort()).toEqual(['a.mid', 'dossier', 'dossier.yaml']);
  });

  it.skipIf(process.getuid?.() === 0)('says so where the folder cannot be written', async () => {
    const folder = temporaryFolder();
    writeFileSync(join(folder, 'a.mid'), GOOD);
    chmodSync(folder, 0o555);
    const result = await runCli(['build', '.'], { cwd: folder });
    chmodSync(folder, 0o755);
    expect(result.code).toBe(2);
    expect(result.err).toMatch(/cannot be written/);
  });

  it('gives the outcome as JSON where asked, good or bad', async () => {
    const folder = temporaryFolder();
    const bad = await runCli(['build', '.', '--json'], { cwd: folder });
    expect(bad.code).toBe(3);
    expect((JSON.parse(bad.out) as { problems: unknown[] }).problems.length).toBeGreaterThan(0);
    writeFileSync(join(folder, 'a.mid'), GOOD);
    const good = await runCli(['build', '.', '--json'], { cwd: folder });
    expect(good.code).toBe(0);
    expect((JSON.parse(good.out) as { stages: unknown[] }).stages).toHaveLength(1);
    const check = await runCli(['check', '.', '--json', '--level', 'note'], { cwd: folder });
    const checked = JSON.parse(check.out) as { standing: number; findings: unknown[] };
    expect(check.code).toBe(checked.standing > 0 ? 1 : 0);
  });

  it.each([
    ['in one track', 1, 400_000],
    ['in five tracks', 5, 33_000],
  ])(
    'takes bounded work and less than a gigabyte for hundreds of thousands of tiny notes %s',
    async (_, trackCount, notes) => {
      const folder = temporaryFolder();
      const tracks = Array.from({ length: trackCount }, (_unused, channel) => {
        const many: number[] = [];
        for (let index = 0; index < notes; index++) {
          many.push(0, 0x90 + channel, index & 127, 64, 1, 0x80 + channel, index & 127, 0);
        }
        return [...many, ...END];
      });
      writeFileSync(join(folder, 'a.mid'), file(480, tracks));
      const result = await runCli(['build', '.', '--quiet'], { cwd: folder });
      expect(result.processorSeconds).toBeLessThan(PROCESSOR_SECONDS);
      expect(result.peakMb).toBeLessThan(1024);
      expect([0, 3]).toContain(result.code);
      expect(result.err + result.out).not.toMatch(/heap|\n\s+at /);
    },
  );
});
