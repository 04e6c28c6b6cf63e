/** By which interval notes as a whole stand higher or lower than before. */
import type { BarNote } from '../bars/bar-notes.ts';
import { LOWEST, PITCHES, TOLERANCE_DIVISIONS } from '../matches/match-notes.ts';

/** Chords in their order: pitches that begin within the same thirty-second, low to high. */
interface Chords {
  readonly count: number;
  /** Of all notes, by place and pitch. */
  readonly midi: Int16Array;
  /** Of each chord: its place, and where its notes begin; one more marks the end. */
  readonly places: Float64Array;
  readonly starts: Int32Array;
}

function chordsOf(notes: readonly BarNote[]): Chords {
  const codes = new Float64Array(notes.length);
  let isSorted = true;
  let last = -Infinity;
  for (let at = 0; at < notes.length; at++) {
    const note = notes[at];
    if (note === undefined) continue;
    const code = Math.round(note.start / TOLERANCE_DIVISIONS) * PITCHES + note.midi - LOWEST;
    if (code < last) isSorted = false;
    codes[at] = last = code;
  }
  if (!isSorted) codes.sort();
  const midi = new Int16Array(codes.length);
  const places = new Float64Array(codes.length);
  const starts = new Int32Array(codes.length + 1);
  let count = 0;
  let place = -Infinity;
  for (let at = 0; at < codes.length; at++) {
    const code = codes[at] ?? 0;
    const own = Math.floor(code / PITCHES);
    midi[at] = code - own * PITCHES;
    if (own === place) continue;
    place = own;
    places[count] = own;
    starts[count++] = at;
  }
  starts[count] = codes.length;
  return { count, midi, places, starts };
}

/** The chord at a place, or a step before or after it, of those from `near` on; -1 where there is none. */
function nearestChord({ places, count }: Chords, near: number, place: number): number {
  let found = -1;
  for (let chord = near; chord < near + 3 && chord < count; chord++) {
    const at = places[chord] ?? Infinity;
    if (at === place) return chord;
    if (found < 0 && at <= place + 1) found = chord;
  }
  return found;
}

/**
 * The interval by which `least` of the notes, chord for chord, stand higher than before; undefined where there is none. `sameCount`: so many
 * more stand where they stood.
 */
export function shiftOf(
  before: readonly BarNote[],
  after: readonly BarNote[],
  least: number,
  sameCount = 0,
): number | undefined {
  const olds = chordsOf(before);
  const news = chordsOf(after);
  const votes = new Map<number, number>(sameCount > 0 ? [[0, sameCount]] : []);
  // Neighbouring chords mostly moved alike: their votes are put down together.
  let running = 0;
  let runningVotes = 0;
  let near = 0;
  for (let index = 0; index < news.count; index++) {
    const place = news.places[index] ?? 0;
    while (near < olds.count && (olds.places[near] ?? Infinity) < place - 1) near++;
    const earlier = nearestChord(olds, near, place);
    if (earlier < 0) continue;
    const from = news.starts[index] ?? 0;
    const to = news.starts[index + 1] ?? 0;
    const fromBefore = olds.starts[earlier] ?? 0;
    if ((olds.starts[earlier + 1] ?? 0) - fromBefore !== to - from) continue;
    const shift = (news.midi[from] ?? 0) - (olds.midi[fromBefore] ?? 0);
    let isAlike = true;
    for (let note = 1; note < to - from; note++) {
      if ((news.midi[from + note] ?? 0) - (olds.midi[fromBefore + note] ?? 0) !== shift) isAlike = false;
    }
    if (!isAlike) continue;
    if (shift !== running) {
      if (runningVotes > 0) votes.set(running, (votes.get(running) ?? 0) + runningVotes);
      running = shift;
      runningVotes = 0;
    }
    runningVotes += to - from;
  }
  if (runningVotes > 0) votes.set(running, (votes.get(running) ?? 0) + runningVotes);
  const [best] = [...votes].sort((a, b) => b[1] - a[1] || Math.abs(a[0]) - Math.abs(b[0]));
  if (best === undefined || best[1] < least * (sameCount + Math.max(before.length, after.length))) return undefined;
  return best[0];
}
