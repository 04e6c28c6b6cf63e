/** A key as people write it in English and German. */
import type { Step } from '../../model/music/pitch.ts';
import { classNamed, fifthsOf } from '../../model/music/pitch.ts';
import type { Settings } from './settings.ts';

type Key = NonNullable<Settings['key']>;

const ENGLISH = /^([A-G])\s*[- ]?\s*(#|♯|sharp|b|♭|flat)?\s*[- ]?\s*(major|maj|minor|min|m)?$/i;
const GERMAN = /^([A-H])(is|es|s)?[- ]?(dur|moll)$/i;

/** Sharps (positive) or flats (negative) of a key. */
function signatureOf(key: Key): number {
  return fifthsOf(key) - (key.mode === 'minor' ? 3 : 0);
}

function parseGerman(text: string): Key | undefined {
  const match = GERMAN.exec(text);
  if (match === null) return undefined;
  const [, letter = '', ending = '', modeWord = ''] = match;
  const upper = letter.toUpperCase();
  const mode = modeWord.toLowerCase() === 'moll' ? 'minor' : 'major';
  const bend = ending.toLowerCase();
  // H is B natural and B is B flat; As and Es drop the e of the ending.
  if (upper === 'B') return bend === '' ? { step: 'B', alter: -1, mode } : undefined;
  if (bend === 's' && upper !== 'A' && upper !== 'E') return undefined;
  const step: Step = upper === 'H' ? 'B' : (upper as Step);
  return { step, alter: bend === '' ? 0 : bend === 'is' ? 1 : -1, mode };
}

function parseEnglish(text: string): Key | undefined {
  const match = ENGLISH.exec(text);
  if (match === null) return undefined;
  const [, letter = '', accidental = '', modeWord = ''] = match;
  // A lone small letter means minor to some and nothing to others.
  if (modeWord === '' && letter !== letter.toUpperCase()) return undefined;
  // `GM` is major where `Gm` is minor.
  const isMinor = /^min/i.test(modeWord) || modeWord === 'm';
  const sign = accidental.toLowerCase();
  const ascii = sign === '' ? '' : sign === '#' || sign === '♯' || sign === 'sharp' ? '#' : 'b';
  return { ...classNamed(letter.toUpperCase() + ascii), mode: isMinor ? 'minor' : 'major' };
}

/** Reads `F# minor`, `E-flat major`, `Gm`, `fis-Moll`; undefined where the text is no key with at most seven accidentals. */
export function parseKey(text: string): Key | undefined {
  const key = parseGerman(text.trim()) ?? parseEnglish(text.trim());
  return key === undefined || Math.abs(signatureOf(key)) > 7 ? undefined : key;
}
