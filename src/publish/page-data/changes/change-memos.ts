/** Why something was done: the notes about a stage, and which of them speak of a change. */
import type { Matter, Memo, Part } from '../../../model/music/arrangement.ts';
import { asks, barSpanText, inSentence, listText, numbersIn } from '../../../model/words/plain-words.ts';
import type { DossierInput, PublishedStage } from '../../dossier-input.ts';
import { kindText } from '../../answers/note-words.ts';
import { noteHtml, renderNote } from '../../render-note.ts';
import { partNamer } from '../../numbers-and-names.ts';
import { trustedMarkup, type TrustedMarkup } from '../../trusted-markup.ts';
import { parseBarHeading } from '../../../read/settings/bar-span.ts';
import { fitsMatter, matterFit } from './change-matters.ts';
import type { ToldChange } from './change-words.ts';
import type { Link } from '../page-frame/sheet.ts';

export interface ToldMemo {
  readonly id: string;
  readonly memo: Memo;
  readonly kind: Memo['kind'];
  readonly heading: string;
  readonly place: string;
  readonly html: TrustedMarkup;
  /** The text without its paragraph where it is a single short one, else how it begins: it can stand in a line. */
  readonly inLine?: TrustedMarkup;
  /** True where more of it stands elsewhere. */
  readonly isCut: boolean;
  /** The heading; '' where it names bars and parts alone. */
  readonly topic: string;
  /** Where it is not the note but some sentences of it. */
  readonly matter?: Matter;
}

/** A note beside what it speaks of: its text, or how that begins with a link to the rest; a link alone where it stands beside another sentence. */
export interface Reason {
  /** What stands before it: a decision about the very bars and parts says why; a remark about them may be about chairs, and is only quoted. */
  readonly label: 'Why' | 'Note';
  /** Of the note that is told here and nowhere else; else ''. */
  readonly id: string;
  readonly html?: TrustedMarkup;
  /** `note, decision`; '' where its label says all. */
  readonly about: string;
  readonly link?: Link;
}

/** Longest note that is told in a line, in characters. */
const LONGEST_IN_LINE = 240;

/** A heading, or '' where nothing is left of it without the names of parts and bars. */
function topicOf(heading: string, names: readonly string[]): string {
  const anchor = parseBarHeading(heading);
  if (anchor?.names.length === 0) return '';
  // What stands after the bars and a comma is who is meant, as the writer calls them.
  if (anchor !== undefined && anchor.names.length > 0 && names.length > 0) {
    const last = anchor.names.at(-1);
    if (last !== undefined && !/\p{L}/u.test(heading.slice(last.offset + last.name.length))) return '';
  }
  const longestFirst = [...names].sort((one, other) => other.length - one.length);
  const rest = longestFirst.reduce((text, name) => text.replaceAll(name, ' '), heading);
  return /\p{L}/u.test(rest.replace(/\b(?:bars?|and)\b/giu, ' ')) ? heading : '';
}

/** The text of a single short paragraph. */
function paragraphOf(markdown: string): TrustedMarkup | undefined {
  if (markdown.length > LONGEST_IN_LINE) return undefined;
  const inner = /^<p>([^]*)<\/p>\s*$/.exec(noteHtml(markdown))?.[1];
  return inner === undefined || /<p[\s>]/.test(inner) ? undefined : trustedMarkup(inner);
}

/** The whole sentences at the beginning of a paragraph that a line has room for. */
function firstSentences(paragraph: string): string {
  const ends = [...paragraph.matchAll(/[.!?][”"»)]*(?=\s)/gu)].map((end) => end.index + end[0].length);
  return paragraph.slice(0, ends.findLast((end) => end <= LONGEST_IN_LINE) ?? 0);
}

/** What of a note can stand in a line: all of it, its first paragraph, or how that begins. */
function inLineOf(markdown: string): Pick<ToldMemo, 'inLine' | 'isCut'> {
  const whole = paragraphOf(markdown);
  if (whole !== undefined) return { inLine: whole, isCut: false };
  const [first = ''] = markdown.trim().split(/\n\s*\n/u);
  const inLine = paragraphOf(first.length <= LONGEST_IN_LINE ? first : firstSentences(first));
  return { ...(inLine === undefined ? {} : { inLine }), isCut: true };
}

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
      const names = memo.partIds.map(name);
      const topic = topicOf(memo.heading, names);
      // What the heading says need not be said again below it.
      const isHeading = topic === '' && memo.heading !== '';
      const place =
        memo.from === undefined ||
        (isHeading && (/\bbars?\b/iu.test(memo.heading) || parseBarHeading(memo.heading) !== undefined))
          ? []
          : [barSpanText(memo.from, memo.to ?? memo.from)];
      const parts = names.length === 0 || isHeading ? [] : [listText(names)];
      return {
        id: `${sectionId}-note-${String(index + 1)}`,
        memo,
        kind: memo.kind,
        heading: memo.heading,
        place: [kindText(memo), ...(memo.date === undefined ? [] : [memo.date]), ...place, ...parts].join(', '),
        html: renderNote(memo.markdown),
        ...inLineOf(memo.markdown),
        topic,
      };
    });
}

/** The matters that a note speaks of, each as its own sentences with the way to all of it. */
function piecesOf(told: ToldMemo): readonly ToldMemo[] {
  return (told.memo.matters ?? []).map((matter) => {
    const { inLine, ...plain } = { ...told, matter };
    const isAll = told.memo.markdown.replaceAll(/\s+/gu, ' ').trim() === matter.text;
    if (isAll) return { ...told, matter };
    const own = inLineOf(matter.text).inLine ?? inLine;
    return { ...plain, ...(own === undefined ? {} : { inLine: own }), isCut: true };
  });
}

/** Some notes, and the matters of those that as a whole are about no sentence or of which more stands elsewhere. */
export function withPieces(memos: readonly ToldMemo[], isAbout: (memo: ToldMemo) => boolean): readonly ToldMemo[] {
  return memos.flatMap((memo) => {
    const pieces = piecesOf(memo);
    if (!isAbout(memo)) return pieces.length === 0 ? [memo] : [...pieces, memo];
    const [first = ''] = memo.memo.markdown.trim().split(/\n\s*\n/u);
    const begun = first.replaceAll(/\s+/gu, ' ');
    return memo.isCut ? [memo, ...pieces.filter(({ matter }) => !begun.includes(matter?.text ?? ''))] : [memo];
  });
}

/** Letters without case and accents. */
function plainLetters(text: string): string {
  return text.normalize('NFD').replaceAll(/\p{M}/gu, '').toLowerCase();
}

/** Ids of the parts whose names a text has as words of their own: `Ohne Orgel`. */
export function namedIn(text: string, parts: readonly Part[]): readonly string[] {
  const words = ` ${plainLetters(text).replaceAll(/[^\p{L}\p{N}]+/gu, ' ')} `;
  return parts.flatMap(({ id, name }) => {
    const own = plainLetters(name)
      .replaceAll(/[^\p{L}\p{N}]+/gu, ' ')
      .trim();
    return own.length > 2 && words.includes(` ${own} `) ? [id] : [];
  });
}

/**
 * Notes that speak of what a sentence tells: of one of its parts, in bars of it where the note names bars. One that names bars and no part
 * speaks of what was done in those bars alone: of bars and tempo where it holds them all, of a part where they are the very same.
 */
export function reasonsOf(told: ToldChange, memos: readonly ToldMemo[]): readonly ToldMemo[] {
  const [first, last] = [Math.min(...told.bars), Math.max(...told.bars)];
  const fits = ({ partIds, from, to = from }: Memo): boolean => {
    if (partIds.length === 0) {
      if (from === undefined || to === undefined || told.bars.length === 0) return false;
      return told.partIds.length === 0 ? first >= from && last <= to : first === from && last === to;
    }
    const meetsBars = from === undefined || to === undefined || told.bars.some((bar) => bar >= from && bar <= to);
    return told.partIds.some((id) => partIds.includes(id)) && meetsBars;
  };
  // Who ends with a question gives no reason.
  const isQuestion = ({ memo, kind }: ToldMemo): boolean => kind === 'question' || asks(memo.markdown);
  return memos.filter((item) =>
    item.matter === undefined
      ? !isQuestion(item) && fits(item.memo)
      : item.kind !== 'question' && fitsMatter(told, item.memo, item.matter),
  );
}

/** What a note is, beside its text: `note, decision`, `note “A darker middle”, decision, bars 1–8`. */
function aboutText({ memo, kind, topic, matter }: ToldMemo, told: ToldChange): string {
  const { from, to = from } = memo;
  const isSame =
    from === undefined || matter !== undefined || (from === Math.min(...told.bars) && to === Math.max(...told.bars));
  return [
    topic === '' ? 'note' : `note “${topic}”`,
    ...(kind === 'remark' ? [] : [inSentence(kindText(memo))]),
    ...(memo.date === undefined ? [] : [memo.date]),
    ...(isSame ? [] : [barSpanText(from, to ?? from)]),
  ].join(', ');
}

/** How well a note fits a sentence: by the parts and by the bars that both name, of all that either names. */
export function fitOf(told: ToldChange, { memo, matter }: ToldMemo): number {
  const { partIds, bars } = told;
  if (matter !== undefined) return matterFit(told, memo, matter);
  const shareOf = <T>(some: readonly T[], others: readonly T[]): number => {
    const shared = some.filter((one) => others.includes(one)).length;
    return shared / Math.max(1, some.length + others.length - shared);
  };
  const { from, to = from } = memo;
  const own = from === undefined || to === undefined ? [] : numbersIn({ from, to });
  return shareOf(partIds, memo.partIds) + shareOf(bars, own);
}

/** A note where it stands beside a sentence. */
function quoted(told: ToldMemo, sentence: ToldChange, isOwn: boolean): Reason {
  const label = told.kind === 'decision' ? 'Why' : 'Note';
  const link = { href: `#${told.id}`, label: 'more' };
  if (told.inLine === undefined) {
    const what = told.kind === 'decision' ? 'the decision' : 'the note';
    return { label, id: '', about: '', link: { ...link, label: told.topic === '' ? what : `${what} “${told.topic}”` } };
  }
  const about = aboutText(told, sentence);
  const isHere = isOwn && !told.isCut;
  return {
    label,
    id: isHere ? told.id : '',
    html: told.inLine,
    about: about === 'note' ? '' : about,
    ...(told.isCut ? { link } : {}),
  };
}

/**
 * The reasons beside each of some sentences, in their order. A note stands once, beside the sentence that it fits best; a decision about
 * other parts too is named beside theirs.
 */
export function reasonsBeside(
  sentences: readonly ToldChange[],
  own: readonly ToldMemo[],
  others: readonly ToldMemo[],
): readonly (readonly Reason[])[] {
  const parted = withPieces(own, (memo) => sentences.some((sentence) => reasonsOf(sentence, [memo]).length > 0));
  const fitting = sentences.map((sentence) => reasonsOf(sentence, [...parted, ...others]));
  const bestOf = (memo: ToldMemo): number => {
    const fits = sentences.map((one, index) => (fitting[index]?.includes(memo) === true ? fitOf(one, memo) : -1));
    return fits.indexOf(Math.max(...fits));
  };
  return sentences
    .map((sentence, index) =>
      (fitting[index] ?? []).flatMap((memo): readonly Reason[] => {
        const best = bestOf(memo);
        if (best === index) return [quoted(memo, sentence, parted.includes(memo))];
        const known = new Set(sentences[best]?.partIds);
        if (memo.kind !== 'decision' || sentence.partIds.every((id) => known.has(id))) return [];
        const label = `the decision ${best < index ? 'above' : 'below'}`;
        return [{ label: 'Why', id: '', about: '', link: { href: `#${memo.id}`, label } }];
      }),
    )
    .map((reasons) => reasons.toSorted((a, b) => Number(a.label === 'Note') - Number(b.label === 'Note')));
}
