import { gzipSync } from 'node:zlib';
import { JSDOM } from 'jsdom';
import { beforeAll, describe, expect, it } from 'vitest';
import { renderPages } from '../../src/publish/render/render-pages.ts';
import { joinPages } from '../../src/publish/render/single-file.ts';
import { partOf, stageOf, timelineOf, arrangementOf } from '../support/arrangement.ts';
import { scrolledTo } from '../../src/client/stay.ts';
import { bundledClient, testEffects } from '../support/effects.ts';
import { publishedOf, readingsOf, smallDossier } from '../support/published.ts';

let html = '';
let numbers = '';
let joined = '';

beforeAll(async () => {
  const timeline = timelineOf(16);
  const names = ['Oboe', 'Flute', 'Bassoon', 'Horn'];
  const parts = names.map((name, index) => partOf('flute', 'G5:0:4', timeline, { name, players: index + 1 }));
  const stages = ['stage-01-a', 'stage-02-b'].map((id) => {
    const stage = stageOf(parts, timeline, { id });
    const levelAssumptions = [{ partId: parts[0]!.id, text: 'A figure.', assumed: false }];
    return publishedOf(stage, { readings: readingsOf(stage, { levelAssumptions }) });
  });
  const arrangement = arrangementOf(stages.map((published) => published.stage));
  const input = smallDossier({ arrangement, stages, changes: [] });
  const pages = await renderPages(input, { singleFile: false }, testEffects());
  html = pages[0]!.html;
  numbers = pages.find(({ fileName }) => fileName === 'numbers.html')!.html;
  joined = joinPages(await renderPages(input, { singleFile: true }, testEffects()), '');
});

/** The page with its own script run, at an address; jsdom does not know the policy, so the script is the page's only one. */
function opened(page: string, address = ''): JSDOM['window'] {
  return new JSDOM(page, {
    runScripts: 'dangerously',
    url: `https://example.invalid/${address}`,
    beforeParse: (window) => {
      window.matchMedia = () => ({ matches: false }) as MediaQueryList;
    },
  }).window;
}

function column(document: Document, index: number): string[] {
  return [...document.querySelectorAll('#at-a-glance-parts tbody tr')].map((row) => row.children[index]!.textContent);
}

describe('the page script', () => {
  it('is one small classic script: less than 15.5 kB gzip', () => {
    expect(gzipSync(bundledClient()).length).toBeLessThan(15_500);
    expect(bundledClient()).not.toMatch(/\b(import|export)\b|https?:/);
  });

  it('sorts a table by a column, names by the alphabet and numbers by size, and says which way', () => {
    const { document } = opened(html);
    const buttons = [...document.querySelectorAll<HTMLButtonElement>('#at-a-glance-parts .sort')];
    expect(column(document, 0)).toEqual(['Oboe', 'Flute', 'Bassoon', 'Horn']);
    buttons[0]!.click();
    expect(column(document, 0)).toEqual(['Bassoon', 'Flute', 'Horn', 'Oboe']);
    expect(buttons[0]!.parentElement?.getAttribute('aria-sort')).toBe('ascending');
    buttons[2]!.click();
    buttons[2]!.click();
    expect(column(document, 0)).toEqual(['Horn', 'Bassoon', 'Flute', 'Oboe']);
    expect(buttons[2]!.parentElement?.getAttribute('aria-sort')).toBe('descending');
    expect(buttons[0]!.parentElement?.hasAttribute('aria-sort')).toBe(false);
  });

  it('shows only the rows of a long table that hold the words', () => {
    const window = opened(numbers);
    const { document } = window;
    const table = document.querySelector('#register-chart table')!;
    const field = document.querySelector<HTMLInputElement>('#register-chart .filter input')!;
    field.value = '16';
    field.dispatchEvent(new window.Event('input'));
    const shown = [...table.querySelectorAll<HTMLTableRowElement>('tbody tr')].filter((row) => !row.hidden);
    expect(shown.map((row) => row.cells[0]!.textContent)).toEqual(['16']);
    expect(document.querySelector('#register-chart .filter')?.textContent).toContain('1 of 16 rows');
  });

  it('marks the bar under the pointer in the score and in every chart of the page, and no other', () => {
    const window = opened(html);
    const { document } = window;
    const bar = document.querySelector('#register .hit [data-bar="7"]')!;
    bar.dispatchEvent(new window.Event('pointerover', { bubbles: true }));
    const marked = [...document.querySelectorAll('.is-current')].filter((item) => item.hasAttribute('data-bar'));
    expect(marked.map((item) => item.getAttribute('data-bar'))).toEqual(['7', '7', '7', '7', '7']);
    document.body.dispatchEvent(new window.Event('pointerover', { bubbles: true }));
    expect(document.querySelectorAll('[data-bar].is-current').length).toBe(0);
  });

  it('says in words what the bar under the pointer shows, as long as the pointer is on it', () => {
    const window = opened(
      html.replace('data-bar="7" x="60"', 'data-bar="7" data-text="Bar 7: Oboe &lt;G5&gt;" x="60"'),
    );
    const { document } = window;
    const over = (place: Element): boolean => place.dispatchEvent(new window.Event('pointerover', { bubbles: true }));
    over(document.querySelector('#register .hit [data-bar="7"]')!);
    const line = document.querySelector('#register figure > .read-out')!;
    expect(line.textContent).toBe('Bar 7: Oboe <G5>');
    over(document.body);
    expect(line.textContent).toBe('');
  });

  it('shows the bar that the address names, and leads from a bar of a chart to the bar of the score', () => {
    const window = opened(html, '#bar-3');
    const { document } = window;
    expect(document.querySelectorAll('.is-linked').length).toBe(5);
    document.querySelector('#balance .hit [data-bar="5"]')!.dispatchEvent(new window.Event('click', { bubbles: true }));
    expect(window.location.hash).toBe('#bar-5');
  });

  it('leads to a bar that is typed, and says which bars there are where it is not one of them', () => {
    const { document, location, Event } = opened(html);
    const field = document.querySelector<HTMLInputElement>('.stay .bar-field input')!;
    const go = (bar: string): void => {
      field.value = bar;
      field.form!.dispatchEvent(new Event('submit', { cancelable: true }));
    };
    go('12');
    expect(location.hash).toBe('#bar-12');
    expect(field.validationMessage).toBe('');
    go('17');
    expect(location.hash).toBe('#bar-12');
    expect(field.validity.customError).toBe(true);
    expect(field.form!.textContent).toBe('Bar  of 16');
  });

  it('goes from bar to bar with the arrow keys and says each', () => {
    const window = opened(html);
    const { document } = window;
    window.Element.prototype.scrollIntoView = () => undefined;
    const box = document.querySelector('#balance .chart-scroll')!;
    const press = (key: string): boolean =>
      box.dispatchEvent(new window.KeyboardEvent('keydown', { key, bubbles: true, cancelable: true }));
    const said = (): string => document.querySelector('.spoken[role="status"]')!.textContent;
    for (const key of ['ArrowRight', 'ArrowRight', 'ArrowRight', 'ArrowLeft']) press(key);
    expect(said()).toBe('Bar 2');
    press('PageDown');
    expect(said()).toBe('Bar 12');
    expect([...box.querySelectorAll('.is-current')].map((bar) => bar.getAttribute('data-bar'))).toEqual(['12']);
  });

  it('keeps to the same stage in a single file', () => {
    const window = opened(joined);
    const { document } = window;
    const earlier = document.getElementById('stage-01-a__register')!;
    earlier.querySelector('.hit [data-bar="2"]')!.dispatchEvent(new window.Event('click', { bubbles: true }));
    expect(window.location.hash).toBe('#stage-01-a__bar-2');
  });

  it('changes the paper and says what the next press will do', () => {
    const { document } = opened(html);
    const button = document.querySelector<HTMLButtonElement>('.theme button')!;
    expect(button.textContent).toBe('Dark paper');
    button.click();
    expect(document.documentElement.dataset['theme']).toBe('dark');
    expect(button.textContent).toBe('Light paper');
  });

  it('opens closed tables for the printer and closes them again', () => {
    const window = opened(html);
    const closed = (): number => window.document.querySelectorAll('details:not([open])').length;
    const before = closed();
    expect(before).toBeGreaterThan(0);
    window.dispatchEvent(new window.Event('beforeprint'));
    expect(closed()).toBe(0);
    window.dispatchEvent(new window.Event('afterprint'));
    expect(closed()).toBe(before);
  });

  it('leaves the page as it is where a browser lacks something', () => {
    const window = new JSDOM(html, { runScripts: 'dangerously' }).window;
    // Without matchMedia the paper cannot be chosen; tables and bars still work.
    expect(window.document.querySelectorAll('.sort').length).toBeGreaterThan(0);
  });
});

describe('the list of sections in the bar that stays', () => {
  it('is not scrolled for its first link, wherever the bar has the list', () => {
    const list = { offsetLeft: 300, offsetWidth: 600 };
    expect(scrolledTo({ offsetLeft: 300, offsetWidth: 50 }, list)).toBe(0);
    expect(scrolledTo({ offsetLeft: 900, offsetWidth: 50 }, list)).toBe(400);
  });
});
