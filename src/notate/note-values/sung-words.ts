/** Words as they stand in a score: at the notes they begin with, and how far each syllable is sung. */
import { groupedBy } from '../../model/grouped.ts';
import type { SungSyllable } from '../../model/music/syllable.ts';
import type { ScoreBar, ScoreSyllable, StaffBar, WrittenNote, WrittenPart } from '../../model/music/written.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import { barIndexAtDivision } from '../score-time/score-time.ts';

/** Notes that follow one another with less silence than this, in divisions, are sung to one syllable. */
const WITHOUT_BREATH = 120;

/** The written notes, sorted by start, with the syllables of the played ones. */
export function withSyllables(
  notes: readonly WrittenNote[],
  words: readonly SungSyllable[] | undefined,
): readonly WrittenNote[] {
  if (words === undefined) return notes;
  const byNote = new Map(words.map(({ note, text, place }) => [note, { text, place }]));
  return notes.map((note, index) => {
    const syllable = byNote.get(note.played);
    if (syllable === undefined) return note;
    let end = note.start + note.length;
    let until = note.start;
    for (let at = index + 1; at < notes.length; at++) {
      const next = notes[at] as WrittenNote;
      if (next.start <= until) continue;
      if (byNote.has(next.played) || next.start - end > WITHOUT_BREATH) break;
      until = next.start;
      end = Math.max(end, next.start + next.length);
    }
    return { ...note, syllable: until > note.start ? { ...syllable, until } : syllable };
  });
}

/** Which staff a syllable stands under; undefined where its note is not shown. */
export type StaffOfNote = (note: WrittenNote, barIndex: number) => number | undefined;

/** Words bar by bar, by staff, then start; one syllable a place. */
export function wordsByBar(
  parts: readonly { readonly notes: readonly WrittenNote[]; readonly staffOf: StaffOfNote }[],
  time: ScoreTime,
): ReadonlyMap<number, readonly ScoreSyllable[]> {
  const found = new Map<string, ScoreSyllable>();
  for (const { notes, staffOf } of parts) {
    for (const note of notes) {
      if (note.syllable === undefined) continue;
      const staff = staffOf(note, barIndexAtDivision(time, note.start));
      if (staff === undefined) continue;
      const place = `${String(staff)} ${String(note.start)}`;
      if (!found.has(place)) found.set(place, { ...note.syllable, start: note.start, staff });
    }
  }
  const inOrder = [...found.values()].sort((a, b) => a.staff - b.staff || a.start - b.start);
  return groupedBy(inOrder, ({ start }) => barIndexAtDivision(time, start));
}

/** Words of the parts in front, under the staves where their notes begin. */
export function leadingWords(
  parts: readonly WrittenPart[],
  staves: readonly (readonly StaffBar[])[],
  leads: (partId: string, barIndex: number) => boolean,
  time: ScoreTime,
): ReadonlyMap<number, readonly ScoreSyllable[]> {
  return wordsByBar(
    parts.map(({ partId, notes }) => ({
      notes,
      staffOf: ({ start }, bar) => {
        if (!leads(partId, bar)) return undefined;
        const staff = staves.findIndex((one) =>
          one[bar]?.voices.some((voice) =>
            voice.some(
              (event) =>
                event.start === start &&
                event.heads.some((head) => !head.tieFromPrevious && head.partIds.includes(partId)),
            ),
          ),
        );
        return staff < 0 ? undefined : staff;
      },
    })),
    time,
  );
}

/** For a bar of a score. */
export function wordsOfBar(
  words: ReadonlyMap<number, readonly ScoreSyllable[]>,
  index: number,
): Pick<ScoreBar, 'words'> {
  const here = words.get(index);
  return here === undefined ? {} : { words: here };
}
