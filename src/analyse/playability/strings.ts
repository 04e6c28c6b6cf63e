/**
 * How a line lies on four strings: which neighbouring notes need strings that are not neighbours, and which double stops no
 * hand holds. Open strings are the catalogue's; the reach of a hand is from memory and an estimate.
 */
import { instrumentById } from '../../model/music/catalogue.ts';
import { isPluralName } from '../../model/words/part-grammar.ts';
import type { PlacedNote, PlacedPart } from '../placed-notes/placed-notes.ts';
import type { AwkwardPlace } from './gather-awkward.ts';

/** On each of the three lower strings one stops at the octave or ninth above it (Rimsky-Korsakov, ch. II). */
const HIGHEST_STOP = 14;
/** Slower than this there is time to bring the bow over. */
const QUICK_SECONDS = 0.3;
/** Semitones between the stops of first and fourth finger: an octave on neighbouring strings for violin and viola. From memory. */
const HAND: Readonly<Record<string, number>> = { violin: 5, viola: 5, cello: 4, 'double-bass': 2 };
const USUAL_SKIP = 1;

function bowed(instrumentId: string): { readonly strings: readonly number[]; readonly hand: number } | undefined {
  const strings = instrumentById(instrumentId)?.openStrings;
  const hand = HAND[instrumentId];
  return strings === undefined || hand === undefined ? undefined : { strings, hand };
}

/** Open strings of a bowed instrument; undefined for others. */
export function bowedStrings(instrumentId: string): readonly number[] | undefined {
  return bowed(instrumentId)?.strings;
}

/** Indices of the strings on which a note can be stopped. */
function stringsFor(midi: number, strings: readonly number[]): readonly number[] {
  return strings.flatMap((open, index) => {
    const stop = midi - open;
    return stop >= 0 && (stop <= HIGHEST_STOP || index === strings.length - 1) ? [index] : [];
  });
}

/** Fewest strings that the bow has to cross from one note to the other: 1 is a neighbour; undefined where one is off the instrument. */
export function stringsApart(one: number, other: number, strings: readonly number[]): number | undefined {
  const distances = stringsFor(one, strings).flatMap((first) =>
    stringsFor(other, strings).map((second) => Math.abs(first - second)),
  );
  return distances.length === 0 ? undefined : Math.min(...distances);
}

/**
 * True where a player can hold the notes together: each on a string of its own, the strings side by side, and the stopped
 * ones within a hand. Three and four notes are spread; the left hand has to hold them all the same.
 */
export function isHoldable(keys: readonly number[], strings: readonly number[], hand: number): boolean {
  const sorted = [...keys].sort((a, b) => a - b);
  return strings.some((_, lowest) => {
    const stops = sorted.map((midi, index) => midi - (strings[lowest + index] ?? Infinity));
    if (stops.some((stop) => stop < 0)) return false;
    const stopped = stops.filter((stop) => stop > 0);
    return stopped.length === 0 || Math.max(...stopped) - Math.min(...stopped) <= hand;
  });
}

/** Notes by onset. */
export function onsetsOf(notes: readonly PlacedNote[]): readonly (readonly PlacedNote[])[] {
  const onsets: PlacedNote[][] = [];
  for (const note of notes) {
    const last = onsets.at(-1);
    if (last?.[0]?.startQuarters === note.startQuarters) last.push(note);
    else onsets.push([note]);
  }
  return onsets;
}

/** Quick steps over more strings than a neighbour, with the two notes; amounts are strings apart. Empty for what is not bowed. */
export function skipPlacesOf({ part, notes }: PlacedPart): readonly AwkwardPlace[] {
  const instrument = bowed(part.instrument);
  if (instrument === undefined) return [];
  const onsets = onsetsOf(notes);
  return onsets.flatMap((onset, index): AwkwardPlace[] => {
    const [note] = onset;
    const [before] = onsets[index - 1] ?? [];
    if (note === undefined || before === undefined || onset.length > 1 || onsets[index - 1]?.length !== 1) return [];
    const quick = note.played.startSecond - before.played.startSecond < QUICK_SECONDS;
    const apart = stringsApart(before.midi, note.midi, instrument.strings) ?? 0;
    return quick && apart > USUAL_SKIP ? [{ notes: [before, note], amount: apart, usual: USUAL_SKIP }] : [];
  });
}

/**
 * Double stops and chords that no hand holds, though it reach `further` semitones more than usual; amounts are semitones from
 * lowest to highest. A section divides its chords: they count for one player alone.
 */
export function stopPlacesOf({ part, notes }: PlacedPart, further = 0): readonly AwkwardPlace[] {
  const instrument = bowed(part.instrument);
  if (instrument === undefined || part.players > 1 || isPluralName(part.name)) return [];
  const { strings, hand } = instrument;
  return onsetsOf(notes).flatMap((onset): AwkwardPlace[] => {
    const keys = onset.map(({ midi }) => midi);
    if (keys.length < 2 || keys.length > strings.length || isHoldable(keys, strings, hand + further)) return [];
    return [{ notes: onset, amount: Math.max(...keys) - Math.min(...keys), usual: hand + further }];
  });
}
