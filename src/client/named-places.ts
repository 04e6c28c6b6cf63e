/**
 * Marks all places of the finding or note that the address names. The page marks them by rules of its own where no script runs (`mark-style`);
 * these are put out of force, since on a long page they cost a tenth of a second at every step.
 */
import { addressed, all } from './feature.ts';

/** The finding or note that arrives at a place, as the class of all its places: `f3` of `at-f3`. */
function keyOf(target: Element | null): string | undefined {
  return [...(target?.classList ?? [])].find((name) => /^at-[fn]\d+$/.test(name))?.slice('at-'.length);
}

export function installNamedPlaces(): void {
  let named: readonly Element[] = [];
  const followAddress = (): void => {
    for (const place of named) place.classList.remove('is-named');
    const target = document.getElementById(addressed());
    const key = keyOf(target);
    named = key === undefined ? [] : all(target?.closest('.sheet') ?? document, `.place.${key}`);
    for (const place of named) place.classList.add('is-named');
  };
  addEventListener('hashchange', followAddress);
  followAddress();
  for (const style of all<HTMLStyleElement>(document, 'style.marks')) style.media = 'not all';
}
