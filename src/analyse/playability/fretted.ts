/**
 * Whether a chord lies on the strings of a guitar and its kin, a string for each note, and what a bow begins over a held note. Open
 * strings are the catalogue's; the number of frets is from memory.
 */
import { openStringsOf } from '../../model/music/catalogue.ts';
import type { PlacedNote, PlacedPart } from '../placed-notes/placed-notes.ts';
import type { AwkwardPlace } from './gather-awkward.ts';
import { bowedStrings, isHoldable, onsetsOf } from './strings.ts';

/** Highest fret that is counted on: nineteen on a classical guitar, a few more on others. */
const HIGHEST_FRET = 22;
/** A note held this long under a new one is meant to sound on, in quarters; less is legato. */
const HELD_QUARTERS = 0.5;

/** True where each of these notes can have a string of its own, wherever the hand has to be. */
function hasStringEach(keys: readonly number[], strings: readonly number[]): boolean {
  const [key, ...rest] = keys;
  if (key === undefined) return true;
  return strings.some((open, index) => {
    const fret = key - open;
    return fret >= 0 && fret <= HIGHEST_FRET && hasStringEach(rest, strings.toSpliced(index, 1));
  });
}

/** Open strings of a fretted instrument (plucked, with open strings in the catalogue), else undefined. */
function frettedStrings({ part }: PlacedPart): readonly number[] | undefined {
  return part.family === 'plucked' ? openStringsOf(part.instrument, part.strings) : undefined;
}

function distinctKeys(notes: readonly PlacedNote[]): readonly number[] {
  return [...new Set(notes.map(({ midi }) => midi))].sort((a, b) => a - b);
}

/** Chords struck together by one player of a fretted instrument for which there is no string each; amounts are notes. */
function frettedPlaces(placed: PlacedPart, strings: readonly number[]): readonly AwkwardPlace[] {
  const lowest = Math.min(...strings);
  return onsetsOf(placed.notes).flatMap((onset): AwkwardPlace[] => {
    // What is below the instrument and more notes than it has strings are told by rules of their own.
    const keys = distinctKeys(onset);
    if (keys.length < 2 || keys.length > strings.length || (keys[0] ?? 0) < lowest) return [];
    return hasStringEach(keys, strings) ? [] : [{ notes: onset, amount: keys.length, usual: 0 }];
  });
}

/** Notes of one bowed player that begin over a held one for which the string is taken; amounts are notes. */
function bowedPlaces({ notes }: PlacedPart, strings: readonly number[]): readonly AwkwardPlace[] {
  const lowest = Math.min(...strings);
  let held: PlacedNote[] = [];
  return onsetsOf(notes).flatMap((onset): AwkwardPlace[] => {
    const start = onset[0]?.startQuarters ?? 0;
    held = held.filter((note) => note.endQuarters - start >= HELD_QUARTERS);
    const together = [...held, ...onset];
    const keys = distinctKeys(together);
    const taken = held.length > 0 && keys.length > 1 && keys.length <= strings.length && (keys[0] ?? 0) >= lowest;
    held = together;
    return taken && !isHoldable(keys, strings, Infinity)
      ? [{ notes: together.slice(0, keys.length), amount: keys.length, usual: 0 }]
      : [];
  });
}

/**
 * Where one player needs a string twice: chords of a guitar, a bass guitar or a mandolin, and notes that a bowed player has to begin
 * while another is held (chords struck by the bow at once are double stops). Empty for sections, which divide.
 */
export function oneStringPlacesOf(placed: PlacedPart): readonly AwkwardPlace[] {
  if (placed.part.players > 1) return [];
  const fretted = frettedStrings(placed);
  if (fretted !== undefined) return frettedPlaces(placed, fretted);
  const bowed = bowedStrings(placed.part.instrument);
  return bowed === undefined ? [] : bowedPlaces(placed, bowed);
}
