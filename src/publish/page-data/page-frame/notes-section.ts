/** The user's notes, each where it belongs. */
import type { Memo } from '../../../model/music/arrangement.ts';
import { memosOfStage } from '../../../model/readings/memos-of-stage.ts';
import { barSpanText, counted, listText } from '../../../model/words/plain-words.ts';
import { renderNote } from '../../render-note.ts';
import type { TrustedMarkup } from '../../trusted-markup.ts';
import { placeLinks } from './place-links.ts';
import { barLink, type Link, type Run, type SheetSection } from './sheet.ts';
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
  readonly origin: string;
}

const KIND_LABELS: Readonly<Record<Memo['kind'], string>> = {
  remark: 'Remark',
  decision: 'Decision',
  question: 'Open question',
};

function shown(context: StageContext, memo: Memo, index: number): ShownMemo {
  const bars = new Set(context.published.stage.timeline.bars.map((bar) => bar.number));
  const from = memo.from;
  const to = memo.to ?? from;
  const label = from === undefined || to === undefined ? '' : barSpanText(from, to);
  const { ways, inScore } = placeLinks(context, `n${String(index + 1)}`);
  return {
    heading: memo.heading,
    kind: memo.kind,
    kindLabel: KIND_LABELS[memo.kind],
    place:
      from === undefined
        ? []
        : [inScore === '' && bars.has(from) ? barLink(from, label) : { text: label, href: inScore }],
    ways,
    parts: listText(memo.partIds.map(context.partName)),
    html: renderNote(memo.markdown),
    date: memo.date ?? '',
    origin: `${memo.file}, line ${String(memo.line)}`,
  };
}

function memosOf({ arrangement, published, isCurrent }: StageContext): readonly Memo[] {
  return memosOfStage(arrangement.memos, published.stage.id, isCurrent);
}

export interface NoteLink {
  readonly href: string;
  readonly kind: string;
  readonly heading: string;
  readonly place: string;
  /** False where it speaks of bars without saying whose. */
  readonly namesParts: boolean;
}

const MOST_CHARACTERS = 90;
/** Beside one finding, system or chart; a passage of a hundred notes would bury it. */
const MOST_LINKS = 12;

/** The beginning of a note that has no heading of its own, cut between words. */
function firstWords({ markdown }: Memo): string {
  const line =
    markdown
      .split('\n')
      .find((text) => text.trim() !== '')
      ?.trim() ?? '';
  if (line.length <= MOST_CHARACTERS && markdown.trim() === line) return line;
  const cut = line.length <= MOST_CHARACTERS ? line : line.slice(0, MOST_CHARACTERS).replace(/\s+\S*$/, '');
  return `${cut.replace(/[.,;:]$/, '')}…`;
}

/** What a note is called: its heading, or its beginning. */
export function noteHeading(memo: Memo): string {
  if (memo.heading !== '') return memo.heading;
  return (
    memo.markdown
      .split('\n')
      .find((line) => line.trim() !== '')
      ?.slice(0, 80) ?? KIND_LABELS[memo.kind]
  );
}

/** Notes of this page that speak of some bars, and of some parts where both name parts; in order of bars. */
export function notesAbout(
  context: StageContext,
  from: number,
  to: number,
  partIds: readonly string[] = [],
): readonly NoteLink[] {
  const found = memosOf(context)
    .map((memo, index) => ({ memo, index }))
    .filter(({ memo }) => memo.from !== undefined && memo.from <= to && (memo.to ?? memo.from) >= from)
    .filter(
      ({ memo }) =>
        partIds.length === 0 || memo.partIds.length === 0 || memo.partIds.some((id) => partIds.includes(id)),
    )
    .sort((a, b) => (a.memo.from ?? 0) - (b.memo.from ?? 0));
  const links = found.slice(0, MOST_LINKS).map(({ memo, index }) => {
    const bars = barSpanText(memo.from ?? 0, memo.to ?? memo.from ?? 0);
    const parts = listText(memo.partIds.map(context.partName), 4);
    const place = [bars, ...(parts === '' ? [] : [parts])].join(', ');
    // A heading that is the anchor itself says nothing more.
    const heading = noteHeading(memo);
    const isAnchor = /^(bars?|measures?)\b/i.test(heading);
    return {
      href: `#note-${String(index + 1)}`,
      kind: KIND_LABELS[memo.kind],
      heading: isAnchor ? firstWords(memo) : heading,
      place,
      namesParts: memo.partIds.length > 0,
    };
  });
  const more = found.length - links.length;
  if (more <= 0) return links;
  return [...links, { href: '#notes', kind: 'And', heading: '', place: counted(more, 'more note'), namesParts: true }];
}

/** Notes of one kind of this stage, or of every stage, with date, stage and place (briefly with the place alone), for a list on the first page. */
export function memoList(context: StageContext, kind: Memo['kind'], isBrief = false): readonly (readonly Run[])[] {
  const own = memosOf(context);
  const titles = new Map(context.stages.map(({ stage }) => [stage.id, stage.title]));
  const files = new Map(context.stages.map(({ stage }, index) => [stage.id, stageFileName(context.stages, index)]));
  const shownMemos = context.isCurrent ? context.arrangement.memos : own;
  return shownMemos
    .filter((memo) => memo.kind === kind)
    .map((memo): readonly Run[] => {
      const index = own.indexOf(memo);
      const stage = memo.stageId;
      const bars = memo.from === undefined ? '' : barSpanText(memo.from, memo.to ?? memo.from);
      const about = [
        ...(isBrief
          ? []
          : [memo.date ?? '', stage === undefined ? 'all stages' : `stage “${titles.get(stage) ?? stage}”`]),
        bars,
        listText(memo.partIds.map(context.partName), 4),
      ];
      const href = index >= 0 ? `#note-${String(index + 1)}` : `${files.get(stage ?? '') ?? 'index.html'}#notes`;
      const place = about.filter((piece) => piece !== '').join(', ');
      return [{ text: noteHeading(memo), href }, ...(place === '' ? [] : [{ text: ` (${place})`, href: '' }])];
    });
}

/** The section "Notes": those of this stage; on the front page also those of the whole piece. */
export function notesSection(context: StageContext): SheetSection {
  const stageId = context.published.stage.id;
  const memos = memosOf(context);
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
