/** Words for kinds of things that more than one page, chart or sentence names: the same thing has one name. */
import type { EntryKind, ExitKind } from './pacing.ts';

/** How a part comes in and how it leaves: `dal niente` and `al niente` as scores have it, else how it joins what sounds. */
export const ENTRY_AND_EXIT_WORDS: Readonly<Record<EntryKind | ExitKind, string>> = {
  'from-nothing': 'dal niente',
  'to-nothing': 'al niente',
  'at-once': 'direct',
  'under-sounding-note': 'overlapped',
};
