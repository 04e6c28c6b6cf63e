/** Bars that a sentence names: `Takte 9-16`, `mm. 9–12 and 25–28`, `from bar 9 on`, `ab T. 9`, `à partir de la mesure 9`, `bis Takt 16`, `en 17`. */
import { BAR_WORD } from '../../read/settings/bar-span.ts';

/** Bars from the first to the last; without a first one as far back, without a last one as far on as what is said holds. */
export interface SaidBars {
  readonly from?: number;
  readonly to?: number;
}

const TO = String.raw`\s*(?:[-–—]|to|through|bis|à|a|al|alla|ao|até|hasta|fino a)\s*`;
const NUMBER = String.raw`(\d{1,4})(?![\d/%]|[.,:]\d|\s*(?:[-–—]\s*\d+){2})`;
const ARTICLE = String.raw`(?:(?:the|dem|der|la|le|el|il|o|a|l')\s*)?`;
const FROM = String.raw`(?:from|starting (?:at|in|from)|ab|von|dès|à partir d[eu]|desde|a partir d(?:e|el|al|alla|a|o)|da(?:l|lla)?)`;
const UNTIL = String.raw`(?:until|till|up to|bis(?: zu[mr]?)?|jusqu['’](?:à|au)|hasta|fino a(?:l|lla)?|até)`;
const ON = String.raw`(?:\s*(?:ff\.?|on(?:wards?)?|an|en adelante|in poi|em diante))?`;
const END = String.raw`(?:ende|schlu(?:ss|ß)|(?:the\s+)?end|fin|final|fine|fim)`;
const word = String.raw`(?:${BAR_WORD})\s*`;
const alone = String.raw`(?<![\p{L}\d.,:/#♯♭–—-])`;

type Reader = (first: number, last: number | undefined) => SaidBars;

/** The first that fits at a place counts. */
const FORMS: readonly (readonly [RegExp, Reader])[] = [
  [
    new RegExp(`${alone}(?:${FROM}\\s+${ARTICLE})?${word}(\\d{1,4})${TO}(?:${ARTICLE}${word})?${NUMBER}`, 'giu'),
    (from, to) => ({ from, ...(to === undefined ? {} : { to }) }),
  ],
  [
    new RegExp(
      `${alone}(?:${FROM}\\s+${ARTICLE})?${word}(\\d{1,4})\\s*(?:[-–—]|${UNTIL}|to|a|à)\\s*(?:the\\s+|l[ae]\\s+|al?\\s+|alla\\s+|el\\s+|o\\s+)?${END}(?!\\p{L})`,
      'giu',
    ),
    (from) => ({ from }),
  ],
  [
    new RegExp(`${alone}${FROM}\\s+(\\d{1,4})${TO}${NUMBER}(?!\\s*\\p{L}*(?:uhr|h|am|pm)(?!\\p{L}))`, 'giu'),
    (from, to) => ({ from, ...(to === undefined ? {} : { to }) }),
  ],
  [new RegExp(`${alone}${FROM}\\s+${ARTICLE}(?:${word})?${NUMBER}${ON}(?!\\p{L})`, 'giu'), (from) => ({ from })],
  [new RegExp(`${alone}${UNTIL}\\s+${ARTICLE}(?:${word})?${NUMBER}`, 'giu'), (to) => ({ to })],
  [new RegExp(`${alone}${word}${NUMBER}\\s*(?:ff\\.?|on(?:wards?)?(?!\\p{L}))`, 'giu'), (from) => ({ from })],
  [new RegExp(`${alone}${word}${NUMBER}`, 'giu'), (bar) => ({ from: bar, to: bar })],
  [
    new RegExp(`${alone}(?:(?:tt?|mm?|bb?|cc?) ?)?(\\d{1,4})\\s*[-–—]\\s*${NUMBER}(?!\\p{L})`, 'giu'),
    (from, to) => ({ from, ...(to === undefined ? {} : { to }) }),
  ],
  [
    new RegExp(`${alone}(?:in|im|en|à|a|at)\\s+(?:la\\s+)?${NUMBER}(?!\\s*\\p{L})`, 'giu'),
    (bar) => ({ from: bar, to: bar }),
  ],
];

/** What stands for bars in a sentence from which they were taken. */
export const BARS = '§';

export interface SentenceBars {
  /** The sentence with `§` for each run of bars. */
  readonly text: string;
  /** What each `§` stands for, in order. */
  readonly bars: readonly (readonly SaidBars[])[];
}

/** Takes the bars out of a sentence. Spans that run backwards are none. */
export function takeBars(sentence: string): SentenceBars {
  const taken: { readonly start: number; readonly end: number; readonly said: SaidBars }[] = [];
  for (const [pattern, reader] of FORMS) {
    for (const match of sentence.matchAll(pattern)) {
      const [all, first, last] = match;
      const [start, end] = [match.index, match.index + all.length];
      if (taken.some((other) => start < other.end && other.start < end)) continue;
      const said = reader(Number(first), last === undefined ? undefined : Number(last));
      if (said.from !== undefined && said.to !== undefined && said.to < said.from) continue;
      taken.push({ start, end, said });
    }
  }
  taken.sort((a, b) => a.start - b.start);
  const bars: SaidBars[][] = [];
  let text = '';
  let done = 0;
  for (const { start, end, said } of taken) {
    const between = sentence.slice(done, start);
    // Behind a comma alone what is from a bar on is another thing: 9-16, ab Takt 25.
    const isAnother = said.to === undefined && /^\s*,\s*$/u.test(between);
    const goesOn =
      bars.length > 0 && !isAnother && /^\s*(?:,|and|und|et|y|e|&|\+|,\s*(?:and|und|et|y|e))\s*$/iu.test(between);
    if (goesOn) bars.at(-1)?.push(said);
    else {
      text += `${between} ${BARS} `;
      bars.push([said]);
    }
    done = end;
  }
  return { text: text + sentence.slice(done), bars };
}
