/**
 * How a part enters and leaves.
 *
 * - From nothing: the highest level within the first 0.1 s lies at least 15 dB under the highest within two beats, or a
 *   dynamics controller begins under 0.15 of its way and gains at least as much within two beats. To nothing: the same,
 *   read backwards from the end. The natural decay of struck and plucked tones does not count as a fade.
 * - Entering under a sounding note: not from nothing, but at a modest level (dynamic under 0.5, that is up to mp, or at least
 *   6 dB under that note) while a foreground note of another part that began at least a beat before still sounds. Leaving
 *   under a sounding note: a note of any other part began at least a beat before the release and lasts at least a beat after.
 * - At once: everything else.
 *
 * The figures are our conventions.
 */
import type { EntryKind, ExitKind } from '../../model/readings/pacing.ts';
import type { Timeline } from '../../model/music/timeline.ts';
import { pulseQuarters, barIndexAt, quartersAt, secondAt } from '../../model/music/timeline.ts';
import type { LevelModel } from '../level/level-model.ts';
import { levelAtDb, loudnessAt } from '../level/level-model.ts';
import type { NoteIndex } from '../placed-notes/note-index.ts';
import { soundingAt } from '../placed-notes/note-index.ts';

const EDGE_SECONDS = 0.1;
const FADE_BEATS = 2;
const FADE_DB = 15;
const LOW_DYNAMIC = 0.15;
const MODEST_DYNAMIC = 0.5;
const MODEST_DB = 6;
const STEPS_PER_BEAT = 8;

/** A part as the tests on entries see it. */
export interface EnteringPart {
  readonly id: string;
  readonly index: NoteIndex;
  readonly model: LevelModel;
}

interface Moment {
  readonly levelDb: number;
  /** Of a dynamics controller; undefined where velocity is the dynamic. */
  readonly controllerDynamic: number | undefined;
  readonly dynamic: number;
}

const SILENT: Moment = { levelDb: Number.NEGATIVE_INFINITY, controllerDynamic: undefined, dynamic: 0 };

/** The strongest note of a part at a written moment, decay left out. */
function momentAt({ index, model }: EnteringPart, quarters: number): Moment {
  let strongest = SILENT;
  for (const note of soundingAt(index, quarters)) {
    const track = model.tracks[note.played.trackIndex];
    if (track === undefined) continue;
    const loudness = loudnessAt(track, note.played.velocity, quarters + note.shiftQuarters);
    const levelDb = levelAtDb(model, loudness, note.midi);
    if (levelDb < strongest.levelDb) continue;
    const controllerDynamic = track.dynamic === undefined ? undefined : loudness.dynamic;
    strongest = { levelDb, controllerDynamic, dynamic: loudness.dynamic };
  }
  return strongest;
}

/** Length of a beat at a position. */
function beatQuartersAt({ bars }: Timeline, quarters: number): number {
  const bar = bars[barIndexAt(bars, quarters)];
  return bar === undefined ? 1 : pulseQuarters(bar.meter);
}

function strongestOf(moments: readonly Moment[]): Moment {
  return moments.reduce((best, moment) => (moment.levelDb > best.levelDb ? moment : best), SILENT);
}

/** True where the part fades between silence and its level around `edgeQuarters`; direction +1 into the sound after it, -1 before it. */
function fades(part: EnteringPart, edgeQuarters: number, direction: 1 | -1, timeline: Timeline): boolean {
  const edgeSecond = secondAt(timeline, edgeQuarters);
  const inside = (quarters: number): number => (direction === 1 ? quarters : quarters - 1e-6);
  const edge = [0, EDGE_SECONDS / 2, EDGE_SECONDS].map((seconds) =>
    momentAt(part, inside(quartersAt(timeline, edgeSecond + direction * seconds))),
  );
  const beatQuarters = beatQuartersAt(timeline, inside(edgeQuarters));
  const within = Array.from({ length: FADE_BEATS * STEPS_PER_BEAT + 1 }, (_, step) =>
    momentAt(part, inside(edgeQuarters + (direction * step * beatQuarters) / STEPS_PER_BEAT)),
  );
  const first = strongestOf(edge);
  const reached = strongestOf([...edge, ...within]);
  if (reached.levelDb === Number.NEGATIVE_INFINITY) return direction === 1;
  if (reached.levelDb - first.levelDb >= FADE_DB) return true;
  const dynamics = within.flatMap((moment) => moment.controllerDynamic ?? []);
  const edgeDynamics = edge.flatMap((moment) => moment.controllerDynamic ?? []);
  if (edgeDynamics.length === 0) return false;
  const edgeDynamic = Math.max(...edgeDynamics);
  return edgeDynamic < LOW_DYNAMIC && Math.max(0, ...dynamics) - edgeDynamic >= LOW_DYNAMIC;
}

/** How a part enters at a written place; `inFront` are the foreground parts of that bar. */
export function entryKind(
  part: EnteringPart,
  quarters: number,
  inFront: readonly EnteringPart[],
  timeline: Timeline,
): EntryKind {
  if (fades(part, quarters, 1, timeline)) return 'from-nothing';
  const beatQuarters = beatQuartersAt(timeline, quarters);
  const own = momentAt(part, quarters);
  const covering = inFront.some((front) => {
    if (front.id === part.id) return false;
    const held = soundingAt(front.index, quarters + beatQuarters / 8).some(
      (note) => note.startQuarters <= quarters - beatQuarters + 1e-6,
    );
    return held && (own.dynamic < MODEST_DYNAMIC || momentAt(front, quarters).levelDb - own.levelDb >= MODEST_DB);
  });
  return covering ? 'under-sounding-note' : 'at-once';
}

/** How a part leaves at the end of its sound; `all` are the parts of the stage. */
export function exitKind(
  part: EnteringPart,
  endQuarters: number,
  all: readonly EnteringPart[],
  timeline: Timeline,
): ExitKind {
  if (fades(part, endQuarters, -1, timeline)) return 'to-nothing';
  const beatQuarters = beatQuartersAt(timeline, endQuarters - 1e-6);
  const covered = all.some(
    (other) =>
      other.id !== part.id &&
      soundingAt(other.index, endQuarters).some(
        (note) =>
          note.startQuarters <= endQuarters - beatQuarters + 1e-6 &&
          note.endQuarters >= endQuarters + beatQuarters - 1e-6,
      ),
  );
  return covered ? 'under-sounding-note' : 'at-once';
}
