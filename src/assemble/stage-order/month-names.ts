/** Names of months in the languages whose dates stand in names of files here (Unicode CLDR: en, de, fr, it, es, nl). */

const MONTHS: readonly (readonly string[])[] = [
  ['january', 'januar', 'janvier', 'gennaio', 'enero', 'januari'],
  ['february', 'februar', 'février', 'fevrier', 'febbraio', 'febrero', 'februari'],
  ['march', 'märz', 'maerz', 'mars', 'marzo', 'maart', 'mrt'],
  ['april', 'avril', 'aprile', 'abril'],
  ['may', 'mai', 'maggio', 'mayo', 'mei'],
  ['june', 'juni', 'juin', 'giugno', 'junio'],
  ['july', 'juli', 'juillet', 'luglio', 'julio'],
  ['august', 'août', 'aout', 'agosto', 'augustus'],
  ['september', 'septembre', 'settembre', 'septiembre'],
  ['october', 'oktober', 'octobre', 'ottobre', 'octubre'],
  ['november', 'novembre', 'noviembre'],
  ['december', 'dezember', 'décembre', 'decembre', 'dicembre', 'diciembre'],
];

/** 1 for January, from three letters on; 0 for no month, and for the start of two. */
export function monthNamed(word = ''): number {
  const letters = word.normalize('NFC').toLowerCase();
  const meant = MONTHS.flatMap((names, index) => (names.some((name) => name.startsWith(letters)) ? [index + 1] : []));
  const [month, another] = meant;
  return letters.length >= 3 && month !== undefined && another === undefined ? month : 0;
}

/** True for words that mean a month without a day beside them: no shortened ones, which mean other things too. */
export function isMonthAlone(word = ''): boolean {
  const letters = word.normalize('NFC').toLowerCase();
  return /^(?:jan|feb|apr|jun|jul|aug|sep|sept|oct|okt|nov|dec|dez)$/.test(letters) || MONTHS.flat().includes(letters);
}
