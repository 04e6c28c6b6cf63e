/** What a reader has to decide: questions of the notes, and what the folder left open, each in a line. */
import type { ForegroundSpan } from '../../../model/music/arrangement.ts';
import { barsText, closed, listText, numbersIn } from '../../../model/words/plain-words.ts';
import { agreeingWith } from '../../../model/words/part-grammar.ts';
import { differenceText, standingOfFinding, standingOfQuestion } from '../../answers/standing.ts';
import { questionsOf, shortText } from '../../questions.ts';
import { memoList } from '../page-frame/notes-section.ts';
import { plain, type Run } from '../page-frame/sheet.ts';
import type { StageContext } from '../page-frame/stage-context.ts';

/** More are counted. */
const MOST_ASKED = 5;

/** Id of the full texts of what the folder left open. */
export const FOLDER_QUESTIONS = 'folder-questions';

/** Id of one of them, by its place among the questions of the stage. */
export function folderQuestion(index: number): string {
  return `${FOLDER_QUESTIONS}-${String(index + 1)}`;
}

/** Spans of the foreground that are asked about: where the reading is weak, else where it was guessed. */
function askedSpans(foreground: readonly ForegroundSpan[]): readonly ForegroundSpan[] {
  const weak = foreground.filter((span) => span.weak);
  return weak.length > 0 ? weak : foreground.filter(({ certainty }) => certainty < 1);
}

/** `Who has the foreground in bars 5–8?`; no bars where nothing was said at all and no reading is weak. */
export function whoLeads({ published: { stage } }: Pick<StageContext, 'published'>): string {
  const asked = askedSpans(stage.foreground);
  const bars =
    asked.length === stage.foreground.length && !asked.some(({ weak }) => weak) ? [] : asked.flatMap(numbersIn);
  return `Who has the foreground${bars.length === 0 ? '' : ` in ${barsText(bars, 3)}`}?`;
}

/** Who is taken for it in the bars that are asked about: all that is said of loudness hangs on that. `names`: the parts of the foreground. */
export function takenForIt({ published: { stage }, partName }: StageContext, names: readonly string[]): string {
  const spans = askedSpans(stage.foreground);
  const asked = spans.length === 0 ? names : [...new Set(spans.map(({ partId }) => partName(partId)))];
  return `${listText(asked, 5)} ${agreeingWith(asked, 'is', 'are')} taken for\u00a0it.`;
}

/** Findings that readers answer in more than one way, each a question. */
function disputedFindings(context: StageContext): readonly (readonly Run[])[] {
  return context.published.findings.flatMap((finding, index) => {
    const differ = differenceText(standingOfFinding(finding, context.memos));
    const number = String(index + 1);
    return differ === '' ? [] : [[{ text: `Finding ${number}`, href: `#finding-${number}` }, plain(`: ${differ}`)]];
  });
}

/**
 * Questions in a line each, links to where they are asked in full; what is more than a first screen holds is counted. `names`: the parts of the
 * foreground; who has it comes first where nobody said so, with who is taken for it.
 */
export function askedShortly(context: StageContext, names: readonly string[]): readonly (readonly Run[])[] {
  const href = `#${FOLDER_QUESTIONS}`;
  const questions = questionsOf(context.published).flatMap((question, index) => {
    const standing = standingOfQuestion(question, context.arrangement.memos);
    if (standing.kind === 'answered') return [];
    const isOfLead = question.code === 'foreground-guessed';
    const differ = differenceText(standing);
    const asks = isOfLead ? whoLeads(context) : shortText(question);
    const runs: readonly Run[] = [
      { text: asks, href: `#${folderQuestion(index)}` },
      ...(isOfLead && names.length > 0 ? [plain(` ${takenForIt(context, names)}`)] : []),
      ...(differ === '' ? [] : [plain(`${closed(asks) === asks ? '' : '.'} ${differ}`)]),
    ];
    return [{ isOfLead, runs }];
  });
  const leadFirst = [...questions.filter(({ isOfLead }) => isOfLead), ...questions.filter(({ isOfLead }) => !isOfLead)];
  const ofFolder = leadFirst.map(({ runs }) => runs);
  const guessed = context.published.stage.foregroundGuessed;
  const ofNotes = memoList(context, 'question', true);
  const asked = [...(guessed ? [...ofFolder, ...ofNotes] : [...ofNotes, ...ofFolder]), ...disputedFindings(context)];
  if (asked.length <= MOST_ASKED) return asked;
  const more = asked.length - MOST_ASKED + 1;
  return [
    ...asked.slice(0, MOST_ASKED - 1),
    [{ text: `and ${String(more)} more`, href: ofFolder.length > 0 ? href : '#notes' }],
  ];
}
