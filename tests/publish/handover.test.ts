/** What an orchestrator, a copyist, a conductor and a librarian look for on the first page, and notes where they belong. */
import { JSDOM } from 'jsdom';
import { beforeAll, describe, expect, it } from 'vitest';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import { drawCharts } from '../../src/draw/chart/draw-charts.ts';
import type { Memo } from '../../src/model/music/arrangement.ts';
import type { EngravedSystem } from '../../src/model/drawing.ts';
import { notesAbout } from '../../src/publish/page-data/page-frame/notes-section.ts';
import { scoreSection } from '../../src/publish/page-data/score/score-section.ts';
import { stageContext } from '../../src/publish/page-data/page-frame/stage-context.ts';
import { shorthandOf } from '../../src/publish/page-data/page-frame/shorthand.ts';
import { renderPages } from '../../src/publish/render/render-pages.ts';
import { figure } from '../advise/stage-findings.ts';
import { arrangementOf, partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { testEffects } from '../support/effects.ts';
import { findingOf, publishedOf, smallDossier, writtenOf } from '../support/published.ts';

const timeline = timelineOf(16, { numerator: 4, denominator: 4 }, 120);
const part = (instrument: string, players = 1, number?: number) =>
  partOf(instrument, 'C4:0:1', timeline, {
    name: `${instrument} ${String(number ?? '')}`.trim(),
    players,
    ...(number === undefined ? {} : { number }),
  });

describe('instrumentation in shorthand', () => {
  it('2222-4231 is two of each woodwind, four horns, two trumpets, three trombones and a tuba', () => {
    // The order of places and this example: encyclopedia article on shorthand for orchestra instrumentation (after Daniels).
    const parts = [
      part('flute', 2),
      part('oboe', 2),
      part('clarinet-bflat', 2),
      part('bassoon', 2),
      part('horn-f', 4),
      part('trumpet-bflat', 2),
      part('trombone-tenor', 2),
      part('trombone-bass', 1),
      part('tuba'),
    ];
    expect(shorthandOf(parts).text).toBe('2.2.2.2 - 4.2.3.1');
  });

  it('a related instrument is added with a plus, absent ones are 0, strings are counted by desks', () => {
    const parts = [
      part('flute', 2),
      part('piccolo'),
      part('horn-f', 2),
      part('timpani'),
      part('percussion-unpitched'),
      part('glockenspiel'),
      part('harp'),
      part('violin', 8, 1),
      part('violin', 6, 2),
      part('viola', 4),
      part('cello', 3),
      part('double-bass', 2),
    ];
    const { text } = shorthandOf(parts);
    expect(text).toMatch(/^2\+picc?\.0\.0\.0 - 2\.0\.0\.0 - timp - 2 perc - hp - str 8\.6\.4\.3\.2$/);
  });

  it('a plucked orchestra has its mandola and mandoloncello', () => {
    const parts = [part('mandolin', 1, 1), part('mandolin', 1, 2), part('mandola'), part('mandocello'), part('guitar')];
    expect(shorthandOf(parts).text).toBe('2 mand - mdla - mcl - gtr');
  });

  it('strings alone have no winds to count, and nobody is nothing', () => {
    expect(shorthandOf([part('violin', 1, 1), part('violin', 1, 2), part('viola'), part('cello')]).text).toBe(
      'str 1.1.1.1.0',
    );
    expect(shorthandOf([]).text).toBe('');
  });
});

const memos: readonly Memo[] = [
  {
    file: 'why.md',
    line: 1,
    heading: 'Horn waits',
    markdown: 'Until the tune is over.',
    stageId: 'stage-01-test',
    from: 9,
    to: 12,
    partIds: ['horn-in-f'],
    kind: 'decision',
    date: '3 May <b>',
  },
  {
    file: 'ask.md',
    line: 1,
    heading: 'Mutes?',
    markdown: 'In the coda.',
    from: 13,
    to: 16,
    partIds: [],
    kind: 'question',
  },
];

describe('the first page', () => {
  let page: Document;
  const texts = (selector: string): string[] =>
    [...page.querySelectorAll(selector)].map((item) => item.textContent.trim());

  beforeAll(async () => {
    const sections = [
      { name: 'A', from: 1, to: 8 },
      { name: 'B', from: 9, to: 16 },
    ];
    const flute = partOf('flute', figure('C6 E6', 1, 1, 16), timeline, { role: 'foreground' });
    const oboe = partOf('oboe', figure('C5 E5', 1, 1, 8), timeline);
    const horn = partOf('horn-f', figure('C4', 4, 9, 16), timeline);
    const stage = stageOf([flute, oboe, horn], timeline, { sections });
    const written = writtenOf(stage);
    const readings = analyseStage(stage, written);
    const published = publishedOf(stage, {
      written,
      readings,
      charts: drawCharts(stage, readings),
      findings: [
        findingOf({ from: 10, to: 10, partIds: ['horn-in-f'] }),
        findingOf({ from: 10, to: 10, partIds: ['flute'] }),
        findingOf({ from: 2, to: 3, partIds: ['horn-in-f'] }),
      ],
    });
    const arrangement = arrangementOf([stage], { memos });
    const pages = await renderPages(
      smallDossier({ arrangement, stages: [published], changes: [] }),
      { singleFile: false },
      testEffects(),
    );
    page = new JSDOM(pages.find(({ fileName }) => fileName === 'index.html')!.html).window.document;
  });

  it('has the shorthand with its legend, transpositions and long doublings', () => {
    expect(texts('.shorthand')).toEqual(['1.1.0.0 - 1.0.0.0']);
    const facts = texts('#at-a-glance .facts div').join('\n');
    // Once: in the table of the instrumentation.
    expect(facts).not.toContain('below what is written');
    expect(texts('#at-a-glance-parts tr').join('\n')).toMatch(/Horn in F.*a fifth below what is written/s);
    expect(facts).toMatch(/Flute and Oboe in octaves in bars 1–8/);
  });

  it('has a map of sections with the clock: eight bars of four beats at 120 are 16 s', () => {
    const rows = [...page.querySelectorAll('#at-a-glance-map tbody tr')].map((row) =>
      [...row.children].map((cell) => cell.textContent),
    );
    expect(rows).toEqual([
      ['1', '0:00', 'A', '–', '4/4', 'quarter = 120'],
      ['9', '0:16', 'B', '–', '·', 'quarter = 120'],
    ]);
  });

  it('lists what is to be decided with its place, and decisions with date, stage and place', () => {
    expect(texts('#at-a-glance .asked li')).toEqual(['Mutes? (bars 13–16)']);
    expect(texts('#at-a-glance .decisions li')).toEqual(['Horn waits (3 May <b>, stage “Test”, bars 9–12, Horn in F)']);
    expect(page.querySelector('#at-a-glance .decisions a')!.getAttribute('href')).toBe('#note-1');
  });

  it('shows a note beside the findings about its bars and parts, and once beside the charts: at the map of who plays when', () => {
    const beside = [1, 2, 3].map((number) => texts(`#finding-${String(number)} .note-links a`));
    expect(beside).toEqual([['bars 9–12, Horn in F'], [], []]);
    expect(texts('#entries .note-links a')).toEqual(['bars 9–12, Horn in F', 'bars 13–16']);
    for (const chart of ['register', 'balance', 'harmony']) expect(texts(`#${chart} .note-links a`)).toEqual([]);
    expect(page.querySelector('b')).toBeNull();
  });

  it('a note over many bars stands beside the line where they begin, once', () => {
    const stage = stageOf([partOf('flute', figure('C6', 4, 1, 16), timeline)], timeline);
    const { score, ...rest } = publishedOf(stage);
    const system = (fromBar: number, toBar: number): EngravedSystem => ({ ...score.systems[0]!, fromBar, toBar });
    const arrangement = arrangementOf([stage], { memos: [{ ...memos[1]!, from: 2, to: 6 }] });
    const published = { ...rest, score: { ...score, systems: [system(1, 4), system(5, 8)] } };
    const input = smallDossier({ arrangement, stages: [published], changes: [] });
    const { systems } = scoreSection(stageContext(input, 0, false)).body as { systems: { notes: unknown[] }[] };
    expect(systems.map(({ notes }) => notes.length)).toEqual([1, 0]);
  });

  it('a bar that hundreds of notes speak of buries nothing: twelve are listed and the others counted', () => {
    const stage = stageOf([partOf('flute', figure('C6', 4, 1, 16), timeline)], timeline);
    const many = Array.from({ length: 300 }, (_, index): Memo => ({
      ...memos[1]!,
      heading: `Question ${String(index)}`,
      from: 2,
      to: 2,
    }));
    const arrangement = arrangementOf([stage], { memos: many });
    const input = smallDossier({ arrangement, stages: [publishedOf(stage)], changes: [] });
    const links = notesAbout(stageContext(input, 0, false), 2, 2);
    expect(links).toHaveLength(13);
    expect(links.at(-1)).toMatchObject({ href: '#notes', place: '288 more notes' });
  });
});
