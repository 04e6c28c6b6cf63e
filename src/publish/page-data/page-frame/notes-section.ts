/** The user's notes, each where it belongs. */
import type { Memo } from '../../../model/music/arrangement.ts';
import { kindText, movedText, noteHeading, topicOf } from '../../answers/note-words.ts';
import { differenceText, outcomeText, questionName, standingOfNote } from '../../answers/standing.ts';
import { questionsOf, shortText } from '../../questions.ts';
import { barSpanText, closed, counted, listText } from '../../../model/words/plain-words.ts';
import { renderNote } from '../../render-note.ts';
import type { TrustedMarkup } from '../../trusted-markup.ts';
import { placeLinks } from './place-links.ts';
import { barLink, plain, type Link, type Run, type SheetSection } from './sheet.ts';
import { stageFileName, type StageContext } from './stage-context.ts';

interface ShownMemo {
  readonly heading: string;
  readonly kind: string;
  readonly kindLabel: string;
  readonly place: readonly Run[];
  readonly ways: readonly Link[];
  readonly parts: string;
  readonly html: TrustedMarkup;
  readonly date: string;
  /** What became of its place, and of the finding that it is about; '' for most. */
  readonly said: string;
  /** How an answer calls it, where it is a question. */
  readonly question: string;
  /** Answers to it, where it is a question. */
  readonly answers: readonly NoteLink[];
  readonly origin: string;
}

/** Whom an answer is from and to what: `Mara, to “How long is the last chord?”`. */
function answerHeading(context: StageContext, { answer }: Memo): string {
  if (answer === undefined) return '';
  const title = context.rules.find(({ name }) => name === answer.finding)?.title;
  const asked = questionsOf(context.published).find((question) => questionName(question) === answer.question);
  const subject = title ?? (asked === undefined ? answer.question : shortText(asked));
  const from = answer.from === '' ? 'Unsigned' : answer.from;
  return subject === undefined ? from : `${from}, to “${subject}”`;
}

function shown(context: StageContext, memo: Memo, index: number): ShownMemo {
  const bars = new Set(context.published.stage.timeline.bars.map((bar) => bar.number));
  const from = memo.from;
  const to = memo.to ?? from;
  const label = from === undefined || to === undefined ? '' : barSpanText(from, to);
  const { ways, inScore } = placeLinks(context, `n${String(index + 1)}`);
  const standing = memo.kind === 'question' ? standingOfNote(memo, context.arrangement.memos) : undefined;
  const said = [movedText(memo), outcomeText(memo, context.published.findings), differenceText(standing)];
  return {
    heading: memo.heading === '' ? answerHeading(context, memo) : memo.heading,
    kind: memo.kind,
    kindLabel: standing?.kind === 'answered' ? `Question answered by ${standing.by}` : kindText({ kind: memo.kind }),
    place:
      from === undefined
        ? []
        : [inScore === '' && bars.has(from) ? barLink(from, label) : { text: label, href: inScore }],
    ways,
    parts: listText(memo.partIds.map(context.partName)),
    html: renderNote(memo.markdown),
    date: memo.date ?? '',
    said: said.filter((text) => text !== '').join(' '),
    question: memo.kind === 'question' ? topicOf(memo) : '',
    answers: (standing?.answers ?? []).map((answer) => noteLink(context, answer)),
    origin: `${memo.file}, line ${String(memo.line)}`,
  };
}

export interface NoteLink {
  readonly href: string;
  readonly kind: string;
  readonly heading: string;
  readonly place: string;
  /** False where it speaks of bars without saying whose. */
  readonly namesParts: boolean;
}

/** Beside one finding, system or chart; a passage of a hundred notes would bury it. */
const MOST_LINKS = 12;

/** Where a note stands: on this page, or on that of its stage. */
function noteHref(context: StageContext, memo: Memo): string {
  const index = context.memos.indexOf(memo);
  if (index >= 0) return `#note-${String(index + 1)}`;
  const stage = context.stages.findIndex((published) => published.stage.id === memo.stageId);
  return `${stage < 0 ? 'index.html' : stageFileName(context.stages, stage)}#notes`;
}

/** A note in a line, a link to it. */
export function noteLink(context: StageContext, memo: Memo): NoteLink {
  const bars = memo.from === undefined ? [] : [barSpanText(memo.from, memo.to ?? memo.from)];
  const parts = listText(memo.partIds.map(context.partName), 4);
  const place = [...bars, ...(parts === '' ? [] : [parts])].join(', ');
  return {
    href: noteHref(context, memo),
    kind: kindText(memo),
    heading: topicOf(memo),
    place: place === '' ? 'the whole piece' : place,
    namesParts: memo.partIds.length > 0,
  };
}

/** Notes of this page that speak of some bars, and of some parts where both name parts; in order of bars. `isShown` leaves some out. */
export function notesAbout(
  context: StageContext,
  from: number,
  to: number,
  partIds: readonly string[] = [],
  isShown: (memo: Memo) => boolean = () => true,
): readonly NoteLink[] {
  const found = context.memos
    .filter(isShown)
    .filter((memo) => memo.from !== undefined && memo.from <= to && (memo.to ?? memo.from) >= from)
    .filter(
      (memo) => partIds.length === 0 || memo.partIds.length === 0 || memo.partIds.some((id) => partIds.includes(id)),
    )
    .sort((a, b) => (a.from ?? 0) - (b.from ?? 0));
  const links = found.slice(0, MOST_LINKS).map((memo) => noteLink(context, memo));
  const more = found.length - links.length;
  if (more <= 0) return links;
  return [...links, { href: '#notes', kind: 'And', heading: '', place: counted(more, 'more note'), namesParts: true }];
}

/** Notes of one kind of this stage, or of every stage, with date, stage and place (briefly with the place alone), for a list on the first page. */
export function memoList(context: StageContext, kind: Memo['kind'], isBrief = false): readonly (readonly Run[])[] {
  const titles = new Map(context.stages.map(({ stage }) => [stage.id, stage.title]));
  const shownMemos = context.isCurrent ? context.arrangement.memos : context.memos;
  return shownMemos
    .filter((memo) => memo.kind === kind)
    .flatMap((memo): readonly (readonly Run[])[] => {
      const standing = kind === 'question' ? standingOfNote(memo, context.arrangement.memos) : undefined;
      if (standing?.kind === 'answered') return [];
      const stage = memo.stageId;
      const bars = memo.from === undefined ? '' : barSpanText(memo.from, memo.to ?? memo.from);
      const about = [
        memo.answer?.from ?? '',
        ...(isBrief
          ? []
          : [memo.date ?? '', stage === undefined ? 'all stages' : `stage “${titles.get(stage) ?? stage}”`]),
        bars,
        listText(memo.partIds.map(context.partName), 4),
      ];
      const place = about.filter((piece) => piece !== '').join(', ');
      const differ = differenceText(standing);
      const heading = noteHeading(memo);
      return [
        [
          { text: heading, href: noteHref(context, memo) },
          ...(place === '' ? [] : [plain(` (${place})`)]),
          ...(differ === '' ? [] : [plain(`${place === '' && closed(heading) === heading ? '' : '.'} ${differ}`)]),
        ],
      ];
    });
}

/** The section "Notes": those of this stage; on the front page also those of the whole piece. */
export function notesSection(context: StageContext): SheetSection {
  const stageId = context.published.stage.id;
  const { memos } = context;
  const elsewhere = context.arrangement.memos.length - memos.length;
  const others = context.isCurrent
    ? context.stages.flatMap((published, index) =>
        context.arrangement.memos.some((memo) => memo.stageId === published.stage.id && published.stage.id !== stageId)
          ? [{ href: `${stageFileName(context.stages, index)}#notes`, label: published.stage.title }]
          : [],
      )
    : [{ href: 'index.html#notes', label: 'the current stage' }];
  return {
    id: 'notes',
    heading: 'Notes',
    partial: 'notes.njk',
    downloads: [],
    body: {
      intro: memos.length === 0 ? 'The folder holds no notes about this stage.' : '',
      memos: memos.map((memo, index) => shown(context, memo, index)),
      elsewhere: elsewhere === 0 ? [] : others,
    },
  };
}
