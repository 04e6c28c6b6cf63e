/** Which notes show an accidental. */
import type { Clef } from '../../../model/music/instrument.ts';
import type { GraceNote, NoteHead, WrittenEvent } from '../../../model/music/written.ts';
import { signatureAlter } from './clef-signs.ts';

/** What a reader remembers of a staff: the last alteration by letter and octave, e.g. `F4`. */
export type Remembered = ReadonlyMap<string, number>;

export interface AccidentalChoice {
  /** Alterations to print, -2..2 (0 = natural), by note head or small note. */
  readonly shown: ReadonlyMap<NoteHead | GraceNote, number>;
  /** Alterations that the next bar may have to take back. */
  readonly remembered: Remembered;
}

/**
 * Accidentals of one staff in one bar (E. Gould, Behind Bars, from memory): a sign holds for its line or space until the
 * bar line; a note tied over from the bar before shows none, and a later one in the bar shows its own again; where the bar
 * before had altered the same line, the first plain note shows a sign as a courtesy.
 */
export function chooseAccidentals(
  voices: readonly (readonly WrittenEvent[])[],
  fifths: number,
  clef: Clef,
  before: Remembered,
): AccidentalChoice {
  const shown = new Map<NoteHead | GraceNote, number>();
  const inForce = new Map<string, number>();
  const doubtful = new Map(before);
  const after = new Map<string, number>();
  if (clef === 'percussion') return { shown, remembered: after };

  const events = voices
    .flat()
    .filter((event) => event.kind === 'notes')
    .sort((a, b) => a.start - b.start);
  for (let index = 0; index < events.length;) {
    const start = events[index]?.start ?? 0;
    const together: NoteHead[] = [];
    while (index < events.length && (events[index]?.start ?? Infinity) - start <= 1) {
      // Small notes come before the notes of their moment, and their signs hold as well.
      for (const grace of events[index]?.ornament?.graces ?? []) {
        const { step, octave, alter } = grace.pitch;
        const place = step + String(octave);
        if (alter !== (inForce.get(place) ?? signatureAlter(fifths, step))) shown.set(grace, alter);
        inForce.set(place, alter);
        if (alter === signatureAlter(fifths, step)) after.delete(place);
        else after.set(place, alter);
      }
      together.push(...(events[index]?.heads ?? []));
      index++;
    }
    const clashes = new Set<string>();
    const altersAt = new Map<string, number>();
    for (const { pitch } of together) {
      const place = pitch.step + String(pitch.octave);
      const other = altersAt.get(place);
      if (other !== undefined && other !== pitch.alter) clashes.add(place);
      altersAt.set(place, pitch.alter);
    }
    const printed = new Set<string>();
    for (const head of together) {
      const { step, octave, alter } = head.pitch;
      const place = step + String(octave);
      const usual = signatureAlter(fifths, step);
      if (head.tieFromPrevious && !inForce.has(place) && !clashes.has(place)) {
        if (alter !== usual) doubtful.set(place, alter);
        if (alter !== usual) after.set(place, alter);
        continue;
      }
      const known = inForce.get(place) ?? usual;
      const courtesy = doubtful.has(place) && doubtful.get(place) !== alter;
      const again = inForce.get(place) === undefined && doubtful.has(place) && alter !== usual;
      const tied = head.tieFromPrevious && inForce.has(place);
      const key = place + String(alter);
      if ((alter !== known || ((courtesy || again) && !tied) || clashes.has(place)) && !printed.has(key)) {
        shown.set(head, alter);
        printed.add(key);
      }
      inForce.set(place, alter);
      doubtful.delete(place);
      if (alter !== usual) after.set(place, alter);
      else after.delete(place);
    }
  }
  return { shown, remembered: after };
}
