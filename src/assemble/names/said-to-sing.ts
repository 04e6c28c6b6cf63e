/** Words beside a voice's name by which it is somebody who sings: Alto (voix), Tenor (Gesang), Basso (canto). */
import { instrumentById } from '../../model/music/catalogue.ts';
import type { Match } from './name-numbers.ts';
import { isNumber } from './name-numbers.ts';
import type { NameWord } from './name-words.ts';
import { spokenNumber } from './name-words.ts';

const words = (list: string): ReadonlySet<string> => new Set(list.split(/\s+/).filter((word) => word !== ''));

/** Folded words that are said of a singer alone. Common practice, no source. */
const SINGS = words(`
  vocal vocals vox sung sings singing singer singers vocalist gesang gesungen singstimme sanger sangerin sangersolo
  chant chante chantee chanteur chanteuse canto cantato cantante cantado cantada cantor cantora cantatrice voci
  sang sanger sangare zang zanger zangeres spiew zpev enek
`);
/** Folded words that are also said of an instrument's line: with a number beside them they are the part's number. */
const VOICE = words('voice voix voce voz stimme stem stemme stamma rost');

/** General MIDI has three programs for choirs, sung or made (53 to 55, here from 0), and none for one singer: any voice takes them. */
export const isSungProgram = (program: number): boolean => program >= 52 && program <= 54;

/** A line sings too, as people say of instruments: names that are none of a person. */
export const NAME_OF_A_LINE =
  /(?<!\p{L})(?:melod\p{L}*|lead|th[eè]m[ae]|tema|tune|line|linie|ligne|línea|solo|hook|riff|counter\p{L}*|gegen\p{L}*|top|idea|track|spur|piste|pista|traccia|faixa)(?!\p{L})/iu;

/** True where a word outside of the match says that what it names is sung. */
export function saidToSing(all: readonly NameWord[], match: Match): boolean {
  const isCounted = (word: NameWord | undefined): boolean =>
    isNumber(word) || (word !== undefined && spokenNumber(word.text) !== undefined);
  return all.some(({ text }, place) => {
    if (place >= match.from && place < match.to) return false;
    return SINGS.has(text) || (VOICE.has(text) && !isCounted(all[place - 1]) && !isCounted(all[place + 1]));
  });
}

/** The readings of a name of which it is said that it sings: those that are sung, where it has any. */
export function sungOf(candidates: readonly string[]): readonly string[] {
  const sung = candidates.filter((id) => instrumentById(id)?.family === 'voice');
  return sung.length > 0 ? sung : candidates;
}
