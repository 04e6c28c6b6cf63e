/** Many findings: a row a check, and a choice among them that can be sent as a link. */
import { JSDOM } from 'jsdom';
import { beforeAll, describe, expect, it } from 'vitest';
import { renderPages } from '../../src/publish/render/render-pages.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { bundledClient, testEffects } from '../support/effects.ts';
import { findingOf, publishedOf, smallDossier } from '../support/published.ts';

const timeline = timelineOf(40);
const parts = [
  partOf('flute', 'G5:0:160', timeline, { role: 'foreground' }),
  partOf('cello', 'G2:0:160', timeline),
] as const;
const [flute, cello] = parts.map(({ id }) => id) as [string, string];
const sections = [
  { name: 'A', from: 1, to: 20 },
  { name: 'B', from: 21, to: 40 },
];
const late = (bar: number) =>
  findingOf({ from: bar, to: bar, partIds: [flute], message: `Late in bar ${String(bar)}.` });
const low = (bar: number) =>
  findingOf({ rule: 'outside-range', level: 'fix', from: bar, to: bar + 1, partIds: [cello], message: 'Too low.' });

async function pageOf(findings: readonly ReturnType<typeof late>[]): Promise<string> {
  const stage = publishedOf(stageOf([...parts], timeline, { sections }), { findings });
  const pages = await renderPages(smallDossier({ stages: [stage], changes: [] }), { singleFile: false }, testEffects());
  return pages.find(({ fileName }) => fileName === 'index.html')!.html;
}

let many = '';
let few = '';

beforeAll(async () => {
  const bars = Array.from({ length: 20 }, (_, index) => 2 * index + 1);
  many = await pageOf([...bars.map(late), low(5), low(30)]);
  few = await pageOf([late(1), low(5)]);
});

/** The page with its script at work. */
function opened(html: string, address: string): JSDOM['window'] {
  return new JSDOM(html, {
    runScripts: 'dangerously',
    url: `https://example.invalid/index.html${address}`,
    beforeParse: (window) => {
      window.matchMedia = () => ({ matches: false }) as MediaQueryList;
      window.Element.prototype.scrollIntoView = () => undefined;
    },
  }).window;
}

function shown(document: Document): string[] {
  return [...document.querySelectorAll<HTMLElement>('#findings .findings > li')]
    .filter((item) => !item.hidden)
    .map((item) => item.id);
}

describe('twenty-two findings', () => {
  it('stand in one row a check, with their places on a line of all bars', () => {
    const { document } = new JSDOM(many).window;
    const rows = [...document.querySelectorAll('#findings details.check')];
    const text = (row: Element, what: string): string => row.querySelector(what)!.textContent;
    expect(rows.map((row) => [text(row, '.check-places'), row.querySelectorAll('.findings > li').length])).toEqual([
      ['2 places, bars 5–31', 2],
      ['20 places, bars 1–39', 20],
    ]);
    // One tick a place: bar 5 of 40 begins at a tenth of the line.
    const ticks = rows.map((row) =>
      row
        .querySelector('.check-ticks')!
        .getAttribute('d')!
        .match(/M[\d.]+/g)!,
    );
    expect(ticks.map((places) => places.length)).toEqual([2, 20]);
    expect(ticks[0]![0]).toBe('M60');
  });

  it('are all there without the script', () => {
    expect(new JSDOM(many).window.document.querySelectorAll('#findings .findings > li').length).toBe(22);
    expect(new JSDOM(many).window.document.querySelectorAll('select').length).toBe(0);
  });
});

it('two findings stand one by one', () => {
  const { document } = new JSDOM(few).window;
  expect(document.querySelectorAll('#findings details').length).toBe(0);
  expect(document.querySelectorAll('#findings .findings > li').length).toBe(2);
});

describe('the choice among findings', () => {
  it('is in the address, so that it can be sent', () => {
    const { document } = opened(many, `#findings?part=${cello}&section=2`);
    expect(shown(document)).toEqual(['finding-22']);
    expect(document.querySelector('.finding-choice [role=status]')!.textContent).toBe('1 of 22 findings');
    const hidden = [...document.querySelectorAll<HTMLElement>('#findings .finding-group')].filter((one) => one.hidden);
    expect(hidden.map((group) => group.className)).toEqual(['finding-group level-look']);
    expect(document.querySelector<HTMLDetailsElement>('details.check:not([hidden])')!.open).toBe(true);
  });

  it('goes into the address when it is made, by level, family, part or section', () => {
    const window = opened(many, '');
    const { document } = window;
    expect(shown(document).length).toBe(22);
    const chooser = document.querySelector<HTMLSelectElement>('.finding-choice select[name=family]')!;
    expect([...chooser.options].map((option) => option.textContent)).toEqual(['all', 'Woodwind', 'Strings']);
    chooser.value = 'strings';
    chooser.dispatchEvent(new window.Event('change', { bubbles: true }));
    expect(window.location.hash).toBe('#findings?family=strings');
    expect(shown(document)).toEqual(['finding-21', 'finding-22']);
    chooser.value = '';
    chooser.dispatchEvent(new window.Event('change', { bubbles: true }));
    expect(window.location.hash).toBe('#findings');
    expect(shown(document).length).toBe(22);
  });

  it('gives way to a link to a finding that it hides', () => {
    const window = opened(many, '#findings?level=fix');
    expect(shown(window.document).length).toBe(2);
    window.location.hash = '#finding-3';
    window.dispatchEvent(new window.Event('hashchange'));
    expect(shown(window.document).length).toBe(22);
  });

  it('takes no word that it does not know', () => {
    expect(shown(opened(many, '#findings?part=nobody').document).length).toBe(22);
  });

  it('is made by a script that the page brings along', () => {
    expect(bundledClient()).toContain('findings?');
  });
});
