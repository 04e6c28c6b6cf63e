/** Which note each syllable of a part belongs to. */
import type { PlayedNote } from '../../model/music/arrangement.ts';
import { lastAtOrBefore } from '../../model/sorted-search.ts';
import type { SungSyllable } from '../../model/music/syllable.ts';
import type { PlacedTrack } from './group-parts.ts';
import type { TickPlace } from './performance.ts';

/** A syllable further from every note than this, in quarters, is sung to none. */
const FARTHEST = 0.5;
/** Notes struck within this time, in quarters, are one chord. */
const TOGETHER = 0.05;

interface Moment {
  readonly quarters: number;
  /** The highest note. */
  note: number;
}

/** Where the notes of one track begin; of a chord the highest note. */
function momentsOf(notes: readonly PlayedNote[], trackIndex: number): readonly Moment[] {
  const moments: Moment[] = [];
  for (const [index, note] of notes.entries()) {
    if (note.trackIndex !== trackIndex) continue;
    const last = moments.at(-1);
    if (last === undefined || note.startQuarters - last.quarters > TOGETHER)
      moments.push({ quarters: note.startQuarters, note: index });
    else if (note.midi > (notes[last.note]?.midi ?? 0)) last.note = index;
  }
  return moments;
}

/** Index of the moment nearest to a place. */
function nearest(moments: readonly Moment[], quarters: number): number {
  const before = lastAtOrBefore(moments, quarters, (moment) => moment.quarters);
  const away = (index: number): number => Math.abs((moments[index]?.quarters ?? Infinity) - quarters);
  return away(before + 1) < away(before) ? before + 1 : before;
}

/** Syllables of a part by note; two that fall on one note are sung to it one after the other. */
export function sungWords(
  tracks: readonly PlacedTrack[],
  notes: readonly PlayedNote[],
  placeOf: (track: PlacedTrack) => TickPlace,
): readonly SungSyllable[] {
  const sung = new Map<number, SungSyllable>();
  for (const [trackIndex, track] of tracks.entries()) {
    const { lyrics = [] } = track.source.raw;
    if (lyrics.length === 0) continue;
    const moments = momentsOf(notes, trackIndex);
    const place = placeOf(track);
    let last = -1;
    for (const { tick, text, place: inWord } of lyrics) {
      const quarters = place(tick);
      const index = Math.max(last, nearest(moments, quarters));
      const moment = moments[index];
      if (moment === undefined || Math.abs(moment.quarters - quarters) > FARTHEST) continue;
      last = index;
      const there = sung.get(moment.note);
      if (there === undefined) sung.set(moment.note, { note: moment.note, text, place: inWord });
      else if (there.text.length + text.length < 30)
        sung.set(moment.note, { ...there, text: `${there.text} ${text}`, place: inWord });
    }
  }
  return [...sung.values()].sort((a, b) => a.note - b.note);
}
