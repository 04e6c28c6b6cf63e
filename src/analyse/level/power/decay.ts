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
  mandola: 17,
  mandocello: 14,
  timpani: 15,
  glockenspiel: 10,
  crotales: 5,
  'tubular-bells': 5,
  vibraphone: 7,
  marimba: 30,
  xylophone: 60,
  'glockenspiel-soprano': 10,
  'glockenspiel-alto': 10,
  'metallophone-soprano': 7,
  'metallophone-alto': 7,
  'metallophone-bass': 7,
  'xylophone-soprano': 60,
  'xylophone-alto': 60,
  'xylophone-bass': 40,
};

const DEFAULT_DB_PER_SECOND = 15;
const PIZZICATO_DB_PER_SECOND = 30;
/** The heavy strings of a bass ring on: beats of four in a walking bass join. */
const BASS_PIZZICATO_DB_PER_SECOND = 10;
/** A bass begins so much softer plucked than bowed at the same mark: our estimate, no source for the figure. */
export const BASS_PIZZICATO_LESS_DB = 8;
/** General MIDI (1991): programs 33 to 40 are basses, the first an upright one that is plucked (the bowed one is 44); 46 is pizzicato strings. Here from 0. */
const BASS_PROGRAMS = { first: 32, last: 39 };
const PIZZICATO_PROGRAM = 45;
/** Courses of steel that a plectrum makes hold a tone: notes from this length on are played as a tremolo (common practice, no source). */
const TREMOLO: ReadonlySet<string> = new Set(['mandolin', 'mandola', 'mandocello', 'balalaika']);
const TREMOLO_SECONDS = 0.6;

/** Fall in dB a second of a struck or plucked instrument; 0 for one that holds its tone. */
export function decayDbPerSecond(instrumentId: string, sustaining: boolean): number {
  return sustaining ? 0 : (DB_PER_SECOND[instrumentId] ?? DEFAULT_DB_PER_SECOND);
}

/** What is known of how a track of a bowed string is played. */
interface PlayedTrack {
  readonly articulation: string;
  readonly program?: number;
}

/** Fall in dB a second of a track of a bowed string that its articulation words or its program say is plucked; undefined where they do not. */
export function pluckedDbPerSecond(instrumentId: string, { articulation, program }: PlayedTrack): number | undefined {
  const isBass = instrumentId === 'double-bass' && program !== undefined;
  const isPluckedProgram =
    program === PIZZICATO_PROGRAM || (isBass && program >= BASS_PROGRAMS.first && program <= BASS_PROGRAMS.last);
  const isPlucked = /\bpizz/.test(articulation) || (isPluckedProgram && !/\b(arco|bow)/.test(articulation));
  if (!isPlucked) return undefined;
  return instrumentId === 'double-bass' ? BASS_PIZZICATO_DB_PER_SECOND : PIZZICATO_DB_PER_SECOND;
}

/** Length in seconds from which notes of a plucked instrument are held by a tremolo and do not die away; undefined where none are. */
export function tremoloFromSeconds(instrumentId: string): number | undefined {
  return TREMOLO.has(instrumentId) ? TREMOLO_SECONDS : undefined;
}

/** Mean power, as a share of the power at the start of the note, between two moments of a decaying note. */
export function meanDecayedShare(dbPerSecond: number, fromSeconds: number, toSeconds: number): number {
  const rate = (dbPerSecond * Math.LN10) / 10;
  const span = toSeconds - fromSeconds;
  if (rate * span < 1e-9) return Math.exp(-rate * Math.max(0, fromSeconds));
  return (Math.exp(-rate * fromSeconds) - Math.exp(-rate * toSeconds)) / (rate * span);
}
