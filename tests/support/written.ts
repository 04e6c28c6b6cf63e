/** Written notes exactly where they are played, for tests that do not need the notation step. */
import type { Stage } from '../../src/model/arrangement.ts';
import { plainSpelling } from '../../src/model/pitch.ts';
import type { ChordSpan, WrittenStage } from '../../src/model/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../src/model/written.ts';
import { TEXTBOOK_STYLE } from './textbook-style.ts';

export function writtenOf(stage: Stage, chords: readonly ChordSpan[] = []): WrittenStage {
  return {
    stageId: stage.id,
    parts: stage.parts.map((part) => ({
      partId: part.id,
      doubtfulShare: 0,
      notes: part.notes.map((note, played) => {
        const start = Math.round(note.startQuarters * DIVISIONS_PER_QUARTER);
        const end = Math.round(note.endQuarters * DIVISIONS_PER_QUARTER);
        return {
          midi: note.midi,
          pitch: plainSpelling(note.midi),
          start,
          length: Math.max(1, end - start),
          staff: 1,
          voice: 1,
          played,
        };
      }),
    })),
    keys: [],
    chords,
    style: TEXTBOOK_STYLE,
    reduced: { staves: [], bars: [] },
    onGrid: true,
    remarks: [],
  };
}
