/**
 * Names of unfinished work. A dossier is written into `.partial-RUN` inside its folder; while files are moved from there into their
 * place the same folder is called `.replacing-RUN`. The first may be thrown away at any time, the second holds what was there before.
 */

export const WORK_NAME = /^\.(partial|replacing)-([0-9a-f-]+)$/;

export function partialName(run: string): string {
  return `.partial-${run}`;
}

export function replacingName(run: string): string {
  return `.replacing-${run}`;
}

/** The run whose files are being moved, or undefined. */
export function replacingRun(name: string): string | undefined {
  const [, kind, run] = WORK_NAME.exec(name) ?? [];
  return kind === 'replacing' ? run : undefined;
}

/** The run that is being written, or undefined. */
export function partialRun(name: string): string | undefined {
  const [, kind, run] = WORK_NAME.exec(name) ?? [];
  return kind === 'partial' ? run : undefined;
}
