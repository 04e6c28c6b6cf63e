/** Where one can answer on a page, and which answers stand where. */
import { firstAndLast } from '../bar-places.ts';
import { all } from '../feature.ts';
import type { PageAnswer } from './answer-file.ts';

export interface AnswerPlace {
  /** Holds the words "Answer this". */
  readonly opener: Element;
  /** Holds the answers, at its end. */
  readonly host: Element;
  readonly stage: string;
  readonly music: string;
  readonly finding: string;
  readonly question: string;
  readonly bars: string;
  readonly parts: readonly string[];
  /** For those who do not see what the words stand beside. */
  readonly label: string;
  /** Whether it stands beside nothing that "this" could mean, so that the words name it. */
  readonly isAlone?: true;
  /** First and last bar that it shows; absent where it is no line of a score. */
  readonly shows?: readonly [number, number];
  /** Whether bars and part can be chosen. */
  readonly isFree: boolean;
}

type Base = Pick<AnswerPlace, 'stage' | 'music' | 'finding' | 'question' | 'bars' | 'parts' | 'isFree'>;

function spanOf(from: string, to: string): string {
  return from === to ? from : `${from}-${to}`;
}

function findingPlaces(sheet: Element, base: Base): AnswerPlace[] {
  return all<HTMLElement>(sheet, 'li[data-rule]').flatMap((item) => {
    const { from = '', to = '', rule = '', parts = '' } = item.dataset;
    const [opener, host] = [item.querySelector('.finding-head'), item.querySelector('.finding-text')];
    if (opener === null || host === null) return [];
    const place = { finding: rule, bars: spanOf(from, to), parts: parts.split(' ').filter((id) => id !== '') };
    const number = opener.querySelector('.finding-number')?.textContent ?? '';
    return [{ ...base, ...place, isFree: false, opener, host, label: `finding ${number}` }];
  });
}

/** The question itself, and every line of the first screen that leads to it. */
function questionPlaces(sheet: Element, base: Base): AnswerPlace[] {
  const lines = all<HTMLAnchorElement>(sheet, '.asked > li > a:first-child').map((link) => ({
    host: link.closest('li'),
    asked: document.getElementById(link.hash.slice(1))?.dataset['question'],
    about: link.textContent,
  }));
  const itself = all<HTMLElement>(sheet, '[data-question]').map((host) => ({
    host,
    asked: host.dataset['question'],
    about: host.querySelector('h3')?.textContent ?? host.dataset['question'] ?? '',
  }));
  return [...lines, ...itself].flatMap(({ host, asked, about }) =>
    host === null || asked === undefined
      ? []
      : [
          {
            ...base,
            question: asked,
            isFree: false,
            opener: host.querySelector('.memo-place') ?? host,
            host,
            label: about,
          },
        ],
  );
}

function barPlaces(sheet: Element, base: Base): AnswerPlace[] {
  return all(sheet, 'figure.system').flatMap((host) => {
    const bars = all(host, '.bar-places [data-bar]');
    const opener = host.querySelector('figcaption');
    if (bars.length === 0 || opener === null) return [];
    const shows = firstAndLast(bars);
    const text = spanOf(String(shows[0]), String(shows[1]));
    return [{ ...base, bars: text, shows, opener, host, label: `bars ${text}` }];
  });
}

/** Below the instrumentation for parts, and at the end of the notes for all else. */
function otherPlaces(sheet: Element, base: Base): AnswerPlace[] {
  const table = sheet.querySelector('table[id$="at-a-glance-parts"]')?.closest('.scroll')?.parentElement;
  const notes = sheet.querySelector('[data-section="notes"]');
  const first = partNames(sheet)[0];
  return [
    ...(table == null || first === undefined
      ? []
      : [{ ...base, parts: [first], opener: table, host: table, label: 'a part', isAlone: true as const }]),
    ...(notes === null
      ? []
      : [{ ...base, opener: notes, host: notes, label: 'the whole piece', isAlone: true as const }]),
  ];
}

/** Names of the parts of the stage, as its instrumentation has them. */
export function partNames(sheet: Element): readonly string[] {
  return all(sheet, 'table[id$="at-a-glance-parts"] tbody th').map((cell) => cell.textContent.trim());
}

/** All places of a sheet that is about a stage; the last one takes what has no other. */
export function placesOf(sheet: HTMLElement): readonly AnswerPlace[] {
  const { stage = '', music = '' } = sheet.dataset;
  const base = { stage, music, finding: '', question: '', bars: '', parts: [], isFree: true };
  return [findingPlaces, questionPlaces, barPlaces, otherPlaces].flatMap((places) => places(sheet, base));
}

/** Whether an answer to this stage belongs to a place. */
export function belongs(answer: PageAnswer, place: AnswerPlace): boolean {
  if (place.finding !== '' || answer.finding !== '')
    return answer.finding === place.finding && answer.bars === place.bars && answer.parts.join() === place.parts.join();
  if (place.question !== '' || answer.question !== '') return answer.question === place.question;
  const bar = Number(/^\s*(\d+)/.exec(answer.bars)?.[1] ?? Number.NaN);
  if (place.shows !== undefined) return bar >= place.shows[0] && bar <= place.shows[1];
  return Number.isNaN(bar) && place.parts.length > 0 === answer.parts.length > 0;
}
