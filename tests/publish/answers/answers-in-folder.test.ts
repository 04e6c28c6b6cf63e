/** Answers of readers in the folder: where they stand, what they close, and what becomes of them when bars come and go. */
import { describe, expect, it } from 'vitest';
import { musicHash } from '../../../src/model/hashes.ts';
import type { DossierInput } from '../../../src/publish/dossier-input.ts';
import { buildSheets } from '../../../src/publish/page-data/build-sheets.ts';
import { dossierOf, FIRST_EIGHT, tuneOf, WITH_TWO_MORE, type Files } from '../../support/answered-folder.ts';

const FIRST: Files = [['01 first.mid', tuneOf(FIRST_EIGHT)]];
const QUESTION: Files[number] = [
  'question.md',
  '---\nkind: question\nbars: 6\nparts: [Cello]\n---\n# Does the cello breathe?\n\nOr does it hold on?\n',
];

function answer(head: string, text: string): string {
  return `---\n${head}\n---\n${text}\n`;
}

async function musicOf(files: Files): Promise<string> {
  const { arrangement } = await dossierOf(files);
  return musicHash(arrangement.stages.at(-1)!, arrangement.files);
}

/** All texts that the sections of the front page are given. */
function frontPage(input: DossierInput): string {
  return JSON.stringify(buildSheets(input, false)[0]?.sections.map(({ id, body }) => [id, body]));
}

function section(input: DossierInput, page: string, id: string): string {
  const sheet = buildSheets(input, false).find(({ fileName }) => fileName === page);
  return JSON.stringify(sheet?.sections.find((one) => one.id === id)?.body);
}

describe('answers to the music as it is', () => {
  it('stand at their bars and parts under the name of who wrote them', async () => {
    const file = `${answer('from: Mara Lind\nabout: 0123456789ab\nbars: 5-6\nparts: [Flute]', 'Softer here.')}${answer('kind: decision\nbars: 2', 'We keep this.')}`;
    const input = await dossierOf([...FIRST, ['mara.md', file]]);
    expect(input.arrangement.problems).toEqual([]);
    expect(
      input.arrangement.memos.map(({ from, to, partIds, kind, answer: by }) => [from, to, partIds, kind, by?.from]),
    ).toEqual([
      [5, 6, ['flute'], 'remark', 'Mara Lind'],
      [2, 2, [], 'decision', 'Mara Lind'],
    ]);
    expect(section(input, 'index.html', 'notes')).toContain('"heading":"Mara Lind"');
    expect(section(input, 'index.html', 'at-a-glance')).toContain('We keep this.');
  });

  it('close the question that they answer, and it is said by whom', async () => {
    const given = answer('from: Mara\nkind: answer\nquestion: Does the cello breathe?', 'After the first beat.');
    const open = await dossierOf([...FIRST, QUESTION]);
    expect(section(open, 'index.html', 'at-a-glance')).toContain('Does the cello breathe?');
    const closed = await dossierOf([...FIRST, QUESTION, ['answer.md', given]]);
    expect(section(closed, 'index.html', 'at-a-glance')).not.toContain('Does the cello breathe?');
    expect(section(closed, 'index.html', 'notes')).toContain('Question answered by Mara');
    expect(section(closed, 'client-sheet.html', 'client-decide')).not.toContain('Does the cello breathe?');
    expect(section(closed, 'client-sheet.html', 'client-decided')).toContain('After the first beat.');
  });

  it('are headed by who wrote them and what they are to, not as if the question were their words', async () => {
    const given = answer('from: Mara\nkind: answer\nquestion: Does the cello breathe?', 'After the first beat.');
    const input = await dossierOf([...FIRST, QUESTION, ['answer.md', given]]);
    expect(section(input, 'index.html', 'notes')).toContain('Mara, to “Does the cello breathe?”');
  });

  it('leave a question open that they only remark upon', async () => {
    const given = answer('from: Mara\nkind: remark\nquestion: Does the cello breathe?', 'I wonder too.');
    const input = await dossierOf([...FIRST, QUESTION, ['answer.md', given]]);
    expect(section(input, 'index.html', 'at-a-glance')).toContain('Does the cello breathe?');
  });

  it('stand side by side as a question where two people differ, until somebody decides', async () => {
    const yes = answer('from: Mara\nkind: answer\nquestion: Does the cello breathe?', 'Yes, after the first beat.');
    const no = answer('from: Jon\nkind: answer\nquestion: Does the cello breathe?', 'No, hold on.');
    const both: Files = [...FIRST, QUESTION, ['a.md', yes], ['b.md', no]];
    const input = await dossierOf(both);
    expect(section(input, 'index.html', 'at-a-glance')).toMatch(/[?.] Mara and Jon answer differently\./);
    const sheet = section(input, 'client-sheet.html', 'client-decide');
    expect(sheet).toContain('after the first beat');
    expect(sheet).toContain('hold on');
    const last = answer('from: Ada\nkind: decision\nquestion: Does the cello breathe?', 'Hold on.');
    const decided = await dossierOf([...both, ['c.md', last]]);
    expect(section(decided, 'index.html', 'at-a-glance')).not.toContain('differently');
    expect(section(decided, 'index.html', 'notes')).toContain('Question answered by Ada');
  });

  it('take the last word of each, and two who say yes agree', async () => {
    const words = ['No, hold on.', 'Yes.'].map((text) =>
      answer('from: Mara\nkind: answer\nquestion: Does the cello breathe?', text),
    );
    const other = answer('from: Jon\nkind: answer\nquestion: Does the cello breathe?', 'Yes, a little.');
    const input = await dossierOf([...FIRST, QUESTION, ['a.md', words.join('')], ['b.md', other]]);
    expect(section(input, 'index.html', 'notes')).toContain('Question answered by Mara and Jon');
  });
});

describe('the order of answers', () => {
  it('is that of their days, after the notes, and one that was saved twice stands there once', async () => {
    const first = answer('from: Mara\ndate: 2026-11-02\nbars: 3', 'Second thought.');
    const second = answer('from: Jon\ndate: 2026-11-01\nbars: 3', 'First thought.');
    const files: Files = [...FIRST, ['a.md', first], ['b.md', second], ['c.md', first], ['z.md', 'A note.\n']];
    const { arrangement } = await dossierOf(files);
    expect(arrangement.memos.map(({ markdown }) => markdown)).toEqual(['A note.', 'First thought.', 'Second thought.']);
    expect(arrangement.problems.map(({ file, code }) => [file, code])).toEqual([['c.md', 'same-answer']]);
  });
});

describe('answers to an earlier state of the music', () => {
  const later: Files = [...FIRST, ['02 second.mid', tuneOf(WITH_TWO_MORE)]];

  it('move with their bars where bars were put in before them', async () => {
    const music = await musicOf(FIRST);
    const given = answer(`from: Mara\nstage: 01 first\nmusic: "${music}"\nbars: 5-6\nparts: [Cello]`, 'Breathe here.');
    const { arrangement } = await dossierOf([...later, ['mara.md', given]]);
    expect(arrangement.memos[0]).toMatchObject({
      stageId: arrangement.stages[1]!.id,
      from: 7,
      to: 8,
      partIds: ['cello'],
      answer: { was: { stage: 'First', from: 5, to: 6, fate: 'moved' } },
    });
  });

  it('stay with their stage where their bars were cut, and say so', async () => {
    const cut: Files = [...FIRST, ['02 second.mid', tuneOf([0, 1, 2, 3, 6, 7])]];
    const given = answer('from: Mara\nstage: 01 first\nbars: 5-6', 'Breathe here.');
    const input = await dossierOf([...cut, ['mara.md', given]]);
    expect(input.arrangement.memos[0]).toMatchObject({ stageId: input.arrangement.stages[0]!.id, from: 5 });
    expect(section(input, `${input.arrangement.stages[0]!.id}.html`, 'notes')).toContain('have been cut since');
  });

  it('have no place where the file they are about was written over, and keep their words', async () => {
    const music = await musicOf(FIRST);
    const given = answer(`from: Mara\nstage: 01 first\nmusic: "${music}"\nbars: 5-6`, 'Breathe here.');
    const input = await dossierOf([
      ['01 first.mid', tuneOf(WITH_TWO_MORE)],
      ['mara.md', given],
    ]);
    expect(input.arrangement.memos[0]?.from).toBeUndefined();
    expect(input.arrangement.memos[0]?.answer?.was?.fate).toBe('changed');
    expect(frontPage(input)).toContain('Breathe here.');
    expect(frontPage(input)).toContain('its music is another now');
  });

  it('are found again where the file has another name', async () => {
    const music = await musicOf(FIRST);
    const given = answer(`from: Mara\nstage: 01 first\nmusic: "${music}"\nbars: 5-6`, 'Breathe here.');
    const { arrangement } = await dossierOf([
      ['01 flute and cello.mid', tuneOf(FIRST_EIGHT)],
      ['mara.md', given],
    ]);
    expect(arrangement.memos[0]).toMatchObject({ from: 5, to: 6 });
    expect(arrangement.memos[0]?.answer?.was).toBeUndefined();
  });
});

describe('answers to a finding', () => {
  // Eighteen semitones below its lowest note: no flute has that, whatever else is found.
  const TOO_LOW = 42;
  const first: Files = [['01 first.mid', tuneOf(FIRST_EIGHT, TOO_LOW)]];
  const head = (kind: string, from = 'Mara'): string =>
    `from: ${from}\nkind: ${kind}\nfinding: outside-range\nstage: 01 first\nparts: [Flute]`;

  it('say that what is said to be mended is still there, or gone at the next stage', async () => {
    const mended: Files[number] = ['mara.md', answer(head('mended'), '')];
    const still = await dossierOf([...first, mended]);
    expect(section(still, 'index.html', 'findings')).toContain('Finding 1 is still there.');
    expect(section(still, 'index.html', 'notes')).toContain('Finding 1 is still there.');
    const gone = await dossierOf([...first, ['02 second.mid', tuneOf(WITH_TWO_MORE)], mended]);
    expect(section(gone, 'index.html', 'notes')).toContain('The finding is gone.');
  });

  it('accept nothing by themselves', async () => {
    const input = await dossierOf([...first, ['mara.md', answer(head('accepted'), 'It sounds well an octave up.')]]);
    expect(input.stages[0]?.findings[0]).not.toHaveProperty('accepted');
    expect(section(input, 'index.html', 'findings')).toContain('The settings do not accept finding 1 yet.');
  });

  it('are a question where one accepts what another says is mended', async () => {
    const two: Files = [
      ['a.md', answer(head('accepted'), 'It is meant.')],
      ['b.md', answer(head('mended', 'Jon'), '')],
    ];
    const input = await dossierOf([...first, ...two]);
    expect(section(input, 'index.html', 'at-a-glance')).toContain('Mara and Jon answer differently.');
  });

  it('stand beside that finding and no other of the same bars', async () => {
    const other = answer('from: Mara\nkind: accepted\nfinding: crossing\nbars: 1-8', 'Crossing is meant.');
    const input = await dossierOf([...first, ['mara.md', other]]);
    expect(section(input, 'index.html', 'findings')).not.toContain('Crossing is meant.');
    expect(section(input, 'index.html', 'notes')).toContain('Crossing is meant.');
  });
});
