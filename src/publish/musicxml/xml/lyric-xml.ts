/** Words under the notes as `lyric` elements (MusicXML 4.0, complex type `lyric`). */
import type { ScoreSyllable, WrittenEvent } from '../../../model/music/written.ts';
import { plainTag, textTag } from '../xml-text.ts';

/** Words of one staff in a bar, by the place of their notes. */
export type LyricsByStart = ReadonlyMap<number, ScoreSyllable>;

export function lyricsByStart(words: readonly ScoreSyllable[] | undefined, staff: number): LyricsByStart {
  return new Map((words ?? []).flatMap((one) => (one.staff === staff ? [[one.start, one] as const] : [])));
}

/** Whether a word can begin with an event: something in it is struck. */
function isStruck({ heads }: WrittenEvent): boolean {
  return heads.some((head) => !head.tieFromPrevious);
}

/** What a voice leaves to the other ones. */
export function withoutSung(lyrics: LyricsByStart, voice: readonly WrittenEvent[]): LyricsByStart {
  if (lyrics.size === 0) return lyrics;
  const sung = new Set(voice.flatMap((event) => (isStruck(event) ? [event.start] : [])));
  return new Map([...lyrics].filter(([start]) => !sung.has(start)));
}

/** The `lyric` of the first head of an event; '' where nothing is sung to it, or a tie leads to it. */
export function lyricTag(event: WrittenEvent, lyrics: LyricsByStart): string {
  const syllable = lyrics.get(event.start);
  if (syllable === undefined || !isStruck(event)) return '';
  const extend = syllable.until !== undefined && ['single', 'end'].includes(syllable.place) ? '<extend/>' : '';
  return `<lyric number="1">${plainTag('syllabic', syllable.place)}${textTag('text', syllable.text)}${extend}</lyric>`;
}
