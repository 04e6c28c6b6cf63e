/** A button that chooses light or dark paper against the system's choice, and remembers it where the browser lets it. */
import { button, element } from './elements.ts';

const STORED_AS = 'arrangement-dossier-theme';

type Theme = 'light' | 'dark';

function stored(): Theme | undefined {
  try {
    const theme = localStorage.getItem(STORED_AS);
    return theme === 'light' || theme === 'dark' ? theme : undefined;
  } catch {
    return undefined;
  }
}

function remember(theme: Theme): void {
  try {
    localStorage.setItem(STORED_AS, theme);
  } catch {
    // A page opened from disk may have no storage; the choice then lasts as long as the page.
  }
}

export function installTheme(): void {
  const list = document.querySelector('.stages ul');
  if (list === null) return;
  const root = document.documentElement;
  const inForce = (): Theme =>
    (root.dataset['theme'] as Theme | undefined) ??
    (matchMedia('(prefers-color-scheme: dark)').matches ? 'dark' : 'light');
  const word = button('');
  list.append(element('li', 'theme', word));
  const label = (): void => {
    word.textContent = inForce() === 'dark' ? 'Light paper' : 'Dark paper';
  };
  const before = stored();
  if (before !== undefined) root.dataset['theme'] = before;
  label();
  word.addEventListener('click', () => {
    const theme: Theme = inForce() === 'dark' ? 'light' : 'dark';
    root.dataset['theme'] = theme;
    remember(theme);
    label();
  });
}
