/** Arrow keys that go from bar to bar in a score or chart, and say each bar to those who do not see it. */
import { element } from './elements.ts';
import { all } from './feature.ts';

const BOXES = '.chart-scroll, .wide-score';
const STEPS: Readonly<Record<string, number>> = { ArrowRight: 1, ArrowLeft: -1, PageDown: 10, PageUp: -10 };

/** What a chart of the page says about a bar; the charts of a page say different things, the first one with words is taken. */
function textOf(box: Element, bar: string): string {
  const own = box.querySelector(`[data-bar="${bar}"][data-text]`);
  const any = own ?? box.closest('.sheet')?.querySelector(`#entries [data-bar="${bar}"][data-text]`);
  return any?.getAttribute('data-text') ?? `Bar ${bar}`;
}

/** Findings and notes of the box that a bar lies in, by the titles of their flags. */
function flagsAt(box: Element, bar: string): readonly string[] {
  const place = box.querySelector(`[data-bar="${bar}"]`)?.getBoundingClientRect();
  if (place === undefined) return [];
  const middle = place.left + place.width / 2;
  const keys = all(box, '.place').flatMap((one) => {
    const { left, right, top, bottom } = one.getBoundingClientRect();
    const isOver = left <= middle && middle <= right && bottom >= place.top && top <= place.bottom;
    return isOver ? [...one.classList].filter((name) => /^[fn]\d+$/.test(name)) : [];
  });
  return [...new Set(keys)].map((key) => (key.startsWith('f') ? `finding ${key.slice(1)}` : `note ${key.slice(1)}`));
}

export function installBarKeys(): void {
  const voice = element('p', 'spoken');
  voice.setAttribute('role', 'status');
  document.body.append(voice);
  let current: readonly Element[] = [];
  document.addEventListener('keydown', (event) => {
    const step = STEPS[event.key];
    const box = event.target instanceof Element && event.target.matches(BOXES) ? event.target : null;
    if (step === undefined || box === null || event.altKey || event.ctrlKey || event.metaKey) return;
    const bars = [...new Set(all(box, '[data-bar]').map((bar) => bar.getAttribute('data-bar') ?? ''))];
    if (bars.length === 0) return;
    event.preventDefault();
    const before = bars.indexOf(current[0]?.getAttribute('data-bar') ?? '');
    const next = before < 0 ? 0 : Math.min(bars.length - 1, Math.max(0, before + step));
    const bar = bars[next] ?? '';
    for (const element of current) element.classList.remove('is-current');
    current = all(box, `[data-bar="${bar}"]`);
    for (const element of current) element.classList.add('is-current');
    current[0]?.scrollIntoView({ block: 'nearest', inline: 'nearest' });
    const flags = flagsAt(box, bar);
    voice.textContent = [textOf(box, bar), ...(flags.length === 0 ? [] : [flags.join(', ')])].join('; ');
    const readOut = box.closest('figure.chart')?.querySelector('.read-out > span');
    if (readOut !== null && readOut !== undefined) readOut.textContent = voice.textContent;
  });
}
