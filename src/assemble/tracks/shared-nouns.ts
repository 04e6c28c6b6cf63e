/**
 * Counts that share one noun: `6 erste und 5 zweite Geigen`, `six first and five second violins`, `6 violini primi e 5 secondi`. Ordinals of players
 * in the languages that are read are words of the trade, no source.
 */
import { foldText } from '../names/text.ts';

/** Folded forms of the ordinal of each place, the one that is read in front of a noun first. */
const ORDINALS: readonly (readonly string[])[] = [
  'erste ersten erster first 1st premiers premieres premier premiere primi prime primo prima primeros primeras primer primera primeiros primeiras primeiro primeira',
  'zweite zweiten zweiter second 2nd seconds secondes deuxiemes seconde deuxieme secondi seconde secondo seconda segundos segundas segundo segunda',
  'dritte dritten dritter third 3rd troisiemes troisieme terzi terze terzo terza terceros terceras tercer tercera terceiros terceiras terceiro terceira',
  'vierte vierten vierter fourth 4th quatriemes quatrieme quarti quarte quarto quarta cuartos cuartas cuarto cuarta quartos quartas',
].map((words) => words.split(' '));

const WORD = String.raw`[\p{L}\d]+`;
const AND = String.raw`(?:\s*[,;]\s*|\s+)(?:(?:and|und|et|e|ed|y|plus|sowie)\s+)?`;

const isOrdinal = (word: string): boolean => ORDINALS.some((words) => words.includes(foldText(word)));

/**
 * Makes of a sentence one in which each count of a row has its noun: `6 erste Geigen, 5 zweite Geigen`; the same sentence where no two ordinals with
 * their counts stand side by side. `counts` is a pattern of number words.
 */
export function eachNoun(counts: string): (sentence: string) => string {
  const count = String.raw`(?<![\p{L}\d.,:/–-])([1-9]\d?|${counts})`;
  const noun = String.raw`([\p{L}][\p{L}-]{2,})`;
  const behind = new RegExp(String.raw`${count}\s+(${WORD})${AND}([1-9]\d?|${counts})\s+(${WORD})\s+${noun}`, 'giu');
  const before = new RegExp(String.raw`${count}\s+${noun}\s+(${WORD})${AND}([1-9]\d?|${counts})\s+(${WORD})`, 'giu');
  const parted = (all: string, one: string, first: string, other: string, second: string, name: string): string =>
    isOrdinal(first) && isOrdinal(second) && !isOrdinal(name)
      ? `, ${one} ${first} ${name}, ${other} ${second} ${name}`
      : all;
  return (sentence) =>
    sentence
      .replace(behind, parted)
      .replace(before, (all: string, one: string, name: string, first: string, other: string, second: string) =>
        parted(all, one, first, other, second, name),
      );
}
