/** Tracks that play what another track plays, note for note: copies, guides, old states. */
import type { Part } from '../../model/music/arrangement.ts';
import type { PlacedNote, PlacedPart } from '../placed-notes/placed-notes.ts';

/** Fewer notes than this agree by chance. */
const FEWEST_NOTES = 12;
/** Onsets of a copy lie together this closely; two takes of one line do not. */
const SAME_SECONDS = 0.002;
/** Words for what is not meant to be played (common practice, no source). */
const LEFTOVER_NAME =
  /(^|[^\p{L}])(old|copy|kopie|copie|copia|alt|alte|alter|altes|viejo|vieja|antiguo|antigua|vecchio|vecchia|ancien|ancienne|vieux|vieille|guide|guida|scratch|sketch|skizze|esquisse|temp|tmp|backup|bak|ref|reference|reduction|auszug|do not use|unused|muted?|draft)([^\p{L}]|$)/iu;

export interface LeftoverTrack {
  readonly part: Part;
  readonly name: string;
  readonly other: Part;
  readonly otherName: string;
  readonly count: number;
  readonly sameTiming: boolean;
  readonly startQuarters: number;
  readonly endQuarters: number;
}

interface Track {
  readonly part: Part;
  readonly index: number;
  readonly name: string;
  readonly notes: readonly PlacedNote[];
}

function tracksOf({ part, notes }: PlacedPart): readonly Track[] {
  return part.tracks.map((track, index) => ({
    part,
    index,
    name: track.name.trim() === '' ? part.name : track.name.trim(),
    notes: notes.filter(({ played }) => played.trackIndex === index),
  }));
}

const placeOf = ({ midi, startQuarters }: PlacedNote): string => `${String(midi)}/${startQuarters.toFixed(3)}`;

interface Match {
  readonly other: Track;
  readonly shared: number;
  readonly exact: number;
}

/** The track that has most of these notes too. */
function bestMatch(
  track: Track,
  byPlace: ReadonlyMap<string, readonly (readonly [Track, PlacedNote])[]>,
): Match | undefined {
  const counts = new Map<Track, { shared: number; exact: number }>();
  for (const note of track.notes) {
    for (const [other, twin] of byPlace.get(placeOf(note)) ?? []) {
      if (other === track) continue;
      const count = counts.get(other) ?? { shared: 0, exact: 0 };
      count.shared++;
      if (
        Math.abs(twin.played.startSecond - note.played.startSecond) <= SAME_SECONDS &&
        twin.played.velocity === note.played.velocity
      ) {
        count.exact++;
      }
      counts.set(other, count);
    }
  }
  let best: Match | undefined;
  for (const [other, { shared, exact }] of counts) {
    if (best === undefined || shared > best.shared) best = { other, shared, exact };
  }
  return best;
}

/** True where this of two like tracks is the one left over: by its name, else the shorter one, else the later one. */
function isTheCopy(track: Track, other: Track, order: readonly Track[]): boolean {
  const [named, otherNamed] = [LEFTOVER_NAME.test(track.name), LEFTOVER_NAME.test(other.name)];
  if (named !== otherNamed) return named;
  if (track.notes.length !== other.notes.length) return track.notes.length < other.notes.length;
  return order.indexOf(track) > order.indexOf(other);
}

/**
 * Tracks of which at least this share of the notes is in one other track too, at the same pitch and written place, if their names call
 * them leftovers or the same share has the same timing and velocity: a doubling that somebody wrote is played or exported anew.
 */
export function leftoverTracksOf(placed: readonly PlacedPart[], share: number): readonly LeftoverTrack[] {
  const tracks = placed.filter(({ part }) => !part.unpitched).flatMap(tracksOf);
  const byPlace = new Map<string, (readonly [Track, PlacedNote])[]>();
  for (const track of tracks) {
    for (const note of track.notes) {
      const place = placeOf(note);
      const found = byPlace.get(place);
      if (found === undefined) byPlace.set(place, [[track, note]]);
      else found.push([track, note]);
    }
  }
  return tracks.flatMap((track): LeftoverTrack[] => {
    const [first] = track.notes;
    if (first === undefined || track.notes.length < FEWEST_NOTES) return [];
    const match = bestMatch(track, byPlace);
    if (match === undefined || match.shared < share * track.notes.length) return [];
    const sameTiming = match.exact >= share * track.notes.length && isSounding(track.notes);
    if (!sameTiming && !LEFTOVER_NAME.test(track.name)) return [];
    if (!isTheCopy(track, match.other, tracks)) return [];
    return [
      {
        part: track.part,
        name: track.name,
        other: match.other.part,
        otherName: match.other.name,
        count: track.notes.length,
        sameTiming,
        startQuarters: first.startQuarters,
        endQuarters: Math.max(...track.notes.map(({ endQuarters }) => endQuarters)),
      },
    ];
  });
}

/** Velocities that differ were played: equal ones from a score program agree in every doubling and prove no copy. */
function isSounding(notes: readonly PlacedNote[]): boolean {
  return (
    new Set(notes.map(({ played }) => played.velocity)).size > 2 &&
    notes.some(({ shiftQuarters }) => Math.abs(shiftQuarters) > 1e-3)
  );
}
