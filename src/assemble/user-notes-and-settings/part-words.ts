/** Which parts a word of the settings or of a note means. */
import type { Part } from '../../model/music/arrangement.ts';
import type { Family } from '../../model/music/instrument.ts';
import type { NameReader } from '../names/source-track.ts';
import { comparableName } from '../names/text.ts';

const FAMILY_WORDS: ReadonlyMap<string, Family> = new Map(
  Object.entries<Family>({
    strings: 'strings',
    string: 'strings',
    streicher: 'strings',
    archi: 'strings',
    cordes: 'strings',
    woodwind: 'woodwind',
    woodwinds: 'woodwind',
    winds: 'woodwind',
    wind: 'woodwind',
    holz: 'woodwind',
    holzblaser: 'woodwind',
    legni: 'woodwind',
    bois: 'woodwind',
    brass: 'brass',
    blech: 'brass',
    blechblaser: 'brass',
    ottoni: 'brass',
    cuivres: 'brass',
    percussion: 'percussion',
    schlagzeug: 'percussion',
    percussioni: 'percussion',
    percussions: 'percussion',
    keyboards: 'keyboard',
    keyboard: 'keyboard',
    keys: 'keyboard',
    tasteninstrumente: 'keyboard',
    voices: 'voice',
    vocals: 'voice',
    choir: 'voice',
    chor: 'voice',
    coro: 'voice',
    choeur: 'voice',
    stimmen: 'voice',
  }),
);

function namesOf(part: Part): readonly string[] {
  return [part.id, part.name, part.abbreviation, ...part.tracks.map((track) => track.name)].map(comparableName);
}

/** Parts called exactly this (name, track, short name or id), else those of this instrument and number, else of this family; none where nothing fits. */
export function partsMeant(word: string, parts: readonly Part[], read: NameReader): readonly Part[] {
  const wanted = comparableName(word);
  if (wanted === '') return [];
  const named = parts.filter((part) => namesOf(part).includes(wanted));
  if (named.length > 0) return named;
  const family = FAMILY_WORDS.get(wanted);
  if (family !== undefined) {
    const ofFamily = parts.filter((part) => part.family === family);
    if (ofFamily.length > 0) return ofFamily;
  }
  const reading = read(word);
  // Words that are no part of an instrument's name say that something else is meant.
  if (reading.candidates.length === 0 || reading.rest !== '') return [];
  const numbers =
    reading.numbers.length > 0
      ? reading.numbers
      : reading.leadingNumber === undefined
        ? []
        : [reading.leadingNumber.count];
  return parts.filter(
    (part) =>
      (reading.candidates.includes(part.instrument) || comparableName(part.instrumentName) === wanted) &&
      (numbers.length === 0 || (part.number !== undefined && numbers.includes(part.number))) &&
      (!reading.solo || /solo/i.test(part.name)),
  );
}
