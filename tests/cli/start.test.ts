/** `start`: the settings file it writes, and what becomes of the dossier with it. */
import { cpSync, mkdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { keyEvent, midiFile, noteEvents, programEvent, textEvent } from '../../sample-input/midi-writer.ts';
import type { TimedEvent } from '../../sample-input/midi-writer.ts';
import { checkFolder, readArrangement } from '../../src/build.ts';
import { startFolder } from '../../src/commands/start.ts';
import { settingsText } from '../../src/commands/settings-text.ts';
import { flow } from '../../src/library.ts';
import { settingsRows, settingsSchema, settingsTable } from '../../src/read/settings/settings-table.ts';
import { dossierRecord } from '../../src/publish/data/dossier-json.ts';
import { InputError } from '../../src/problems/problem.ts';
import { scratchFolder, testEffects } from '../support/effects.ts';
import { writeKnownFolder } from '../support/known-folder.ts';
import { publishedOf } from '../support/published.ts';
import { runCli, temporaryFolder } from '../support/run-cli.ts';
import { sampleFolders } from '../support/sample.ts';

interface PlainTrack {
  readonly name: string;
  readonly program?: number;
  readonly markers?: readonly (readonly [number, string])[];
}

const QUARTER = 480;

/** One file with a few bars of 4/4 in every track. */
function smallMidi(tracks: readonly PlainTrack[], bars = 4): Uint8Array {
  return midiFile(
    QUARTER,
    tracks.map(({ name, program, markers = [] }, index) => {
      const events: TimedEvent[] = [textEvent(0, 3, name)];
      if (index === 0) events.push(keyEvent(0, -1, true));
      if (program !== undefined) events.push(programEvent(0, index, program));
      for (const [bar, text] of markers) events.push(textEvent((bar - 1) * 4 * QUARTER, 6, text));
      for (let beat = 0; beat < 4 * bars; beat++) {
        const start = beat * QUARTER;
        events.push(...noteEvents(index, 62 + ((beat * 5 + index * 3) % 12), 70, start, start + QUARTER - 20, false));
      }
      return { events, lastTick: bars * 4 * QUARTER };
    }),
  );
}

/** The data export, for which nothing need be drawn, without what names the settings as its origin: the files, the assumptions, who recognised a part. */
async function recordOf(folder: string): Promise<unknown> {
  const arrangement = await readArrangement({ folder }, testEffects());
  const stages = arrangement.stages.map((stage) => {
    const written = flow.notateStage(stage);
    const readings = flow.analyseStage(stage, written);
    return publishedOf(stage, {
      written,
      readings,
      findings: flow.adviseStage({ ...arrangement, stage, written, readings }),
    });
  });
  const { files, assumptions, made, ...rest } = dossierRecord(flow.dossierInputOf(arrangement, stages));
  // A folder with one file more is another folder.
  expect([files, assumptions, made]).not.toContain(undefined);
  return JSON.parse(JSON.stringify(rest, (key, content: unknown) => (key === 'recognisedBy' ? undefined : content)));
}

/** What was read, and the findings on the last stage. */
async function readingOf(folder: string): Promise<unknown> {
  const { arrangement, checked } = await checkFolder({ folder }, testEffects());
  const { files, assumptions, ...rest } = arrangement;
  expect(files.length + assumptions.length).toBeGreaterThan(0);
  return JSON.parse(
    JSON.stringify({ ...rest, findings: checked.findings }, (key, content: unknown) =>
      key === 'recognisedBy' ? undefined : content,
    ),
  );
}

async function startIn(folder: string): Promise<string> {
  return (await startFolder({ folder }, testEffects())).text;
}

async function complaintOf(folder: string): Promise<string> {
  try {
    await startIn(folder);
  } catch (error) {
    if (error instanceof InputError) return error.message;
    throw error;
  }
  return '';
}

describe('a settings file written from what the MIDI shows', () => {
  it.each(sampleFolders().map((sample) => [basename(sample), sample]))(
    'gives the same dossier as no settings at all (%s)',
    async (name, sample) => {
      const folder = join(scratchFolder(), name);
      cpSync(sample, folder, { recursive: true, filter: (path) => !/(dossier(\.yaml)?|\.md)$/.test(path) });
      const before = await recordOf(folder);
      await startIn(folder);
      expect(await recordOf(folder)).toEqual(before);
    },
  );

  it('names the parts, the stages and the one who is in front', async () => {
    const folder = scratchFolder();
    writeFileSync(join(folder, '1 sketch.mid'), smallMidi([{ name: 'Oboe', program: 68 }]));
    writeFileSync(
      join(folder, '2 with strings.mid'),
      smallMidi([
        { name: 'Oboe', program: 68 },
        { name: 'Bratsche', program: 41 },
      ]),
    );
    expect(parse(await startIn(folder))).toMatchObject({
      title: basename(folder),
      foreground: 'Oboe',
      parts: { Oboe: { instrument: 'oboe' }, Bratsche: { instrument: 'viola' } },
      stages: { '1 sketch': { title: 'Sketch' }, '2 with strings': { title: 'With strings' } },
    });
  });

  it('takes sections from markers that all stages share', async () => {
    const folder = scratchFolder();
    const markers = [
      [1, 'Verse: first'],
      [3, '# Chorus'],
    ] as const;
    writeFileSync(join(folder, 'a.mid'), smallMidi([{ name: 'Flute', markers }]));
    expect(parse(await startIn(folder))).toMatchObject({
      sections: [
        { name: 'Verse: first', bars: '1-2' },
        { name: '# Chorus', bars: '3-4' },
      ],
    });
  });

  it('comments out what would change how another stage is read, and says so', async () => {
    const folder = scratchFolder();
    writeFileSync(join(folder, '1.mid'), smallMidi([{ name: 'Flute', markers: [[1, 'One'], [2, 'Two']] }])); // prettier-ignore
    writeFileSync(join(folder, '2.mid'), smallMidi([{ name: 'Flute', markers: [[1, 'One'], [3, 'Three']] }])); // prettier-ignore
    const before = await recordOf(folder);
    const text = await startIn(folder);
    expect(parse(text)).not.toHaveProperty('sections');
    expect(text.replaceAll(/\n#\s+/g, ' ')).toContain('would hold for other tracks or stages too');
    expect(text).toMatch(/# {3}- name: Three/);
    expect(await recordOf(folder)).toEqual(before);
  });

  it('comments out an instrument that only the program tells, with the reason', async () => {
    const folder = scratchFolder();
    writeFileSync(
      join(folder, 'a.mid'),
      smallMidi([
        { name: 'Lead line', program: 68 },
        { name: 'Cello', program: 42 },
      ]),
    );
    const text = await startIn(folder);
    expect(parse(text)).toMatchObject({ parts: { Cello: { instrument: 'cello' } } });
    expect(parse(text)).not.toHaveProperty(['parts', 'Lead line']);
    expect(text).toMatch(/# .*General MIDI program 69[^]*# {3}instrument: oboe/);
  });

  it('gives the key as a comment, for what is said in the settings holds for the whole piece', async () => {
    const folder = scratchFolder();
    writeFileSync(join(folder, 'a.mid'), smallMidi([{ name: 'Cello' }]));
    expect(await startIn(folder)).toMatch(/key signatures[^]*\n# key: D minor\n/);
  });

  it('shows every setting with its meaning', () => {
    const text = settingsText([]);
    const unbroken = text.replaceAll(/\n#\s+/g, ' ');
    for (const row of settingsTable) {
      expect(unbroken, row.key).toContain(row.description);
    }
    expect(parse(text)).toBeNull();
  });

  it('offers only what the check accepts: each example can be put in force as it stands', () => {
    const lines = settingsText([]).split('\n');
    for (const name of Object.keys(settingsRows)) {
      const line = lines.find((each) => each.startsWith(`# ${name}: `));
      expect(line, name).toBeDefined();
      const outcome = settingsSchema.safeParse(parse(line!.slice(2)));
      expect(outcome.success, line).toBe(true);
    }
  });

  it('keeps to lines of a hundred characters where no single name is longer', async () => {
    const folder = scratchFolder();
    writeFileSync(join(folder, 'a.mid'), smallMidi([{ name: 'Cello' }]));
    for (const line of (await startIn(folder)).split('\n')) expect(line.length, line).toBeLessThanOrEqual(100);
  });

  it.each(['English', 'French'] as const)('reads the known piece with %s names as before', async (language) => {
    const folder = scratchFolder();
    writeKnownFolder(folder, language, true);
    const before = await recordOf(folder);
    await startIn(folder);
    expect(await recordOf(folder)).toEqual(before);
  });
});

describe('names that mean something in YAML', () => {
  const awkward = [
    'yes', 'null', '~', '12', '1e3', '- x', '? y', '*star', '&amp', '!tag', '%dir', '@at', '`tick`', '# hash', 'a: b',
    'a #b', '{flow', '[list', '"quoted', "it's", 'back\\slash', '<b>bold</b>', '__proto__', 'constructor', '|', '>',
    'Violin\u202e', 'Flöte 𝄞', '--- x', 'key:', '=', '<<', '2026-11-25', '0x1F', 'Violin I: # solo',
  ]; // prettier-ignore

  it.each(awkward)('a track called %j', async (name) => {
    const folder = scratchFolder();
    writeFileSync(join(folder, 'a.mid'), smallMidi([{ name }, { name: 'Viola' }]));
    const before = await readingOf(folder);
    await startIn(folder);
    expect(await readingOf(folder)).toEqual(before);
  });

  it('any names of tracks, markers and files leave the dossier as it was', async () => {
    const name = fc.oneof(
      fc.string({ unit: 'grapheme', maxLength: 14 }),
      fc.constantFrom(...awkward, 'Violin', 'Violin 2', 'Horn in F', 'Vln pizz', 'Violin', 'violin.'),
    );
    const parent = scratchFolder();
    let count = 0;
    await fc.assert(
      fc.asyncProperty(fc.array(name, { minLength: 1, maxLength: 5 }), name, name, async (tracks, marker, title) => {
        const folder = join(parent, `case ${String(count++)}`);
        mkdirSync(folder);
        const file = `${title
          .replaceAll(/[/\\\0.]/g, '')
          .trim()
          .slice(0, 12)}1.mid`;
        const bytes = smallMidi(tracks.map((each, index) => ({ name: each, markers: index === 0 ? [[2, marker]] : [] })), 2); // prettier-ignore
        writeFileSync(join(folder, file), bytes);
        writeFileSync(join(folder, 'zz last.mid'), smallMidi([{ name: tracks[0] ?? '' }, { name: 'Viola' }], 2));
        const before = await readingOf(folder);
        await startIn(folder);
        expect(await readingOf(folder)).toEqual(before);
        rmSync(folder, { recursive: true });
      }),
      { numRuns: 30 },
    );
  });
});

describe('start never overwrites', () => {
  it.each(['dossier.yaml', 'dossier.yml', 'Dossier.YAML'])('settings called %s stay as they are', async (name) => {
    const folder = scratchFolder();
    writeFileSync(join(folder, 'a.mid'), smallMidi([{ name: 'Cello' }]));
    writeFileSync(join(folder, name), 'title: mine\n');
    expect(await complaintOf(folder)).toMatch(new RegExp(`settings already, in “${name}”.*never overwritten`));
    expect(readFileSync(join(folder, name), 'utf8')).toBe('title: mine\n');
  });

  it('a link of that name is not written through, even where it leads nowhere', async () => {
    const folder = scratchFolder();
    const elsewhere = join(scratchFolder(), 'elsewhere.yaml');
    writeFileSync(join(folder, 'a.mid'), smallMidi([{ name: 'Cello' }]));
    symlinkSync(elsewhere, join(folder, 'dossier.yaml'));
    expect(await complaintOf(folder)).toMatch(/settings already/);
    expect(() => readFileSync(elsewhere)).toThrow();
  });

  it('a file that appears while the folder is read stays too', async () => {
    const folder = scratchFolder();
    writeFileSync(join(folder, 'a.mid'), smallMidi([{ name: 'Cello' }]));
    const effects = testEffects();
    const late = testEffects({
      list: async (path) => {
        const entries = await effects.disk.list(path);
        writeFileSync(join(folder, 'dossier.yaml'), 'title: mine\n');
        return entries.filter((entry) => entry.name !== 'dossier.yaml');
      },
    });
    await expect(startFolder({ folder }, late)).rejects.toThrow(/something of that name is there already/);
    expect(readFileSync(join(folder, 'dossier.yaml'), 'utf8')).toBe('title: mine\n');
  });
});

describe('the command', () => {
  it('writes the file, says what is in it, and ends with 0; a second time it refuses with 2', async () => {
    const folder = temporaryFolder();
    writeFileSync(join(folder, 'a.mid'), smallMidi([{ name: 'Cello' }]));
    const first = await runCli(['start', folder]);
    expect(first.code, first.err).toBe(0);
    expect(first.out).toMatch(/dossier\.yaml: \d+ settings are filled in, \d+ are commented out/);
    expect(await complaintOf(folder)).not.toBe('');
    const second = await runCli(['start', folder]);
    expect(second.code).toBe(2);
    expect(second.err.trim()).toMatch(/^[^\n]*never overwritten[^\n]*$/);
    const json = await runCli(['start', folder, '--json']);
    expect(json.code).toBe(2);
    expect(JSON.parse(json.out)).toMatchObject({ problems: [{ code: 'settings-exist' }] });
  });

  it('refuses a folder without music with 3, one that is not there with 2, and leaves nothing behind', async () => {
    const folder = temporaryFolder();
    expect((await runCli(['start', folder])).code).toBe(3);
    expect((await runCli(['start', join(folder, 'none')])).code).toBe(2);
    expect(() => readFileSync(join(folder, 'dossier.yaml'))).toThrow();
  });
});
