/** What a stage took over from the one before without a change is held once for both. */
import type { Part, Stage, TrackRecord } from '../model/music/arrangement.ts';
import { heldOnce } from '../model/alike.ts';

function sharedPart(part: Part, before: Part | undefined): Part {
  if (before === undefined) return part;
  const tracks = part.tracks.map((track, index): TrackRecord => ({
    ...track,
    curves: heldOnce(track.curves, before.tracks[index]?.curves),
  }));
  const notes = heldOnce(part.notes, before.notes);
  return heldOnce({ ...part, tracks, notes, controlNotes: heldOnce(part.controlNotes, before.controlNotes) }, before);
}

/** The same stage, with bars, notes and curves of the stage before where they say the same. */
export function sharedMusic(stage: Stage, before: Stage | undefined): Stage {
  if (before === undefined) return stage;
  const known = new Map(before.parts.map((part) => [part.id, part]));
  const { bars, tempo } = stage.timeline;
  const timeline = {
    ...stage.timeline,
    bars: heldOnce(bars, before.timeline.bars),
    tempo: heldOnce(tempo, before.timeline.tempo),
  };
  return {
    ...stage,
    timeline: heldOnce(timeline, before.timeline),
    parts: stage.parts.map((part) => sharedPart(part, known.get(part.id))),
  };
}
