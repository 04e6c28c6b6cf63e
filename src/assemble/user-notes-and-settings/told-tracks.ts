/** What notes say of tracks whose names say nothing: `Track 8 are the second violins`. */
import { onceEach } from '../../model/once-each.ts';
import type { RawMemo } from '../../read/raw.ts';
import type { NameReader, TellTrack, TrackWords } from '../names/source-track.ts';
import { comparableName } from '../names/text.ts';
import { WEAK_NAMES } from '../names/weak-names.ts';
import type { NamedStage } from '../stage-order/stage-names.ts';
import { stageCalled } from '../stage-order/stage-names.ts';

/** Between a track and what it is, in the languages whose instruments are read. */
const IS =
  /^["'”’»]?(?:\s*[=:]\s*|\s+(?:is|are|ist|sind|est|sont|es|son|è|é|sono|são|to|jsou|jest|są|er|är|on|van)(?=\s)\s*)/iu;
const ARTICLE =
  /^(?:(?:the|an?|das|der|die|den|eine?|il|lo|la|gli|le|une?|una|el|las?|los|les|os?|as?|het|de|een)\s+|l['’]\s*)/iu;
/** Where a phrase ends: signs, not words, which may go on to say something else of it. */
const PHRASE_END = /[.,;:!?()[\]\n]|\s[-–—]\s|—/u;
/** A shorter name is too easily a word of its own. */
const SHORTEST_NAME = 3;
const MOST_TEXT = 20_000;

/** Sentences of a note; a paragraph, a heading and an item of a list end one too. */
export const sentencesOf = onceEach(({ heading, markdown }: Pick<RawMemo, 'heading' | 'markdown'>): readonly string[] =>
  `${heading}\n\n${markdown}`
    .slice(0, MOST_TEXT)
    .replaceAll(/^[ \t]*(?:[-*+]|#{1,6}|\d{1,2}[.)])[ \t]+/gm, '\n\n')
    .replaceAll(/[*`_]+/g, '')
    .split(/\n\s*\n|(?<=[.!?;])\s+/)
    .map((sentence) => sentence.replaceAll(/\s+/g, ' ').trim())
    .filter((sentence) => sentence !== ''),
);

/** Finds a track's name as whole words of a sentence, whatever stands between them, with its accents or without. */
function nameInText(name: string): RegExp {
  // Letters, figures and # are all that is left in it: nothing that means more in a pattern.
  const plain = comparableName(name).split(' ');
  const accented = (name.normalize('NFC').match(/[\p{L}\p{N}#]+/gu) ?? []).map((word) => word.toLowerCase());
  const words = plain.map((word, place) => {
    const other = accented.length === plain.length ? accented[place] : undefined;
    return other === undefined || other === word ? word : `(?:${word}|${other})`;
  });
  return new RegExp(`(?<![\\p{L}\\p{N}])${words.join('[^\\p{L}\\p{N}]+')}(?![\\p{L}\\p{N}])`, 'iu');
}

/** `two trombones, one tuba`: another counted instrument behind the first. */
const NEXT_COUNTED = /^\s*[,;+&]\s*(?:[\p{L}]+|\d{1,2})\s+([\p{L}][\p{L}-]+)/u;

/** What one sentence says of a track; undefined where it names no instrument for it. */
function saidIn(sentence: string, name: RegExp, read: NameReader): TrackWords | undefined {
  const place = name.exec(sentence);
  if (place === null) return undefined;
  const behind = sentence.slice(place.index + place[0].length);
  const is = IS.exec(behind);
  if (is === null) return undefined;
  const told = behind.slice(is[0].length);
  const phrase = told.split(PHRASE_END)[0] ?? '';
  const bare = phrase.replace(ARTICLE, '').trim();
  const reading = read(bare);
  if (reading.candidates.length === 0) return undefined;
  // A weak word without an article may be how it is played: Track 8 is piano.
  const isWeak = bare === phrase.trim() && WEAK_NAMES.has(reading.matched);
  const isPlain = reading.rest === '' && reading.also.length === 0 && reading.numbers.length <= 1;
  const next = read(NEXT_COUNTED.exec(told.slice(phrase.length))?.[1] ?? '').candidates;
  const isOne = next.length === 0 || next[0] === reading.candidates[0];
  const isSure = isPlain && !isWeak && isOne && !sentence.endsWith('?');
  const quote = sentence.slice(place.index, place.index + place[0].length + is[0].length + phrase.length).trim();
  return isSure ? { words: bare.charAt(0).toUpperCase() + bare.slice(1), quote } : { quote: sentence };
}

/**
 * For a stage, what the notes say of a track by its name: of all notes about no stage, this one or an earlier one. Where they name
 * one instrument it has `words`; where they are doubtful or differ, a quotation alone, to ask with. Undefined where they say nothing of it.
 */
export function toldTracks(
  memos: readonly RawMemo[],
  named: readonly NamedStage[],
  read: NameReader,
): (stage: NamedStage) => TellTrack {
  const sources = memos.map((memo) => {
    const word = memo.stage?.content;
    const stage = word === undefined ? undefined : stageCalled(word, named);
    // A track of the same default name may be another before the note's stage.
    return { file: memo.file, from: stage?.order ?? 0, sentences: sentencesOf(memo) };
  });
  return ({ order }) =>
    (name) => {
      const wanted = comparableName(name);
      if (wanted.length < SHORTEST_NAME || sources.length === 0) return undefined;
      const pattern = nameInText(name);
      const found = sources
        .filter(({ from }) => from <= order)
        .flatMap(({ file, sentences }) =>
          sentences.flatMap((sentence) => {
            const said = saidIn(sentence, pattern, read);
            return said === undefined ? [] : [{ ...said, file }];
          }),
        );
      const sure = found.filter(({ words }) => words !== undefined);
      const [first] = sure;
      if (first === undefined) return found[0];
      const meaning = (words = ''): string => {
        const { candidates, numbers } = read(words);
        return `${candidates.join(' ')} ${numbers.join(' ')}`;
      };
      const agree = sure.every(({ words }) => meaning(words) === meaning(first.words));
      return agree ? first : { file: first.file, quote: first.quote };
    };
}
