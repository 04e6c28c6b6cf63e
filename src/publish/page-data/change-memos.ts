/** Why something was done: the notes about a stage, and which of them speak of a change. */
import type { Memo } from '../../model/arrangement.ts';
import { barSpanText, listText } from '../../model/plain-words.ts';
import type { DossierInput, PublishedStage } from '../dossier-input.ts';
import { renderNote } from '../render-note.ts';
import { partNamer } from '../sentences.ts';
import type { TrustedMarkup } from '../trusted-markup.ts';
import type { ToldChange } from './change-words.ts';
import type { Link } from './sheet.ts';

export interface ToldMemo {
  readonly id: string;
  readonly memo: Memo;
  readonly kind: Memo['kind'];
  readonly heading: string;
  readonly place: string;
  readonly html: TrustedMarkup;
}

const KINDS: Readonly<Record<Memo['kind'], string>> = {
  remark: 'Remark',
  decision: 'Decision',
  question: 'Open question',
};

/** The notes about some stages, or, for none, about the whole piece; `sectionId` makes their ids. */
export function memosAbout(
  input: DossierInput,
  published: readonly PublishedStage[],
  sectionId: string,
): readonly ToldMemo[] {
  const name = partNamer(...input.stages.map((item) => item.stage));
  const stageIds: readonly (string | undefined)[] =
    published.length === 0 ? [undefined] : published.map(({ stage }) => stage.id);
  return stageIds
    .flatMap((id) => input.arrangement.memos.filter((memo) => memo.stageId === id))
    .map((memo, index) => {
      const place = memo.from === undefined ? [] : [barSpanText(memo.from, memo.to ?? memo.from)];
      const parts = memo.partIds.length === 0 ? [] : [listText(memo.partIds.map(name))];
      return {
        id: `${sectionId}-note-${String(index + 1)}`,
        memo,
        kind: memo.kind,
        heading: memo.heading,
        place: [KINDS[memo.kind], ...(memo.date === undefined ? [] : [memo.date]), ...place, ...parts].join(', '),
        html: renderNote(memo.markdown),
      };
    });
}

/**
 * Notes that speak of what a sentence tells: of one of its parts, in bars of it where the note names bars; of the whole
 * piece where neither names a part.
 */
export function reasonsOf(told: ToldChange, memos: readonly ToldMemo[]): readonly Link[] {
  const fits = ({ partIds, from, to = from }: Memo): boolean => {
    const meetsBars = from === undefined || to === undefined || told.bars.some((bar) => bar >= from && bar <= to);
    if (partIds.length === 0) return told.partIds.length === 0 && from !== undefined && meetsBars;
    return told.partIds.some((id) => partIds.includes(id)) && meetsBars;
  };
  return memos
    .filter(({ memo, kind }) => kind !== 'question' && fits(memo))
    .map(({ id, heading }) => ({ href: `#${id}`, label: heading === '' ? 'note' : heading }));
}
