/** Keys that lead from finding to finding, or from the bars of one to those of the next where one has followed a link to them. */
import { element } from './elements.ts';
import { addressed, all } from './feature.ts';

/** The address of the neighbour of a finding's place, of the same kind: finding, its bars in the score, its bars on the map. */
function neighbour(hash: string, step: number): string | undefined {
  const match = /^(.*(?:finding-|score-f|map-f))(\d+)$/.exec(hash);
  const start = match?.[1] ?? 'finding-';
  for (let number = Number(match?.[2] ?? 0) + step; number > 0; number += step) {
    const id = `${start}${String(number)}`;
    if (document.getElementById(id) !== null) return id;
    // An accepted finding has no flag, so one may be missing; two are the end of the list.
    if (document.getElementById(`${start}${String(number + step)}`) === null) return undefined;
  }
  return undefined;
}

export function installFindingKeys(): void {
  if (document.querySelector('.findings > li') === null) return;
  document.addEventListener('keydown', (event) => {
    if (!event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) return;
    const step = event.key === 'ArrowDown' ? 1 : event.key === 'ArrowUp' ? -1 : 0;
    if (step === 0) return;
    const id = neighbour(addressed(), step);
    if (id === undefined) return;
    event.preventDefault();
    location.hash = id;
    const target = document.getElementById(id);
    target?.setAttribute('tabindex', '-1');
    target?.focus({ preventScroll: true });
  });
  for (const intro of all(document, '.part-findings > .intro'))
    intro.after(element('p', 'intro key-hint', 'Alt with the down or up arrow leads from finding to finding.'));
}
