/** What a reader does on the page while the line to listen from is there: clicks on bars, keys, links to bars. */
import { stageAt } from './stage-on-page.ts';

export interface Asked {
  readonly isPlaying: () => boolean;
  readonly toggle: () => void;
  /** Plays from a bar of a stage. */
  readonly playFrom: (stageId: string, bar: number) => void;
  /** Stands at a bar without playing. */
  readonly standAt: (bar: number) => void;
  /** Repeats from, or up to, the bar that is heard. */
  readonly repeatFrom: () => void;
  readonly repeatTo: () => void;
}

function barUnder(target: EventTarget | null): { readonly stageId: string; readonly bar: number } | undefined {
  if (!(target instanceof Element) || target.closest('a, button') !== null) return undefined;
  const place = target.closest('[data-bar]');
  const stageId = stageAt(place);
  return place === null || stageId === undefined ? undefined : { stageId, bar: Number(place.getAttribute('data-bar')) };
}

/** The bar that the address names. */
function linkedBar(): number | undefined {
  const bar = document.getElementById(decodeURIComponent(location.hash.slice(1)))?.getAttribute('data-bar');
  return bar == null ? undefined : Number(bar);
}

function onKey(event: KeyboardEvent, asked: Asked): void {
  // Ctrl and Alt together are how some keyboards write a bracket.
  if (event.defaultPrevented || event.metaKey || (event.ctrlKey && !event.altKey)) return;
  const target = event.target instanceof Element ? event.target : null;
  if (target?.closest('input, select, textarea, [contenteditable]') != null) return;
  if (event.key === '[') asked.repeatFrom();
  if (event.key === ']') asked.repeatTo();
  // A button or a summary has its own use for the space bar.
  if (event.key !== ' ' || target?.closest('button, summary') != null) return;
  event.preventDefault();
  asked.toggle();
}

/** Listens to the page; returns what ends it. */
export function attendToPage(asked: Asked): () => void {
  const ending = new AbortController();
  const { signal } = ending;
  const onClick = (event: MouseEvent): void => {
    const under = barUnder(event.target);
    if (under === undefined) return;
    // It would lead to the score otherwise.
    event.stopPropagation();
    asked.playFrom(under.stageId, under.bar);
  };
  const onLink = (): void => {
    const bar = linkedBar();
    if (bar !== undefined && !asked.isPlaying()) asked.standAt(bar);
  };
  document.addEventListener('click', onClick, { capture: true, signal });
  document.addEventListener(
    'keydown',
    (event) => {
      onKey(event, asked);
    },
    { signal },
  );
  addEventListener('hashchange', onLink, { signal });
  onLink();
  return () => {
    ending.abort();
  };
}
