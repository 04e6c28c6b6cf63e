/** What notes say of tracks whose names say nothing: `Track 8 are the second violins`. */
import { onceEach } from '../../model/once-each.ts';
import type { RawMemo } from '../../read/raw.ts';
import { NAME_OF_A_LINE } from '../names/said-to-sing.ts';
import type { NameReader, TellTrack, TrackWords } from '../names/source-track.ts';
import { comparableName } from '../names/text.ts';
import { WEAK_NAMES } from '../names/weak-names.ts';
import type { NamedStage } from '../stage-order/stage-names.ts';
import { stageCalled } from '../stage-order/stage-names.ts';

/** What people call a track by before its number, in the languages whose instruments are read. */
const TRACK = String.raw`(?:midi[\s-]*)?(?:tracks?|trk|inst(?:rument)?|spur|piste|pista|traccia|faixa|spoor|spor|spår|ścieżka|stopa)`;
const OPEN_QUOTE = String.raw`["'“„«‹‘]?\s?`;
const BE = String.raw`(?:is|are|ist|sind|est|sont|es|son|è|é|sono|são|to|jsou|jest|są|er|är|on|van)`;
const MEANT = String.raw`(?:should be|soll|sera|doit être|debe ser|dovrebbe essere|deve ser)`;
const INDEED = String.raw`(?:\s+(?:now|actually|really|simply|meant to be|supposed to be|jetzt|eigentlich|einfach|in wirklichkeit|maintenant|en fait|en réalité|ahora|en realidad|ora|in realtà|agora|na verdade)(?=\s))?`;
/** Between a track and what it is; a name in quotation marks may have a space before the closing one. */
const IS = new RegExp(
  String.raw`^\s?["'”’»›“‘]?(?:\s*[=:]\s*|(?:\s*[,–—-])?\s+(?:${BE}|${MEANT}|c['’]est|das ist|that is|that['’]s)(?=\s)${INDEED}\s*)`,
  'iu',
);
/** Behind a track, around what it is: `Instrument 8 (théorbe)`. */
const IN_BRACKETS = /^\s?["'”’»›“‘]?\s*\((?=[^()]{3,60}\))/u;
/** Between what a track is and the track: `the harp is on track 4`, `Harfe auf Spur 4`, `théorbe = piste 8`. */
const TRACK_AHEAD = new RegExp(
  String.raw`(?:^|[.,;:!?(]\s*|[–—]\s+|\s-\s)([^.,;:!?()–—=]{3,60}?)\s*(?:=\s*|\s(?:(?:${BE}|liegt|steht|sitzt|está|sta|se trouve|sits)\s+)?(?:on|auf|sur|su|sulla|en|na|em|op|på|${BE})\s+)(?:(?:the|der|die|das|la|le|el|a|o|il)\s+)?(?:${TRACK}\s+)?${OPEN_QUOTE}$`,
  'iu',
);
const ARTICLE =
  /^(?:(?:the|an?|das|der|die|den|eine?|il|lo|la|gli|le|une?|una|el|las?|los|les|os?|as?|het|de|een|my|our|meine?|unsere?|mon|ma|notre|mi|mio|mia|nostr[oa]|nuestr[oa]|minha|meu|noss[oa])\s+|l['’]\s*)+/iu;
/** Where a phrase ends: signs, not words, which may go on to say something else of it; and the next track. */
const PHRASE_END = new RegExp(
  String.raw`[.,;:!?()[\]\n]|\s[-–—]\s|—|\s(?:and|und|et|ed?|y)\s+(?=(?:the\s+|la\s+|die\s+)?${OPEN_QUOTE}${TRACK}\s*\d)`,
  'iu',
);
/** Behind a track in a row of them whose first has the verb: `Spur 4 ist die Harfe, Spur 5 die Celesta`. */
const IN_A_ROW = new RegExp(String.raw`${TRACK}\s*\d+\s?["'”’»›“‘]?\s+${BE}\s`, 'iu');
/** German ordinals behind an article, and what they are without it: das zweite Horn, Zweites Horn; die zweiten Geigen, Zweite Geigen. */
const WEAK_ORDINAL = /^(das|der|die)\s+((?:ers|zwei|drit|vier)te)(n?)\s+/iu;
const STRONG_ENDING: ReadonlyMap<string, string> = new Map([
  ['das', 's'],
  ['der', 'r'],
]);
/** Behind a name, or before it: it is somebody who sings. Common practice, no source. */
const SINGS_BEHIND =
  /^\s?["'”’»›“‘]?\s+(?:(?:then|now|here|only|also|jetzt|dann|hier|maintenant|ahora|aquí|ora|qui|agora)\s+)?(?:sings?|is singing|singt|sang|chante|canta|zingt|synger|sjunger|śpiewa|zpívá|énekel)(?![\p{L}])/iu;
const SINGS_AHEAD = new RegExp(
  String.raw`(?<![\p{L}])(?:canta|chante|singt|sung by|gesungen von|chanté par|cantado por)\s+${OPEN_QUOTE}$`,
  'iu',
);
/** What is told of somebody who sings. */
const SINGER = 'Voice';
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

/** Finds a track by its number, whatever word people have for a track. */
function numberInText(number: number): RegExp {
  return new RegExp(
    String.raw`(?<![\p{L}\p{N}])${TRACK}\s*(?:#|n[°ºo]\.?|nr\.?|no\.?|núm\.?|number|nummer|numéro|numero|número)?\s*${String(number)}(?![\p{L}\p{N}]|[.,]\d)`,
    'iu',
  );
}

/** `two trombones, one tuba`: another counted instrument behind the first. */
const NEXT_COUNTED = /^\s*[,;+&]\s*(?:[\p{L}]+|\d{1,2})\s+([\p{L}][\p{L}-]+)/u;

/** A phrase as the name of a part: without its article. */
function withoutArticle(phrase: string): string {
  const declined = phrase.replace(WEAK_ORDINAL, (_, article: string, ordinal: string, plural: string) => {
    const ending = plural === '' ? STRONG_ENDING.get(article.toLowerCase()) : '';
    return `${ordinal}${ending ?? ''} `;
  });
  return declined.replace(ARTICLE, '').trim();
}

/** What one sentence says of a track; undefined where it names no instrument for it. */
function saidIn(sentence: string, name: RegExp, read: NameReader): TrackWords | undefined {
  const place = name.exec(sentence);
  if (place === null) return undefined;
  const ahead = sentence.slice(0, place.index);
  const behind = sentence.slice(place.index + place[0].length);
  const bracket = IN_BRACKETS.exec(behind);
  const isNext = IN_A_ROW.test(ahead) && ARTICLE.test(behind.trimStart());
  const is = IS.exec(behind) ?? bracket ?? (isNext ? /^\s+/u.exec(behind) : null);
  if (is === null) return saidAhead(sentence, ahead, place[0], read) ?? saidSinging(sentence, ahead, place[0], behind);
  const told = behind.slice(is[0].length);
  const phrase = told.split(PHRASE_END)[0] ?? '';
  const bare = withoutArticle(phrase);
  const reading = read(bare);
  if (reading.candidates.length === 0) return undefined;
  // A weak word without an article may be how it is played: Track 8 is piano.
  const isWeak = bare === phrase.trim() && WEAK_NAMES.has(reading.matched);
  const isPlain = reading.rest === '' && reading.also.length === 0 && reading.numbers.length <= 1;
  const next = read(NEXT_COUNTED.exec(told.slice(phrase.length))?.[1] ?? '').candidates;
  const isOne = next.length === 0 || next[0] === reading.candidates[0];
  const isSure = isPlain && !isWeak && isOne && !sentence.endsWith('?');
  if (!isSure && is === bracket) return undefined;
  const quote = sentence.slice(place.index, place.index + place[0].length + is[0].length + phrase.length).trim();
  return isSure ? { words: asName(bare), quote } : { quote: sentence };
}

/** Of a track that is called like a person: `Aoife sings both verses`, `canta Lucía`. */
function saidSinging(sentence: string, ahead: string, name: string, behind: string): TrackWords | undefined {
  if (sentence.endsWith('?') || NAME_OF_A_LINE.test(name) || /\d/.test(name)) return undefined;
  const verb = SINGS_BEHIND.exec(behind)?.[0];
  if (verb !== undefined) return { words: SINGER, quote: `${name}${verb}`, sings: true };
  const before = SINGS_AHEAD.exec(ahead)?.[0];
  return before === undefined ? undefined : { words: SINGER, quote: `${before}${name}`, sings: true };
}

function asName(bare: string): string {
  return bare.charAt(0).toUpperCase() + bare.slice(1);
}

/** What stands before the track: taken where it is an instrument and nothing else, as `the harp is on track 4`. */
function saidAhead(sentence: string, ahead: string, name: string, read: NameReader): TrackWords | undefined {
  const phrase = TRACK_AHEAD.exec(ahead)?.[1]?.trim();
  if (phrase === undefined || sentence.endsWith('?')) return undefined;
  const bare = phrase.replace(ARTICLE, '').trim();
  const { candidates, rest, also, numbers, matched } = read(bare);
  const isWeak = bare === phrase && WEAK_NAMES.has(matched);
  const isPlain = candidates.length > 0 && rest === '' && also.length === 0 && numbers.length <= 1;
  if (!isPlain || isWeak) return undefined;
  return { words: asName(bare), quote: `${ahead.slice(ahead.lastIndexOf(phrase))}${name}` };
}

/**
 * For a stage, what the notes say of a track by its name or its number: of all notes about no stage, this one or an earlier one. Where they name
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
    (called) => {
      const isNumber = typeof called === 'number';
      if (sources.length === 0 || (!isNumber && comparableName(called).length < SHORTEST_NAME)) return undefined;
      const pattern = isNumber ? numberInText(called) : nameInText(called);
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
