/** What a note speaks of, one matter after another: the bars, the parts and the things done that its sentences name. */
import type { Deed, Matter, Part } from '../../model/music/arrangement.ts';
import type { NameReader } from '../names/source-track.ts';
import { comparableName } from '../names/text.ts';
import { asks } from '../../model/words/plain-words.ts';
import { takeBars } from './bars-in-words.ts';
import { deedsIn } from './deed-words.ts';
import { wholeSentences } from './lead-sentences.ts';
import { takeParts } from './named-in-sentence.ts';

/** So much of a note is looked through, in characters. */
const MOST_TEXT = 20_000;
/** A shorter word of a name is too easily a word of its own. */
const SHORTEST_WORD = 4;

/** Paragraphs and items of lists, without headings and what is quoted as it stands. */
function paragraphsOf(markdown: string): readonly string[] {
  return markdown
    .slice(0, MOST_TEXT)
    .replaceAll(/^(?:```|~~~)[^]*?^(?:```|~~~)[^\n]*$/gm, '')
    .replaceAll(/^[ \t]*#{1,6}[ \t].*$/gm, '\n')
    .replaceAll(/^[ \t]*(?:[-*+]|\d{1,2}[.)])[ \t]+/gm, '\n\n')
    .split(/\n\s*\n/u)
    .map((text) => text.replaceAll(/\s+/gu, ' ').trim())
    .filter((text) => text !== '');
}

/** Parts that a sentence calls by one word of their name that no other part has and that is no instrument: `Yadira` of `Voz Yadira`. */
function calledBriefly(text: string, parts: readonly Part[], read: NameReader): readonly string[] {
  const words = (text.match(/\p{Lu}[\p{L}\p{M}]+/gu) ?? []).filter((word) => word.length >= SHORTEST_WORD);
  return words.flatMap((word) => {
    const wanted = comparableName(word);
    const ids = new Set(
      parts.filter(({ name }) => comparableName(name).split(' ').includes(wanted)).map(({ id }) => id),
    );
    return ids.size === 1 && read(word).candidates.length === 0 ? [...ids] : [];
  });
}

/** A sentence and whether it begins with who it is about. */
interface Sentence extends Matter {
  readonly isAboutOne: boolean;
}

/** At most an article stands before who a sentence is about. */
const ABOUT_ONE = /^\P{L}*(?:\p{L}{1,3}['’]?\s*)?¤1¤/u;

function ofSentence(text: string, parts: readonly Part[], read: NameReader): Sentence {
  const { text: rest, bars } = takeBars(text);
  const taken = takeParts(rest, parts, read);
  const partIds = [...new Set([...taken.groups.flat(), ...calledBriefly(rest, parts, read)])];
  const deeds = deedsIn(rest);
  return {
    text,
    bars: bars.flat(),
    partIds,
    deeds,
    // Who is named in another clause may be the reason: a tone lower, for the singer.
    isOfAll: taken.text
      .split(/[,;:()–—]/u)
      .some(
        (clause) =>
          deedsIn(clause).length > 0 && !clause.includes('¤') && calledBriefly(clause, parts, read).length === 0,
      ),
    isAboutOne: ABOUT_ONE.test(taken.text),
  };
}

/** What is done to parts as a whole, and not in some bars. */
const OF_WHOLE_PARTS: ReadonlySet<Deed> = new Set(['split', 'joined', 'named']);

/** True where a sentence speaks of something else than those before it. */
function isAnother(last: Matter, next: Sentence): boolean {
  const isOther = last.partIds.length > 0 && !next.partIds.some((id) => last.partIds.includes(id));
  if (next.isAboutOne && isOther) return true;
  if (next.bars.length > 0) {
    if (last.bars.length > 0) return true;
    return last.deeds.length > 0 && next.deeds.length > 0;
  }
  if (last.bars.length > 0 && next.deeds.some((deed) => OF_WHOLE_PARTS.has(deed))) return true;
  return next.deeds.length > 0 && last.deeds.length > 0;
}

function together(last: Matter, next: Matter): Matter {
  return {
    text: `${last.text} ${next.text}`,
    bars: [...last.bars, ...next.bars],
    partIds: [...new Set([...last.partIds, ...next.partIds])],
    deeds: [...new Set([...last.deeds, ...next.deeds])],
    isOfAll: last.isOfAll || next.isOfAll,
  };
}

/** The matters of a note in their order; a question is none, and what names neither bars nor parts nor a deed is none. */
export function mattersOf(markdown: string, parts: readonly Part[], read: NameReader): readonly Matter[] {
  return paragraphsOf(markdown).flatMap((paragraph) => {
    const matters: Matter[] = [];
    for (const sentence of wholeSentences(paragraph.split(/(?<=[.!?;][”"»)]*)\s+/u))) {
      const next = ofSentence(sentence, parts, read);
      const last = matters.at(-1);
      const isAsked = asks(last?.text ?? '') || asks(sentence);
      if (last === undefined || isAsked || isAnother(last, next)) matters.push(next);
      else matters[matters.length - 1] = together(last, next);
    }
    return matters.filter(
      ({ text, bars, partIds, deeds }) => !asks(text) && bars.length + partIds.length + deeds.length > 0,
    );
  });
}
