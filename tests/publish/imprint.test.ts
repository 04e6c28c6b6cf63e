/** What stands at the foot of each page: enough to find the folder and the program again, and nothing that a clock or a place decides. */
import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import packageFile from '../../package.json' with { type: 'json' };
import { folderHash, imprintOf } from '../../src/publish/imprint.ts';
import { arrangementOf, partOf, stageOf, timelineOf } from '../support/arrangement.ts';

const sha = (text: string): string => createHash('sha256').update(text).digest('hex');
const FILES = [
  { path: '01.mid', sha256: sha('one'), use: 'stage' },
  { path: 'notes.md', sha256: sha('two'), use: 'notes' },
];

describe('the imprint', () => {
  it('is that of the same files, in whatever order they are read, and of no others', () => {
    const hash = folderHash(FILES);
    expect(hash).toMatch(/^[0-9a-f]{12}$/);
    expect(folderHash([...FILES].reverse())).toBe(hash);
    expect(folderHash([...FILES, { path: 'cover.pdf', sha256: sha('three'), use: 'not used' }])).toBe(hash);
    expect(folderHash([{ ...FILES[0]!, sha256: sha('other') }, FILES[1]!])).not.toBe(hash);
    expect(folderHash([{ ...FILES[0]!, path: '02.mid' }, FILES[1]!])).not.toBe(hash);
  });

  it('has the version, and other rules under other limits', () => {
    const timeline = timelineOf(1);
    const arrangement = arrangementOf([stageOf([partOf('flute', 'C5:0:4', timeline)], timeline)]);
    const made = imprintOf({ arrangement, rules: [] });
    expect(made.version).toBe(packageFile.version);
    const limits = { ...arrangement.limits, breath: 4 };
    expect(imprintOf({ arrangement: { ...arrangement, limits }, rules: [] }).rules).not.toBe(made.rules);
  });
});
