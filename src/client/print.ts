/** Opens every closed table before printing and closes it again: for browsers whose print style cannot. */
import { all } from './feature.ts';

export function installPrinting(): void {
  let opened: HTMLDetailsElement[] = [];
  addEventListener('beforeprint', () => {
    opened = all<HTMLDetailsElement>(document, 'details:not([open])');
    for (const details of opened) details.open = true;
  });
  addEventListener('afterprint', () => {
    for (const details of opened) details.open = false;
    opened = [];
  });
}
