/** Shows in the scores and charts of the page where the music is: a line that moves through the bar, or the bar alone where motion is unwelcome. */
import { byBar, SHOWN_BARS } from '../bar-places.ts';
import { all } from '../feature.ts';

export interface SoundingBar {
  readonly show: (bar: number, share: number) => void;
  readonly hide: () => void;
}

interface Shown {
  readonly bar: number;
  readonly places: readonly Element[];
  /** Lines with the left edge and the width of their bar. */
  readonly lines: readonly { readonly line: Element; readonly x: number; readonly width: number }[];
}

function numberOf(element: Element, name: string): number {
  return Number(element.getAttribute(name) ?? 0);
}

function addLine(place: Element): Shown['lines'][number] {
  const line = document.createElementNS(place.namespaceURI, 'line');
  const y = numberOf(place, 'y');
  line.setAttribute('class', 'sounding-line');
  line.setAttribute('y1', String(y));
  line.setAttribute('y2', String(y + numberOf(place, 'height')));
  place.parentNode?.append(line);
  return { line, x: numberOf(place, 'x'), width: numberOf(place, 'width') };
}

function isInSight(element: Element): boolean {
  const { top, bottom, height } = element.getBoundingClientRect();
  return height > 0 && bottom > 0 && top < innerHeight;
}

/** Turns the page to the next system of the score when the music leaves the one that is being read. */
function follow(before: readonly Element[], now: readonly Element[], isCalm: boolean): void {
  const inScore = (element: Element): boolean => element.closest('.system-sheet') !== null;
  if (!before.some((element) => inScore(element) && isInSight(element))) return;
  const places = now.filter((element) => inScore(element) && element.getBoundingClientRect().height > 0);
  if (places.length === 0 || places.some(isInSight)) return;
  places[0]?.scrollIntoView({ block: 'center', behavior: isCalm ? 'auto' : 'smooth' });
}

/** Bars of every stage on the page are marked by their number: bar 12 is bar 12 in each. */
export function createSoundingBar(): SoundingBar {
  const calm = matchMedia('(prefers-reduced-motion: reduce)');
  let places: ReturnType<typeof byBar> | undefined;
  let shown: Shown | undefined;
  const placesOf = (bar: number): readonly Element[] => {
    places ??= byBar(all(document, `article[data-stage] ${SHOWN_BARS}`));
    return places.get(String(bar)) ?? [];
  };
  const hide = (): void => {
    for (const place of shown?.places ?? []) place.classList.remove('is-sounding');
    for (const { line } of shown?.lines ?? []) line.remove();
    shown = undefined;
  };
  return {
    show: (bar, share) => {
      if (shown?.bar !== bar) {
        const before = shown?.places ?? [];
        hide();
        const now = placesOf(bar);
        for (const place of now) place.classList.add('is-sounding');
        shown = { bar, places: now, lines: calm.matches ? [] : now.map(addLine) };
        follow(before, now, calm.matches);
      }
      for (const { line, x, width } of shown.lines) {
        const place = (x + width * share).toFixed(1);
        line.setAttribute('x1', place);
        line.setAttribute('x2', place);
      }
    },
    hide,
  };
}
