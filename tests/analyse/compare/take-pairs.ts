/**
 * Pairs of stages that differ by how they were played or exported, and by nothing that is written. The truth is what was done to the
 * notes here. Scatter of 10 to 20 ms around the written places is what a player at a keyboard leaves (common practice, no source).
 */
import { latenessOf } from '../../../src/assemble/clock/lateness.ts';
import type { Part, PlayedNote, Stage } from '../../../src/model/music/arrangement.ts';
import { quartersAt, secondAt } from '../../../src/model/music/timeline.ts';
import type { WrittenStage } from '../../../src/model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../../src/model/music/written.ts';
import { notateStage } from '../../../src/notate/notate-stage.ts';
import { gaussian, seeded } from '../../support/playing.ts';

export interface Notated {
  readonly stage: Stage;
  readonly written: WrittenStage;
}

/** Gives every note of a part its place, in seconds; the length as played stays. */
function replayed(stage: Stage, part: Part, placeOf: (note: PlayedNote, index: number) => number): Part {
  const notes = part.notes.map((note, index): PlayedNote => {
    const startSecond = Math.max(0, placeOf(note, index));
    const later = startSecond - note.startSecond;
    const endSecond = note.endSecond + later;
    return {
      ...note,
      startSecond,
      endSecond,
      soundingEndSecond: note.soundingEndSecond + later,
      startQuarters: quartersAt(stage.timeline, startSecond),
      endQuarters: quartersAt(stage.timeline, endSecond),
    };
  });
  return { ...part, notes };
}

/** As it would be read again: notes in order, lateness and notation found anew. */
function readAgain(stage: Stage, parts: readonly Part[]): Notated {
  const sorted = parts.map((part) => ({
    ...part,
    notes: [...part.notes].sort((a, b) => a.startQuarters - b.startQuarters || a.midi - b.midi),
  }));
  const lateness = latenessOf(
    sorted.map((part) => part.notes),
    stage.timeline,
  );
  const made = {
    ...stage,
    parts: sorted.map((part, index) => ({ ...part, latenessMs: lateness[index] ?? { median: 0, spread: 0 } })),
  };
  return { stage: made, written: notateStage(made) };
}

/** Seconds of the written places of a part's notes; where a note has none, where it was played. */
function writtenSeconds({ stage, written }: Notated, part: Part): readonly number[] {
  const places = new Map(
    written.parts.find(({ partId }) => partId === part.id)?.notes.map((note) => [note.played, note.start]),
  );
  return part.notes.map((note, index) => {
    const start = places.get(index);
    return start === undefined ? note.startSecond : secondAt(stage.timeline, start / DIVISIONS_PER_QUARTER);
  });
}

export type TakeEdit = 'export' | 'take' | 'quantised' | 'later' | 'scattered';

export interface TakePair {
  readonly name: string;
  readonly edit: TakeEdit;
  /** The part that was re-timed; undefined where none was. */
  readonly partId?: string;
  readonly before: Notated;
  readonly after: Notated;
}

const LATER_SECONDS = 0.03;

/** By so much at most the middle of another take stands elsewhere (Repp 2005, from memory: 10 to 30 ms ahead of a click). */
const MOST_AHEAD_SECONDS = 0.018;

/** Ticks to the quarter of the two new exports; 96 is the coarsest in common use (common practice, no source). */
const EXPORT_TICKS = [480, 96] as const;

/** All pairs of a piece: three exports, a new take of all, and three edits of one part each beside an export and beside a new take. */
export function takePairs(name: string, music: Stage, seed: number): readonly TakePair[] {
  const next = seeded(seed);
  const spread = gaussian(next);
  const read = readAgain(music, music.parts);
  const places = new Map(read.stage.parts.map((part) => [part.id, writtenSeconds(read, part)]));
  const scatter = new Map(read.stage.parts.map((part) => [part.id, 0.01 + 0.01 * next()]));
  const playedWith = (part: Part, times: number, later = 0): Part => {
    const own = (scatter.get(part.id) ?? 0.01) * times;
    return replayed(
      music,
      part,
      (note, index) => (places.get(part.id)?.[index] ?? note.startSecond) + later + own * spread(),
    );
  };
  const exported = (part: Part, ticks: number): Part =>
    replayed(music, part, (note) => secondAt(music.timeline, Math.round(note.startQuarters * ticks) / ticks));
  const first = read.stage.parts.map((part) => playedWith(part, 1));
  const before = readAgain(music, first);
  const again = (): readonly Part[] => read.stage.parts.map((part) => playedWith(part, 1));
  const rich = read.stage.parts.filter((part) => part.notes.length >= 24);
  const chosen = rich[Math.floor(next() * rich.length)] ?? read.stage.parts[0];
  const pairs: TakePair[] = EXPORT_TICKS.map((ticks) => ({
    name: `${name}: exported at ${String(ticks)}`,
    edit: 'export',
    before,
    after: readAgain(
      music,
      first.map((part) => exported(part, ticks)),
    ),
  }));
  const late = first.map((part) => replayed(music, part, (note) => note.startSecond + LATER_SECONDS));
  pairs.push({ name: `${name}: exported 30 ms later`, edit: 'export', before, after: readAgain(music, late) });
  pairs.push({ name: `${name}: new take`, edit: 'take', before, after: readAgain(music, again()) });
  if (chosen === undefined) return pairs;
  const done: readonly (readonly [TakeEdit, (part: Part, heard: Part) => Part])[] = [
    ['quantised', (part) => replayed(music, part, (note, index) => places.get(part.id)?.[index] ?? note.startSecond)],
    ['later', (_, heard) => replayed(music, heard, (note) => note.startSecond + LATER_SECONDS)],
    ['scattered', (part) => playedWith(part, 2)],
  ];
  for (const [edit, change] of done) {
    for (const others of ['export', 'take'] as const) {
      const base = others === 'take' ? again() : first.map((part) => exported(part, 480));
      const parts = base.map((part, index) =>
        part.id === chosen.id ? exported(change(read.stage.parts[index] ?? part, part), 480) : part,
      );
      const name_ = `${name}: ${edit} beside ${others === 'take' ? 'a new take' : 'an export'}`;
      pairs.push({ name: name_, edit, partId: chosen.id, before, after: readAgain(music, parts) });
    }
  }
  // Each player stands otherwise to the click than before.
  const elsewhere = read.stage.parts.map((part) => playedWith(part, 1, MOST_AHEAD_SECONDS * (2 * next() - 1)));
  pairs.push({
    name: `${name}: new take, ahead by other amounts`,
    edit: 'take',
    before,
    after: readAgain(music, elsewhere),
  });
  return pairs;
}
