/** Played onsets on the written clock, and which of them are one chord. */
import type { Part } from '../../model/music/arrangement.ts';
import type { Timeline } from '../../model/music/timeline.ts';
import { barIndexAt, quartersAt } from '../../model/music/timeline.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';
import type { ScoreTime } from './score-time.ts';

export interface Cluster {
  /** Indices into the part's notes. */
  readonly notes: readonly number[];
  /** Played place in divisions, lateness taken out. */
  readonly place: number;
  readonly milliseconds: number;
}

/** Notes that start within this of the last one (and twice this of the first) and sound together are one chord. */
const CHORD_GAP_MS = 35;

/** Place in divisions of a played moment, with the part's median lateness removed through the tempo map; inside the piece. */
function placeOf(part: Part, timeline: Timeline, time: ScoreTime, second: number, quartersPlayed: number): number {
  const late = part.latenessMs.median / 1000;
  const quarters = late === 0 ? quartersPlayed : quartersAt(timeline, second - late);
  const bar = time.bars[barIndexAt(timeline.bars, quarters)];
  const place =
    bar === undefined
      ? quarters * DIVISIONS_PER_QUARTER
      : bar.start + (quarters - bar.startQuarters) * DIVISIONS_PER_QUARTER;
  return Math.min(Math.max(place, time.start), Math.max(time.start, time.end - 1));
}

/** Played places of a part's notes in divisions, with the part's median lateness removed. */
export function playedPlaces(part: Part, timeline: Timeline, time: ScoreTime): number[] {
  return part.notes.map((note) => placeOf(part, timeline, time, note.startSecond, note.startQuarters));
}

/** Where the sound of each note stops, in divisions: where the pedal goes up, if that is later than the key. */
export function soundingEnds(part: Part, timeline: Timeline, time: ScoreTime): number[] {
  return part.notes.map((note) =>
    placeOf(part, timeline, time, note.soundingEndSecond, quartersAt(timeline, note.soundingEndSecond)),
  );
}

/** Groups simultaneous notes: close starts, and sounding together for half of the shorter note, so that fast runs are not chords. */
export function clusterOnsets(part: Part, places: readonly number[], indices: readonly number[]): Cluster[] {
  const clusters: Cluster[] = [];
  let members: number[] = [];
  let firstMs = 0;
  let lastMs = 0;
  const close = (): void => {
    if (members.length === 0) return;
    let sum = 0;
    let ms = 0;
    for (const index of members) {
      sum += places[index] ?? 0;
      ms += (part.notes[index]?.startSecond ?? 0) * 1000;
    }
    clusters.push({ notes: members, place: sum / members.length, milliseconds: ms / members.length });
    members = [];
  };
  for (const index of indices) {
    const note = part.notes[index];
    if (note === undefined) continue;
    const ms = note.startSecond * 1000;
    const before = part.notes[members.at(-1) ?? -1];
    const together =
      before !== undefined &&
      before.midi !== note.midi &&
      ms - lastMs < CHORD_GAP_MS &&
      ms - firstMs < 2 * CHORD_GAP_MS &&
      Math.min(before.endSecond, note.endSecond) - note.startSecond >=
        0.5 * Math.min(before.endSecond - before.startSecond, note.endSecond - note.startSecond) - 1e-9;
    if (!together) {
      close();
      firstMs = ms;
    }
    members.push(index);
    lastMs = ms;
  }
  close();
  return clusters;
}
