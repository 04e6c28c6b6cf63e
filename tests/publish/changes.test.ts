/** The page "What changed", read as its reader reads it: what was done at each stage, and why. */
import { JSDOM } from 'jsdom';
import { beforeAll, describe, expect, it } from 'vitest';
import { compareStages } from '../../src/analyse/compare-stages.ts';
import { distantPairs } from '../../src/analyse/compare/distant-pairs.ts';
import { commonBars } from '../../src/analyse/compare/bars/common-bars.ts';
import type { Memo, Part, Stage } from '../../src/model/music/arrangement.ts';
import type { Finding, StageChange } from '../../src/model/readings/readings.ts';
import type { Timeline } from '../../src/model/music/timeline.ts';
import { drawChange } from '../../src/draw/chart/changes/changes-chart.ts';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import type { DossierInput, PublishedStage } from '../../src/publish/dossier-input.ts';
import { renderPages } from '../../src/publish/render/render-pages.ts';
import { arrangementOf, partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { testEffects } from '../support/effects.ts';
import { findingOf, publishedOf, smallDossier, writtenOf } from '../support/published.ts';

const eight = timelineOf(8);
const slower: Timeline = {
  ...eight,
  bars: eight.bars.map((bar) => (bar.number >= 5 ? { ...bar, lengthSeconds: 5, tempo: 48 } : bar)),
};
const tune = 'C5:0:4 D5:4:4 E5:8:4 F5:12:4 G5:16:4 A5:20:4 G5:24:4 C5:28:4';

function published(
  id: string,
  parts: readonly Part[],
  timeline: Timeline,
  changes: Partial<Stage> = {},
): PublishedStage {
  const stage = stageOf(parts, timeline, { id, title: id.slice(9), ...changes });
  return publishedOf(stage, { readings: analyseStage(stage, writtenOf(stage)) });
}

const flute = partOf('flute', tune, eight);
const viola = partOf('viola', 'C4:0:8 D4:8:8 E4:16:8 F4:24:8', eight);
const first = published('stage-01-sketch', [flute], eight, { remark: 'Hummed on the stairs.' });
const second: PublishedStage = {
  ...published('stage-02-middle', [flute, viola], eight, { remark: 'The middle comes in.' }),
  findings: [findingOf({ from: 3, to: 3, message: 'Flute is late here.' })],
};
const third = published(
  'stage-03-low',
  [
    partOf('flute', tune.replace('E5:8:4', 'G5:8:4'), slower),
    partOf('viola', 'C3:0:8 D3:8:8 E3:16:8 F3:24:8', slower),
    partOf('bassoon', 'C3:16:8 F2:24:8', slower),
  ],
  slower,
);

const decision: Memo = {
  file: 'why.md',
  line: 1,
  heading: 'A darker middle',
  markdown: 'The singer stands *in front* of the violas.',
  stageId: 'stage-03-low',
  from: 1,
  to: 8,
  partIds: ['viola'],
  kind: 'decision',
};

function steps(stages: readonly PublishedStage[]): readonly StageChange[] {
  return stages.slice(1).map((after, index) => compareStages(stages[index]!, after));
}

function dossier(stages: readonly PublishedStage[], memos: readonly Memo[] = []): DossierInput {
  const arrangement = arrangementOf(
    stages.map(({ stage }) => stage),
    { memos },
  );
  const comparisons = distantPairs(stages.length).map(([one, other]) => compareStages(stages[one]!, stages[other]!));
  return smallDossier({ arrangement, stages, changes: steps(stages), comparisons });
}

async function changesPage(input: DossierInput, name = 'changes.html', singleFile = false): Promise<Document> {
  const pages = await renderPages(input, { singleFile }, testEffects());
  return new JSDOM(pages.find(({ fileName }) => fileName === name)?.html ?? '').window.document;
}

let page: Document;

beforeAll(async () => {
  page = await changesPage(dossier([first, second, third], [decision]));
});

function texts(selector: string): string[] {
  return [...page.querySelectorAll(selector)].map((item) => item.textContent.trim());
}

describe('any two stages', () => {
  it('are compared on a page of their own, reached by plain links, with the notes of all steps between', async () => {
    const input = dossier(
      [first, second, third],
      [decision, { ...decision, stageId: 'stage-02-middle', heading: 'Why a middle' }],
    );
    const links = [...(await changesPage(input)).querySelectorAll('.change-pairs li')];
    expect(links.map((item) => item.textContent.trim())).toEqual(['From sketch to middle, low', 'From middle to low']);
    expect([...links[0]!.querySelectorAll('a')].map((link) => link.getAttribute('href'))).toEqual([
      'changes.html#change-1',
      'changes-1-to-3.html',
    ]);
    const pair = await changesPage(input, 'changes-1-to-3.html');
    expect(pair.querySelector('.story-lead')!.textContent).toBe(
      'Against stage 1, stage 3 adds Viola from bar 1 and Bassoon from bar 5; rewrites Flute in bar 3; and is slower in bars 5–8: quarter = 48 instead of 60.',
    );
    expect([...pair.querySelectorAll('.change-why')].map((item) => item.textContent.trim())).toEqual([
      'Why: The singer stands in front of the violas. (note “Why a middle”, decision); The singer stands in front of the violas. (note “A darker middle”, decision)',
    ]);
  });

  it('in a single file are the pairs with the current stage, and the page says so', async () => {
    const fourth = { ...third, stage: { ...third.stage, id: 'stage-04-end', title: 'end' } };
    const input = dossier([first, second, third, fourth]);
    expect((await changesPage(input, 'changes-1-to-3.html')).querySelector('.story-lead')).not.toBeNull();
    expect((await changesPage(input, 'changes-1-to-3.html', true)).querySelector('.story-lead')).toBeNull();
    expect((await changesPage(input, 'changes-2-to-4.html', true)).querySelector('.story-lead')).not.toBeNull();
    expect((await changesPage(input, 'changes.html', true)).querySelector('#change-pairs')!.textContent).toContain(
      'the dossier as a folder has all pairs',
    );
  });
});

describe('the page "What changed"', () => {
  it('begins where the piece began and gives each step a section of its own', () => {
    expect(texts('h2')).toEqual([
      'Where it began: “sketch”',
      'From “sketch” to “middle”',
      'From “middle” to “low”',
      'Any two stages',
    ]);
    expect(page.querySelector('#change-start')!.textContent).toContain('Hummed on the stairs.');
  });

  it('sums each step up in a sentence with parts and bars', () => {
    expect(texts('#change-1 .story-lead')).toEqual(['Stage 2 adds Viola from bar 1.']);
    expect(texts('#change-2 .story-lead')).toEqual([
      'Stage 3 adds Bassoon from bar 5; rewrites Flute in bar 3; moves Viola an octave lower in bars 1–8; and is slower in bars 5–8: quarter = 48 instead of 60.',
    ]);
  });

  it('has a sentence for each change', () => {
    expect(texts('#change-2 .change-list li')).toEqual([
      'The tempo is slower in bars 5–8: quarter = 48 instead of 60.',
      'Bassoon is new: it plays in bars 5–8.',
      'Flute: rewritten in bar 3.',
      'Viola: an octave lower in bars 1–8. Why: The singer stands in front of the violas. (note “A darker middle”, decision)',
      'In all, 8 of 8 bars differ: bars 1–8.',
    ]);
  });

  it('says why, where a remark or a note does', () => {
    expect(page.querySelector('#change-1')!.textContent).toContain('The middle comes in.');
    const why = page.querySelector('#change-2 .change-why')!;
    expect(why.querySelector('em')!.textContent).toBe('in front');
    // A short note stands beside what it gives a reason for, and not once more below.
    expect(page.querySelector('#change-2 .memo')).toBeNull();
  });

  it('draws a strip for each step with a row for each part, and says the same in a table', () => {
    const rows = [...page.querySelectorAll('#change-2 svg.chart-plot [data-part]')];
    expect(rows.map((row) => row.getAttribute('data-part'))).toEqual(['flute', 'viola', 'bassoon']);
    expect(rows.map((row) => row.querySelector('.strip-rewritten') !== null)).toEqual([true, false, false]);
    expect(rows.map((row) => row.querySelector('.strip-arrow') !== null)).toEqual([false, true, false]);
    expect(rows.map((row) => row.querySelector('.band') !== null)).toEqual([false, false, true]);
    const table = [...page.querySelectorAll('#change-2 .numbers tbody tr')];
    expect(table.map((row) => [...row.children].map((cell) => cell.textContent))).toEqual([
      ['Flute', 'rewritten', 'bar 3'],
      ['Viola', 'an octave lower', 'bars 1–8'],
      ['Bassoon', 'new', 'bars 5–8'],
    ]);
  });

  it('tells which findings appeared and which went, with a way to each', () => {
    const appeared = page.querySelector('#change-1 .change-findings a')!;
    expect([appeared.textContent, appeared.getAttribute('href')]).toEqual(['bar 3', 'stage-02-middle.html#finding-1']);
    expect(texts('#change-2 h4')).toContain('Findings that went where something was done: 1');
    expect(page.querySelector('#change-2')!.textContent).toContain('No finding of the earlier stage is still there.');
  });

  it('tells a finding that weighs more than before, and nothing of one that is not there though nothing was done about it', async () => {
    const found = (id: string, level: 'look' | 'note', more: readonly number[]): PublishedStage => ({
      ...published(id, [partOf('flute', id.endsWith('two') ? tune.replace('C5:28', 'D5:28') : tune, eight)], eight),
      findings: [1, ...more].map((bar) =>
        findingOf({ rule: `rule-${String(bar)}`, from: bar, to: bar, level, message: `Bar ${String(bar)} is thin.` }),
      ),
    });
    const document = await changesPage(
      dossier([found('stage-01-one', 'note', [3, 8]), found('stage-02-two', 'look', [])]),
    );
    expect([...document.querySelectorAll('#change-1 h4')].map((item) => item.textContent)).toEqual([
      'Findings that weigh more or less than before: 1',
      'Findings that went where something was done: 1',
    ]);
    expect([...document.querySelectorAll('.change-findings li')].map((item) => item.textContent)).toEqual([
      'bar 1: to check, before for information. Bar 1 is thin.',
      'bar 8: Bar 8 is thin. Cause: what was done to Flute.',
    ]);
  });

  it('says of a finding about one player that something was done where it was done to that player, not to others', async () => {
    const viola = partOf('viola', 'C4:0:8', eight);
    const one = published('stage-01-one', [flute, viola], eight);
    const two = published('stage-02-two', [partOf('flute', tune.replace('C5:28', 'D5:28'), eight), viola], eight);
    const about = (partId: string, rule: string): Finding =>
      findingOf({ rule, partIds: [partId], from: 8, to: 8, message: `${rule} of ${partId}.` });
    const findings = [about('flute', 'breath'), about('viola', 'breath'), about('viola', 'background-covers')];
    const document = await changesPage(dossier([{ ...one, findings }, two]));
    const lists = [...document.querySelectorAll('#change-1 .change-findings')].map((list) => list.textContent);
    expect([...document.querySelectorAll('#change-1 h4')].map((item) => item.textContent)).toEqual([
      'Findings that went where something was done: 2',
    ]);
    expect(lists.join(' ')).toMatch(/breath of flute.*background-covers of viola/s);
    expect(lists.join(' ')).not.toContain('breath of viola');
  });

  it('says where a new part plays that stops before the end, and draws nothing as played before in a bar that is new', async () => {
    const short = published('stage-02-two', [flute, partOf('viola', 'C4:0:8', eight)], eight);
    const ten = timelineOf(10);
    const inserted = published(
      'stage-03-three',
      [
        partOf('flute', 'C5:0:4 D5:4:4 B4:8:4 B5:12:4 E5:16:4 F5:20:4 G5:24:4 A5:28:4 G5:32:4 C5:36:4', ten),
        partOf('viola', 'C4:0:8 D4:8:8', ten),
      ],
      ten,
    );
    const document = await changesPage(dossier([first, short, inserted]));
    const lead = (step: string): string => document.querySelector(`#${step} .story-lead`)!.textContent;
    expect(lead('change-1')).toBe('Stage 2 adds Viola in bars 1–2.');
    expect(lead('change-2')).toBe('Stage 3 inserts bars 3–4, so that what followed stands 2 bars later.');
    const row = document.querySelector('#change-2 svg.chart-plot [data-part=viola]')!;
    // Bars 1 and 2 as before, 3 and 4 as new music.
    const width = (selector: string): number =>
      Number(/H([\d.]+)/.exec(row.querySelector(selector)!.getAttribute('d')!)![1]) -
      Number(/^M([\d.]+)/.exec(row.querySelector(selector)!.getAttribute('d')!)![1]);
    expect(width('.band') / width('.strip-same')).toBeCloseTo(1, 1);
  });

  it('sets density, register and balance before beside those after', () => {
    const rows = [...page.querySelectorAll('#change-1 .is-fixed tbody tr')].map((row) =>
      [...row.children].map((cell) => cell.textContent),
    );
    // Eight notes in eight bars, then eight and four.
    expect(rows).toContainEqual(['Notes in a bar, mean', '1.0', '1.5']);
    expect(rows).toContainEqual(['Parts that sound in a bar, mean', '1.0', '2.0']);
    expect(rows).toContainEqual(['Sounding pitch', 'C5 to A5', 'C4 to A5']);
  });

  it('says how much softer or louder, and what a part is called now', async () => {
    const named = (id: string, name: string, velocity: number): PublishedStage =>
      published(
        id,
        [
          flute,
          { ...partOf('horn-f', 'C4:0:8 D4:8:8 E4:16:8 F4:24:8'.replace(/:8(?= |$)/g, `:8:${velocity}`), eight), name },
        ],
        eight,
      );
    const document = await changesPage(
      dossier([named('stage-01-one', 'Horn', 100), named('stage-02-two', 'Horn 1', 50)]),
    );
    const lead = document.querySelector('#change-1 .story-lead')!.textContent;
    expect(lead).toMatch(/^Stage 2 makes Horn 1 about \d+\.\d dB softer; and renames Horn to Horn 1\.$/);
    // In half of its bars it is softer there, not throughout.
    const half = named('stage-02-two', 'Horn 1', 100);
    const [own, horn] = half.stage.parts;
    const notes = horn!.notes.map((note) => (note.startQuarters < 16 ? note : { ...note, velocity: 50 }));
    const partly = published('stage-02-two', [own!, { ...horn!, notes }], eight);
    const inBars = await changesPage(dossier([named('stage-01-one', 'Horn', 100), partly]));
    expect(inBars.querySelector('#change-1 .story-lead')!.textContent).toMatch(
      /^Stage 2 makes Horn 1 about \d+\.\d dB softer in bars 5–8; and renames Horn to Horn 1\.$/,
    );
  });

  it('has a word each for a line that was given, one that is doubled and one that enters later', async () => {
    const line = (from: number, to: number, pitches: string): string =>
      pitches
        .split(' ')
        .map((pitch, index) => `${pitch}:${4 * (from - 1) + 2 * index}:2`)
        .slice(0, 2 * (to - from + 1))
        .join(' ');
    const clarinet = (notes: string): Part => ({ ...partOf('clarinet-bflat', notes, eight), name: 'Clarinet' });
    const tones = 'C5 E5 D5 F5 E5 G5 F5 A5';
    const bass = partOf('cello', line(1, 4, 'C3 G3 D3 A3 E3 B3 F3 C4'), eight);
    const stageOfParts = (id: string, parts: readonly Part[]): PublishedStage => published(id, parts, eight);
    const before = stageOfParts('stage-01-one', [
      clarinet(`${line(1, 4, tones)} C5:16:16`),
      partOf('oboe', 'C5:16:8 D5:24:8', eight),
      bass,
    ]);
    const given = stageOfParts('stage-02-two', [
      clarinet('C5:16:16'),
      partOf('oboe', `${line(1, 4, tones)} C5:16:8 D5:24:8`, eight),
      bass,
    ]);
    const doubled = stageOfParts('stage-03-three', [
      clarinet(`${line(1, 4, tones.replaceAll('5', '4'))} C5:16:16`),
      ...given.stage.parts.slice(1),
    ]);
    const later = stageOfParts('stage-04-four', [
      ...doubled.stage.parts.slice(0, 2),
      partOf('cello', line(3, 4, 'E3 B3 F3 C4'), eight),
    ]);
    const document = await changesPage(dossier([before, given, doubled, later]));
    const text = (selector: string): string => document.querySelector(selector)!.textContent.trim();
    expect(text('#change-1 .story-lead')).toBe('Stage 2 gives the line of Clarinet in bars 1–4 to Oboe.');
    expect(text('#change-2 .story-lead')).toBe('Stage 3 lets Clarinet double Oboe an octave below in bars 1–4.');
    expect(text('#change-3 .story-lead')).toBe('Stage 4 lets Cello enter in bar 3 instead of bar 1.');
    // One thing was done each time: the sentence has it, and no list says it again.
    expect(document.querySelectorAll('.change-list')).toHaveLength(0);
  });

  it('quotes a note without a stage beside what it gives a reason for, where only one step did that', async () => {
    const reasons = async (memo: Partial<Memo>): Promise<readonly string[]> => {
      const { file, line, heading, markdown } = decision;
      const own: Memo = { file, line, heading, markdown, from: 1, to: 8, partIds: ['viola'], kind: 'decision' };
      const stray = { ...own, ...memo };
      const document = await changesPage(dossier([first, second, third], [stray]));
      return [...document.querySelectorAll('.change-why')].map((item) => item.textContent.trim());
    };
    // Its own words, and not its heading alone, give the reason.
    const why = 'Why: The singer stands in front of the violas. (note “A darker middle”, decision)';
    expect(await reasons({ partIds: ['flute'], from: 3, to: 3 })).toEqual([why]);
    // The violas came in one step and went down in the next.
    expect(await reasons({})).toEqual([]);
    expect(await reasons({ partIds: ['flute'], kind: 'question' })).toEqual([]);
    // Who names bars and nobody speaks of what was done there, not of a tempo that is another in more bars.
    expect(await reasons({ partIds: [], from: 6, to: 7 })).toEqual([]);
    expect(await reasons({ partIds: [], from: 3, to: 3 })).toEqual([why]);
    // What somebody remarked about the same bars and players may be about anything, a lamp or a bus: it is quoted, and not given as a reason.
    expect(await reasons({ partIds: ['flute'], kind: 'remark', heading: '' })).toEqual([
      'Note: The singer stands in front of the violas. (note, bars 1–8)',
    ]);
    // Of a long one how it begins, by whole sentences, and a way to the rest; of one that begins with a list its heading, as that of a note.
    const long = `The violas are *too* soft here. ${'They sit behind the singer and play into the curtain. '.repeat(6)}`;
    expect(await reasons({ partIds: ['flute'], from: 3, to: 3, markdown: long })).toEqual([
      `Why: The violas are too soft here. ${'They sit behind the singer and play into the curtain. '.repeat(3)}(note “A darker middle”, decision) more`,
    ]);
    // A heading that only says where, in whatever language, is no name of a note.
    expect(await reasons({ partIds: ['flute'], from: 3, to: 3, heading: 'Takt 3' })).toEqual([
      'Why: The singer stands in front of the violas. (note, decision)',
    ]);
    expect(await reasons({ partIds: ['flute'], from: 3, to: 3, markdown: '- softer\n- darker' })).toEqual([
      'Why: the decision “A darker middle”',
    ]);
    // A remark that ends with a question gives no reason.
    expect(await reasons({ partIds: ['flute'], kind: 'remark', markdown: 'Mal was Eigenes, aber zu viel?' })).toEqual(
      [],
    );
  });

  it('tells a note once, beside what it fits best, and names a decision beside the other parts that it is about', async () => {
    const lower = partOf('viola', 'C3:0:8 D3:8:8 E3:16:8 F3:24:8', eight);
    const other = partOf('flute', tune.replace('E5:8:4 F5:12:4', 'G5:8:4 A5:12:4'), eight);
    const stages = [published('stage-01-one', [flute, viola], eight), published('stage-02-two', [other, lower], eight)];
    const { file, line, markdown } = decision;
    const whys = async (memo: Pick<Memo, 'kind' | 'partIds'>): Promise<readonly string[]> => {
      const own: Memo = { file, line, markdown, heading: 'Middle', from: 1, to: 8, ...memo, stageId: 'stage-02-two' };
      const document = await changesPage(dossier(stages, [own]));
      return [...document.querySelectorAll('.change-list li:has(.change-why)')].map((item) => item.textContent.trim());
    };
    const reason = 'The singer stands in front of the violas.';
    expect(await whys({ kind: 'decision', partIds: ['flute', 'viola'] })).toEqual([
      'Flute: rewritten in bars 3–4. Why: the decision below',
      `Viola: an octave lower in bars 1–8. Why: ${reason} (note “Middle”, decision)`,
    ]);
    expect(await whys({ kind: 'remark', partIds: ['flute', 'viola'] })).toEqual([
      `Viola: an octave lower in bars 1–8. Note: ${reason} (note “Middle”)`,
    ]);
  });

  it('gives the reason of bars to the step in which the part that the note names was silenced there', async () => {
    const silent = partOf('viola', 'C4:0:8 E4:16:8 F4:24:8', eight);
    const other = tune.replace('E5:8:4 F5:12:4', 'G5:8:4 A5:12:4');
    const stages = [
      published('stage-01-one', [flute, viola], eight),
      published('stage-02-two', [flute, silent], eight),
      published('stage-03-three', [partOf('flute', other, eight), silent], eight),
    ];
    const { file, line, kind } = decision;
    const stepsOfNote = async (markdown: string): Promise<readonly string[]> => {
      const note: Memo = { file, line, kind, heading: 'Bars 3-4', markdown, from: 3, to: 4, partIds: [] };
      const document = await changesPage(dossier(stages, [note]));
      return [...document.querySelectorAll('[id^=change-]:has(.change-why)')].map((item) => item.id);
    };
    expect(await stepsOfNote('Without the viola.')).toEqual(['change-1']);
    // Both were done in these bars, and nobody is named.
    expect(await stepsOfNote('A clearing in the wood.')).toEqual([]);
  });

  it('counts the bars that differ besides a new pitch of the whole', async () => {
    const row = Array.from({ length: 32 }, (_, index) => (3 * index * index + index) % 7);
    const music = (names: string): string =>
      row.map((step, index) => `${names.split(' ')[step]!}:${String(index)}:1`).join(' ');
    const low = published('stage-01-low', [partOf('flute', music('C5 D5 E5 F5 G5 A5 B5'), eight)], eight);
    const raised = music('D5 E5 F#5 G5 A5 B5 C#6').replace(/\S+:31:1/, 'E6:31:1');
    const high = published('stage-02-high', [partOf('flute', raised, eight)], eight);
    const document = await changesPage(dossier([low, high]));
    expect([...document.querySelectorAll('#change-1 .change-list li')].map((item) => item.textContent.trim())).toEqual([
      'The whole piece sounds a major second higher.',
      'Flute: rewritten in bar 8.',
      'Besides the new pitch, 1 of 8 bars differ: bar 8.',
    ]);
    // Where everything stands higher, nothing plays as before.
    expect(document.querySelector('#change-1 .strip-same')).toBeNull();
    expect(document.querySelector('#change-1')!.textContent).not.toContain('Plays as before');
  });

  it('calls a part that doubles another now no rewriting, in strip and table', async () => {
    const line = 'C5:0:2 E5:2:2 D5:4:2 F5:6:2 E5:8:2 G5:10:2 F5:12:2 A5:14:2';
    const oboe = partOf('oboe', `${line} C5:16:8 D5:24:8`, eight);
    const clarinet = (notes: string): Part => ({
      ...partOf('clarinet-bflat', `${notes} E4:16:8 G4:24:8`, eight),
      name: 'Clarinet',
    });
    const other = 'B4:0:4 G4:4:4 A4:8:4 B4:12:4';
    const document = await changesPage(
      dossier([
        published('stage-01-one', [oboe, clarinet(other)], eight),
        published('stage-02-two', [oboe, clarinet(line.replaceAll('5:', '4:'))], eight),
      ]),
    );
    const table = [...document.querySelectorAll('#change-1 .numbers tbody tr')];
    expect(table.map((row) => [...row.children].map((cell) => cell.textContent))).toEqual([
      ['Clarinet', 'doubles Oboe an octave below', 'bars 1–4'],
    ]);
    const legend = [...document.querySelectorAll('#change-1 .chart-legend li')].map((item) => item.textContent.trim());
    expect(legend).toContain('Doubles the line of another part now');
    expect(legend).not.toContain('Rewritten');
  });

  it('calls a part that has the line of another now no rewriting, in strip and table, as the list does', () => {
    const bars = [3, 4];
    const change: StageChange = {
      ...dossier([second, third]).changes[0]!,
      given: [{ from: 'flute', to: 'viola', octaves: -1, bars }],
      edits: [
        { partId: 'flute', kind: 'silenced', bars, toldWith: 'given' },
        { partId: 'viola', kind: 'rewritten', bars, toldWith: 'given' },
      ],
    };
    const drawing = drawChange(second, third, change, commonBars([second.stage, third.stage], [change]));
    const legend = drawing.legend.map(({ text }) => text);
    expect(legend).toContain('Has the line of another part now');
    expect(legend).not.toContain('Rewritten');
    const said = JSON.stringify(drawing.table);
    expect(said).toMatch(/has the line of [^"]+ an octave lower/);
    expect(said).not.toContain('rewritten');
  });

  it('draws notes that were added or left out as that and as no rewriting, as the table says it', () => {
    const change: StageChange = {
      ...dossier([second, third]).changes[0]!,
      edits: [
        { partId: 'flute', kind: 'rewritten', how: 'thinned', bars: [3, 4] },
        { partId: 'viola', kind: 'rewritten', how: 'filled', bars: [5] },
      ],
    };
    const drawing = drawChange(second, third, change, commonBars([second.stage, third.stage], [change]));
    const legend = drawing.legend.map(({ text }) => text);
    expect(legend).toContain('Notes added, the others in their places');
    expect(legend).toContain('Notes left out, the others in their places');
    expect(legend).not.toContain('Rewritten');
    // Told by the sign in the frame: a stroke across, and one more upright where notes came; one for each bar.
    const { window } = new JSDOM(drawing.svg);
    const signs = ['flute', 'viola'].map((id) => {
      const row = window.document.querySelector(`[data-part="${id}"]`)!;
      expect(row.querySelectorAll('.strip-notes')).toHaveLength(1);
      const path = row.querySelector('.strip-level')!.getAttribute('d')!;
      return [path.match(/h/g)!.length, path.match(/v/g)?.length ?? 0];
    });
    expect(signs).toEqual([
      [2, 0],
      [1, 1],
    ]);
    const told = drawing.table.rows.filter(([name]) => name !== 'Bassoon').map(([, what]) => what);
    expect(told).toEqual(['thinned out, the notes left as before', 'notes added to those of before']);
    const revoiced: StageChange = {
      ...change,
      edits: [{ partId: 'viola', kind: 'rewritten', how: 'revoiced', bars: [5] }],
    };
    const other = drawChange(second, third, revoiced, commonBars([second.stage, third.stage], [revoiced]));
    expect(other.legend.map(({ text }) => text)).toContain('The same chords, tones of them in other octaves');
    expect(other.legend.map(({ text }) => text)).not.toContain('Rewritten');
  });

  it('tells in the sentence over a strip bars of other music apart from parts that are only re-timed', () => {
    const input = dossier([second, third]);
    const change: StageChange = {
      ...input.changes[0]!,
      parts: { ...input.changes[0]!.parts, added: [] },
      tempo: [],
      edits: [
        { partId: 'flute', kind: 'rewritten', bars: [3] },
        {
          partId: 'viola',
          kind: 'timing',
          bars: [1, 2, 3, 4, 5, 6, 7, 8],
          timing: { how: 'later', milliseconds: 30 },
        },
      ],
    };
    const common = commonBars([second.stage, third.stage], [change]);
    expect(drawChange(second, third, change, common).description).toBe(
      'Something was done to 1 of 3 parts, in bar 3; 1 part is re-timed.',
    );
  });

  it('says of bars that they were added at the end, and of others that they are written otherwise', async () => {
    const halves = timelineOf(20, { numerator: 2, denominator: 4 });
    const longer = 'C5:0:4 D5:4:4 E5:8:4 F5:12:4 G5:16:4 A5:20:4 G5:24:4 C5:28:4 E5:32:4 D5:36:4';
    const two = published('stage-02-two', [partOf('flute', longer, halves)], halves);
    const document = await changesPage(dossier([first, two]));
    expect(document.querySelector('#change-1 .story-lead')!.textContent).toBe(
      'Stage 2 adds bars 17–20 at the end; and writes what was bars 1–8 in 4/4 as 16 bars of 2/4, 1–16 now.',
    );
    expect([...document.querySelectorAll('#change-1 .change-list li')].map((item) => item.textContent.trim())).toEqual([
      'Bars 17–20 were added at the end.',
      'Bars 1–16 are in 2/4: they were bars 1–8 in 4/4, the same music.',
      'In all, 20 of 20 bars differ: bars 1–20.',
    ]);
  });

  it('tells a quantised part alone in its sentence', async () => {
    const offs = [0.03, -0.02, 0.015, -0.03, 0.025, -0.012, 0.02, -0.025];
    const byHand = tune
      .split(' ')
      .map((word, index) => {
        const [pitch, start] = word.split(':');
        return `${pitch}:${Number(start) + offs[index]!}:3.9`;
      })
      .join(' ');
    // The written music is the same in both: only the playing lies on the grid now.
    const { stage } = published('stage-02-two', [flute], eight);
    const hand = published('stage-01-one', [partOf('flute', byHand, eight)], eight);
    const written = {
      ...writtenOf(hand.stage),
      parts: writtenOf(hand.stage).parts.map((part) => ({
        ...part,
        notes: part.notes.map((note) => ({ ...note, start: Math.round(note.start / 96) * 96 })),
      })),
    };
    const document = await changesPage(dossier([{ ...hand, written }, publishedOf(stage)]));
    expect(document.querySelector('#change-1 .story-lead')!.textContent).toMatch(
      /^In stage 2 Flute is quantised: on the grid, from which it strayed by about \d+ ms, the written music unchanged\.$/,
    );
  });

  it('says so where nothing differs', async () => {
    const same = { ...first, stage: { ...first.stage, id: 'stage-02-same', title: 'same' } };
    const document = await changesPage(dossier([first, same]));
    expect(document.querySelector('#change-1 .story-lead')!.textContent).toBe(
      'In stage 2 nothing in the music differs.',
    );
    const step = document.querySelector('#change-1')!;
    expect(step.textContent.match(/nothing in the music differs/gi)).toHaveLength(1);
    expect(step.querySelectorAll('figure, table, .change-list')).toHaveLength(0);
    expect(step.textContent).toContain('As before: parts: 1; length: 8 bars');
  });
});

describe('the ruler that all strips share', () => {
  const longer = published(
    'stage-02-longer',
    [partOf('flute', 'C5:0:4 D5:4:4 B4:8:4 B5:12:4 E5:16:4 F5:20:4 G5:24:4 A5:28:4 G5:32:4 C5:36:4', timelineOf(10))],
    timelineOf(10),
  );

  it('has every bar of every stage once, so that a bar stands at one place in all of them', () => {
    const stages = [first, longer];
    const common = commonBars(
      stages.map(({ stage }) => stage),
      steps(stages),
    );
    expect(common.columns.map(({ number }) => number)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9, 10]);
    // Bars 3 and 4 were put in: what was bar 3 is bar 5 now.
    expect(common.columnOf('stage-01-sketch', 3)).toBe(4);
    expect(common.columnOf('stage-02-longer', 5)).toBe(4);
    expect(common.columnOf('stage-02-longer', 3)).toBe(2);
    expect(common.columnOf('stage-01-sketch', 9)).toBeUndefined();
  });

  it('keeps the place of a bar that was cut', async () => {
    const document = await changesPage(dossier([longer, { ...first, stage: { ...first.stage, id: 'stage-02-cut' } }]));
    expect(document.querySelector('#change-1 .story-lead')!.textContent).toBe(
      'Stage 2 cuts what was bars 3–4, so that what followed stands 2 bars earlier.',
    );
    const hits = [...document.querySelectorAll('#change-1 .hit rect')];
    expect(hits.map((hit) => hit.getAttribute('data-bar'))).toEqual(['1', '2', '3', '4', '5', '6', '7', '8']);
    const xs = hits.map((hit) => Number(hit.getAttribute('x')));
    expect(xs[2]! - xs[1]!).toBeCloseTo(3 * (xs[1]! - xs[0]!), 0);
  });
});
