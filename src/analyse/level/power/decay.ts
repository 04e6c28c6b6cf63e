/**
 * How fast a struck or plucked tone dies away. A simple exponential: the level falls by so many dB a second from the
 * start of the note until it is stopped. Real tones fall fast first and slowly later, and high ones faster than low ones;
 * the figures are OUR CONVENTIONS, no source, and are shown with the level of the part.
 */

const DB_PER_SECOND: Readonly<Record<string, number>> = {
  piano: 6,
  harpsichord: 12,
  celesta: 12,
  harp: 9,
  guitar: 9,
  'bass-guitar': 6,
  mandolin: 20,
  timpani: 15,
  glockenspiel: 10,
  crotales: 5,
  'tubular-bells': 5,
  vibraphone: 7,
  marimba: 30,
  xylophone: 60,
};

const DEFAULT_DB_PER_SECOND = 15;
const PIZZICATO_DB_PER_SECOND = 30;

/** Fall in dB a second of a struck or plucked instrument; 0 for one that holds its tone. */
export function decayDbPerSecond(instrumentId: string, sustaining: boolean): number {
  return sustaining ? 0 : (DB_PER_SECOND[instrumentId] ?? DEFAULT_DB_PER_SECOND);
}

/** Fall in dB a second of a track whose articulation words say that it is plucked; undefined where they do not. */
export function pluckedDbPerSecond(articulation: string): number | undefined {
  return /\bpizz/.test(articulation) ? PIZZICATO_DB_PER_SECOND : undefined;
}

/** Mean power, as a share of the power at the start of the note, between two moments of a decaying note. */
export function meanDecayedShare(dbPerSecond: number, fromSeconds: number, toSeconds: number): number {
  const rate = (dbPerSecond * Math.LN10) / 10;
  const span = toSeconds - fromSeconds;
  if (rate * span < 1e-9) return Math.exp(-rate * Math.max(0, fromSeconds));
  return (Math.exp(-rate * fromSeconds) - Math.exp(-rate * toSeconds)) / (rate * span);
}
