/**
 * Answers that readers of a dossier wrote: a file of notes whose head says who wrote it or which dossier is meant, and in which any number
 * of answers follow one another, each with front matter of its own. They come from anybody: what is wrong in one is told and stops nothing,
 * and its text is kept.
 */
import type { Problem } from '../../problems/problem.ts';
import { cleanText } from '../clean-text.ts';
import type { RawMemo } from '../raw.ts';
import { frontMatterRows } from '../settings/settings-table.ts';
import { ANSWER_KINDS, readFrontMatter, type FrontMatterReading } from './front-matter.ts';

/** What only the front matter of an answer has. */
const SIGN = new RegExp(
  `^(?:from|about|music|question|finding)\\s*:|^kind\\s*:\\s*["']?(?:${[...ANSWER_KINDS].join('|')})\\b`,
);
/** Any line of front matter. */
const KEY = new RegExp(`^(?:${Object.keys(frontMatterRows).join('|')})\\s*:`);
/** Lines of front matter that are looked through for the sign of an answer. */
const MOST_LINES = 40;
const MOST_ANSWERS = 1000;
/** Parts that one answer names. */
const MOST_PARTS = 40;
const MOST_PROBLEMS = 20;
const LONGEST_NAME = 60;

const isFence = (line: string | undefined): boolean => line?.trimEnd() === '---';
const isEnd = (line: string | undefined): boolean => isFence(line) || line?.trimEnd() === '...';

/** Whether a note, given as lines, is a file of answers. */
export function isAnswerFile(lines: readonly string[]): boolean {
  if (!isFence(lines[0])) return false;
  const end = lines.findIndex((line, index) => index > 0 && isEnd(line));
  return lines.slice(1, Math.min(end < 0 ? MOST_LINES : end, MOST_LINES)).some((line) => SIGN.test(line));
}

/** Index of the first line of each answer. */
function beginnings(lines: readonly string[]): readonly number[] {
  const found = [0];
  let isHead = true;
  for (let index = 1; index < lines.length; index++) {
    if (isHead) isHead = !isEnd(lines[index]);
    else if (isFence(lines[index]) && KEY.test(lines[index + 1] ?? '')) {
      found.push(index);
      isHead = true;
    }
  }
  return found;
}

/** What a head with faults still says: who wrote it, as text. */
function saidOf(lines: readonly string[]): string {
  const line = lines.find((one) => /^from\s*:/.test(one)) ?? '';
  return cleanText(line.replace(/^from\s*:\s*/, ''), LONGEST_NAME);
}

function told(problem: Problem): Problem {
  return {
    ...problem,
    kind: 'remark',
    message: `${problem.message.replace(/\.$/, '')}; the answer is shown without what its head says.`,
  };
}

interface Head {
  readonly front: FrontMatterReading;
  readonly problems: readonly Problem[];
}

function headOf(lines: readonly string[], file: string, before: number): Head {
  const front = readFrontMatter(lines, file, before);
  if (front.problems.length === 0) return { front, problems: [] };
  // A head that nothing closes may hold the text as well.
  const lineCount = front.lineCount === lines.length ? 1 : front.lineCount;
  const plain = { parts: [], kind: 'remark', lineCount, problems: [] } as const;
  return {
    front: { ...plain, answer: { from: saidOf(lines.slice(0, MOST_LINES)) } },
    problems: front.problems.map(told),
  };
}

/**
 * Reads a file of answers, given as lines. The first head speaks for those after it where they do not say who wrote them, when, and about
 * which dossier. `stageFolder`: the stage in whose folder the file lies, if any. Every problem is a remark.
 */
export function readAnswers(
  lines: readonly string[],
  file: string,
  stageFolder: string | undefined,
): { readonly memos: readonly RawMemo[]; readonly problems: readonly Problem[] } {
  const memos: RawMemo[] = [];
  const problems: Problem[] = [];
  const starts = beginnings(lines);
  const first = headOf(lines.slice(0, starts[1]), file, 0).front;
  for (const [index, start] of starts.entries()) {
    const own = lines.slice(start, starts[index + 1]);
    const { front, problems: wrong } = headOf(own, file, start);
    problems.push(...wrong);
    const { bars, parts, kind, date = first.date } = front;
    const stage = front.stage ?? (stageFolder === undefined ? undefined : { content: stageFolder, line: 1, column: 1 });
    const markdown = own.slice(front.lineCount).join('\n').trim();
    const line = start + 1;
    // The head of the file alone; an acceptance needs no words.
    if (markdown === '' && kind !== 'accepted' && kind !== 'mended') {
      if (index > 0 || starts.length === 1) {
        const message = 'This answer has no words under its head, so there is nothing to show: write them there.';
        problems.push({ kind: 'remark', code: 'empty-answer', file, line, column: 1, message });
      }
      continue;
    }
    if (memos.length === MOST_ANSWERS) {
      const message = `The file has more than ${String(MOST_ANSWERS)} answers; the rest was left out: split it into several files.`;
      problems.unshift({ kind: 'remark', code: 'too-many-answers', file, line, column: 1, message });
      break;
    }
    if (parts.length > MOST_PARTS) {
      const message = `This answer names more than ${String(MOST_PARTS)} parts; it is shown with the first of them: leave “parts” out where all are meant.`;
      problems.push({ kind: 'remark', code: 'too-many-parts', file, line, column: 1, message });
    }
    const said = front.answer;
    const about = said?.about ?? first.answer?.about;
    memos.push({
      file,
      line,
      heading: '',
      markdown,
      ...(stage === undefined ? {} : { stage }),
      ...(bars === undefined ? {} : { bars }),
      parts: parts.slice(0, MOST_PARTS),
      kind,
      ...(date === undefined ? {} : { date }),
      answer: {
        ...said,
        from: cleanText(said?.from ?? '', LONGEST_NAME) || cleanText(first.answer?.from ?? '', LONGEST_NAME),
        ...(about === undefined ? {} : { about }),
      },
    });
  }
  return { memos, problems: problems.slice(0, MOST_PROBLEMS) };
}
