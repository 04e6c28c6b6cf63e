/** Small text tools: folding for comparison, slugs for ids. */

const LIGATURES: Readonly<Record<string, string>> = { œ: 'oe', æ: 'ae', ß: 'ss', ø: 'o', ł: 'l', đ: 'd', ı: 'i' };

/**
 * Lower case without accents, for comparing names. A flat or sharp sign stays, as `b` or `#`: B♭ must not become B.
 */
export function foldText(text: string): string {
  return text
    .replaceAll('♭', 'b')
    .replaceAll('♯', '#')
    .normalize('NFKD')
    .replaceAll(/\p{M}+/gu, '')
    .toLowerCase()
    .replaceAll(/[œæßøłđı]/g, (letter) => LIGATURES[letter] ?? letter);
}

/** Folded, with every run of other characters as one space: two names that differ only in punctuation compare equal. */
export function comparableName(text: string): string {
  return foldText(text)
    .replaceAll(/[^\p{L}\p{N}#]+/gu, ' ')
    .trim();
}

/** Letters `a-z`, digits and single hyphens, at most `longest` characters; '' where nothing is left. */
export function slugOf(text: string, longest = 40): string {
  return foldText(text)
    .replaceAll('#', ' sharp ')
    .replaceAll(/[^a-z0-9]+/g, '-')
    .slice(0, longest)
    .replaceAll(/^-+|-+$/g, '');
}
