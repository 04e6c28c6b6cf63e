/** Elements that scripts add to a page. */

export function element<K extends keyof HTMLElementTagNameMap>(
  name: K,
  className: string,
  ...children: readonly (Node | string)[]
): HTMLElementTagNameMap[K] {
  const made = document.createElement(name);
  if (className !== '') made.className = className;
  made.append(...children);
  return made;
}

export function button(text: string, className = ''): HTMLButtonElement {
  const made = element('button', className, text);
  made.type = 'button';
  return made;
}
