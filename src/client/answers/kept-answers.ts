/**
 * Answers that are kept for the next visit, where the browser allows it. Each has an entry of its own, so that two windows of one dossier
 * take nothing from one another.
 */
import type { PageAnswer } from './answer-file.ts';

const PREFIX = 'arrangement-dossier-answer-';
const NAME = 'arrangement-dossier-name';

export interface KeptAnswers {
  /** Of this piece, in the order in which they were begun. */
  readonly all: () => readonly PageAnswer[];
  /** Keeps it, or its new words. */
  readonly put: (answer: PageAnswer) => void;
  readonly remove: (id: string) => void;
  /** Name under which the reader wrote last. */
  readonly name: () => string;
  readonly setName: (name: string) => void;
  /** False once the browser has refused: then they last as long as the page. */
  readonly isLasting: () => boolean;
}

function parsed(text: string | null): PageAnswer | undefined {
  try {
    const answer = JSON.parse(text ?? '') as Partial<PageAnswer> | null;
    return typeof answer?.id === 'string' && typeof answer.text === 'string' ? (answer as PageAnswer) : undefined;
  } catch {
    return undefined;
  }
}

/** The answers to a piece, by its title. */
export function keptAnswers(piece: string): KeptAnswers {
  // What this page has written, also where nothing is kept.
  const own = new Map<string, PageAnswer>();
  let ownName = '';
  let lasts = true;
  const attempt = <Result>(work: () => Result, otherwise: Result): Result => {
    try {
      return work();
    } catch {
      lasts = false;
      return otherwise;
    }
  };
  attempt(() => {
    localStorage.setItem(`${PREFIX}?`, '');
    localStorage.removeItem(`${PREFIX}?`);
  }, undefined);
  const stored = (): readonly PageAnswer[] =>
    attempt(
      () =>
        Object.keys(localStorage)
          .filter((key) => key.startsWith(PREFIX))
          .flatMap((key) => parsed(localStorage.getItem(key)) ?? []),
      [],
    );
  return {
    all: () => {
      const found = new Map(stored().map((answer) => [answer.id, answer]));
      if (!lasts) for (const [id, answer] of own) found.set(id, answer);
      return [...found.values()].filter((answer) => answer.piece === piece).sort((a, b) => (a.id < b.id ? -1 : 1));
    },
    put: (answer) => {
      own.set(answer.id, answer);
      attempt(() => {
        localStorage.setItem(PREFIX + answer.id, JSON.stringify(answer));
      }, undefined);
    },
    remove: (id) => {
      own.delete(id);
      attempt(() => {
        localStorage.removeItem(PREFIX + id);
      }, undefined);
    },
    name: () => attempt(() => localStorage.getItem(NAME), null) ?? ownName,
    setName: (name) => {
      ownName = name;
      attempt(() => {
        localStorage.setItem(NAME, name);
      }, undefined);
    },
    isLasting: () => lasts,
  };
}
