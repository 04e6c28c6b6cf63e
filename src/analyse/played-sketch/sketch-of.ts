/** A stage as notes with the levels that the balance is estimated from, so that what is heard is what the estimate says. */
import type { Stage } from '../../model/music/arrangement.ts';
import { groupedBy } from '../../model/grouped.ts';
import { barIndexAt, secondAt } from '../../model/music/timeline.ts';
import type { StageReadings } from '../../model/readings/readings.ts';
import { sumDb } from '../../model/music/dynamics.ts';
import type { WrittenNotes } from '../../model/music/written.ts';
import type { Sketch, SketchLine, SketchNote } from '../../sound/sketch.ts';
import { foregroundByBar } from '../lines/foreground-lookup.ts';
import type { LevelModel } from '../level/level-model.ts';
import { decayOfNote, gainWithoutVolumeDb, levelAtDb, levelModelOf } from '../level/level-model.ts';
import type { PlacedNote, PlacedPart } from '../placed-notes/placed-notes.ts';
import { placeParts } from '../placed-notes/placed-notes.ts';
import { ANY_VELOCITY, lineLevel } from './line-shape.ts';
import { timbreOf } from './timbre.ts';

/** For each note the share of the players that it has, over its length: one over the notes that sound at once. */
function playersShares(notes: readonly PlacedNote[]): readonly number[] {
  const shares = notes.map(() => 0);
  const edges = [...new Set(notes.flatMap((note) => [note.startQuarters, note.soundingEndQuarters]))].sort(
    (a, b) => a - b,
  );
  let next = 0;
  let sounding: number[] = [];
  edges.forEach((from, edge) => {
    while ((notes[next]?.startQuarters ?? Infinity) <= from) sounding.push(next++);
    sounding = sounding.filter((index) => (notes[index]?.soundingEndQuarters ?? 0) > from);
    const length = (edges[edge + 1] ?? from) - from;
    for (const index of sounding) shares[index] = (shares[index] ?? 0) + length / sounding.length;
  });
  return shares.map((share, index) => {
    const note = notes[index];
    const length = note === undefined ? 0 : note.soundingEndQuarters - note.startQuarters;
    return length > 0 ? share / length : 1;
  });
}

function linesOf(
  placed: PlacedPart,
  model: LevelModel,
  partIndex: number,
  stage: Stage,
  isFront: (note: PlacedNote) => boolean,
): readonly SketchLine[] {
  const { timeline } = stage;
  const shares = model.sharesPlayers ? playersShares(placed.notes) : placed.notes.map(() => 1);
  return model.tracks.flatMap((track, trackIndex): SketchLine[] => {
    const { referenceDb, shape } = lineLevel(model, track, timeline);
    const levelOf = (dynamic: number): number => levelAtDb(model, { dynamic, gainDb: 0 }, undefined);
    const notes = placed.notes.flatMap((note, index): SketchNote[] => {
      const { played } = note;
      if (played.trackIndex !== trackIndex) return [];
      const strikeDb = track.dynamic === undefined ? levelOf(played.velocity / 127) - levelOf(ANY_VELOCITY / 127) : 0;
      return [
        {
          start: played.startSecond,
          end: Math.max(played.soundingEndSecond, played.startSecond + 0.02),
          midi: note.midi,
          levelDb: referenceDb + strikeDb + (model.registerDb[note.midi] ?? 0) + 10 * Math.log10(shares[index] ?? 1),
          isFront: isFront(note),
        },
      ];
    });
    notes.sort((a, b) => a.start - b.start || a.midi - b.midi);
    if (notes.length === 0) return [];
    // What a tremolo holds is a line of its own: a line dies away as a whole.
    const lines = groupedBy(notes, ({ start, end }) => decayOfNote(track, end - start));
    return [...lines].map(([decayDbPerSecond, own]) => ({
      part: partIndex,
      timbre: timbreOf(placed.part, track.decayDbPerSecond > 0),
      decayDbPerSecond,
      shape,
      notes: own,
    }));
  });
}

/** The sketch of a stage; levels are estimates from MIDI, dB re 1 pW. */
export function sketchOf(stage: Stage, written: WrittenNotes, readings: Pick<StageReadings, 'beats'>): Sketch {
  const { timeline } = stage;
  const front = foregroundByBar(stage);
  const silentVolumeDb = gainWithoutVolumeDb(stage);
  const lines = placeParts(stage, written).flatMap((placed, index) =>
    linesOf(placed, levelModelOf(placed.part, silentVolumeDb), index, stage, ({ startQuarters }) =>
      Boolean(front[barIndexAt(timeline.bars, startQuarters)]?.has(placed.part.id)),
    ),
  );
  const loudest = Math.max(...readings.beats.map(({ partsDb }) => sumDb(Object.values(partsDb))));
  return {
    stageId: stage.id,
    title: stage.title,
    order: stage.order,
    loudestDb: Number.isFinite(loudest) ? loudest : 100,
    bars: timeline.bars.map(({ number, startQuarters, lengthQuarters }) => ({
      number,
      start: secondAt(timeline, startQuarters),
      end: secondAt(timeline, startQuarters + lengthQuarters),
    })),
    parts: stage.parts.map(({ id, name }) => ({ id, name })),
    lines,
  };
}
