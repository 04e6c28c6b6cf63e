/** `check --open`: what is still to be done, in order of bars. */
import { join } from 'node:path';
import { outputFolder, readArrangement, settledFolder, type BuildOptions, type SettledFolder } from '../../build.ts';
import type { Disk, Effects } from '../../model/effects.ts';
import type { Arrangement, Memo } from '../../model/music/arrangement.ts';
import { memosOfStage } from '../../model/readings/memos-of-stage.ts';
import { barSpanText, counted, listText } from '../../model/words/plain-words.ts';
import type { Problem } from '../../problems/problem.ts';
import { acceptanceLines, offeredAcceptances } from '../../publish/answers/accepted-lines.ts';
import { kindText, movedText, topicOf } from '../../publish/answers/note-words.ts';
import {
  differenceText,
  outcomeText,
  standingOfFinding,
  standingOfNote,
  standingOfQuestion,
} from '../../publish/answers/standing.ts';
import { questionsOf } from '../../publish/questions.ts';
import { partNamer } from '../../publish/numbers-and-names.ts';

export interface OpenItem {
  readonly kind: 'question' | 'finding' | 'answer';
  /** First and last bar; absent where it is about the whole piece. */
  readonly from?: number;
  readonly to?: number;
  readonly parts: readonly string[];
  readonly text: string;
  /** Where it stands: `file, line 3`, or the rule of a finding; '' for a question about the folder. */
  readonly origin: string;
}

export interface OpenList {
  readonly stage: string;
  readonly items: readonly OpenItem[];
  /** Whether a dossier of the folder was there to tell which answers are new. */
  readonly knowsLastBuild: boolean;
  /** What was met while reading. */
  readonly problems: readonly Problem[];
  /** Lines for `accepted` in the settings. */
  readonly acceptances: readonly string[];
}

/** Hashes of the files that the last build was made from; undefined where there is none that can be read. */
async function lastFiles(folder: string, disk: Disk): Promise<ReadonlySet<string> | undefined> {
  try {
    const text = new TextDecoder().decode(await disk.read(join(folder, 'dossier.json')));
    const { files } = JSON.parse(text) as { readonly files?: readonly { readonly sha256?: unknown }[] };
    return files === undefined ? undefined : new Set(files.map(({ sha256 }) => String(sha256)));
  } catch {
    return undefined;
  }
}

function placed(memo: Memo, nameOf: (id: string) => string): Pick<OpenItem, 'from' | 'to' | 'parts' | 'origin'> {
  const { from, to = from, partIds, file, line } = memo;
  const bars = from === undefined || to === undefined ? {} : { from, to };
  return { ...bars, parts: partIds.map(nameOf), origin: `${file}, line ${String(line)}` };
}

const sentences = (...texts: readonly string[]): string => texts.filter((text) => text !== '').join(' ');

function questionItems({ arrangement, current }: SettledFolder, nameOf: (id: string) => string): readonly OpenItem[] {
  const { memos } = arrangement;
  const ofFolder = questionsOf(current).flatMap((question): OpenItem[] => {
    const standing = standingOfQuestion(question, memos);
    if (standing.kind === 'answered') return [];
    return [{ kind: 'question', parts: [], text: sentences(question.text, differenceText(standing)), origin: '' }];
  });
  const ofNotes = memos.flatMap((memo): OpenItem[] => {
    const standing = standingOfNote(memo, memos);
    if (memo.kind !== 'question' || standing.kind === 'answered') return [];
    return [{ kind: 'question', ...placed(memo, nameOf), text: sentences(topicOf(memo), differenceText(standing)) }];
  });
  return [...ofFolder, ...ofNotes];
}

function findingItems(
  { current }: SettledFolder,
  memos: readonly Memo[],
  nameOf: (id: string) => string,
): readonly OpenItem[] {
  return current.findings.flatMap((finding): OpenItem[] => {
    const standing = standingOfFinding(finding, memos);
    if (finding.accepted !== undefined || standing.kind === 'answered') return [];
    const { from, to, partIds, message, rule } = finding;
    const text = sentences(message, differenceText(standing));
    return [{ kind: 'finding', from, to, parts: partIds.map(nameOf), text, origin: rule }];
  });
}

function answerItems(
  { arrangement, current }: SettledFolder,
  known: ReadonlySet<string>,
  nameOf: (id: string) => string,
): readonly OpenItem[] {
  const isNew = ({ file }: Memo, { files }: Arrangement): boolean =>
    !known.has(files.find(({ path }) => path === file)?.sha256 ?? '');
  return arrangement.memos.flatMap((memo): OpenItem[] => {
    if (memo.answer === undefined || !isNew(memo, arrangement)) return [];
    const said = `${kindText(memo)}${memo.markdown === '' ? '.' : `: ${topicOf(memo)}`}`;
    const text = sentences(said, movedText(memo), outcomeText(memo, current.findings));
    return [{ kind: 'answer', ...placed(memo, nameOf), text }];
  });
}

/** Reads and judges a folder and lists what is open. Throws an InputError as `check` does. */
export async function openList(
  options: Pick<BuildOptions, 'folder' | 'stage' | 'memory' | 'onProgress'>,
  effects: Effects,
): Promise<OpenList> {
  const settled = settledFolder(await readArrangement(options, effects), options);
  const { arrangement, current } = settled;
  const memos = memosOfStage(arrangement.memos, current.stage.id, true);
  const known = await lastFiles(outputFolder(options), effects.disk);
  const nameOf = partNamer(...arrangement.stages);
  const items = [
    ...questionItems(settled, nameOf),
    ...findingItems(settled, memos, nameOf),
    ...answerItems(settled, known ?? new Set(), nameOf),
  ];
  return {
    stage: current.stage.title,
    problems: arrangement.problems,
    items: items.sort((a, b) => (a.from ?? -1) - (b.from ?? -1) || (a.to ?? -1) - (b.to ?? -1)),
    knowsLastBuild: known !== undefined,
    acceptances: acceptanceLines(offeredAcceptances(current.findings, memos)),
  };
}

/** The list as lines for the terminal; untrusted text in it is the printer's to clean. */
export function openLines({ stage, items, knowsLastBuild, acceptances }: OpenList): readonly string[] {
  const count = (kind: OpenItem['kind']): number => items.filter((item) => item.kind === kind).length;
  const answers = `${counted(count('answer'), 'answer')}${knowsLastBuild ? ' since the last build' : ' (no dossier says which are new)'}`;
  const head = `${stage}: ${listText([counted(count('question'), 'open question'), `${counted(count('finding'), 'finding')} without an answer`, answers])}.`;
  const lines = items.map(({ kind, from, to, parts, text, origin }) => {
    const bars = from === undefined ? 'the whole piece' : barSpanText(from, to ?? from);
    const place = [bars, listText(parts, 4)].filter((piece) => piece !== '').join(', ');
    return `  ${kind.padEnd(8)}  ${place}: ${text}${origin === '' ? '' : ` [${origin}]`}`;
  });
  const offer =
    acceptances.length === 0
      ? []
      : ['Readers accepted findings. To accept them, put these lines into dossier.yaml:', 'accepted:', ...acceptances];
  return [head, ...lines, ...offer];
}
