/** A descant: a counter-melody above a tune that others keep, as over the last verse of a hymn (common practice, no source). */

/** Descant, Diskant, Discant, déchant, Überstimme, bovenstem and their kin, Diskantstimme too. Names of the trade, no source. */
const DESCANT =
  /(?<!\p{L})(?:d[ei]s[ck]ant(?:s|us|o|e|ti|stimme)?|d[ée]chant|dyskant|diszkant|[üu]e?berstimme|överstämma|overstemme|bovenstem)(?!\p{L})/iu;

interface NamedPart {
  readonly name: string;
  readonly instrument: string;
}

/**
 * True where a part is called a descant and another of its instrument is not: the treble of a choir (Diskant, Alt, Tenor, Bass) and a descant
 * recorder have the word for their register alone.
 */
export function isDescant(part: NamedPart, all: readonly NamedPart[]): boolean {
  const { name, instrument } = part;
  return DESCANT.test(name) && all.some((other) => other.instrument === instrument && !DESCANT.test(other.name));
}
