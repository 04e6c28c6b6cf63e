/** Progress of long work in the terminal: one line that is written again on a screen, a few plain lines elsewhere, nothing of short work. */
import type { Terminal } from '../model/effects.ts';
import type { OnProgress } from '../model/progress.ts';
import { plainLine } from '../terminal-text.ts';

/** Work that has not taken longer is short: nobody waits for a sign of it. */
const SHORT_MS = 2000;

/** Where lines cannot be written again, one stands for at least so much of the work. */
const LEAST_SHARE = 0.1;

/** Before so much is done nobody can tell how long the rest takes. */
const LEAST_KNOWN_SHARE = 0.05;

/** Longer lines are cut, so that they stay one in a window of the usual width. */
const MOST_CHARACTERS = 78;

/** Back to the first column, and what stands in the line erased (ECMA-48: CR, EL). */
const REWIND = '\r\u001b[K';

/** `about 20 s more`, `about 3 min more`; rounded, as it is an estimate; '' where nobody can tell. */
function remainingText(elapsedMs: number, share: number): string {
  if (share < LEAST_KNOWN_SHARE) return '';
  const seconds = (elapsedMs * (1 - share)) / share / 1000;
  if (seconds >= 90) return `, about ${String(Math.round(seconds / 60))} min more`;
  return `, about ${String(seconds > 10 ? Math.round(seconds / 5) * 5 : Math.max(1, Math.round(seconds)))} s more`;
}

export interface ProgressLines {
  readonly onProgress: OnProgress;
  /** To be called before anything else is printed: takes away what was to be written again. */
  readonly end: () => void;
}

/** `clockMs` counts from some moment on. */
export function progressLines(terminal: Terminal, clockMs: () => number): ProgressLines {
  const start = clockMs();
  let lastShare = -Infinity;
  let isLineThere = false;
  return {
    onProgress: (text, share) => {
      const elapsedMs = clockMs() - start;
      if (elapsedMs < SHORT_MS) return;
      const line = plainLine(`${String(Math.floor(share * 100))} %${remainingText(elapsedMs, share)}: ${text}`);
      const cut = line.slice(0, MOST_CHARACTERS).replace(/\p{Surrogate}$/u, '');
      if (terminal.isInteractive) {
        terminal.err(REWIND + cut);
        isLineThere = true;
      } else if (share - lastShare >= LEAST_SHARE) {
        terminal.err(`${cut}\n`);
        lastShare = share;
      }
    },
    end: () => {
      if (isLineThere) terminal.err(REWIND);
      isLineThere = false;
    },
  };
}
