import { createHash } from 'node:crypto';
import { HtmlValidate } from 'html-validate';
import { JSDOM } from 'jsdom';
import { beforeAll, describe, expect, it } from 'vitest';
import type { DossierInput } from '../../src/publish/dossier-input.ts';
import { renderPages } from '../../src/publish/render/render-pages.ts';
import { rangeSection } from '../../src/publish/page-data/judging/range-section.ts';
import type { LinkedTable } from '../../src/publish/page-data/page-frame/sheet.ts';
import { stageContext } from '../../src/publish/page-data/page-frame/stage-context.ts';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import { packedLinks } from '../../src/publish/data/packed-files.ts';
import { joinPages } from '../../src/publish/render/single-file.ts';
import { arrangementOf, partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { testEffects } from '../support/effects.ts';
import { findingOf, publishedOf, readingsOf, smallDossier } from '../support/published.ts';
import { writtenOf } from '../support/written.ts';
import { SECTION_IDS } from '../support/section-ids.ts';

const HOSTILE = [
  '</script><script>stolen=1</script>',
  '{{ 7 * 7 }}',
  '../../etc/passwd',
  '\u202egnirts\u202c',
  'V'.repeat(300),
  '=cmd()',
  '"><img src=x onerror=stolen=1>',
  '</style>\u0000\u0007\ud800',
];

/** Unicode Standard Annex 9, table 1: every explicit formatting character. */
const MARKS = /[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]/g;

function hostileDossier(): DossierInput {
  const timeline = timelineOf(2);
  const parts = HOSTILE.map((name, index) => ({
    ...partOf('flute', 'G5:0:4', timeline, { name, abbreviation: name.slice(0, 8) }),
    id: `part-${String(index)}`,
  }));
  const stage = stageOf(parts, timeline, { id: 'stage-01-x', title: HOSTILE[0]!, remark: HOSTILE[1]! });
  const published = publishedOf(stage, {
    charts: [],
    findings: HOSTILE.map((name, index) =>
      findingOf({ partIds: [`part-${String(index)}`], message: name, advice: name }),
    ),
  });
  return smallDossier({
    arrangement: arrangementOf([stage], {
      title: HOSTILE[0]!,
      subtitle: HOSTILE[6]!,
      arranger: HOSTILE[3]!,
      assumptions: HOSTILE,
      files: HOSTILE.map((path) => ({ path, sha256: 'a'.repeat(64), use: 'stage' as const })),
      problems: HOSTILE.map((message) => ({ kind: 'remark' as const, code: 'x', file: message, message })),
      memos: [
        {
          file: HOSTILE[2]!,
          line: 1,
          heading: HOSTILE[0]!,
          partIds: [],
          kind: 'remark',
          from: 99,
          markdown: [
            ...HOSTILE.map((name) => `- ${name}`),
            '- turned by a reference: &#x202E;turned &#8238;turned &rlm;turned',
            '',
            '# Heading',
            '',
            '![picture](https://example.invalid/a.png) [bad](javascript:stolen=1) [good](https://example.invalid/)',
            '',
            '<div style="position:fixed" onclick="stolen=1">raw</div>',
            '',
            '| a | b |',
            '|--:|:-:|',
            '| 1 | 2 |',
          ].join('\n'),
        },
      ],
    }),
    stages: [published],
    changes: [],
  });
}

function emptyDossier(): DossierInput {
  const stage = stageOf([], timelineOf(0), { id: 'stage-01-empty', title: 'Empty', sections: [] });
  return smallDossier({ arrangement: arrangementOf([stage]), stages: [publishedOf(stage)], changes: [], rules: [] });
}

interface Built {
  readonly name: string;
  readonly html: string;
}

async function build(label: string, input: DossierInput): Promise<Built[]> {
  const pages = await renderPages(input, { singleFile: false }, testEffects());
  const alone = await renderPages(input, { singleFile: true }, testEffects());
  return [
    ...pages.map((page) => ({ name: `${label}/${page.fileName}`, html: page.html })),
    {
      name: `${label}/single`,
      html: joinPages(
        alone,
        '',
        packedLinks(input, (path) => path),
      ),
    },
  ];
}

let built: Built[] = [];

beforeAll(async () => {
  built = [
    ...(await build('small', smallDossier())),
    ...(await build('hostile', hostileDossier())),
    ...(await build('empty', emptyDossier())),
  ];
});

function page(name: string): string {
  const found = built.find((item) => item.name === name);
  if (found === undefined) throw new Error(`no page ${name}`);
  return found.html;
}

const parsed = new Map<string, Document>();

/** The document of a page; tests only read it, so it is parsed once. */
function documentOf(html: string): Document {
  const document = parsed.get(html) ?? new JSDOM(html).window.document;
  parsed.set(html, document);
  return document;
}

describe('every page', () => {
  it('is clean by all sets of rules of an independent checker: recommended, standard, accessible, document, browser', async () => {
    const checker = new HtmlValidate({
      extends: ['recommended', 'standard', 'a11y', 'document', 'browser'].map((preset) => `html-validate:${preset}`),
      rules: {
        // Style and script stand in the page on purpose: it must open by double-click, under a policy of hashes.
        'no-inline-style': 'error',
        'long-title': 'off',
        // Written by the template engine.
        'no-trailing-whitespace': 'off',
      },
    });
    for (const { name, html } of built) {
      const report = await checker.validateString(html);
      const faults = report.results.flatMap((result) =>
        result.messages.map((message) => `${name}:${String(message.line)} ${message.ruleId} ${message.message}`),
      );
      expect(faults).toEqual([]);
    }
  });

  it('has no id twice, and every reference to an id or a page leads somewhere', () => {
    for (const { name, html } of built) {
      const document = documentOf(html);
      const ids = [...document.querySelectorAll('[id]')].map((element) => element.id);
      expect(ids.length, name).toBe(new Set(ids).size);
      const [label = ''] = name.split('/');
      for (const link of document.querySelectorAll('a[href]')) {
        const address = link.getAttribute('href') ?? '';
        if (/^(https|data):/.test(address)) continue;
        const [file = '', anchor = ''] = address.split('#');
        if (/^(tables|scores)\//.test(file) || file === 'dossier.json') continue;
        const target = file === '' ? document : documentOf(page(`${label}/${file}`));
        if (anchor !== '') expect(target.getElementById(anchor), `${name}: ${address}`).not.toBeNull();
      }
      for (const attribute of ['aria-labelledby', 'aria-describedby', 'for']) {
        for (const element of document.querySelectorAll(`[${attribute}]`)) {
          for (const id of (element.getAttribute(attribute) ?? '').split(' ')) {
            expect(document.getElementById(id), `${name}: ${attribute} ${id}`).not.toBeNull();
          }
        }
      }
      for (const [, id = ''] of html.matchAll(/url\(#([^)]+)\)/g)) {
        expect(document.getElementById(id), `${name}: url(#${id})`).not.toBeNull();
      }
    }
  });

  it('descends its headings one level at a time from one main heading', () => {
    for (const { name, html } of built) {
      const levels = [...documentOf(html).querySelectorAll('h1,h2,h3,h4,h5,h6')].map((item) => Number(item.tagName[1]));
      expect(levels[0], name).toBe(1);
      expect(levels.filter((level) => level === 1).length, name).toBe(1);
      levels.forEach((level, index) => {
        expect(level, name).toBeLessThanOrEqual((levels[index - 1] ?? 0) + 1);
      });
    }
  });

  it('allows by its policy exactly its own styles and script, and nothing to be loaded', () => {
    for (const { name, html } of built) {
      const document = documentOf(html);
      const [, second] = document.head.children;
      expect(second?.getAttribute('http-equiv'), name).toBe('Content-Security-Policy');
      const policy = second?.getAttribute('content') ?? '';
      const hash = (text: string): string => `'sha256-${createHash('sha256').update(text).digest('base64')}'`;
      const styles = [...document.querySelectorAll('style')];
      const scripts = [...document.querySelectorAll('script')];
      expect(styles.length).toBe(2);
      expect(scripts.length).toBe(1);
      expect(policy).toBe(
        `default-src 'none'; style-src ${styles.map(({ textContent }) => hash(textContent)).join(' ')}; script-src ${hash(scripts[0]!.textContent)}; img-src data:; base-uri 'none'; form-action 'none'`,
      );
      expect(document.querySelectorAll('[style], [src], link, img, iframe, object, embed, base, form').length).toBe(0);
      for (const element of document.querySelectorAll('*')) {
        for (const attribute of element.attributes) expect(attribute.name).not.toMatch(/^on/);
      }
    }
  });

  it('is written in English, with one main landmark, a way past the navigation and a header in every table row', () => {
    for (const { html } of built) {
      const document = documentOf(html);
      expect(document.documentElement.lang).toBe('en');
      expect(document.querySelectorAll('main').length).toBe(1);
      expect(document.querySelector('a.skip')?.getAttribute('href')).toBe('#top');
      for (const table of document.querySelectorAll('.numbers-table')) {
        expect(table.querySelector('caption')?.textContent).not.toBe('');
        expect([...table.querySelectorAll('thead th')].every((cell) => cell.getAttribute('scope') === 'col')).toBe(
          true,
        );
        for (const row of table.querySelectorAll('tbody tr')) {
          expect(row.querySelectorAll('th[scope=row]').length).toBe(1);
        }
      }
    }
  });
});

describe('a stage of a dossier', () => {
  it.each(['small/index.html', 'small/stage-01-tune.html', 'hostile/index.html', 'empty/index.html', 'small/single'])(
    'has all ten sections (%s)',
    (name) => {
      const sections = [...documentOf(page(name)).querySelectorAll('article')][0]!.querySelectorAll('[data-section]');
      expect([...sections].map((section) => section.getAttribute('data-section'))).toEqual(SECTION_IDS);
      for (const section of sections) {
        expect(section.querySelector('h2')?.textContent).not.toBe('');
        expect(section.textContent.trim().length).toBeGreaterThan(20);
      }
    },
  );

  it('is the front page where it is the current one, and the earlier ones name it', () => {
    expect(documentOf(page('small/index.html')).querySelector('.kicker')?.textContent).toBe(
      'Stage 2 of 2: Bass (current)',
    );
    const earlier = documentOf(page('small/stage-01-tune.html'));
    expect(earlier.querySelector('.kicker')?.textContent).toBe('Stage 1 of 2: Tune (earlier)');
    expect(earlier.querySelector('a[href="index.html"]')).not.toBeNull();
  });

  it('has a place for every bar that links can lead to', () => {
    const document = documentOf(page('small/index.html'));
    for (const bar of [1, 2, 3, 4]) expect(document.querySelectorAll(`#bar-${String(bar)}`).length).toBe(1);
  });

  it('names the players in score order and says once where their number is assumed', () => {
    const rows = [...documentOf(page('small/index.html')).querySelectorAll('#at-a-glance-parts tbody tr')];
    expect(rows.map((row) => [...row.children].map((cell) => cell.textContent))).toEqual([
      ['Flute', 'Flute', '1', 'foreground', 'as written'],
      ['Cello', 'Cello', '1', 'background', 'as written'],
    ]);
    const remark = documentOf(page('small/index.html')).querySelector(
      '.scroll:has(#at-a-glance-parts) + .table-remark',
    );
    expect(remark?.textContent).toBe(
      'How many play each part is assumed: no name or setting says it, and no note in words that were understood.',
    );
  });

  it('groups findings by level and keeps accepted ones, with the reason', () => {
    const document = documentOf(page('small/index.html'));
    expect(document.querySelector('.level-look .finding-bars')?.getAttribute('href')).toMatch(/^#score-f\d$/);
    expect(document.querySelector('.level-look .finding-message')?.textContent).toBe('Flute plays 60 ms late.');
    expect(document.querySelector('.level-accepted .finding-accepted')?.textContent).toContain('It is meant so.');
    expect(documentOf(page('small/stage-01-tune.html')).querySelector('#findings')?.textContent).toContain(
      'Nothing was found',
    );
  });

  it('calls the balance an estimate', () => {
    for (const name of ['small/index.html', 'empty/index.html']) {
      expect(documentOf(page(name)).querySelector('#balance')?.textContent).toContain('Estimated from MIDI');
    }
  });

  it('says at a glance where the level of what is in front is assumed, and does not where it is published', async () => {
    const timeline = timelineOf(1);
    const parts = [partOf('guitar', 'G4:0:4', timeline, { role: 'foreground' }), partOf('flute', 'C5:0:4', timeline)];
    const stage = stageOf(parts, timeline);
    for (const assumed of [true, false]) {
      const readings = readingsOf(stage, {
        balance: [{ bar: 1, marginDb: -8, partsDb: {} }],
        levelAssumptions: [{ partId: parts[0]!.id, text: 'A figure.', assumed }],
      });
      const stages = [publishedOf(stage, { readings })];
      const input = smallDossier({ arrangement: arrangementOf([stage]), stages, changes: [] });
      const [index] = await renderPages(input, { singleFile: false }, testEffects());
      const text = documentOf(index!.html).body.textContent.replaceAll(/\s+/g, ' ');
      expect(text).toContain(
        'Estimated from MIDI, the foreground (Guitar) is softer than the whole background together throughout',
      );
      expect(text.includes('(its own level is assumed)')).toBe(assumed);
    }
  });

  it('writes a transposing part as its player reads it: a clarinet in B flat a major second above the sound', async () => {
    // Handbook fact: the B flat clarinet sounds a major second below what is written; sounding Bb3 is written C4.
    const timeline = timelineOf(1);
    const clarinet = partOf('clarinet-bflat', 'Bb3:0:4', timeline, { role: 'foreground' });
    const stage = stageOf([clarinet], timeline);
    const input = smallDossier({ arrangement: arrangementOf([stage]), stages: [publishedOf(stage)], changes: [] });
    const [index] = await renderPages(input, { singleFile: false }, testEffects());
    const cells = [...documentOf(index!.html).querySelectorAll('#ranges-table tbody td')].map(
      (cell) => cell.textContent,
    );
    expect(cells.slice(1, 3)).toEqual(['B♭3', 'C4']);
  });

  it('gives no range to what plays every key of MIDI', () => {
    const timeline = timelineOf(1);
    const stage = stageOf([partOf('synthesizer', 'C4:0:4', timeline)], timeline);
    const [reading] = readingsOf(stage).ranges;
    const readings = readingsOf(stage, { ranges: [{ ...reading!, absolute: { low: 0, high: 127 } }] });
    const stages = [publishedOf(stage, { readings })];
    const context = stageContext(smallDossier({ arrangement: arrangementOf([stage]), stages, changes: [] }), 0, false);
    const { table } = rangeSection(context).body as { readonly table: LinkedTable };
    expect(table.rows[0]?.map(([run]) => run?.text).slice(4, 6)).toEqual(['not known', 'no limit']);
  });

  it('puts a note above the range, which some singers have, where the finding puts it: beyond, and not at the edge', () => {
    // A choir's sopranos end at C6, soloists at E6 (Rimsky-Korsakov, Table F).
    const timeline = timelineOf(2);
    const stage = stageOf([partOf('voice-soprano', 'B5:0:4 Eb6:4:4', timeline)], timeline);
    const ranges = analyseStage(stage, writtenOf(stage)).ranges;
    const stages = [publishedOf(stage, { readings: readingsOf(stage, { ranges }) })];
    const context = stageContext(smallDossier({ arrangement: arrangementOf([stage]), stages, changes: [] }), 0, false);
    const { table } = rangeSection(context).body as { readonly table: LinkedTable };
    const [outside, edge] = table.rows[0]!.slice(6, 8).map((runs) => runs.map(({ text }) => text).join(''));
    expect(outside).toBe('not for every player: E♭6 in bar 2, beat 1');
    expect(edge).toBe('B5 in bar 1, beat 1');
  });

  it('says so where a long table is cut, and names the file that has all of it', async () => {
    const timeline = timelineOf(1100);
    const parts = ['flute', 'cello'].map((id) => partOf(id, 'G4:0:4400', timeline));
    const stage = stageOf(parts, timeline);
    const published = publishedOf(stage, {
      charts: [
        {
          id: 'register-x',
          title: 'Register',
          description: '',
          svg: '',
          legend: [],
          table: {
            caption: 'Register',
            columns: [{ label: 'Bar', numeric: true }],
            rows: readingsOf(stage).register.map((item) => [String(item.bar)]),
          },
          csv: { columns: [], rows: [] },
        },
      ],
    });
    const input = smallDossier({ arrangement: arrangementOf([stage]), stages: [published], changes: [] });
    const pages = await renderPages(input, { singleFile: false }, testEffects());
    const numbers = pages.find(({ fileName }) => fileName === 'numbers.html');
    const section = documentOf(numbers!.html).querySelector('#register-chart');
    expect(section?.querySelectorAll('tbody tr').length).toBe(2000);
    expect(section?.querySelector('.table-remark')?.textContent).toBe(
      'The first 2000 of 2200 rows are shown here; all of them are in tables/stage-01-test-register.csv.',
    );
  });
});

describe('the numbers of a stage', () => {
  it('stand on a page of their own, one link from the chart and one link back', () => {
    for (const [stage, numbers] of [
      ['index.html', 'numbers.html'],
      ['stage-01-tune.html', 'stage-01-tune-numbers.html'],
    ] as const) {
      const [chartPage, tablePage] = [stage, numbers].map((name) => documentOf(page(`small/${name}`)));
      for (const id of ['register', 'entries', 'balance']) {
        const section = chartPage!.getElementById(id)!;
        expect(section.querySelectorAll('table').length, id).toBe(0);
        const [link] = [...section.querySelectorAll('figure .numbers-links a')].map((one) => one.getAttribute('href'));
        expect(link).toBe(`${numbers}#${id}-chart`);
        const table = tablePage!.querySelector(`#${id}-chart table`)!;
        expect(table.closest('details')).toBeNull();
        // Four bars, each with a way back to the score.
        const back = [...table.querySelectorAll('tbody th a')].map((one) => one.getAttribute('href'));
        expect(back).toEqual([1, 2, 3, 4].map((bar) => `${stage}#bar-${String(bar)}`));
        expect(tablePage!.querySelector(`#numbers-${id} .score-links a`)?.getAttribute('href')).toBe(`${stage}#${id}`);
      }
    }
  });

  it('are none where nobody has a note, and the page says so', () => {
    expect(documentOf(page('empty/numbers.html')).querySelector('main')?.textContent).toContain(
      'There are no numbers to show',
    );
  });
});

describe('what changed', () => {
  it('is told in a sentence', () => {
    const lead = documentOf(page('small/changes.html')).querySelector('#change-1 .story-lead')!;
    expect(lead.textContent).toBe('Stage 2 adds Cello.');
  });

  it('says that there is nothing to compare where there is one stage', () => {
    expect(documentOf(page('empty/changes.html')).querySelector('main')?.textContent).toContain('only one stage');
  });
});

describe('how it was judged', () => {
  it('shows every rule, also one that found nothing', () => {
    const rule = documentOf(page('small/judged.html')).querySelector('#rule-late-part');
    expect(rule?.textContent).toContain('40 ms');
    expect(rule?.querySelector('a')?.getAttribute('href')).toBe('index.html#finding-1');
    expect(documentOf(page('hostile/judged.html')).querySelectorAll('.rule').length).toBe(1);
  });
});

describe('names and notes that are markup, templates, formulas or paths', () => {
  it('are shown as text', () => {
    for (const name of ['hostile/index.html', 'hostile/single']) {
      const text = documentOf(page(name)).querySelector('main')?.textContent ?? '';
      // Marks of direction are taken out: a name cannot turn what stands around it.
      for (const hostile of HOSTILE.slice(0, 7)) expect(text, hostile).toContain(hostile.replaceAll(MARKS, ''));
      expect(page(name)).not.toMatch(MARKS);
      // NUL, BEL and a lone surrogate cannot stand in a document (WHATWG HTML): they become U+FFFD.
      expect(text).toContain('</style>\ufffd\ufffd\ufffd');
      expect(text).not.toMatch(/\b49\b/);
    }
  });

  it('keep their notes harmless: no picture, no script link, no raw markup, no style', () => {
    const note = documentOf(page('hostile/index.html')).querySelector('.memo-text')!;
    expect(note.querySelectorAll('img, script, [onclick], [style], h1').length).toBe(0);
    expect([...note.querySelectorAll('a')].map((link) => link.outerHTML)).toEqual([
      '<a href="https://example.invalid/" rel="noopener noreferrer">good</a>',
    ]);
    expect(note.textContent).toContain('<div style="position:fixed" onclick="stolen=1">raw</div>');
    expect(note.querySelector('td')?.className).toBe('align-right');
  });

  it('stand apart from the sentence around them, so that a turned writing direction ends with the name', () => {
    const kicker = documentOf(page('hostile/index.html')).querySelector('.title .byline');
    expect(kicker?.firstElementChild?.tagName).toBe('BDI');
  });
});

describe('the single file', () => {
  it('holds the same pages as the folder, in one document', () => {
    const document = documentOf(page('small/single'));
    const articles = [...document.querySelectorAll('article')];
    const files = [
      'index.html',
      'stage-01-tune.html',
      'client-sheet.html',
      'changes.html',
      'judged.html',
      'files.html',
      'numbers.html',
      'stage-01-tune-numbers.html',
    ];
    expect(articles.length).toBe(files.length);
    const folder = files.map((file) => documentOf(page(`small/${file}`)));
    articles.forEach((article, index) => {
      const sections = (root: ParentNode): (string | null)[] =>
        [...root.querySelectorAll('[data-section]')].map((item) => item.getAttribute('data-section'));
      expect(sections(article)).toEqual(sections(folder[index]!));
      const tables = (root: ParentNode): string[] =>
        [...root.querySelectorAll('table')].map((item) => item.textContent);
      expect(tables(article)).toEqual(tables(folder[index]!));
    });
  });

  it('links to itself and to the web, to no other file', () => {
    for (const label of ['small', 'hostile']) {
      for (const link of documentOf(page(`${label}/single`)).querySelectorAll('a[href]')) {
        expect(link.getAttribute('href')).toMatch(
          /^#|^https:|^data:application\/(zip|vnd\.recordare\.musicxml);base64,/,
        );
      }
    }
  });

  it('keeps the plain addresses of the current stage: #bar-2 is its second bar', () => {
    const document = documentOf(page('small/single'));
    expect(document.getElementById('bar-2')?.closest('article')?.id).toBe('top');
    expect(document.getElementById('stage-01-tune__bar-2')?.closest('article')?.id).toBe('stage-01-tune__top');
  });
});
