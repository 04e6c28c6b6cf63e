/** The name of a part without the words that only say how or where it was played. */
import type { Use } from './name-numbers.ts';
import type { NameWord } from './name-words.ts';

const DROPPED_IN_PLAIN_NAME: ReadonlySet<Use> = new Set<Use>(['articulation', 'mix', 'group', 'hand']);

/** For each word, how many brackets are open before it. */
function depthsOf(name: string, words: readonly NameWord[]): number[] {
  let depth = 0;
  let read = 0;
  return words.map(({ start }) => {
    for (const sign of name.slice(read, start)) {
      if ('([{'.includes(sign)) depth++;
      else if (')]}'.includes(sign)) depth = Math.max(0, depth - 1);
    }
    read = start;
    return depth;
  });
}

/**
 * Words that are dropped. A group with its instrument in brackets behind it is the name of the desk, and one inside the brackets says what
 * the desk plays: Keys 1 (Pno), Keys 2 (Str Pad).
 */
function droppedWords(name: string, words: readonly NameWord[], uses: readonly Use[]): boolean[] {
  const depths = depthsOf(name, words);
  const isBracketed = uses.some((use, index) => use === 'instrument' && (depths[index] ?? 0) > 0);
  const isOpen = uses.some((use, index) => use === 'instrument' && depths[index] === 0);
  const keepsGroups = isBracketed && !isOpen;
  return words.map((_, index) => {
    const use = uses[index] ?? 'rest';
    return DROPPED_IN_PLAIN_NAME.has(use) && !(use === 'group' && keepsGroups);
  });
}

/** The name without articulation, microphone and hand words, tidied at the seams; '' where nothing is left. */
export function plainNameOf(name: string, words: readonly NameWord[], uses: readonly Use[]): string {
  const dropped = droppedWords(name, words, uses);
  return nameWithout(name, words, (index) => dropped[index] === true);
}

/** The plain name without desks and divisions either (div. a, desk 3), for a part that holds several of them. */
export function undividedNameOf(name: string, words: readonly NameWord[], uses: readonly Use[]): string {
  const dropped = droppedWords(name, words, uses);
  return nameWithout(name, words, (index) => {
    const use = uses[index] ?? 'rest';
    return dropped[index] === true || use === 'desk' || (use === 'number' && index > 0 && uses[index - 1] === 'desk');
  });
}

function nameWithout(name: string, words: readonly NameWord[], isDropped: (index: number) => boolean): string {
  const underscoresAsSpaces = (text: string): string => text.replaceAll(/_+/g, ' ').replaceAll(/\s+/g, ' ').trim();
  if (!words.some((_, index) => isDropped(index))) return underscoresAsSpaces(name);
  let text = '';
  let kept = 0;
  words.forEach((word, index) => {
    if (!isDropped(index)) return;
    text += name.slice(kept, word.start);
    kept = word.end;
    // A point behind an abbreviation goes with it.
    if (name[kept] === '.') kept++;
  });
  text += name.slice(kept);
  return underscoresAsSpaces(text.replaceAll(/[([{][\s,;/+-]*[)\]}]/g, ' '))
    .replaceAll(/(?:\s[-–:/|,;.]+)+(?=\s|$)/g, ' ')
    .replaceAll(/\s+/g, ' ')
    .replace(/^[\s\-–:/|+&,;]+/, '')
    .replace(/[\s\-–:/|+&,;(]+$/, '')
    .trim();
}
