/** Lines that go with another line at the unison or octave, and how well they do at a place. */
import type { Doubling } from '../../model/readings/readings.ts';
import { FULL_DOUBLINGS } from '../lines/doublings.ts';
import type { Moment } from './moments.ts';
import { bitOf, firstAfter } from './moments.ts';
import type { PlacedPart } from '../placed-notes/placed-notes.ts';

/** So many bars in common make a partner. */
export const FEWEST_BARS_TOGETHER = 8;
/** Notes an onset of a part that is a line. */
const MOST_AT_ONCE = 1.2;
/** A tone that the partner has already left or not yet reached counts within so many quarters. */
const SAME_ONSET_QUARTERS = 0.13;

/** Ids of the parts with which a part goes at the unison or octave for bars enough to be its partners. */
export function partnersByPart(doublings: readonly Doubling[]): ReadonlyMap<string, ReadonlySet<string>> {
  const bars = new Map<string, number>();
  for (const { interval, partIds, from, to } of doublings) {
    if (!FULL_DOUBLINGS.includes(interval)) continue;
    const key = partIds.join(' ');
    bars.set(key, (bars.get(key) ?? 0) + to - from + 1);
  }
  const partners = new Map<string, Set<string>>();
  for (const [key, count] of bars) {
    if (count < FEWEST_BARS_TOGETHER) continue;
    const [one = '', other = ''] = key.split(' ');
    partners.set(one, (partners.get(one) ?? new Set()).add(other));
    partners.set(other, (partners.get(other) ?? new Set()).add(one));
  }
  return partners;
}

/** What sounds with the onset of each note, moved by so many quarters; undefined where nothing does. */
export function momentsAtOnsets(
  notes: PlacedPart['notes'],
  moments: readonly Moment[],
  shift: number,
): readonly (Moment | undefined)[] {
  return notes.map(({ startQuarters }) => {
    const from = startQuarters + shift + SAME_ONSET_QUARTERS / 2;
    const moment = moments[firstAfter(moments, from)];
    return moment === undefined || moment.startQuarters > from + SAME_ONSET_QUARTERS ? undefined : moment;
  });
}

/**
 * Share of the notes' time, in one bar, at whose onset the partner has the same pitch class; undefined where it is silent. `onsets`: what sounds
 * with each note, as `momentsAtOnsets` has it where they are or moved.
 */
export function fitPartner(
  notes: PlacedPart['notes'],
  partner: number,
  onsets: readonly (Moment | undefined)[],
  voices: 'all' | 'outer' = 'all',
): number | undefined {
  // Asked for every pair of parts in every bar: without a call for each note.
  let held = 0;
  let agreeing = 0;
  for (let index = 0; index < notes.length; index++) {
    const note = notes[index];
    const own = onsets[index]?.byPart[partner];
    if (note === undefined || own === undefined) continue;
    const pitchClass = note.midi % 12;
    const isSame =
      voices === 'all'
        ? (own.bits & bitOf(pitchClass)) !== 0
        : own.classes[0] === pitchClass || own.classes.at(-1) === pitchClass;
    const length = note.endQuarters - note.startQuarters;
    held += length;
    if (isSame) agreeing += length;
  }
  return held === 0 ? undefined : agreeing / held;
}

/** True where hardly any two notes begin together: chords go along with every line that they hold. */
export function isOneLine(notes: PlacedPart['notes']): boolean {
  const onsets = new Set(notes.map(({ startQuarters }) => startQuarters));
  return notes.length <= MOST_AT_ONCE * onsets.size;
}
