/** Written notes exactly where they are played, and chords, for tests that do not need the notation step. */
import type { Stage } from '../../src/model/music/arrangement.ts';
import { plainSpelling, type Step } from '../../src/model/music/pitch.ts';
import type { ChordSpan, WrittenStage } from '../../src/model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../src/model/music/written.ts';
import { TEXTBOOK_STYLE } from './textbook-style.ts';

/** A C major chord (or another quality on C) through some bars of 4/4, over a bass. */
export function chordOn(from: number, to: number, changes: Partial<ChordSpan> = {}, bass: Step = 'C'): ChordSpan {
  return {
    start: (from - 1) * 4 * DIVISIONS_PER_QUARTER,
    length: (to - from + 1) * 4 * DIVISIONS_PER_QUARTER,
    bar: from,
    symbol: bass === 'C' ? 'C' : `C/${bass}`,
    root: { step: 'C', alter: 0 },
    bass: { step: bass, alter: 0 },
    quality: 'major',
    roman: 'I',
    tones: [0, 4, 7],
    coverage: 1,
    ...changes,
  };
}

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
