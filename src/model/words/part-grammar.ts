/** Verbs after the names of parts: `Flute enters`, `Flutes enter`, `Violin I and Viola enter`. Names are untrusted text. */

/** Plural nouns of section names that do not end in `s`; German, Italian, French and Latin. From memory. */
const PLURALS = new Set(
  (
    'archi bassi bläser blechbläser bratschen bässe celli clarinetti clarini contrabassi corni cori fagotte fagotti flauti ' +
    'flöten geigen hörner klarinetten kontrabässe legni oboen oboi ottavini ottoni pauken piatti posaunen sopranen soprani ' +
    'stimmen streicher timpani tromben trombe tromboni trompeten tuben viole violen violinen violini violoncelli voci voix'
  ).split(' '),
);

/** Nouns that end in a single `s` and are one thing; Pos is short for a Posaune. */
const SINGULARS = new Set([
  'chorus',
  'corps',
  'rhodes',
  'contrabas',
  'bas',
  'tutti',
  'pizzicatos',
  'canvas',
  'cors',
  'pos',
]);

/** The noun of a name: without `in F`, numbers, desks and what stands in brackets. */
function nounOf(name: string): string {
  const plain = name
    .toLowerCase()
    .replaceAll(/\(.*?\)/g, ' ')
    .replace(/\s(?:in|en)\s.*$/, '')
    // A guitar of seven strings is one.
    .replaceAll(/(?:\d+|(?<=\bde\s)\p{L}+)[\s-]*(?:strings?|cordas|cuerdas|corde|cordes|saiten)(?!\p{L})/gu, ' ')
    .replace(/\sde\s*$/, '')
    .replaceAll(/[^\p{L}\s]/gu, ' ');
  const words = plain.split(/\s+/).filter((word) => word.length > 2 && !/^[ivx]+$/.test(word));
  return words.at(-1) ?? '';
}

/** Who plays the keys is one player, whose place in the band is numbered: Keys 1, Keys. */
const ONE_PLAYER = new Set(['keys', 'drums', 'vox', 'timbales', 'congas', 'bongos']);

/** True where a part's name is a plural: `Flutes 1-2`, `Horns in F`, `Violini II`. */
export function isPluralName(name: string): boolean {
  const noun = nounOf(name);
  if (PLURALS.has(noun)) return true;
  if (ONE_PLAYER.has(noun) && /\d/.test(name)) return false;
  return /[^su]s$/.test(noun) && !noun.endsWith('is') && !SINGULARS.has(noun);
}

/** The form of a verb (or pronoun) that agrees with the named parts. */
export function agreeingWith(names: readonly string[], singular: string, plural: string): string {
  const [only = ''] = names;
  return names.length > 1 || isPluralName(only) ? plural : singular;
}
