/** The word "Listen" at the head of the page and at every finding. */
import { button, element } from '../elements.ts';
import { all } from '../feature.ts';
import { openListening, type Listening } from './listening.ts';
import { keptPlace } from './kept-place.ts';
import { hasSketches } from './page-sketches.ts';
import { stageAt } from './stage-on-page.ts';

export function installListening(): void {
  const list = document.querySelector('.stages ul');
  if (list === null || !hasSketches() || !('AudioContext' in globalThis)) return;
  let listening: Listening | undefined;
  let opener: HTMLElement | undefined;
  const opened = (by: HTMLElement): Listening => {
    opener ??= by;
    listening ??= openListening(() => {
      listening = undefined;
      opener?.focus();
      opener = undefined;
    });
    return listening;
  };
  const toTheLine = (): void => {
    document.querySelector<HTMLElement>('.listen-go')?.focus({ preventScroll: true });
  };
  const word = button('Listen');
  list.append(element('li', 'listen-open', word));
  word.addEventListener('click', () => {
    if (listening === undefined) opened(word).toggle();
    toTheLine();
  });
  for (const finding of all<HTMLElement>(document, 'article[data-stage] .findings > li[data-from]')) {
    const [from, to] = [finding.dataset['from'] ?? '', finding.dataset['to'] ?? ''];
    const hear = button('Listen', 'finding-listen');
    hear.setAttribute('aria-label', from === to ? `Listen to bar ${from}` : `Listen to bars ${from} to ${to}`);
    finding.querySelector('.finding-head')?.append(' ', hear);
    hear.addEventListener('click', () => {
      const isNew = listening === undefined;
      opened(hear).playBars(stageAt(finding), Number(from), Number(to));
      if (isNew) toTheLine();
    });
  }
  // It stays from page to page until it is put away.
  if (keptPlace() !== undefined) opened(word);
}
