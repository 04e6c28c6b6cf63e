/** What stages have in common is worked out once; each stage is written as if it stood alone. */
import { beforeAll, describe, expect, it } from 'vitest';
import { assemble } from '../../src/assemble/assemble.ts';
import type { Arrangement } from '../../src/model/music/arrangement.ts';
import type { WrittenStage } from '../../src/model/music/written.ts';
import { knownParts } from '../../src/notate/known-parts.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { fullScoreXml } from '../../src/publish/musicxml/write-musicxml.ts';
import { readFolder } from '../../src/read/read-folder.ts';
import { generatedMidi } from '../support/generated-folder.ts';
import { memoryDisk } from '../support/memory-disk.ts';

let arrangement: Arrangement;
let together: readonly WrittenStage[] = [];

beforeAll(async () => {
  const disk = memoryDisk(
    Object.fromEntries(
      [4, 7, 15].map((parts, index) => [`/piece/0${String(index + 1)} stage.mid`, generatedMidi(24, parts)]),
    ),
  );
  arrangement = assemble(await readFolder('/piece', disk, { ignore: [] }), { folderName: 'piece' });
  const known = knownParts();
  together = arrangement.stages.map((stage) => notateStage(stage, undefined, known));
});

describe('a stage that took parts over from the one before', () => {
  it('is written as it is alone', () => {
    const alone = structuredClone(arrangement.stages).map((stage) => notateStage(stage));
    expect(together).toEqual(alone);
  });

  it('holds what it took over once: bars, played notes and written ones', () => {
    const [before, after] = arrangement.stages.slice(-2);
    const same = after!.parts.filter((part) => before!.parts.some(({ notes }) => notes === part.notes));
    expect(same.length).toBeGreaterThan(0);
    expect(after!.timeline).toBe(before!.timeline);
    const writtenBefore = new Set(together.at(-2)!.parts.map(({ notes }) => notes));
    expect(together.at(-1)!.parts.some(({ notes }) => writtenBefore.has(notes))).toBe(true);
  });

  it('has the same full score in a file, whichever stages were written to files before', () => {
    const scores = arrangement.stages.map((stage, index) =>
      fullScoreXml({ arrangement, stage, written: together[index]! }),
    );
    for (const [index, stage] of arrangement.stages.entries())
      expect(fullScoreXml({ arrangement, ...structuredClone({ stage, written: together[index]! }) })).toBe(
        scores[index],
      );
  });
});
