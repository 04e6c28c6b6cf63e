/**
 * Chooses among the findings by part, family, section and level. The choice stands in the address (`#findings?level=fix&part=flute`), so that it
 * can be sent; without this script such a link shows all findings.
 */
import { element } from './elements.ts';
import { addressed, all } from './feature.ts';

type Choices = Readonly<Record<string, readonly (readonly [string, string])[]>>;

const LABELS: Readonly<Record<string, string>> = { part: 'Part', family: 'Family', section: 'Section', level: 'Level' };
const ADDRESS = '#findings?';

function chooserOf(key: string, values: readonly (readonly [string, string])[]): HTMLSelectElement {
  const options = values.map(([value, label]) => new Option(label, value));
  const chooser = element('select', '', new Option('all', ''), ...options);
  chooser.name = key;
  return chooser;
}

export function installFindingChoice(): void {
  const section = document.querySelector<HTMLElement>('#findings [data-choices]');
  if (section === null) return;
  const choices = JSON.parse(section.dataset['choices'] ?? '{}') as Choices;
  const line = element('p', 'filter finding-choice');
  const choosers = Object.entries(choices)
    .filter(([, values]) => values.length > 1)
    .map(([key, values]) => {
      const chooser = chooserOf(key, values);
      line.append(element('label', '', `${LABELS[key] ?? key} `, chooser), ' ');
      return chooser;
    });
  const count = element('span', '');
  count.setAttribute('role', 'status');
  line.append(count);
  section.before(line);

  const texts = all<HTMLElement>(section, '.finding-text');
  const show = (): void => {
    const wanted = choosers.filter(({ value }) => value !== '');
    let shown = 0;
    for (const text of texts) {
      const fits = wanted.every(({ name, value }) =>
        (text.getAttribute(`data-by-${name}`) ?? '').split(' ').includes(value),
      );
      const item = text.closest('li');
      if (item !== null) item.hidden = !fits;
      if (fits) shown += 1;
    }
    for (const box of all<HTMLElement>(section, '.check, .finding-group'))
      box.hidden = box.querySelector('.findings > li:not([hidden])') === null;
    // What was chosen is shown, not only the row that it stands in.
    for (const row of all<HTMLDetailsElement>(section, 'details.check'))
      if (wanted.length > 0 && !row.hidden) row.open = true;
    count.textContent = wanted.length === 0 ? '' : `${String(shown)} of ${String(texts.length)} findings`;
  };
  const followAddress = (): void => {
    const isChoice = location.hash.startsWith(ADDRESS);
    if (isChoice) {
      const asked = new URLSearchParams(location.hash.slice(ADDRESS.length));
      for (const chooser of choosers) {
        const value = asked.get(chooser.name) ?? '';
        chooser.value = [...chooser.options].some((option) => option.value === value) ? value : '';
      }
    } else {
      // A link to a finding that the choice hides is a wish to see it.
      const target = document.getElementById(addressed());
      if (target?.closest('li')?.hidden !== true) return;
      for (const chooser of choosers) chooser.value = '';
    }
    show();
    if (isChoice) document.getElementById('findings')?.scrollIntoView();
  };
  line.addEventListener('change', () => {
    const chosen = choosers
      .filter(({ value }) => value !== '')
      .map(({ name, value }): [string, string] => [name, value]);
    const words = new URLSearchParams(chosen).toString();
    show();
    history.replaceState(null, '', words === '' ? '#findings' : ADDRESS + words);
  });
  addEventListener('hashchange', followAddress);
  followAddress();
}
