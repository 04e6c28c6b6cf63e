/** The bar that stays: the field that leads to a bar, and the section and bars in sight. */
import { firstAndLast } from './bar-places.ts';
import { element } from './elements.ts';
import { all } from './feature.ts';

/** The part of the window that counts as being read: a little under its head. */
const READ_ROOT_MARGIN = '-20% 0px -70% 0px';

function barsOf(sheet: Element): ReadonlyMap<string, string> {
  const bars = new Map<string, string>();
  for (const anchor of all(sheet, '.bar-anchor[data-bar]')) bars.set(anchor.getAttribute('data-bar') ?? '', anchor.id);
  return bars;
}

/** A field `Bar [ ] of 48` at the end of the bar; a bar that the page does not have is said, not searched. */
function installBarField(sheet: Element, bar: Element): void {
  const bars = barsOf(sheet);
  const last = [...bars.keys()].at(-1);
  if (last === undefined) return;
  const field = element('input', '');
  field.inputMode = 'numeric';
  field.autocomplete = 'off';
  field.size = 4;
  const form = element('form', 'bar-field', element('label', '', 'Bar ', field), ` of ${last}`);
  bar.append(form);
  field.addEventListener('input', () => {
    field.setCustomValidity('');
  });
  form.addEventListener('submit', (event) => {
    event.preventDefault();
    const id = bars.get(field.value.trim());
    if (id === undefined) {
      field.setCustomValidity(`This page has bars ${[...bars.keys()][0] ?? ''} to ${last}.`);
      field.reportValidity();
      return;
    }
    // An address that stands there already is no change, and still asks for its place.
    if (location.hash === `#${id}`) document.getElementById(id)?.scrollIntoView();
    else location.hash = id;
  });
}

interface Placed {
  readonly offsetLeft: number;
  readonly offsetWidth: number;
}

/** How far a list is scrolled so that a link of it stands in its first third: both places are from the same edge, that of the bar. */
export function scrolledTo(link: Placed, list: Placed): number {
  return Math.max(0, link.offsetLeft - list.offsetLeft - list.offsetWidth / 3);
}

/** Marks the link of the section that is being read; of those beside one another the first. */
function installPresentSection(sheet: Element, bar: Element): void {
  const links = new Map(
    all<HTMLAnchorElement>(bar, 'a[href^="#"]').map((link) => [link.getAttribute('href')?.slice(1) ?? '', link]),
  );
  const list = bar.querySelector('ul');
  const sections = all(sheet, 'section[data-section]').filter(({ id }) => links.has(id));
  const seen = new Set<Element>();
  const observer = new IntersectionObserver(
    (entries) => {
      for (const { isIntersecting, target } of entries) {
        if (isIntersecting) seen.add(target);
        else seen.delete(target);
      }
      const present = links.get(sections.find((section) => seen.has(section))?.id ?? '');
      for (const link of links.values()) if (link !== present) link.removeAttribute('aria-current');
      present?.setAttribute('aria-current', 'true');
      if (present !== undefined && list !== null && list.scrollWidth > list.clientWidth)
        list.scrollLeft = scrolledTo(present, list);
    },
    { rootMargin: READ_ROOT_MARGIN },
  );
  for (const section of sections) observer.observe(section);
}

/** Shows on the line of bars which of them are being read. */
function installHere(sheet: Element): void {
  for (const section of all(sheet, 'section[data-section]')) {
    const pictures = all(section, '.overview > svg');
    if (pictures.length === 0) continue;
    const from = Number(pictures[0]?.getAttribute('data-from'));
    const count = Number(pictures[0]?.getAttribute('data-bars'));
    const observer = new IntersectionObserver(
      (entries) => {
        const seen = entries.filter(({ isIntersecting }) => isIntersecting).at(-1)?.target;
        if (seen === undefined) return;
        const [first, last] = firstAndLast(all(seen, '[data-bar]'));
        for (const picture of pictures) {
          const here = picture.querySelector('.overview-here');
          const unit = Number(picture.getAttribute('viewBox')?.split(' ')[2]) / Math.max(1, count);
          here?.setAttribute('x', String((first - from) * unit));
          here?.setAttribute('width', String((last - first + 1) * unit));
        }
      },
      { rootMargin: READ_ROOT_MARGIN },
    );
    for (const system of all(section, '.systems > .system')) observer.observe(system);
  }
}

export function installStay(): void {
  for (const bar of all(document, '.stay')) {
    const sheet = bar.closest('.sheet');
    if (sheet === null) continue;
    installBarField(sheet, bar);
    if (!('IntersectionObserver' in globalThis)) continue;
    installPresentSection(sheet, bar);
    installHere(sheet);
  }
}
