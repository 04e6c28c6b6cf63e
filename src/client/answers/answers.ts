/**
 * "Answer this": what a reader writes beside a bar, part, finding or question. It stands in the page, is kept where the browser allows, and
 * is saved as one file for the folder of the arrangement. Nothing is sent.
 */
import { button, element } from '../elements.ts';
import { all } from '../feature.ts';
import { answerFile, answerFileName, type PageAnswer } from './answer-file.ts';
import { answerForm, answerNote, saysSomething } from './answer-form.ts';
import { belongs, partNames, placesOf, type AnswerPlace } from './answer-places.ts';
import { keptAnswers, type KeptAnswers } from './kept-answers.ts';

const KEPT = 'Kept in this browser; save your answers to hand them on.';
const NOT_KEPT = 'This browser keeps nothing: save your answers before you leave the page.';
/** How long a browser may take to write a file before its address is taken back. */
const WRITING_MS = 60_000;

function download(name: string, text: string): void {
  const address = URL.createObjectURL(new Blob([text], { type: 'text/markdown' }));
  const link = element('a', '');
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => {
    URL.revokeObjectURL(address);
  }, WRITING_MS);
}

/** The words `Save my answers (3)` at the head of the page, there where there is something to save. */
function installSaving(kept: KeptAnswers, about: string, changed: () => void): () => void {
  const save = button('');
  const item = element('li', 'answer-save', save);
  const told = element('p', 'answer-told');
  told.setAttribute('role', 'status');
  document.querySelector('.stages ul')?.append(item);
  document.querySelector('.stages')?.append(told);
  save.addEventListener('click', () => {
    const answers = kept.all();
    const name = answerFileName(kept.name(), about);
    download(name, answerFile(answers));
    for (const answer of answers) kept.put({ ...answer, isSaved: true });
    changed();
    told.textContent = `Saved as ${name}: mail it, or put it into the folder of the arrangement.`;
  });
  return () => {
    const answers = kept.all();
    item.hidden = answers.length === 0;
    const older = answers.filter((answer) => answer.about !== about && !answer.isSaved).length;
    save.textContent = `Save my answers (${String(answers.length)})`;
    told.textContent =
      older === 0 ? '' : `${String(older)} of your answers to an earlier dossier of this piece are not saved yet.`;
  };
}

/** In the order in which answers are begun, and no other window's. */
function newId(): string {
  const [chance = 0] = crypto.getRandomValues(new Uint32Array(1));
  return `${Date.now().toString(36)}-${chance.toString(36)}`;
}

interface Placed {
  readonly place: AnswerPlace;
  readonly sheet: HTMLElement;
  /** Where its answers stand; in the page only while there are any. */
  readonly notes: HTMLElement;
}

export function installAnswers(): void {
  const { dossier: about = '', piece = '' } = document.documentElement.dataset;
  const kept = keptAnswers(piece);
  /** The answer that is being written. */
  let written: { readonly id: string; readonly form: HTMLElement } | undefined;

  const placed: Placed[] = all<HTMLElement>(document, 'article[data-stage]').flatMap((sheet) =>
    placesOf(sheet).map((place) => ({ place, sheet, notes: element('div', 'answers-own') })),
  );

  const fresh = ({ finding, question, stage, music, bars, parts }: AnswerPlace): PageAnswer => ({
    ...{ id: newId(), piece, about, isSaved: false },
    ...{ finding, question, stage, music, bars, parts, from: kept.name(), text: '' },
    kind: finding !== '' ? 'decision' : question !== '' ? 'answer' : 'remark',
    // The reader's own day, as a letter has it; Swedish writes it as ISO 8601 does.
    date: new Intl.DateTimeFormat('sv').format(),
  });

  const remove = (id: string): void => {
    const answer = kept.all().find((one) => one.id === id);
    if (answer !== undefined && !confirm('Take this answer away? Its words are lost.')) return;
    kept.remove(id);
    if (written?.id === id) close();
    show();
  };

  function close(): void {
    written?.form.remove();
    written = undefined;
  }

  const open = (at: Placed, answer: PageAnswer, opener: HTMLElement): void => {
    close();
    const { form, focus, tell } = answerForm({
      answer,
      parts: at.place.isFree ? partNames(at.sheet) : [],
      isFree: at.place.isFree,
      changed: (now) => {
        if (saysSomething(now)) kept.put(now);
        else kept.remove(now.id);
        kept.setName(now.from);
        tell(kept.isLasting() ? KEPT : NOT_KEPT);
        count();
      },
      done: () => {
        close();
        show();
        opener.focus();
      },
      removed: () => {
        remove(answer.id);
        if (written === undefined) opener.focus();
      },
    });
    tell(kept.isLasting() ? KEPT : NOT_KEPT);
    if (at.notes.isConnected) at.notes.before(form);
    else at.place.host.append(form);
    written = { id: answer.id, form };
    show();
    focus();
  };

  const count = installSaving(kept, about, show);

  function show(): void {
    const own = kept.all().filter((answer) => answer.about === about && answer.id !== written?.id);
    const shown = new Set<string>();
    for (const at of placed) {
      const { place, notes, sheet } = at;
      const isLast = place.host.matches('[data-section="notes"]');
      const here = own.filter(
        (answer) =>
          answer.stage === place.stage &&
          (belongs(answer, place) || (isLast && !shown.has(`${sheet.id} ${answer.id}`))),
      );
      for (const { id } of here) shown.add(`${sheet.id} ${id}`);
      notes.replaceChildren(
        ...here.map((answer) =>
          answerNote(
            answer,
            () => {
              open(at, answer, place.opener.querySelector<HTMLElement>('.answer-open') ?? notes);
            },
            () => {
              remove(answer.id);
            },
          ),
        ),
      );
      if (here.length === 0) notes.remove();
      else if (!notes.isConnected) place.host.append(notes);
    }
    count();
  }

  for (const at of placed) {
    const { isAlone = false, label } = at.place;
    const word = button(isAlone ? `Answer about ${label}` : 'Answer this', 'answer-open');
    if (!isAlone) word.setAttribute('aria-label', `Answer this: ${label}`);
    at.place.opener.append(' ', word);
    word.addEventListener('click', () => {
      open(at, fresh(at.place), word);
    });
  }
  addEventListener('storage', show);
  addEventListener('beforeunload', (event) => {
    if (!kept.isLasting() && kept.all().some(({ isSaved }) => !isSaved)) event.preventDefault();
  });
  show();
}
