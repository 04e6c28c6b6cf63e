/** Where the notes that a finding names stand in the score. */
import type { Part } from '../../model/music/arrangement.ts';
import { midiOf } from '../../model/music/pitch.ts';
import type { FoundNote } from '../../model/readings/readings.ts';
import type { NoteHead, ReducedScore, WrittenNote, WrittenNotes } from '../../model/music/written.ts';
import { concertIntervalOf } from '../../notate/keys/written-pitch.ts';

/** A note that a finding names, as it is written. */
export interface NamedNote {
  readonly partId: string;
  readonly written: WrittenNote;
}

/** The written notes of played ones, in their order; one that a sign stands for is the note that bears the sign. */
export function namedNotes(found: readonly FoundNote[], written: WrittenNotes): readonly NamedNote[] {
  return found.flatMap(({ partId, played }) => {
    const notes = written.parts.find((part) => part.partId === partId)?.notes ?? [];
    const note =
      notes.find((one) => one.played === played) ?? notes.find((one) => one.ornament?.covers.includes(played) === true);
    return note === undefined ? [] : [{ partId, written: note }];
  });
}

/**
 * The heads of these notes in a full score at concert pitch, ties included. `partIds` has the part of each staff. A head is that of a note
 * where it stands on a staff of its part, at its pitch, within its time.
 */
export function markedHeads(
  score: ReducedScore,
  partIds: readonly string[],
  named: readonly NamedNote[],
  partById: ReadonlyMap<string, Part>,
): ReadonlySet<NoteHead> {
  const marked = new Set<NoteHead>();
  for (const bar of score.bars) {
    bar.staves.forEach(({ voices }, staff) => {
      const part = partById.get(partIds[staff] ?? '');
      if (part === undefined) return;
      const notes = named.filter(({ partId }) => partId === part.id).map(({ written }) => written);
      const { chromatic } = concertIntervalOf(part);
      for (const event of voices.flat()) {
        for (const head of event.heads) {
          const midi = midiOf(head.pitch) + chromatic;
          const isMeant = notes.some(
            (note) => note.midi === midi && event.start >= note.start && event.start < note.start + note.length,
          );
          if (isMeant) marked.add(head);
        }
      }
    });
  }
  return marked;
}
