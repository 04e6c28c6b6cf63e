/**
 * How much MIDI is read at most. Far above any arrangement (40 parts of 1000 bars hold some 100 000 notes), low enough
 * that a hostile file is refused within seconds and a few hundred megabytes.
 */

export const MOST_FILE_BYTES = 20_000_000;
export const MOST_TRACKS = 1000;
export const MOST_NOTES_IN_A_FILE = 170_000;

/** One track: sixty notes in every one of a thousand bars. Beyond that it is a machine's output, not a part. */
export const MOST_NOTES_IN_A_TRACK = 60_000;

export const MOST_EVENTS_IN_A_FILE = 3_000_000;
export const MOST_BARS = 20_000;

/** Largest delta time that four bytes of a variable-length quantity hold (Standard MIDI Files 1.0); no event is read beyond it. */
export const MOST_TICKS = 0x0fffffff;

/** Text of a meta event is read up to this many bytes. */
export const MOST_TEXT_BYTES = 512;

/** Faster tempos are taken for a mistake (the fastest metronome mark in print is a few hundred). */
export const FASTEST_TEMPO = 2000;

/** Meters with smaller note values than a sixty-fourth are taken for a mistake; they cannot be engraved. */
export const LARGEST_DENOMINATOR = 64;
