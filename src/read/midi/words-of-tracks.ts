/** Words that stand in a track without notes, or beside several channels: they go to the track whose notes begin with them. */
import { lastAtOrBefore } from '../../model/sorted-search.ts';
import { counted } from '../../model/words/plain-words.ts';
import { quoted } from '../clean-text.ts';
import type { RawSyllable } from './lyric-syllables.ts';
import type { RawTrack } from '../raw.ts';
import type { Tally } from './tally.ts';

/** Fewer words than this are no song, and so many of them must fall on notes. */
const FEWEST = 4;
const LEAST_FITTING = 0.8;
const PERCUSSION = 9;

/** How many of the syllables fall on the beginning of a note, and on how many beginnings there are. */
function fitOf(words: readonly RawSyllable[], track: RawTrack, nearTicks: number): { fit: number; onsets: number } {
  const onsets = [...new Set(track.notes.map(({ startTick }) => startTick))];
  const fit = words.filter(({ tick }) => {
    const index = lastAtOrBefore(onsets, tick, (onset) => onset);
    return [onsets[index], onsets[index + 1]].some(
      (onset) => onset !== undefined && Math.abs(onset - tick) <= nearTicks,
    );
  }).length;
  return { fit, onsets: onsets.length };
}

/** The tracks with the words of the file that no track has for itself. */
export function withStrayWords(
  tracks: readonly RawTrack[],
  stray: readonly (readonly RawSyllable[])[],
  nearTicks: number,
  tally: Tally,
): readonly RawTrack[] {
  const words = [...stray].sort((a, b) => b.length - a.length)[0] ?? [];
  if (words.length < FEWEST || tracks.some(({ lyrics }) => lyrics !== undefined)) return tracks;
  let best = -1;
  let most = 0;
  for (const [index, track] of tracks.entries()) {
    if (track.channel === PERCUSSION) continue;
    const { fit, onsets } = fitOf(words, track, nearTicks);
    if (fit < LEAST_FITTING * words.length) continue;
    const score = fit / words.length + fit / onsets;
    if (score > most) [best, most] = [index, score];
  }
  const chosen = tracks[best];
  if (chosen === undefined) {
    tally.add(
      'words-without-notes',
      undefined,
      () => `${counted(words.length, 'syllable')} left out, since the notes of no track begin with them.`,
    );
    return tracks;
  }
  tally.add(
    'words-placed',
    undefined,
    () =>
      `${counted(words.length, 'syllable')} of a track of words given to ${chosen.name === '' ? `track ${String(chosen.track)}` : quoted(chosen.name)}, whose notes begin with them.`,
  );
  return tracks.map((track, index) => (index === best ? { ...track, lyrics: words } : track));
}
