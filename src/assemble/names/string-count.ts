/** How many strings a name gives its instrument: `Violão 7 cordas`, `5-string bass`, `siebensaitige Gitarre`. */
import type { NameWord } from './name-words.ts';

const STRINGS: ReadonlySet<string> = new Set(
  'string strings str strs stringed corda cordas cuerda cuerdas corde cordes saite saiten saitig saitige saitiger snaren snarig snarige strenger strengs strangar strangad strun'.split(
    ' ',
  ),
);
/** Words for the numbers that are said of guitars and basses, folded. */
const SPOKEN: ReadonlyMap<string, number> = new Map(
  [
    'four vier quatro cuatro quattro quatre fyra fire',
    'five funf cinco cinque cinq fem vijf',
    'six sechs seis sei sex seks zes',
    'seven sieben sete siete sette sept sju syv zeven',
    'eight acht oito ocho otto huit atta otte',
  ].flatMap((words, place) => words.split(' ').map((word): [string, number] => [word, place + 4])),
);
const FEWEST = 4;
const MOST = 12;
/** In Brazil the guitar of seven strings is called by its number alone (common practice, no source). */
const BRAZILIAN = /^violao$/;

export interface StringCount {
  readonly count: number;
  /** Places of the words that say it: they are neither a number of the part nor the name of an instrument. */
  readonly places: readonly number[];
}

function countOf(text: string): number | undefined {
  const count = /^\d+$/.test(text) ? Number(text) : SPOKEN.get(text);
  return count !== undefined && count >= FEWEST && count <= MOST ? count : undefined;
}

/** The number of strings that the words of a name state; undefined where they state none. Whether the instrument has strings is not looked at. */
export function stringCountOf(words: readonly NameWord[]): StringCount | undefined {
  for (const [place, { text }] of words.entries()) {
    const [, spoken] = /^(\p{L}+?)(?:saitige?r?|string)$/u.exec(text) ?? [];
    const joined = spoken === undefined ? undefined : SPOKEN.get(spoken);
    if (joined !== undefined) return { count: joined, places: [place] };
    const count = countOf(text);
    if (count === undefined) continue;
    const next = words[place + 1];
    const of = words[place - 1]?.text === 'de' ? [place - 1] : [];
    if (next !== undefined && !next.apart && STRINGS.has(next.text))
      return { count, places: [...of, place, place + 1] };
    if (count === 7 && BRAZILIAN.test(words[place - 1 - of.length]?.text ?? ''))
      return { count, places: [...of, place] };
  }
  return undefined;
}
