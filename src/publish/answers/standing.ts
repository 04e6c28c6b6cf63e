/** How questions and findings stand once readers have answered: open, answered, or answered in more than one way. */
import type { Memo, Question } from '../../model/music/arrangement.ts';
import type { Finding } from '../../model/readings/readings.ts';
import { listText } from '../../model/words/plain-words.ts';
import { topicOf } from './note-words.ts';

export interface Standing {
  readonly kind: 'open' | 'answered' | 'contradicted';
  /** All that was said to it, in order. */
  readonly answers: readonly Memo[];
  /** `Mara`, `Mara and Jon`: who closed it, or who contradict one another; '' where it is open. */
  readonly by: string;
}

function comparable(text: string): string {
  return text
    .normalize('NFKC')
    .toLowerCase()
    .replaceAll(/[^\p{L}\p{N}]+/gu, ' ')
    .trim();
}

/** What a question about the folder is called in an answer: the same from build to build, whatever bars it names. */
export function questionName({ code, partId }: Pick<Question, 'code' | 'partId'>): string {
  return partId === undefined ? code : `${code} ${partId}`;
}

function nameOf({ answer }: Memo): string {
  return answer === undefined || answer.from === '' ? 'somebody unsigned' : answer.from;
}

/** What an answer says, as far as it can be compared: yes or no where it begins so, else its words. */
function contentOf({ kind, markdown }: Memo): string {
  if (kind === 'accepted' || kind === 'mended') return kind;
  const words = comparable(markdown);
  return /^(yes|no)\b/.exec(words)?.[1] ?? words;
}

/** Of each who answered the last word alone. */
function lastWords(memos: readonly Memo[]): readonly Memo[] {
  const byName = new Map<string, Memo>();
  for (const memo of memos) {
    const key = comparable(memo.answer?.from ?? '') || `${memo.file}:${String(memo.line)}`;
    byName.delete(key);
    byName.set(key, memo);
  }
  return [...byName.values()];
}

function standingOf(answers: readonly Memo[]): Standing {
  const closing = lastWords(answers.filter(({ kind }) => kind !== 'remark' && kind !== 'question'));
  if (closing.length === 0) return { kind: 'open', answers, by: '' };
  const decisions = closing.filter(({ kind }) => kind === 'decision');
  const counting = decisions.length > 0 ? decisions : closing;
  const isOne = new Set(counting.map(contentOf)).size === 1;
  const by = listText([...new Set(counting.map(nameOf))]);
  return { kind: isOne ? 'answered' : 'contradicted', answers, by };
}

/** How the question of a name stands; a remark does not close it, and a decision goes before answers. */
function standingOfName(name: string, memos: readonly Memo[]): Standing {
  const wanted = comparable(name);
  return standingOf(
    memos.filter(({ answer }) => answer?.question !== undefined && comparable(answer.question) === wanted),
  );
}

/** How a question about the folder stands. */
export function standingOfQuestion(question: Pick<Question, 'code' | 'partId'>, memos: readonly Memo[]): Standing {
  return standingOfName(questionName(question), memos);
}

/** How a question of the notes stands: its name is its topic, which says no bars. */
export function standingOfNote(memo: Memo, memos: readonly Memo[]): Standing {
  return standingOfName(topicOf(memo), memos);
}

/** `Mara and Jon answer differently.`; '' where they do not. */
export function differenceText(standing: Standing | undefined): string {
  return standing?.kind === 'contradicted' ? `${standing.by} answer differently.` : '';
}

/** Whether an answer is to this finding: of its rule, and in bars and parts of it where it names any. */
function isAbout({ answer, from, to = from, partIds }: Memo, finding: Finding): boolean {
  if (answer?.finding !== finding.rule) return false;
  const meets = from === undefined || to === undefined || (from <= finding.to && to >= finding.from);
  const { partIds: its } = finding;
  return meets && (partIds.length === 0 || its.length === 0 || its.some((id) => partIds.includes(id)));
}

/** Answers that have a place, or need none. */
function isPlaced({ answer }: Memo): boolean {
  return answer?.was === undefined || answer.was.fate === 'moved';
}

/** How a finding stands; `memos` are those of its stage. */
export function standingOfFinding(finding: Finding, memos: readonly Memo[]): Standing {
  return standingOf(memos.filter((memo) => isPlaced(memo) && isAbout(memo, finding)));
}

/**
 * What became of the finding that an answer is about, in a sentence; '' where it is about none. `findings` are those of the stage in which
 * the answer stands.
 */
export function outcomeText(memo: Memo, findings: readonly Finding[]): string {
  const rule = memo.answer?.finding;
  if (rule === undefined) return '';
  if (!isPlaced(memo)) {
    return findings.some((finding) => finding.rule === rule)
      ? 'Whether the finding is still there cannot be told, as its place is not known.'
      : 'The finding is gone.';
  }
  const index = findings.findIndex((finding) => isAbout(memo, finding));
  const found = findings[index];
  if (found === undefined) return 'The finding is gone.';
  const number = `Finding ${String(index + 1)}`;
  if (memo.kind === 'mended') return `${number} is still there.`;
  if (memo.kind !== 'accepted' || found.accepted !== undefined) return '';
  return `The settings do not accept ${number.toLowerCase()} yet.`;
}
