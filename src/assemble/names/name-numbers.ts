/** Numbers in a track name: which player, how many, or only a place in a list. */
import type { NameWord } from './name-words.ts';
import { COUNTED_WORDS, ORDINAL_ENDINGS, romanNumber, spokenNumber } from './name-words.ts';

/** What a word of a name is used for; `group` puts an instrument in a group (STR Vc, Keys 1 (Pno)). */
export type Use =
  'instrument' | 'number' | 'articulation' | 'mix' | 'group' | 'hand' | 'desk' | 'solo' | 'key' | 'rest' | 'unread';

/** A name of the lexicon at some words of a track name. */
export interface Match {
  readonly from: number;
  readonly to: number;
  readonly key: string;
  readonly words: number;
}

/** Whether a word is written in digits. */
export function isNumber(word: NameWord | undefined): boolean {
  return word !== undefined && /^\d+$/.test(word.text);
}

interface Numbers {
  readonly numbers: readonly number[];
  readonly players?: number;
  readonly leading?: { readonly count: number; readonly padded: boolean };
}

/** Between two numbers of one part: 1+2, 1 & 2, 1/2, 1,2, 1-2, I und II, 1. 2. */
const TOGETHER = /^\s*(?:[+&/,]|-|–|\.\s*[+&/,]?|and|und|et|e|u\.)\s*$/i;

/** Reads the numbers of a name and marks their words as used. */
export function readNumbers(name: string, words: readonly NameWord[], uses: Use[], match: Match | undefined): Numbers {
  const numeric = (index: number): number | undefined => {
    const word = words[index];
    if (word === undefined || uses[index] === 'instrument' || uses[index] === 'key') return undefined;
    if (isNumber(word)) return Number(word.text);
    return spokenNumber(word.text);
  };
  let players: number | undefined;
  let leading: Numbers['leading'];
  const groups: { place: number; numbers: number[] }[] = [];
  for (let index = 0; index < words.length; index++) {
    const first = numeric(index);
    const word = words[index];
    if (first === undefined || word === undefined) continue;
    uses[index] = 'number';
    const before = words[index - 1]?.text ?? '';
    const glued = words[index - 1]?.end === word.start;
    if (before === 'a' && uses[index - 1] !== 'key' && uses[index - 1] !== 'instrument') {
      uses[index - 1] = 'desk';
      if (first >= 2 && first <= 8) players = first;
      continue;
    }
    if (COUNTED_WORDS.has(before) && uses[index - 1] !== 'instrument') continue;
    if (first > 32 || first < 1) continue;
    const numbers = [first];
    let last = word;
    for (let ahead = index + 1; ahead < words.length; ahead++) {
      // 1st, 2e: the ending belongs to the number.
      const ending = words[ahead];
      if (ending === undefined) break;
      if (ORDINAL_ENDINGS.has(ending.text) && ending.start === last.end && isNumber(last)) {
        uses[ahead] = 'number';
        last = ending;
        continue;
      }
      let place = ahead;
      if (['and', 'und', 'et', 'e', 'u'].includes(ending.text)) place++;
      const nextNumber = numeric(place);
      const nextWord = words[place];
      if (nextNumber === undefined || nextWord === undefined) break;
      const between = name.slice(last.end, nextWord.start);
      if (!TOGETHER.test(between) || nextNumber <= (numbers.at(-1) ?? 0) || nextNumber > 16) break;
      const isRange = /[-–]/.test(between) && nextNumber > first + 1 && numbers.length === 1;
      if (isRange) for (let step = first + 1; step < nextNumber; step++) numbers.push(step);
      numbers.push(nextNumber);
      for (let used = ahead; used <= place; used++) uses[used] = 'number';
      last = nextWord;
      ahead = place;
    }
    index = Math.max(index, words.indexOf(last));
    const isPlain = isNumber(word) && !glued;
    const beforeInstrument = match !== undefined && index < match.from;
    const isOrdinal = last !== word || romanNumber(word.text) !== undefined || !isNumber(word);
    if (
      groups.length === 0 &&
      leading === undefined &&
      isPlain &&
      numbers.length === 1 &&
      words.indexOf(word) === 0 &&
      !isOrdinal &&
      (beforeInstrument || match === undefined)
    ) {
      leading = { count: first, padded: word.text.startsWith('0') };
      continue;
    }
    groups.push({ place: index, numbers });
  }
  // The group nearest behind the instrument is the part's; desks and takes further on are not.
  const behind = groups.find((group) => match === undefined || group.place >= match.from) ?? groups[0];
  const numbers = behind?.numbers ?? [];
  if (players === undefined && numbers.length > 1) players = numbers.length;
  return { numbers, ...(players === undefined ? {} : { players }), ...(leading === undefined ? {} : { leading }) };
}
