/** What one writes an answer with: a few words and lines to fill in, as on paper. */
import { button, element } from '../elements.ts';
import type { PageAnswer } from './answer-file.ts';

const KINDS: Readonly<Record<string, string>> = {
  remark: 'a remark',
  answer: 'an answer',
  decision: 'a decision',
  accepted: 'accepted as it is',
  mended: 'mended',
};

/** What may be said: of a finding also that it is accepted or mended. */
function kindsOf({ finding, question }: PageAnswer): readonly string[] {
  if (finding !== '') return ['accepted', 'mended', 'decision', 'remark'];
  return question !== '' ? ['answer', 'decision', 'remark'] : ['remark', 'decision'];
}

/** Whether there is anything in it to keep. */
export function saysSomething({ text, kind }: PageAnswer): boolean {
  return text.trim() !== '' || kind === 'accepted' || kind === 'mended';
}

function chooser(options: readonly (readonly [string, string])[], chosen: string): HTMLSelectElement {
  return element('select', '', ...options.map(([value, text]) => new Option(text, value, false, value === chosen)));
}

function labelled(text: string, field: HTMLElement): HTMLElement {
  return element('label', '', `${text} `, field);
}

export interface AnswerForm {
  readonly form: HTMLFormElement;
  readonly focus: () => void;
  /** Says what becomes of the words. */
  readonly tell: (text: string) => void;
}

interface Given {
  readonly answer: PageAnswer;
  /** To choose from; empty where bars and parts are given. */
  readonly parts: readonly string[];
  readonly isFree: boolean;
  readonly changed: (answer: PageAnswer) => void;
  readonly done: () => void;
  readonly removed: () => void;
}

/** A form for one answer; every change is handed on at once. */
export function answerForm({ answer, parts, isFree, changed, done, removed }: Given): AnswerForm {
  const words = element('textarea', '');
  words.rows = 4;
  words.value = answer.text;
  words.setAttribute('aria-label', 'What you answer');
  const from = element('input', '');
  from.value = answer.from;
  from.autocomplete = 'name';
  const bars = element('input', 'answer-bars');
  bars.value = answer.bars;
  bars.size = 7;
  const part = chooser([['', 'all parts'], ...parts.map((name) => [name, name] as const)], answer.parts[0] ?? '');
  const kind = chooser(
    kindsOf(answer).map((name) => [name, KINDS[name] ?? name] as const),
    answer.kind,
  );
  const status = element('span', 'answer-kept');
  status.setAttribute('role', 'status');
  const [end, away] = [button('Done'), button('Take away')];
  const free = isFree ? [labelled('for bars', bars), labelled('and', part)] : [];
  const form = element(
    'form',
    'answer-form',
    words,
    element('p', '', labelled('This is', kind), ...free, labelled('from', from)),
    element('p', '', end, away, status),
  );
  form.addEventListener('input', () => {
    const place = isFree ? { bars: bars.value, parts: part.value === '' ? [] : [part.value] } : {};
    changed({ ...answer, ...place, kind: kind.value, from: from.value, text: words.value, isSaved: false });
  });
  form.addEventListener('submit', (event) => {
    event.preventDefault();
    done();
  });
  end.addEventListener('click', done);
  away.addEventListener('click', removed);
  return {
    form,
    focus: () => {
      words.focus();
    },
    tell: (text) => {
      status.textContent = text;
    },
  };
}

/** An answer as it stands beside its place; the words in `Change` and `Take away` are its only controls. */
export function answerNote(answer: PageAnswer, change: () => void, remove: () => void): HTMLElement {
  const { kind, from, bars, parts, finding, text, isSaved } = answer;
  const place = finding === '' ? [bars === '' ? '' : `bars ${bars}`, parts.join(', ')] : [];
  const about = [`${KINDS[kind] ?? kind}${from === '' ? '' : ` from ${from}`}`, ...place, isSaved ? 'saved' : ''];
  const again = button('Change');
  const away = button('Take away');
  again.addEventListener('click', change);
  away.addEventListener('click', remove);
  return element(
    'div',
    'answer-own',
    element('p', 'answer-about', `Yours: ${about.filter((piece) => piece !== '').join(', ')} `, again, ' ', away),
    element('p', 'answer-words', text),
  );
}
