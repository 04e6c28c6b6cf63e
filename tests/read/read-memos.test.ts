import { describe, expect, it } from 'vitest';
import { readMemos } from '../../src/read/user-notes/read-memos.ts';

const encoder = new TextEncoder();

function read(text: string, stageFolder?: string): ReturnType<typeof readMemos> {
  return readMemos(encoder.encode(text), 'notes.md', stageFolder);
}

describe('headings that begin with bars', () => {
  it.each([
    ['# Bars 9-12', 9, 12],
    ['## Bars 9–12: too thick', 9, 12],
    ['# Bar 5', 5, 5],
    ['### bar 0 is the pickup', 0, 0],
    ['# Bars 9 to 12', 9, 12],
    ['# mm. 3-4', 3, 4],
    ['# m. 7', 7, 7],
    ['# Takt 9 bis 12', 9, 12],
    ['# T. 9', 9, 9],
    ['# Battute 3-4', 3, 4],
    ['# Mesure 8', 8, 8],
    ['Bars 9-12\n=========', 9, 12],
    ['Bar 3\n-----', 3, 3],
    ['# **Bar 3**', undefined, undefined],
  ])('%j', (heading, from, to) => {
    const [memo] = read(`${heading}\n\nText.`).memos;
    expect(memo?.bars?.content).toEqual(from === undefined ? undefined : { from, to });
    expect(memo?.markdown).toBe('Text.');
  });

  it.each(['# B4 is too high', '# M7 here', '# Barns 5', '# Bars 3/4', '# 12 bars', '# Bar five', '# T5'])(
    '%j names no bar',
    (heading) => {
      expect(read(`${heading}\n\nText.`).memos[0]?.bars).toBeUndefined();
    },
  );

  it('name parts after a comma', () => {
    const [memo] = read('# Bar 5, strings and Horn in F, Flute: softer\n\nText.').memos;
    expect(memo?.parts).toEqual([
      { content: 'strings', line: 1, column: 10 },
      { content: 'Horn in F', line: 1, column: 22 },
      { content: 'Flute', line: 1, column: 33 },
    ]);
  });

  it('anchor what follows up to the next heading of the same or a higher level', () => {
    const { memos } = read(
      'Before.\n\n## Bars 1-4\nOne.\n### Detail\nTwo.\n### Bar 3\nThree.\n### More\nFour.\n## Ideas\nFive.\n# Bar 9\nSix.',
    );
    expect(memos.map(({ line, heading, markdown }) => [line, heading, markdown])).toEqual([
      [1, '', 'Before.\n\n## Ideas\nFive.'],
      [3, 'Bars 1-4', 'One.\n### Detail\nTwo.\n### More\nFour.'],
      [7, 'Bar 3', 'Three.'],
      [13, 'Bar 9', 'Six.'],
    ]);
  });

  it('inside code or a quotation are no headings', () => {
    const { memos } = read('```\n# Bar 3\n```\n\n> # Bar 4\n\n    # Bar 5\n');
    expect(memos).toHaveLength(1);
    expect(memos[0]?.bars).toBeUndefined();
  });

  it('with the last bar before the first are an error with its line', () => {
    const { problems } = read('Text.\n\n# Bars 12-9\n');
    expect(problems).toMatchObject([{ kind: 'settings', code: 'bad-bars', line: 3 }]);
    expect(problems[0]?.message).toContain('“9-12”');
  });
});

describe('front matter', () => {
  it('says the date as it is written, for the program reads no clock', () => {
    expect(read('---\ndate: early May\nkind: decision\n---\nSo be it.').memos[0]).toMatchObject({ date: 'early May' });
    expect(read('---\nkind: decision\n---\nSo be it.').memos[0]).not.toHaveProperty('date');
  });

  it('says stage, bars, parts and kind', () => {
    const [memo] = read('---\nstage: 02\nbars: 9-12\nparts: [Vla, Hn]\nkind: question\n---\nWhy?').memos;
    expect(memo).toEqual({
      file: 'notes.md',
      line: 7,
      heading: '',
      markdown: 'Why?',
      stage: { content: '02', line: 2, column: 8 },
      bars: { content: { from: 9, to: 12 }, line: 3, column: 7 },
      parts: [
        { content: 'Vla', line: 4, column: 9 },
        { content: 'Hn', line: 4, column: 14 },
      ],
      kind: 'question',
    });
  });

  it('with an unknown key is an error with its line and the nearest key', () => {
    const { memos, problems } = read('---\nbars: 3\nstge: 2\n---\nx');
    expect(memos).toEqual([]);
    expect(problems).toMatchObject([{ kind: 'settings', code: 'unknown-key', line: 3, column: 1 }]);
    expect(problems[0]?.message).toContain('perhaps “stage”');
  });

  it('that is never closed is an error, but a rule across the page is none', () => {
    expect(read('---\nkind: remark\n\nText.').problems).toMatchObject([{ code: 'open-front-matter' }]);
    expect(read('---\n\nText.').problems).toEqual([]);
    expect(read('---\nText between rules\n---\n').memos).toHaveLength(1);
  });

  it('is overruled by the bars and parts of a heading', () => {
    const { memos } = read('---\nbars: 1-2\nparts: Oboe\n---\nWhole.\n# Bar 7\nSeven.\n# Bar 8, Horn\nEight.');
    expect(memos.map(({ bars, parts }) => [bars?.content.from, parts[0]?.content])).toEqual([
      [1, 'Oboe'],
      [7, 'Oboe'],
      [8, 'Horn'],
    ]);
  });
});

describe('notes', () => {
  it('in the folder of a stage belong to it unless they say otherwise', () => {
    expect(read('Text.', '02 strings').memos[0]?.stage?.content).toBe('02 strings');
    expect(read('---\nstage: 03\n---\nText.', '02 strings').memos[0]?.stage?.content).toBe('03');
  });

  it('without text are none', () => {
    expect(read('')).toEqual({ memos: [], problems: [] });
    expect(read('\n\n  \n').memos).toEqual([]);
  });

  it('in Latin-1 are read, with a remark', () => {
    const { memos, problems } = readMemos(Uint8Array.from([0x46, 0x6c, 0xf6, 0x74, 0x65]), 'notes.md', undefined);
    expect(memos[0]?.markdown).toBe('Flöte');
    expect(problems).toMatchObject([{ kind: 'remark', code: 'text-encoding' }]);
  });

  it('lose the marks that turn what stands around them, and keep letters and joiners of every script', () => {
    const { memos } = read('\u202eBar 3 is turned\u202c \u2067x\u2069 \u200fשלום \u061cسلام می\u200cخواهم 👩\u200d🎤');
    expect(memos[0]?.markdown).toBe('Bar 3 is turned x שלום سلام می\u200cخواهم 👩\u200d🎤');
    expect(read('## \u202eBar 3\u202c\n\nSlower.').memos[0]?.bars?.content).toEqual({ from: 3, to: 3 });
  });

  it('keep their markup as text for the page to escape', () => {
    expect(read('<script>alert(1)</script>').memos[0]?.markdown).toBe('<script>alert(1)</script>');
  });

  it('with line ends of any system have the same lines', () => {
    for (const end of ['\n', '\r\n', '\r']) {
      expect(read(['One.', '', '# Bar 3', 'Two.'].join(end)).memos.map(({ line }) => line)).toEqual([1, 3]);
    }
  });
});
