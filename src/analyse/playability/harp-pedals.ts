/**
 * Pedals of a harp: seven, one for each letter, flat, natural or sharp; left foot D C B, right foot E F G A, one pedal a foot
 * at a time (Rimsky-Korsakov; feet from memory). Notes count as they are spelled: another spelling may spare a change.
 */
import type { Step } from '../../model/pitch.ts';
import type { AwkwardPlaces } from '../../model/readings.ts';
import type { Timeline } from '../../model/timeline.ts';
import type { PlacedNote, PlacedPart } from '../placed-notes.ts';
import type { AwkwardPlace } from './gather-awkward.ts';
import { gatherAwkward } from './gather-awkward.ts';

/** A change wants about a second, or a rest (from memory). */
const USUAL_SECONDS = 1;
const LEFT_FOOT: readonly Step[] = ['D', 'C', 'B'];

export interface PedalChange {
  readonly step: Step;
  /** The note that needs the change. */
  readonly note: PlacedNote;
  /** Time the foot has: since the letter last began, or since the foot was last busy. */
  readonly seconds: number;
}

/** Every change of a pedal, with the time there is for it. */
export function pedalChangesOf(notes: readonly PlacedNote[]): readonly PedalChange[] {
  const settings = new Map<Step, { readonly alter: number; readonly second: number }>();
  const busyUntil = { left: Number.NEGATIVE_INFINITY, right: Number.NEGATIVE_INFINITY };
  const changes: PedalChange[] = [];
  for (const note of notes) {
    const { step, alter } = note.written.pitch;
    const now = note.played.startSecond;
    const before = settings.get(step);
    if (before !== undefined && before.alter !== alter) {
      const foot = LEFT_FOOT.includes(step) ? 'left' : 'right';
      changes.push({ step, note, seconds: Math.max(0, now - Math.max(before.second, busyUntil[foot])) });
      busyUntil[foot] = now;
    }
    settings.set(step, { alter, second: now });
  }
  return changes;
}

/** Changes with less than a second for them. */
export function pedalPlacesOf({ part, notes }: PlacedPart, timeline: Timeline): readonly AwkwardPlaces[] {
  if (part.instrument !== 'harp') return [];
  const places = pedalChangesOf(notes)
    .filter(({ seconds }) => seconds < USUAL_SECONDS)
    .map(({ note, seconds }): AwkwardPlace => ({
      quarters: note.startQuarters,
      midi: [note.midi],
      amount: seconds,
    }));
  return gatherAwkward('harp-pedals', USUAL_SECONDS, places, timeline, (one, other) => one < other);
}
