/** Ids and abbreviations of parts: the same part has the same id in every stage. */
import { instrumentById } from '../../model/music/catalogue.ts';
import type { PartDraft } from './group-parts.ts';
import { UNKNOWN } from '../instruments/recognise.ts';
import type { Instrument } from '../../model/music/instrument.ts';
import { comparableName, slugOf } from '../names/text.ts';

function baseKey(draft: PartDraft): string {
  const what = draft.instrument === UNKNOWN ? `${UNKNOWN} ${comparableName(draft.name)}` : draft.instrument;
  return [what, draft.solo ? 'solo' : '', draft.instrument === UNKNOWN ? '' : draft.rest].join('|');
}

const fullKey = (draft: PartDraft, numbers: string): string => `${baseKey(draft)}|${numbers}`;

/** Keys under which the parts of all stages are the same: a part without number is the first where no stage has both. */
function identityKeys(stages: readonly (readonly PartDraft[])[]): readonly (readonly string[])[] {
  const clashing = new Set<string>();
  const numbered = new Set<string>();
  for (const drafts of stages) {
    const plain = new Set(drafts.filter((draft) => draft.numbers.length === 0).map(baseKey));
    for (const draft of drafts) {
      if (draft.numbers.length !== 1 || draft.numbers[0] !== 1) continue;
      numbered.add(baseKey(draft));
      if (plain.has(baseKey(draft))) clashing.add(baseKey(draft));
    }
  }
  return stages.map((drafts) =>
    drafts.map((draft) => {
      const base = baseKey(draft);
      const asFirst = draft.numbers.length === 0 && numbered.has(base) && !clashing.has(base);
      return fullKey(draft, asFirst ? '1' : draft.numbers.join('+'));
    }),
  );
}

function slugFor(draft: PartDraft, key: string): string {
  const numbers = key.split('|').at(-1)?.replaceAll('+', '-') ?? '';
  const words =
    draft.instrument === UNKNOWN
      ? slugOf(draft.name)
      : slugOf([draft.solo ? 'solo' : '', draft.instrument, draft.rest].filter((word) => word !== '').join(' '));
  const slug = [words, numbers].filter((word) => word !== '').join('-');
  return slug === '' ? 'part' : slug;
}

export interface PartIdentity {
  readonly id: string;
  /** True where another part of this stage had the same name and number. */
  readonly collided: boolean;
}

/** Ids for the parts of all stages, parallel to the input. */
export function identifyParts(stages: readonly (readonly PartDraft[])[]): readonly (readonly PartIdentity[])[] {
  const keys = identityKeys(stages);
  const idByKey = new Map<string, string>();
  const taken = new Set<string>();
  return stages.map((drafts, stageIndex) => {
    const inStage = new Map<string, number>();
    return drafts.map((draft, index) => {
      const plainKey = keys[stageIndex]?.[index] ?? fullKey(draft, '');
      const earlier = inStage.get(plainKey) ?? 0;
      inStage.set(plainKey, earlier + 1);
      const key = earlier === 0 ? plainKey : `${plainKey}#${earlier + 1}`;
      let id = idByKey.get(key);
      if (id === undefined) {
        const slug = slugFor(draft, plainKey);
        let copy = earlier + 1;
        id = copy === 1 ? slug : `${slug}-copy-${copy}`;
        while (taken.has(id)) id = `${slug}-copy-${++copy}`;
        taken.add(id);
        idByKey.set(key, id);
      }
      return { id, collided: earlier > 0 };
    });
  });
}

const LONGEST_ABBREVIATION = 8;

const VOWEL = /^[aeiouyäöüàáâãåæèéêëìíîïòóôõøùúûý]/i;

/**
 * The start of a name, cut between characters, never inside one: inside a word before a vowel, and a full stop says that it goes on (`Schlagw.`; common
 * practice, no source).
 */
function shortened(name: string): string {
  const letters = Array.from(name.trim());
  if (letters.length <= LONGEST_ABBREVIATION) return letters.join('');
  const isLetter = (index: number): boolean => /^\p{L}/u.test(letters[index] ?? '');
  for (let end = LONGEST_ABBREVIATION - 1; end > 1; end--) {
    const isInWord = isLetter(end - 1) && isLetter(end) && isLetter(end - 2);
    if (isInWord && !VOWEL.test(letters[end - 1] ?? '') && VOWEL.test(letters[end] ?? ''))
      return `${letters.slice(0, end).join('')}.`;
    if (end < LONGEST_ABBREVIATION - 1 && !isLetter(end)) break;
  }
  return letters.slice(0, LONGEST_ABBREVIATION).join('').trim();
}

/** The key of a transposing instrument at the end of its name. */
const KEY_AT_END = /\s+(in|en|em)\s+\p{L}+([\s-](flat|sharp|b[eé]mol|bemolle))?$/iu;

/** What of a name in brackets, and its key, is left away. */
function stemOf(name: string): string {
  return name
    .replace(/\s*[([{].*$/, '')
    .replace(KEY_AT_END, '')
    .trim();
}

/** The words of a name without its numbers. */
function wordsOf(stem: string): string {
  return comparableName(stem)
    .split(' ')
    .filter((word) => !/^(\d+|i{1,3}|iv)$/.test(word))
    .join(' ');
}

/** `Fl.`, `Vln`: a name that is short for another. */
function isAbbreviated(stem: string): boolean {
  return /\.\s*(\d+|[IVX]+)?$/.test(stem) || !/[aeiou]/.test(wordsOf(stem));
}

function isEnglish(stem: string, { trackNames }: Instrument): boolean {
  const words = wordsOf(stem);
  return trackNames.en.some((name) => comparableName(name) === words);
}

/** Its player looks for himself under the letter of a word of his name. */
function beginsAlike(stem: string, abbreviation: string): boolean {
  const initial = comparableName(abbreviation).charAt(0);
  return comparableName(stem)
    .split(' ')
    .some((word) => word.startsWith(initial));
}

/**
 * A short name of the user's own (`Keys 1`, `Timb.`, `Guitarra`), what stands in brackets left away: a score has its names in one language and one
 * form. Full English names have the usual abbreviation, where its player would look for himself under that.
 */
function ownShortName({ name, numbers, solo }: PartDraft, instrument: Instrument): string {
  const stem = stemOf(name);
  const isShort = stem !== '' && Array.from(stem).length <= LONGEST_ABBREVIATION;
  // A number that the name does not have is one that we gave.
  if (!isShort || solo || (numbers.length > 0 && !/\d|\b[IVX]+$/.test(stem))) return '';
  if (comparableName(instrument.name) === wordsOf(stem)) return '';
  if (!beginsAlike(stem, instrument.abbreviation)) return stem;
  if (wordsOf(stem).includes(' ') || !/^\p{L}+\.?(\s?(\d+|[IVX]+))?$/u.test(stem)) return '';
  const isOwn = isAbbreviated(stem) || (!isEnglish(stem, instrument) && tradeAbbreviation(stem, instrument) === '');
  // Numbers of desks are figures, as of all the others.
  return isOwn ? stem.replace(/\s[IVX]+$/, ` ${numbers.join('+')}`).trim() : '';
}

/** The first abbreviation of the languages in which an instrument has this name that begins as the name does; '' where there is none. */
function tradeAbbreviation(stem: string, { trackNames }: Instrument): string {
  const words = wordsOf(stem);
  const { en: english, ...others } = trackNames;
  if (english.some((name) => comparableName(name) === words)) return '';
  const lists = Object.values(others).filter((names) => names.some((name) => comparableName(name) === words));
  const found = lists
    .flat()
    .filter((name) => /^\p{L}{1,7}\.$/u.test(name) && comparableName(name).startsWith(words.charAt(0)));
  return found[0] ?? '';
}

/**
 * What a name is short for that is no English one: an abbreviation of the trade in its language that begins as it does (`Fg.` for Fagott, `Cb.` for
 * Contrabbassi), else the usual one, or where that begins with another letter the first syllable (`Band.` for Bandoneón).
 */
function abbreviationFor(name: string, instrument: Instrument): string {
  const stem = stemOf(name);
  const words = wordsOf(stem);
  const { abbreviation, trackNames } = instrument;
  const isKnown = Object.values(trackNames).some((names) => names.some((known) => comparableName(known) === words));
  // A short English name is at home under the usual letter, whatever its own (Cello, Vc).
  const isUsual =
    isEnglish(stem, instrument) && (beginsAlike(stem, abbreviation) || words.length <= LONGEST_ABBREVIATION);
  if (words.includes(' ') || !isKnown || isUsual) return abbreviation;
  const own = tradeAbbreviation(stem, instrument);
  const syllable = /^[^aeiou]*[aeiou]+[^aeiou]+/.exec(words)?.[0];
  if (own !== '' || syllable === undefined || beginsAlike(stem, abbreviation)) return own === '' ? abbreviation : own;
  return `${syllable.charAt(0).toUpperCase()}${syllable.slice(1)}.`;
}

function abbreviationOf(draft: PartDraft): string {
  const record = instrumentById(draft.instrument);
  if (record === undefined) return shortened(draft.name);
  const own = ownShortName(draft, record);
  if (own !== '') return own;
  const numbers =
    draft.numbers.length > 2 ? `${draft.numbers[0] ?? ''}-${draft.numbers.at(-1) ?? ''}` : draft.numbers.join('+');
  const words = [draft.solo ? 'solo' : '', numbers].filter((word) => word !== '');
  if (record.id === 'percussion-unpitched' && draft.rest !== '' && draft.name !== record.name)
    return shortened(draft.name);
  return [abbreviationFor(draft.name, record), ...words].join(' ');
}

/** Short names of a stage's parts, each different from the others. */
export function abbreviate(drafts: readonly PartDraft[]): readonly string[] {
  const plain = drafts.map(abbreviationOf);
  const counts = new Map<string, number>();
  for (const word of plain) counts.set(word, (counts.get(word) ?? 0) + 1);
  const used = new Map<string, number>();
  return plain.map((word) => {
    if ((counts.get(word) ?? 0) < 2) return word;
    const copy = (used.get(word) ?? 0) + 1;
    used.set(word, copy);
    return copy <= 26 ? `${word} ${String.fromCharCode(96 + copy)}` : `${word} ${copy}`;
  });
}
