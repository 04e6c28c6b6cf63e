/**
 * Pedals of a harp: seven, one for each letter, flat, natural or sharp; left foot D C B, right foot E F G A, one pedal a foot
 * at a time (Rimsky-Korsakov; feet from memory). Notes count as they are spelled: another spelling may spare a change.
 */
import type { SpelledPitch, Step } from '../../model/music/pitch.ts';
import { midiOf } from '../../model/music/pitch.ts';
import type { PlacedNote, PlacedPart } from '../placed-notes/placed-notes.ts';
import type { AwkwardPlace } from './gather-awkward.ts';

/** A change wants about a second, or a rest (from memory). */
export const PEDAL_SECONDS = 1;
const LEFT_FOOT: readonly Step[] = ['D', 'C', 'B'];

export interface PedalChange {
  readonly step: Step;
  /** The note that needs the change. */
  readonly note: PlacedNote;
  /** Time the foot has: since the letter last began, or since the foot was free of the change before. */
  readonly seconds: number;
  /** The same sound on a string whose pedal stands right already; undefined where there is none. */
  readonly instead?: SpelledPitch;
}

/** Another spelling of the pitch that the pedals allow as they stand. */
function sparedBy(
  { octave, step }: SpelledPitch,
  midi: number,
  settings: ReadonlyMap<Step, { readonly alter: number }>,
): SpelledPitch | undefined {
  const spellings = [...settings].flatMap(([letter, { alter }]) =>
    letter === step ? [] : [octave - 1, octave, octave + 1].map((at) => ({ step: letter, alter, octave: at })),
  );
  return spellings.find((spelling) => midiOf(spelling) === midi);
}

/** Every change of a pedal, with the time there is for it. A foot does one change after the other, a second each. */
export function pedalChangesOf(notes: readonly PlacedNote[]): readonly PedalChange[] {
  const settings = new Map<Step, { readonly alter: number; readonly second: number }>();
  const freeFrom = { left: Number.NEGATIVE_INFINITY, right: Number.NEGATIVE_INFINITY };
  const changes: PedalChange[] = [];
  for (const note of notes) {
    const { step, alter } = note.written.pitch;
    const now = note.played.startSecond;
    const before = settings.get(step);
    if (before !== undefined && before.alter !== alter) {
      const foot = LEFT_FOOT.includes(step) ? 'left' : 'right';
      const begin = Math.min(now, Math.max(before.second, freeFrom[foot]));
      const instead = sparedBy(note.written.pitch, note.midi, settings);
      changes.push({ step, note, seconds: now - begin, ...(instead === undefined ? {} : { instead }) });
      freeFrom[foot] = Math.min(now, begin + PEDAL_SECONDS);
    }
    settings.set(step, { alter, second: now });
  }
  return changes;
}

/** Changes with less time than so many seconds. */
export function pedalPlacesOf({ part, notes }: PlacedPart, usual = PEDAL_SECONDS): readonly AwkwardPlace[] {
  if (part.instrument !== 'harp') return [];
  return pedalChangesOf(notes)
    .filter(({ seconds }) => seconds < usual - 1e-6)
    .map(({ note, seconds }) => ({ notes: [note], amount: seconds, usual }));
}
