/** What a reader does on the page while the line to listen from is there: clicks on bars, keys, links to bars. */
import { addressed } from '../feature.ts';
import { stageAt } from './stage-on-page.ts';

export interface Asked {
  readonly toggle: () => void;
  /** Plays from a bar of a stage. */
  readonly playFrom: (stageId: string, bar: number) => void;
  /** A link to a bar, or to a finding and its bars, was followed. */
  readonly follow: (place: LinkedPlace) => void;
  /** Goes so many bars on, or back. */
  readonly step: (bars: number) => void;
  /** Repeats from, or up to, the bar that is heard. */
  readonly repeatFrom: () => void;
  readonly repeatTo: () => void;
  /** The page is left for another. */
  readonly leave: () => void;
}

interface LinkedPlace {
  readonly stageId: string | undefined;
  readonly from: number;
  readonly to?: number;
}

function barUnder(target: EventTarget | null): { readonly stageId: string; readonly bar: number } | undefined {
  if (!(target instanceof Element) || target.closest('a, button') !== null) return undefined;
  const place = target.closest('[data-bar]');
  const stageId = stageAt(place);
  return place === null || stageId === undefined ? undefined : { stageId, bar: Number(place.getAttribute('data-bar')) };
}

/** The bar that the address names, or the bars of the finding that it leads to, in the list or in a score or chart. */
function linkedPlace(): LinkedPlace | undefined {
  const id = addressed();
  const target = document.getElementById(id);
  const bar = target?.getAttribute('data-bar');
  if (bar != null) return { stageId: stageAt(target), from: Number(bar) };
  const finding = document.getElementById(id.replace(/(?:score|map)-f(?=\d+$)/, 'finding-'));
  const { from, to } = finding?.dataset ?? {};
  return from === undefined ? undefined : { stageId: stageAt(finding), from: Number(from), to: Number(to) };
}

function onKey(event: KeyboardEvent, asked: Asked): void {
  // Ctrl and Alt together are how some keyboards write a bracket.
  if (event.defaultPrevented || event.metaKey || (event.ctrlKey && !event.altKey)) return;
  const target = event.target instanceof Element ? event.target : null;
  if (target?.closest('input, select, textarea, [contenteditable]') != null) return;
  if (event.key === '[') asked.repeatFrom();
  if (event.key === ']') asked.repeatTo();
  if (!event.altKey && event.key === 'ArrowLeft') asked.step(-1);
  if (!event.altKey && event.key === 'ArrowRight') asked.step(1);
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
    const place = linkedPlace();
    if (place !== undefined) asked.follow(place);
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
  addEventListener('pagehide', asked.leave, { signal });
  onLink();
  return () => {
    ending.abort();
  };
}
