/**
 * What was wrong with the input, as data. A problem is about what the user gave us (a file, a track, a line of the
 * settings, a word of the command line); a fault of our own is a thrown Error instead.
 *
 * This folder imports nothing, so that everything may import it.
 */

/**
 * How a problem bears on the outcome.
 * - `usage`: the command line is wrong; nothing is built (exit 2).
 * - `settings`: dossier.yaml or the front matter of a note is wrong; nothing is built (exit 2).
 * - `refused`: this file (or this part of it) could not be used; the rest of the folder is (exit 3 where nothing is left).
 * - `remark`: it was read, with an assumption or repair that the reader of the dossier should know.
 */
export type ProblemKind = 'usage' | 'settings' | 'refused' | 'remark';

/** One thing that was met while reading the user's input. All texts are untrusted and must be escaped where shown. */
export interface Problem {
  readonly kind: ProblemKind;
  /** Stable name in kebab-case, e.g. `truncated-track`, for tests and the data export. */
  readonly code: string;
  /** POSIX path relative to the input folder; '' where the command line or the folder itself is meant. */
  readonly file: string;
  /** 1-based line and column, for text files. */
  readonly line?: number;
  readonly column?: number;
  /** 1-based number of the track chunk, for MIDI files, and its name where it has one. */
  readonly track?: number;
  readonly trackName?: string;
  /** One sentence without the place: what is wrong, what was found, and what to do about it. Ends with a full stop. */
  readonly message: string;
}

/** Thrown to stop the flow where no result can be given; carries the problems that explain why. Never our own fault. */
export class InputError extends Error {
  readonly problems: readonly Problem[];
  constructor(problems: readonly Problem[]) {
    super(problems.map((problem) => problem.message).join(' '));
    this.name = 'InputError';
    this.problems = problems;
  }
}

/** One sentence that stops the flow: about the command line, or a place that cannot be read or written. */
export function usageError(code: string, message: string): InputError {
  return new InputError([{ kind: 'usage', code, file: '', message }]);
}

/** The place of a problem as people write it: `file:line:column`, or `file, track 3 “Violin”`; '' where there is none. */
export function placeOf(problem: Problem): string {
  let place = problem.file;
  if (problem.line !== undefined) {
    place += `:${problem.line}`;
    if (problem.column !== undefined) place += `:${problem.column}`;
  }
  if (problem.track !== undefined) {
    place += `${place === '' ? '' : ', '}track ${problem.track}`;
    if (problem.trackName !== undefined && problem.trackName !== '') place += ` “${problem.trackName}”`;
  }
  return place;
}
