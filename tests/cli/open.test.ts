/** `check --open`: what is still to be done, and the lines that would accept what readers accepted. */
import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { openLines, openList } from '../../src/commands/open/open-list.ts';
import { startFolder } from '../../src/commands/start.ts';
import { parseCommandLine } from '../../src/command-line.ts';
import type { Effects } from '../../src/model/effects.ts';
import { FIRST_EIGHT, tuneOf, WITH_TWO_MORE, type Files } from '../support/answered-folder.ts';
import { testEffects } from '../support/effects.ts';
import { diskOfFolder } from '../support/memory-disk.ts';

/** A flute that begins here has most of its notes below all that flutes have, which is a finding. */
const TOO_LOW = 42;
const MUSIC: Files[number] = ['01 first.mid', tuneOf(FIRST_EIGHT, TOO_LOW)];
const ACCEPTED = '---\nfrom: "Mara: #1"\nkind: accepted\nfinding: outside-range\nparts: [Flute]\n---\nAn octave up.\n';

function effectsWith(files: Files): Effects {
  return testEffects(diskOfFolder('/tune', files));
}

async function listOf(...files: Files): Promise<Awaited<ReturnType<typeof openList>>> {
  return openList({ folder: '/tune' }, effectsWith([MUSIC, ...files]));
}

describe('what is open', () => {
  it('stands in order of bars: questions, findings nobody answered, and answers', async () => {
    const { items } = await listOf(
      ['q.md', '---\nkind: question\nbars: 7\n---\n# Does the cello breathe?\n'],
      ['a.md', '---\nfrom: Mara\nbars: 3\n---\nSofter.\n'],
    );
    const bars = items.map(({ from }) => from ?? -1);
    expect(bars).toEqual([...bars].sort((a, b) => a - b));
    const told = items.map(({ kind, text }) => `${kind}: ${text}`);
    expect(told).toContain('question: Does the cello breathe?');
    expect(told).toContain('answer: Remark by Mara: Softer.');
    expect(items.some(({ kind, origin }) => kind === 'finding' && origin === 'outside-range')).toBe(true);
  });

  it('leaves out what was answered, and answers that the last build had', async () => {
    const before = await listOf(['a.md', ACCEPTED]);
    expect(before.items.some(({ origin }) => origin === 'outside-range')).toBe(false);
    expect(before.items.filter(({ kind }) => kind === 'answer')).toHaveLength(1);
    const { createHash } = await import('node:crypto');
    const sha256 = createHash('sha256').update(ACCEPTED).digest('hex');
    const after = await listOf(['a.md', ACCEPTED], ['dossier/dossier.json', JSON.stringify({ files: [{ sha256 }] })]);
    expect(after.knowsLastBuild).toBe(true);
    expect(after.items.filter(({ kind }) => kind === 'answer')).toEqual([]);
  });

  it('tells of an answer that moved where it was written', async () => {
    const { items } = await listOf(
      ['02 second.mid', tuneOf(WITH_TWO_MORE, TOO_LOW)],
      ['a.md', '---\nfrom: Mara\nstage: 01 first\nbars: 5\n---\nSofter.\n'],
    );
    expect(items.find(({ kind }) => kind === 'answer')).toMatchObject({
      from: 7,
      text: 'Remark by Mara: Softer. Written about bar 5 of stage “First”, now bar 7.',
    });
  });

  it('does not go with a level', () => {
    expect(parseCommandLine(['check', 'x', '--open'])).toMatchObject({ open: true });
    expect(() => parseCommandLine(['check', 'x', '--open', '--level', 'look'])).toThrow(/--level/);
  });
});

describe('a finding that readers accepted', () => {
  it('is a line for the settings that says who, and with it the finding is accepted', async () => {
    const list = await listOf(['a.md', ACCEPTED]);
    const lines = openLines(list);
    const yaml = lines.slice(lines.indexOf('accepted:')).join('\n');
    const { accepted } = parse(yaml) as { accepted: { rule: string; reason: string }[] };
    expect(accepted).toHaveLength(1);
    expect(accepted[0]).toMatchObject({ rule: 'outside-range', reason: 'An octave up. (accepted by Mara: #1)' });
    const settled = await listOf(['a.md', ACCEPTED], ['dossier.yaml', `${yaml}\n`]);
    expect(settled.acceptances).toEqual([]);
  });

  it('is offered by “start” as a comment, and not in force', async () => {
    let written = '';
    const effects = effectsWith([MUSIC, ['a.md', ACCEPTED]]);
    const disk = {
      ...effects.disk,
      create: (_: string, content: string | Uint8Array) => {
        written = String(content);
        return Promise.resolve();
      },
    };
    await startFolder({ folder: '/tune' }, { ...effects, disk });
    expect(written).toContain('# accepted:\n#   - rule: outside-range');
    expect(parse(written)).not.toHaveProperty('accepted');
  });

  it('is offered no longer where another reader says that it is mended', async () => {
    const mended = '---\nfrom: Jon\nkind: mended\nfinding: outside-range\nparts: [Flute]\n---\n';
    const { acceptances, items } = await listOf(['a.md', ACCEPTED], ['b.md', mended]);
    expect(acceptances).toEqual([]);
    expect(items.map(({ text }) => text).join()).toContain('Mara: #1 and Jon answer differently.');
  });
});
