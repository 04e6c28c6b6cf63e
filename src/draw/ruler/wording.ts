/** Words of the charts: spans of pitches, names cut to size, numbers as people write them. */
import { pitchLabel, plainSpelling } from '../../model/music/pitch.ts';

const MINUS = '\u2212';
const DASH = '\u2013';

/** Marks that embed or override the direction of text (Unicode UAX 9); a name must not reorder what stands around it. */
const DIRECTION_MARKS = /[\u202A-\u202E\u2066-\u2069]/g;

/** A name inside a sentence: kept from turning the direction of the words around it (Unicode FSI and PDI). */
export function isolate(name: string): string {
  return /[\u0590-\u08FF\u200E\u200F\uFB1D-\uFDFF\uFE70-\uFEFC]/.test(name) ? `\u2068${name}\u2069` : name;
}

/** Text without direction marks, cut to a number of characters (whole code points), with an ellipsis where something is missing. */
export function shorten(text: string, most: number): string {
  const signs = Array.from(text.replace(DIRECTION_MARKS, '').replaceAll(/\s+/g, ' ').trim());
  if (signs.length <= most) return signs.join('');
  return `${signs
    .slice(0, Math.max(1, most - 1))
    .join('')
    .trimEnd()}\u2026`;
}

/** Mean width of a character of a text face, as a share of its size (from memory; a bold face is a little wider). */
const CHARACTER_SHARE = 0.54;

function charactersIn(width: number, size: number): number {
  return Math.max(1, Math.floor(width / (size * CHARACTER_SHARE)));
}

/** Text cut to a width in user units. */
export function fitText(text: string, width: number, size: number): string {
  return shorten(text, charactersIn(width, size));
}

/**
 * A part's name cut to a width; a number at its end is kept, for it tells desks and players of one kind apart. What stands in brackets at its
 * end is cut inside of them, or left out where too little of it is left.
 */
export function fitName(name: string, width: number, size: number): string {
  const most = charactersIn(width, size);
  const whole = name.trim();
  const ending = /\s(?:\d{1,2}|[IV]{1,4}|[a-zA-Z])$|\)$/.exec(whole)?.[0] ?? '';
  if (ending === '' || Array.from(whole).length <= most || ending.length + 4 > most) return shorten(name, most);
  const cut = shorten(whole.slice(0, -ending.length), most - ending.length) + ending;
  if (ending !== ')' || /\([^()\u2026]{2,}/.test(cut)) return cut;
  return shorten(whole.slice(0, whole.lastIndexOf('(')), most);
}

/** Most spans of bars that a chart's sentence names; the rest is counted. */
export const MOST_SPANS = 4;

/** A level or difference in dB with one decimal and a real minus sign; an en dash where there is none. */
export function dbText(db: number | undefined, decimals = 1): string {
  if (db === undefined || !Number.isFinite(db)) return DASH;
  const text = Math.abs(db).toFixed(decimals);
  return db < 0 && Number(text) !== 0 ? MINUS + text : text;
}

/** Name of a sounding key number in its commonest spelling: `F♯4`. */
export function midiLabel(midi: number): string {
  return pitchLabel(plainSpelling(Math.round(midi)));
}

/** `G3–E5`, or one name where both are the same. */
export function spanLabel(low: number, high: number): string {
  return low === high ? midiLabel(low) : `${midiLabel(low)}${DASH}${midiLabel(high)}`;
}
