/** Which stage a note is about, as people write it down: by a heading or by the name of the file. Common practice, no source. */
import { describe, expect, it } from 'vitest';
import { nameReader } from '../../src/assemble/names/source-track.ts';
import { nameStages } from '../../src/assemble/stage-order/stage-names.ts';
import { notesByStage } from '../../src/assemble/user-notes-and-settings/notes-by-stage.ts';
import { readMemos } from '../../src/read/user-notes/read-memos.ts';
import { rawStage } from './raw-folder.ts';

/** Each note as heading, stage and text. */
function told(text: string, names: readonly string[], file = 'notes.md'): readonly (readonly (string | undefined)[])[] {
  const stages = nameStages(
    names.map((name) => rawStage(name, { tracks: [] })),
    {},
  );
  const { memos } = readMemos(new TextEncoder().encode(text), file, undefined);
  return notesByStage(memos, stages, nameReader()).map(({ heading, stage, markdown }) => [
    heading,
    stage?.content,
    markdown,
  ]);
}

const SAXES = ['1 first draft', '2 after Thursday', '3 after Sunday'];
const TAKES = ['home - 1', 'home - 2', 'home - 3'];

describe('a heading that names a stage', () => {
  it.each([
    ['# After Thursday', SAXES, '2 after Thursday'],
    ['# 2 after Thursday', SAXES, '2 after Thursday'],
    ['# After Thursday: the alto', SAXES, '2 after Thursday'],
    ['# take 3', TAKES, 'home - 3'],
    ['# Version 2, shorter', TAKES, 'home - 2'],
    ['# Fassung 2', TAKES, 'home - 2'],
    ['# Thursday', SAXES, undefined],
    ['# 2 ideas', TAKES, undefined],
    ['# take 4', TAKES, undefined],
    ['# Strings', ['01 sketch', '02 strings'], undefined],
    ['# 02 strings', ['01 sketch', '02 strings'], '02 strings'],
    ['# Sketch', ['01 sketch', '02 strings'], '01 sketch'],
    // Two stages have the number: nobody knows which is meant.
    ['# take 2', ['2 home - 1', 'home - 2'], undefined],
  ])('%s', (heading, names, stage) => {
    expect(told(`${heading}\n\nThe tune is lower.`, names).map(([, own]) => own)).toEqual([stage]);
  });

  it('parts a text that speaks of several; what is not under such a heading stays about the piece', () => {
    const text =
      'For the choir.\n\n# take 2\nTwo bars more.\n\n## Why\nThey go round again.\n\n# take 3\nUp a step.\n\n# Coffee\nPaid.';
    expect(told(text, TAKES)).toEqual([
      ['', undefined, 'For the choir.\n\n# Coffee\nPaid.'],
      ['take 2', 'home - 2', 'Two bars more.\n\n## Why\nThey go round again.'],
      ['take 3', 'home - 3', 'Up a step.'],
    ]);
  });

  it('holds for headings with bars under it', () => {
    const text = '# take 2\n## Bars 9-12\nThe low voice leads.\n# Other\n## Bar 3\nLouder.';
    expect(told(text, TAKES).map(([heading, stage]) => [heading, stage])).toEqual([
      ['', undefined],
      ['Bars 9-12', 'home - 2'],
      ['Bar 3', undefined],
    ]);
  });
});

describe('a file of notes', () => {
  it.each([
    ['2 after Thursday.md', SAXES, '2 after Thursday'],
    ['b.md', ['a - idea', 'b - slower', 'c - with intro'], 'b - slower'],
    ['2.md', SAXES, '2 after Thursday'],
    ['After Thursday.md', SAXES, '2 after Thursday'],
    ['Habanera.md', ['02 ohne Klarinette', '03 Habanera'], '03 Habanera'],
    // May be notes on the strings of any stage.
    ['Strings.md', ['01 sketch', '02 strings'], undefined],
    ['van.md', ['a - idea', 'b - slower'], undefined],
    ['notes.md', SAXES, undefined],
  ])('%s', (file, names, stage) => {
    expect(told('Lower, and slower.', names, file).map(([, own]) => own)).toEqual([stage]);
  });

  it('is about the stage that its front matter names, whatever it is called', () => {
    const text = '---\nstage: 3 after Sunday\n---\nTenor turned down.';
    expect(told(text, SAXES, '2.md').map(([, own]) => own)).toEqual(['3 after Sunday']);
  });
});
