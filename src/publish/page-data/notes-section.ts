/** The user's notes, each where it belongs. */
import type { Memo } from '../../model/arrangement.ts';
import { barSpanText, listText } from '../../model/plain-words.ts';
import { renderNote } from '../render-note.ts';
import type { TrustedMarkup } from '../trusted-markup.ts';
import { barLink, type Run, type SheetSection } from './sheet.ts';
import { stageFileName, type StageContext } from './stage-context.ts';

interface ShownMemo {
  readonly heading: string;
  readonly kind: string;
  readonly kindLabel: string;
  readonly place: readonly Run[];
  readonly parts: string;
  readonly html: TrustedMarkup;
  readonly origin: string;
}

const KIND_LABELS: Readonly<Record<Memo['kind'], string>> = {
  remark: 'Remark',
  decision: 'Decision',
  question: 'Open question',
};

function shown(context: StageContext, memo: Memo): ShownMemo {
  const bars = new Set(context.published.stage.timeline.bars.map((bar) => bar.number));
  const from = memo.from;
  const to = memo.to ?? from;
  const label = from === undefined || to === undefined ? '' : barSpanText(from, to);
  return {
    heading: memo.heading,
    kind: memo.kind,
    kindLabel: KIND_LABELS[memo.kind],
    place: from === undefined ? [] : [bars.has(from) ? barLink(from, label) : { text: label, href: '' }],
    parts: listText(memo.partIds.map(context.partName)),
    html: renderNote(memo.markdown),
    origin: `${memo.file}, line ${String(memo.line)}`,
  };
}

/** The notes of this stage; on the front page also those of the whole piece. */
export function memosOf(context: StageContext): readonly Memo[] {
  return context.arrangement.memos.filter(
    (memo) => memo.stageId === context.published.stage.id || (memo.stageId === undefined && context.isCurrent),
  );
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
      memos: memos.map((memo) => shown(context, memo)),
      elsewhere: elsewhere === 0 ? [] : others,
    },
  };
}
