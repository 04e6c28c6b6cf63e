/** The parts that a sentence names, by the longest names in it. */
import type { Part } from '../../model/music/arrangement.ts';
import { ARTICULATION_WORDS, MIX_WORDS } from '../names/name-words.ts';
import type { NameReader } from '../names/source-track.ts';
import { comparableName, foldText } from '../names/text.ts';
import { partsMeant } from './part-words.ts';

/** A name has no more words. */
const MOST_NAME_WORDS = 4;
/** Words of a name: letters, figures and signs. */
const WORD = /[\p{L}\p{M}\p{N}#♭♯]+/gu;
/** What may stand between the words of a name. */
const WITHIN_NAME = /^(?:\.? ?|-)$/u;
/** Words that begin or end no name, unless a part is called just so. */
const NO_NAMES =
  /^(?:lead|solo|melod\p{L}*|tune|them[ae]|tema|canto|chant|a|à|i|o|e|y|c|p|f|la|le|da|do|in|no|na|§)$/iu;
/** Words that tell nothing in a track's name, and something in a sentence. */
const SENTENCE_WORDS: ReadonlySet<string> = new Set([...MIX_WORDS, ...ARTICULATION_WORDS]);
/** Who sings alone is none of it. */
const CHOIR = /^(?:choir|chorus|ch(?:o|oe|œ)u?r|coro|koor|voices|stimmen)$/iu;
/** Names joined by it are said together; a comma may begin another thing. */
const AND =
  /^\s*(?:and|und|et|e|y|&|\+|\/)\s*(?:(?:the|die|der|das|les|los|las|le|la|el|il|i|gli|o|os|as|l['’])\s*)?$/iu;

/** Behind the second of two names it begins a clause of its own: the voice sings and the guitar accompanies. */
const OWN_VERB =
  /^\s*(?:begleite|accompan|accompagn|acompa[nñ]|spiel[te]|pausier|schweig|plays?(?!\p{L})|rests?(?!\p{L})|jou[ea]|se tai|toca|calla|suona|tace)/iu;

/** A sentence with `¤1¤` for each part or run of parts that it names, and the ids of those of each. */
export interface Named {
  readonly text: string;
  readonly groups: readonly (readonly string[])[];
}

/** The sentence with `¤1¤` for each part or run of parts that it names. */
export function takeParts(text: string, parts: readonly Part[], read: NameReader): Named {
  const words = [...text.matchAll(WORD)].map((match) => ({ start: match.index, end: match.index + match[0].length }));
  const exact = new Set(
    parts.flatMap((part) => [part.name, ...part.tracks.map((track) => track.name)]).map(comparableName),
  );
  const groups: string[][] = [];
  let made = '';
  let done = 0;
  for (let place = 0; place < words.length;) {
    const start = words[place]?.start ?? 0;
    let found: { readonly next: number; readonly end: number; readonly ids: readonly string[] } | undefined;
    for (let size = MOST_NAME_WORDS; size > 0 && found === undefined; size--) {
      const end = words[place + size - 1]?.end;
      if (end === undefined) continue;
      const gaps = words
        .slice(place, place + size - 1)
        .map((word, index) => text.slice(word.end, words[place + index + 1]?.start));
      const name = text.slice(start, end);
      const own = words.slice(place, place + size).map((word) => foldText(text.slice(word.start, word.end)));
      const isPlain =
        ![own[0] ?? '', own.at(-1) ?? ''].some((word) => NO_NAMES.test(word)) &&
        !own.some((word) => SENTENCE_WORDS.has(word));
      if (!isPlain && !exact.has(comparableName(name))) continue;
      if (!gaps.every((gap) => WITHIN_NAME.test(gap)) || /^\d+$/.test(name)) continue;
      const meant = partsMeant(name, parts, read);
      const ids = (CHOIR.test(name) ? meant.filter((part) => !read(part.name).solo) : meant).map(({ id }) => id);
      if (ids.length > 0) found = { next: place + size, end, ids };
    }
    if (found === undefined) {
      place++;
      continue;
    }
    const between = text.slice(done, start);
    const isJoined = AND.test(between) && !OWN_VERB.test(text.slice(found.end));
    if (groups.length > 0 && made.endsWith('¤ ') && isJoined) groups.at(-1)?.push(...found.ids);
    else {
      groups.push([...found.ids]);
      made += `${between} ¤${String(groups.length)}¤ `;
    }
    // The full stop of an abbreviation belongs to it, that of a sentence does not matter.
    done = text[found.end] === '.' ? found.end + 1 : found.end;
    place = found.next;
  }
  return { text: made + text.slice(done), groups: groups.map((ids) => [...new Set(ids)]) };
}
