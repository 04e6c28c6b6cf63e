/** What `watch` needs of the outside world beside disk and terminal, handed in. */
import type { SiteAnswer, SiteRequest } from './watch-site.ts';

export interface OpenSite {
  /** Port of 127.0.0.1 on which it listens. */
  readonly port: number;
  /** Tells every page that is open that there is a newer build. */
  readonly announce: (build: number) => void;
  readonly close: () => Promise<void>;
}

export interface WatchEffects {
  /** Resolves after this time, or at once where the end is wanted. */
  readonly pause: (milliseconds: number) => Promise<void>;
  /**
   * Resolves after this time, or sooner where the system tells that something in one of these folders (absolute paths) has changed, or the
   * end is wanted. Not every disk tells.
   */
  readonly change: (folders: readonly string[], milliseconds: number) => Promise<void>;
  /**
   * Runs work that may compute for long without looking up: a wish to end the program is granted by the system at once meanwhile.
   */
  readonly interruptible: <T>(work: () => Promise<T>) => Promise<T>;
  /** Letters and digits that nobody can guess, for an address. */
  readonly secret: () => string;
  /** True once the user asked the program to end. */
  readonly isEndWanted: () => boolean;
  /** Milliseconds from some moment on, for telling how long a build took. */
  readonly clockMs: () => number;
  /**
   * Answers requests to 127.0.0.1 and to nowhere else; `port` 0 takes any that is free. Throws an InputError where the port
   * cannot be had.
   */
  readonly openSite: (port: number, answer: (request: SiteRequest) => Promise<SiteAnswer>) => Promise<OpenSite>;
}
