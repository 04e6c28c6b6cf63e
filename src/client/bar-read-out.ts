/** One line at the foot of a chart that says what the bar under the pointer shows; the same stands in the chart's numbers. */
import { element } from './elements.ts';

/** The line of a chart, made when it is first needed; it lies over the chart and moves nothing. */
function lineOf(chart: Element): Element {
  const made = chart.querySelector(':scope > .read-out > span');
  if (made !== null) return made;
  const line = element('span', '');
  const picture = chart.querySelector(':scope > .chart-scroll');
  (picture ?? chart.lastElementChild)?.after(element('p', 'read-out', line));
  return line;
}

export function installBarReadOut(): void {
  let shown: Element | undefined;
  document.addEventListener('pointerover', (event) => {
    const bar = event.target instanceof Element ? event.target.closest('[data-text]') : null;
    const chart = bar?.closest('figure.chart') ?? undefined;
    if (shown !== undefined) shown.textContent = '';
    shown = chart === undefined ? undefined : lineOf(chart);
    if (shown !== undefined) shown.textContent = bar?.getAttribute('data-text') ?? '';
  });
}
