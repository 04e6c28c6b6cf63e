/** Words in a score, cut into runs of letters (set in the page's face) and music signs (drawn from outlines). */
import { GLYPH_EM_PX, requiredGlyph, wordWidthPx } from './glyph-table.ts';

/** Bar numbers by their size at a staff height of 40 px. */
export const NUMBER_SIZES_PX = [17, 20, 24, 28, 32, 36, 40] as const;

/** Names of staves, sections and tempo are the larger the smaller the staves are printed: by their size at a staff height of 40 px. */
type Lettering = 'label' | 'section' | 'tempo';
const LETTER_SIZES_PX = [20, 26, 32, 40] as const;
export type LetterSize = (typeof LETTER_SIZES_PX)[number];

export type WordStyle =
  Lettering | `${Lettering}-${LetterSize}` | `number-${(typeof NUMBER_SIZES_PX)[number]}` | 'chord' | 'cue' | 'lyric';

/** Classes are for the page; size and face stand in attributes, by which the place of words is reckoned. */
function attributes(name: string, sizePx: number, more = ''): string {
  return `class="sn-word sn-${name}" font-size="${String(sizePx)}"${more}`;
}

function numberStyle(sizePx: number) {
  return { sizePx, weight: 'regular', attributes: attributes('number', sizePx, ' font-style="italic"') } as const;
}

interface StyleOfWords {
  readonly sizePx: number;
  readonly weight: 'regular' | 'bold';
  readonly attributes: string;
}

function letterStyle(name: Lettering, sizePx: number): StyleOfWords {
  const weight = name === 'label' ? 'regular' : 'bold';
  return { sizePx, weight, attributes: attributes(name, sizePx, weight === 'bold' ? ' font-weight="bold"' : '') };
}

function inSizes<Name extends string, Size extends number>(
  name: Name,
  sizes: readonly Size[],
  styleOf: (sizePx: Size) => StyleOfWords,
): Readonly<Record<`${Name}-${Size}`, StyleOfWords>> {
  const styles = sizes.map((size) => [`${name}-${size}`, styleOf(size)] as const);
  return Object.fromEntries(styles) as Record<`${Name}-${Size}`, StyleOfWords>;
}

function letterStyles<Name extends Lettering>(name: Name) {
  return inSizes(name, LETTER_SIZES_PX, (sizePx) => letterStyle(name, sizePx));
}

export const WORD_STYLES: Readonly<Record<WordStyle, StyleOfWords>> = {
  label: letterStyle('label', 15),
  ...letterStyles('label'),
  section: letterStyle('section', 15),
  ...letterStyles('section'),
  tempo: letterStyle('tempo', 15),
  ...letterStyles('tempo'),
  ...inSizes('number', NUMBER_SIZES_PX, numberStyle),
  chord: { sizePx: 16, weight: 'regular', attributes: attributes('chord', 16) },
  cue: {
    sizePx: 15,
    weight: 'regular',
    attributes: attributes('cue', 15, ' font-style="italic" font-family="sans-serif"'),
  },
  lyric: { sizePx: 15, weight: 'regular', attributes: attributes('lyric', 15) },
};

/** Width of the music on a printed sheet of A4, in points (178 mm). */
export const PRINTED_PT = 504;
/** On paper letters are as large as this at least; they are that in a reduced score, 1200 px wide (custom; no source gives a size). */
const LEAST_LETTERS_PT = 6.3;
/** So wide are systems of many staves; on a sheet that they fill they are set smaller still, beside the headings of the first one. */
const [TALL_FROM_PX, SET_SMALLER] = [1200, 1.3];

/** What prints at least so many points high in a system `widthPx` wide that is printed `printedPt` wide. */
export function pxForPoints(points: number, widthPx: number, printedPt: number): number {
  return ((points * widthPx) / printedPt) * (widthPx > TALL_FROM_PX ? SET_SMALLER : 1);
}

/** How large words are to be; of a system `widthPx` wide that is printed `printedPt` wide. */
export function letterSizeFor(widthPx: number, printedPt = PRINTED_PT): LetterSize | undefined {
  const leastPx = pxForPoints(LEAST_LETTERS_PT, widthPx, printedPt);
  return leastPx <= 15.01 ? undefined : (LETTER_SIZES_PX.find((size) => size >= leastPx) ?? 40);
}

/** A style at a size; the one of a reduced score where none is given. */
export function lettered(name: Lettering, size: LetterSize | undefined): WordStyle {
  return size === undefined ? name : `${name}-${size}`;
}

type WordRun =
  | { readonly kind: 'text'; readonly text: string; readonly widthPx: number; readonly inkWidthPx: number }
  | {
      readonly kind: 'glyph';
      readonly character: string;
      readonly widthPx: number;
      readonly sizePx: number;
      readonly raisePx: number;
      /** White before the sign, within its width. */
      readonly leadPx: number;
    };

export interface Words {
  readonly style: WordStyle;
  readonly runs: readonly WordRun[];
  readonly widthPx: number;
}

// Controls, and marks that turn the direction of what follows, would let a name rearrange the page around it.
const INVISIBLE = /[\u0000-\u001F\u007F-\u009F\u200B-\u200F\u2028-\u202E\u2060-\u206F\uFEFF\uFFF9-\uFFFB]+/g;

/** Text from outside on one line, without control characters. It still has to be escaped where it enters markup. */
export function oneLine(text: string): string {
  return text.replace(INVISIBLE, ' ').replace(/\s+/g, ' ').trim();
}

function textRun(text: string, style: WordStyle): WordRun {
  const { sizePx, weight } = WORD_STYLES[style];
  const widthPx = wordWidthPx(text, sizePx, weight);
  // Spaces at the ends are advance without ink and are not drawn.
  return { kind: 'text', text: text.trim(), widthPx, inkWidthPx: wordWidthPx(text.trim(), sizePx, weight) };
}

function glyphRun(character: string, sizePx: number, raisePx = 0, whitePx = { before: 0, after: 0.6 }): WordRun {
  const { record } = requiredGlyph(character);
  const widthPx = whitePx.before + (record.advance * sizePx) / GLYPH_EM_PX + whitePx.after;
  return { kind: 'glyph', character, widthPx, sizePx, raisePx, leadPx: whitePx.before };
}

function wordsOf(style: WordStyle, runs: readonly WordRun[]): Words {
  return { style, runs, widthPx: runs.reduce((sum, run) => sum + run.widthPx, 0) };
}

/** Cut with an ellipsis where it would be wider than `mostPx`. */
export function plainWords(text: string, style: WordStyle, mostPx = Infinity): Words {
  const { sizePx, weight } = WORD_STYLES[style];
  const line = oneLine(text);
  let letters = Array.from(line).slice(0, 400);
  let shown = letters.join('');
  while (letters.length > 1 && wordWidthPx(shown, sizePx, weight) > mostPx) {
    letters = letters.slice(0, Math.max(1, Math.floor(letters.length * 0.9)));
    shown = `${letters.join('').trimEnd()}…`;
  }
  return wordsOf(style, shown === '' ? [] : [textRun(shown, style)]);
}

/** Pieces of a text in rows of at most so many pixels, as far as they can be parted. */
export function inRows(pieces: readonly string[], style: WordStyle, mostPx: number): readonly string[] {
  const rows: string[] = [];
  for (const piece of pieces) {
    const last = rows.at(-1);
    const joined = last === undefined ? piece : `${last} ${piece}`;
    if (last !== undefined && plainWords(joined, style).widthPx <= mostPx) rows[rows.length - 1] = joined;
    else rows.push(piece);
  }
  return rows;
}

const FLAT = '\uE260';
const SHARP = '\uE262';

/** As much white as a stroke of the letters is thick, so that a sign does not lie on the letter or figure beside it (common practice, no source). */
const BESIDE_SIGN_PX = { before: 1.7, after: 1.4 };

const ACCIDENTALS: Readonly<Record<string, string>> = { b: FLAT, '♭': FLAT, '#': SHARP, '♯': SHARP };

/**
 * A chord symbol from its ASCII form: an accidental after a root or bass letter, or before a figure, is drawn as a music
 * sign (`Bb7#11/Ab`); every other letter stays a letter (`sub`, `b` in a word).
 */
export function chordWords(text: string): Words {
  const line = Array.from(oneLine(text)).slice(0, 60).join('');
  const size = WORD_STYLES.chord.sizePx;
  const runs: WordRun[] = [];
  let plain = '';
  const flush = (): void => {
    if (plain !== '') runs.push(textRun(plain, 'chord'));
    plain = '';
  };
  for (let index = 0; index < line.length; index++) {
    const letter = line[index] ?? '';
    const sign = ACCIDENTALS[letter];
    const before = line[index - 1] ?? '';
    const root = /[A-G]/.test(before) && (index === 1 || /[/\s(|]/.test(line[index - 2] ?? ''));
    const doubled = index >= 2 && before === letter && runs.at(-1)?.kind === 'glyph' && plain === '';
    const figure =
      /\d/.test(line[index + 1] ?? '') && !/[A-Za-z]/.test(letter === 'b' ? before.replace(/[a-z]/, '') : '');
    if (sign !== undefined && (root || doubled || figure)) {
      flush();
      const raisePx = size * (sign === FLAT ? 0.22 : 0.36);
      runs.push(glyphRun(sign, size * 1.35, raisePx, BESIDE_SIGN_PX));
    } else {
      plain += letter;
    }
  }
  flush();
  return wordsOf('chord', runs);
}

const METRONOME_NOTES: Readonly<Record<string, string>> = {
  '𝅝': '\uECA2',
  '𝅗𝅥': '\uECA3',
  '♩': '\uECA5',
  '𝅘𝅥': '\uECA5',
  '♪': '\uECA7',
  '𝅘𝅥𝅮': '\uECA7',
  '𝅘𝅥𝅯': '\uECA9',
};
const METRONOME_PATTERN = /(𝅗𝅥|𝅘𝅥𝅮|𝅘𝅥𝅯|𝅘𝅥|𝅝|♩|♪)(\.?)/u;

/** A tempo mark; note values in it (`♩. = 72`) are drawn as music signs. */
export function tempoWords(text: string, mostPx = Infinity, style: WordStyle = 'tempo'): Words {
  const line = oneLine(text);
  const size = WORD_STYLES[style].sizePx;
  const match = METRONOME_PATTERN.exec(line);
  if (match === null) return plainWords(line, style, mostPx);
  const before = line.slice(0, match.index);
  const after = line.slice(match.index + match[0].length);
  const runs: WordRun[] = [];
  if (before !== '')
    runs.push(...plainWords(before, style, mostPx).runs, { kind: 'text', text: '', widthPx: 5, inkWidthPx: 0 });
  runs.push(glyphRun(METRONOME_NOTES[match[1] ?? ''] ?? '\uECA5', size * 1.6));
  if (match[2] === '.')
    runs.push({ kind: 'text', text: '', widthPx: 1.5, inkWidthPx: 0 }, glyphRun('\uECB7', size * 1.6));
  runs.push({ kind: 'text', text: '', widthPx: 4, inkWidthPx: 0 });
  if (after.trim() !== '') runs.push(...plainWords(after, style, mostPx).runs);
  return wordsOf(
    style,
    runs.filter((run) => run.kind === 'glyph' || run.text !== '' || run.widthPx > 0),
  );
}
