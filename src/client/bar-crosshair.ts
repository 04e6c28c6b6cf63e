/** The bar under the pointer, and the bar that the address names, shown in the score and in every chart of the page. */
import { byBar, SHOWN_BARS } from './bar-places.ts';
import { addressed, all } from './feature.ts';

function pageOf(element: Element): ParentNode {
  return element.closest('article') ?? document;
}

export function installBarCrosshair(): void {
  const known = new Map<ParentNode, ReturnType<typeof byBar>>();
  const sameBarAs = (element: Element): readonly Element[] => {
    const page = pageOf(element);
    const places = known.get(page) ?? byBar(all(page, SHOWN_BARS));
    known.set(page, places);
    return places.get(element.getAttribute('data-bar') ?? '') ?? [];
  };
  let current: readonly Element[] = [];
  const show = (elements: readonly Element[]): void => {
    for (const element of current) element.classList.remove('is-current');
    for (const element of elements) element.classList.add('is-current');
    current = elements;
  };
  const barUnder = (event: Event): Element | undefined =>
    event.target instanceof Element ? (event.target.closest('[data-bar]') ?? undefined) : undefined;

  document.addEventListener('pointerover', (event) => {
    const bar = barUnder(event);
    if (bar !== undefined) show(sameBarAs(bar));
    else if (current.length > 0) show([]);
  });
  document.addEventListener('click', (event) => {
    const bar = barUnder(event);
    if (bar?.closest('.hit') == null) return;
    // A bar of a chart leads to the same bar of the score.
    const place = pageOf(bar).querySelector(`.bar-anchor[data-bar="${bar.getAttribute('data-bar') ?? ''}"]`);
    if (place !== null) location.hash = place.id;
  });

  let linked: readonly Element[] = [];
  const followAddress = (): void => {
    for (const element of linked) element.classList.remove('is-linked');
    const target = document.getElementById(addressed());
    linked = target?.hasAttribute('data-bar') === true ? sameBarAs(target) : [];
    for (const element of linked) element.classList.add('is-linked');
    for (let details = target?.closest('details'); details; details = details.parentElement?.closest('details')) {
      details.open = true;
    }
  };
  addEventListener('hashchange', followAddress);
  followAddress();
}
