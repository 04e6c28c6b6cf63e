/** The name of a part without the words that only say how or where it was played. */
import type { Use } from './name-numbers.ts';
import type { NameWord } from './name-words.ts';

const DROPPED_IN_PLAIN_NAME: ReadonlySet<Use> = new Set<Use>(['articulation', 'mix', 'hand']);

/** The name without articulation, microphone and hand words, tidied at the seams; '' where nothing is left. */
export function plainNameOf(name: string, words: readonly NameWord[], uses: readonly Use[]): string {
  const underscoresAsSpaces = (text: string): string => text.replaceAll(/_+/g, ' ').replaceAll(/\s+/g, ' ').trim();
  if (!words.some((_, index) => DROPPED_IN_PLAIN_NAME.has(uses[index] ?? 'rest'))) return underscoresAsSpaces(name);
  let text = '';
  let kept = 0;
  words.forEach((word, index) => {
    if (!DROPPED_IN_PLAIN_NAME.has(uses[index] ?? 'rest')) return;
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
