/** Which stage a place of the page is about. */
import { all } from '../feature.ts';

/** Id of the stage on whose page an element stands. */
export function stageAt(element: Element | null): string | undefined {
  return element?.closest<HTMLElement>('article[data-stage]')?.dataset['stage'];
}

/** The stage whose page is in the middle of the window. */
export function stageInSight(): string | undefined {
  const articles = all<HTMLElement>(document, 'article[data-stage]');
  const middle = innerHeight / 2;
  const here = articles.find((article) => {
    const { top, bottom } = article.getBoundingClientRect();
    return top <= middle && bottom >= middle;
  });
  return stageAt(here ?? articles[0] ?? null);
}
