/** The ornaments of a part as they stand at its written notes. */
import type { Part } from '../../model/music/arrangement.ts';
import type { SpelledPitch } from '../../model/music/pitch.ts';
import type { GraceNote, NoteOrnament } from '../../model/music/written.ts';
import type { PartOrnaments } from './ornaments.ts';

const NOTHING: NoteOrnament = { graces: [], covers: [] };

/** Ornament of each note that has one, by index into the part's notes; `spelled` spells a pitch at an onset. */
export function noteOrnaments(
  part: Part,
  ornaments: PartOrnaments,
  spelled: (midi: number, start: number) => SpelledPitch,
  onsets: readonly number[],
  dotted: ReadonlySet<number>,
): ReadonlyMap<number, NoteOrnament> {
  const found = new Map<number, NoteOrnament>();
  const add = (note: number, more: Partial<NoteOrnament>): void => {
    found.set(note, { ...(found.get(note) ?? NOTHING), ...more });
  };
  for (const { notes, direction } of ornaments.rolls) for (const note of notes) add(note, { roll: direction });
  for (const { sign, main, partner, covers } of ornaments.trills) {
    add(main, { sign, covers });
    if (partner !== undefined) add(partner, { sign });
  }
  const small = [...ornaments.graces].sort(
    ([a], [b]) => (part.notes[a]?.startSecond ?? 0) - (part.notes[b]?.startSecond ?? 0),
  );
  for (const [played, main] of small) {
    const midi = part.notes[played]?.midi ?? 60;
    const grace: GraceNote = { midi, pitch: spelled(midi, onsets[main] ?? 0), played };
    add(main, { graces: [...(found.get(main)?.graces ?? []), grace] });
  }
  for (const note of dotted) add(note, { staccato: true });
  return found;
}
