/** What a folder in memory gives, looked through for what must never reach a reader: a throw, a number that is none, a word of the machine's. */
import { prepareFolder } from '../../src/build.ts';
import type { Effects } from '../../src/model/effects.ts';
import { InputError } from '../../src/problems/problem.ts';
import { dataFiles } from '../../src/publish/publish-dossier.ts';
import { dossierRecord } from '../../src/publish/data/dossier-json.ts';
import { buildSheets } from '../../src/publish/page-data/build-sheets.ts';
import { renderPages } from '../../src/publish/render/render-pages.ts';
import type { MemoryEntry } from './memory-disk.ts';
import { memoryDisk } from './memory-disk.ts';

/** The words that JavaScript makes of what is not there; no text of `spoiltFolder` holds one. */
const MACHINE_WORDS = /\b(?:NaN|undefined|Infinity)\b|\[object \w+\]/;

const MOST_FAULTS = 5;

/** Places in a structure where a number is none or a text holds a machine's word. */
function lookThrough(found: unknown, path: string, faults: string[]): void {
  if (faults.length >= MOST_FAULTS) return;
  if (typeof found === 'number' && !Number.isFinite(found)) faults.push(`${path} is ${String(found)}`);
  if (typeof found === 'string') {
    const word = MACHINE_WORDS.exec(found);
    if (word !== null) faults.push(`${path}: … ${found.slice(Math.max(0, word.index - 60), word.index + 40)} …`);
  }
  if (typeof found !== 'object' || found === null) return;
  // Markup for the templates is a String object.
  if (found instanceof String) lookThrough(found.valueOf(), path, faults);
  else for (const [key, inner] of Object.entries(found)) lookThrough(inner, `${path}.${key}`, faults);
}

export interface FlowOutcome {
  /** Refused: sentences, and nothing else. */
  readonly kind: 'built' | 'refused' | 'thrown';
  /** Empty where all is well. */
  readonly faults: readonly string[];
}

/** Reads `/piece` and prepares all that would be written; `withPages` also renders the pages. */
export async function throughTheFlow(
  entries: Readonly<Record<string, MemoryEntry>>,
  effects: Effects,
  withPages: boolean,
): Promise<FlowOutcome> {
  const faults: string[] = [];
  try {
    const input = await prepareFolder(
      { folder: '/piece', singleFile: false },
      { ...effects, disk: memoryDisk(entries) },
    );
    lookThrough(input.arrangement.problems, 'problems', faults);
    lookThrough(buildSheets(input, false), 'sheets', faults);
    lookThrough(dossierRecord(input), 'dossier.json', faults);
    for (const { path, content } of dataFiles(input)) lookThrough(content(), path, faults);
    if (withPages) {
      const pages = await renderPages(input, { singleFile: false }, effects);
      // Style and script are ours, and the script speaks of `undefined`.
      for (const { fileName, html } of pages)
        lookThrough(html.replaceAll(/<(script|style)>[^]*?<\/\1>/g, ''), fileName, faults);
    }
    return { kind: 'built', faults };
  } catch (error) {
    if (!(error instanceof InputError)) {
      return { kind: 'thrown', faults: [error instanceof Error ? (error.stack ?? error.message) : String(error)] };
    }
    for (const { message } of error.problems)
      if (!/^[^\n]+\.$/.test(message)) faults.push(`not one sentence: ${message}`);
    lookThrough(error.problems, 'problems', faults);
    return { kind: 'refused', faults };
  }
}
