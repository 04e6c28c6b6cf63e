/** Answers come from anybody: whatever a file of them holds, it is shown as text or told in a sentence, and stops nothing. */
import { describe, expect, it } from 'vitest';
import { InputError } from '../../src/problems/problem.ts';
import { buildSheets } from '../../src/publish/page-data/build-sheets.ts';
import { readMemos } from '../../src/read/user-notes/read-memos.ts';
import { dossierOf, FIRST_EIGHT, tuneOf } from '../support/answered-folder.ts';

/** Heads of answers: what no page of ours would write. */
const HEADS: readonly string[] = [
  'from: <script>alert(1)</script>\nbars: 1',
  'from: "\u202Egnp.exe"\nbars: 99999999999',
  'from: Mara\nbars: 12-3',
  'from: Mara\nbars: [1, 2, 3]',
  'from: Mara\nstage: ../../etc/passwd',
  'from: Mara\nparts: [__proto__, constructor]',
  'from: Mara\nkind: hacked',
  'from: Mara\n__proto__: {polluted: true}',
  'from: &a [*a, *a]\nabout: *a',
  'from: !!js/function "function () {}"',
  'about: "\'; rm -rf /"\nfrom: {a: {b: {c: d}}}',
  'from: Mara\nfrom: Jon',
  'from: Mara\n\tbars: 1',
  `from: ${'Mara '.repeat(2000)}`,
  `from: Mara\nparts: [${'x, '.repeat(300)}x]`,
  'from: Mara\nfinding: {{ 7 * 7 }}',
  'from: Mara\nquestion: "{% include \'/etc/passwd\' %}"',
  'from: Mara\nmusic: ffffffffffff\nstage: 01 first\nbars: 3',
  `from: ${'['.repeat(500)}`,
  'from: \u0000\u0007\nbars: 1',
];

/** What stands under them; each has the word that must not be lost. */
const TEXTS: readonly string[] = [
  'KEEPME <img src=x onerror=alert(1)>',
  '<script>alert("KEEPME")</script>',
  'KEEPME [a](javascript:alert(1)) ![b](https://example.org/b.png)',
  'KEEPME {{ constructor.constructor("return process")() }} {% for a in b %}',
  '---\nKEEPME\n---',
  '---\nfrom: another\n---\nKEEPME',
  `# Bars 1-2\nKEEPME\n${'> '.repeat(400)}deep`,
  `KEEPME ${'*'.repeat(5000)}`,
  '```\nKEEPME',
  'KEEPME\r\n\u2028\u202E\u0000',
  '</template></style></main>KEEPME',
  `KEEPME ${'word '.repeat(2000)}`,
  '| KEEPME |\n| :-: |\n| <svg/onload=alert(1)> |',
  '&lt;script&gt;KEEPME&#x202E;',
  '<!-- KEEPME --><style>*{display:none}</style>',
];

const FILES = HEADS.flatMap((head, one) =>
  TEXTS.map((text, other): readonly [string, string] => [
    `answer-${String(one)}-${String(other)}.md`,
    // No two say the same, which would be shown once.
    `---\n${head}\n---\n${text.replace('KEEPME', `KEEPME-${String(one)}-${String(other)}`)}\n`,
  ]),
);

const encoder = new TextEncoder();

describe('300 hostile files of answers', () => {
  it.each(HEADS.map((head, one) => [head.slice(0, 40), one] as const))('%j', (_, one) => {
    for (const [path, text] of FILES.filter(([name]) => name.startsWith(`answer-${String(one)}-`))) {
      const { memos, problems } = readMemos(encoder.encode(text), path, undefined);
      expect(memos.map(({ markdown }) => markdown).join('\n')).toContain('KEEPME');
      for (const problem of problems) {
        expect(problem.kind).toBe('remark');
        expect(problem.message).toMatch(/^[^\n]{10,600}\.$/);
      }
    }
    expect(({} as Record<string, unknown>)['polluted']).toBeUndefined();
  });

  it('are all in the dossier, as text or in a sentence, and none of them is run', async () => {
    expect(FILES).toHaveLength(300);
    const input = await dossierOf([['01 first.mid', tuneOf(FIRST_EIGHT)], ...FILES]);
    const said = new Set([
      ...input.arrangement.memos.map(({ file }) => file),
      ...input.arrangement.problems.map(({ file }) => file),
    ]);
    expect(FILES.map(([path]) => path).filter((path) => !said.has(path))).toEqual([]);
    const notes = buildSheets(input, false)[0]?.sections.find(({ id }) => id === 'notes')?.body as {
      readonly memos: readonly { readonly html: { toString: () => string } }[];
    };
    const html = notes.memos.map((memo) => String(memo.html)).join('\n');
    expect(html).not.toMatch(/<(?:script|img|svg|style|iframe|template|main)|javascript:[^<]*"|onerror="/i);
    expect(html.match(/KEEPME/g)?.length).toBeGreaterThan(200);
  });

  it('do not make up for a fault in a note of the arranger, which is still refused', async () => {
    await expect(
      dossierOf([
        ['01 first.mid', tuneOf(FIRST_EIGHT)],
        ['note.md', '---\nbars: 12-3\n---\nText\n'],
      ]),
    ).rejects.toBeInstanceOf(InputError);
  });
});
