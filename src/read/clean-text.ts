/**
 * Names and other short texts of unknown encoding. Standard MIDI Files 1.0 asks for ASCII and leaves the rest open, so
 * that every system wrote its own: the encoding is guessed, cautiously, and everything that could upset a page or a
 * terminal is taken out.
 */

const MOST_CHARACTERS = 120;

/** C0 and C1 controls, direction overrides and isolates, zero-width marks, non-characters and lone surrogates. */
const UNSAFE =
  /[\u0000-\u0008\u000E-\u001F\u007F-\u009F\u061C\u200B-\u200F\u202A-\u202E\u2060-\u206F\uFEFF\uFFF9-\uFFFB\uFFFE\uFFFF]|\p{Surrogate}/gu;

/** More than three marks on one letter serve no name. */
const HEAPED_MARKS = /(\p{M}{3})\p{M}+/gu;

/** Marks, embeddings, overrides and isolates of direction (Unicode Standard Annex 9, 2): letters and joiners stay as they are. */
const DIRECTION_MARKS = /[\u061C\u200E\u200F\u202A-\u202E\u2066-\u2069]/g;

/** Text that cannot turn what stands around it; each script keeps its own direction. */
export function withoutDirectionMarks(text: string): string {
  return text.replace(DIRECTION_MARKS, '');
}

/** Text without the characters that could turn or repaint what stands around it; line ends stay. */
export function withoutControls(text: string): string {
  return text.replaceAll(UNSAFE, '');
}

/** One line of text, trimmed, in composed form, without control or direction characters, at most `most` characters. */
export function cleanText(text: string, most = MOST_CHARACTERS): string {
  const line = text
    .slice(0, 8 * most)
    .replaceAll(UNSAFE, '')
    .replaceAll(/[\s\u2028\u2029]+/g, ' ')
    .normalize('NFC')
    .replaceAll(HEAPED_MARKS, '$1')
    .trim();
  const characters = Array.from(line);
  return characters.length <= most ? line : `${characters.slice(0, most - 1).join('')}…`;
}

/** Letters with marks that names of instruments and parts are made of in the languages of Western Europe. */
const EXPECTED = new Set('äöüÄÖÜßéèêëÉÈÊàâáÀÂÁçÇîïíìôóòûùúñÑœæåÅøØ');

function expectedLetters(text: string): number {
  let count = 0;
  for (const character of text) if (EXPECTED.has(character)) count++;
  return count;
}

function decodeStrictly(bytes: Uint8Array, label: string): string | undefined {
  try {
    return new TextDecoder(label, { fatal: true }).decode(bytes);
  } catch {
    return undefined;
  }
}

/** Bytes 0x80 to 0x9F of Windows-1252. */
const WINDOWS_1252 = '€\u0081‚ƒ„…†‡ˆ‰Š‹Œ\u008dŽ\u008f\u0090‘’“”•–—˜™š›œ\u009džŸ';

/** By hand, because the decoder of that name in Node 20 gives control characters for 0x80 to 0x9F. */
function decodeWindows1252(bytes: Uint8Array): string {
  let text = '';
  for (const byte of bytes) text += WINDOWS_1252[byte - 0x80] ?? String.fromCharCode(byte);
  return text;
}

/**
 * Japanese only where every character outside ASCII is Japanese and at least one is kana: single accented letters of
 * Latin-1 pair with the letter after them into a kanji, but hardly ever into kana.
 */
function isJapanese(text: string): boolean {
  const foreign = Array.from(text).filter((character) => character > '\u007f');
  const isHalfWidth = foreign.some((character) => /[\uff61-\uff9f]/.test(character));
  if (isHalfWidth && (foreign.length < 3 || /[a-z]/i.test(text))) return false;
  return (
    foreign.some((character) => /[\u3041-\u30ff\uff66-\uff9f]/.test(character)) &&
    foreign.every((character) => /[\u3000-\u30ff\u4e00-\u9fff\uff01-\uff9f]/.test(character))
  );
}

export interface DecodedText {
  /** Not yet cleaned. */
  readonly text: string;
  /** How it was read where it is neither ASCII nor UTF-8: the encoding is then a guess. */
  readonly guessed?: 'Windows-1252' | 'Mac Roman' | 'Shift-JIS' | 'UTF-16';
}

/**
 * Text of undeclared encoding: UTF-8 where the bytes are valid UTF-8; UTF-16 where they begin with its mark; Shift-JIS
 * where that gives kana; else Windows-1252 (which holds Latin-1) or Mac Roman, whichever gives more accented letters
 * of Western European languages.
 */
export function decodeText(bytes: Uint8Array): DecodedText {
  const first = bytes[0] ?? 0;
  const second = bytes[1] ?? 0;
  if (first === 0xff && second === 0xfe) return { text: new TextDecoder('utf-16le').decode(bytes), guessed: 'UTF-16' };
  if (first === 0xfe && second === 0xff) return { text: new TextDecoder('utf-16be').decode(bytes), guessed: 'UTF-16' };
  const utf8 = decodeStrictly(bytes, 'utf-8');
  if (utf8 !== undefined) return { text: utf8 };
  const japanese = decodeStrictly(bytes, 'shift_jis');
  if (japanese !== undefined && isJapanese(japanese)) return { text: japanese, guessed: 'Shift-JIS' };
  const western = decodeWindows1252(bytes);
  const mac = new TextDecoder('macintosh').decode(bytes);
  return expectedLetters(mac) > expectedLetters(western)
    ? { text: mac, guessed: 'Mac Roman' }
    : { text: western, guessed: 'Windows-1252' };
}

function shortened(text: string, most: number): string {
  const characters = Array.from(cleanText(text));
  return characters.length <= most ? characters.join('') : `${characters.slice(0, most - 1).join('')}…`;
}

/** A name or a bad value as a sentence quotes it: cleaned and shortened, in the curly marks of all other sentences. */
export function quoted(text: string, most = 60): string {
  return `“${shortened(text, most)}”`;
}

/** A name as it is to be typed into the settings: cleaned and whole, in the straight marks that YAML reads. */
export function asYamlKey(text: string): string {
  return JSON.stringify(cleanText(text));
}
