/** From played notes to written music: grid, lengths, voices, keys, spelling, chords, reduced score. */
import type { Part, Stage } from '../model/arrangement.ts';
import { plainSpelling } from '../model/pitch.ts';
import type { WrittenNote, WrittenPart, WrittenStage } from '../model/written.ts';
import { chordRuns } from './chord-runs.ts';
import type { SpelledSound } from './chords.ts';
import { chordsOf } from './chords.ts';
import { soundingEnds } from './clusters.ts';
import type { PartGrid } from './grid.ts';
import { gridOf, readFirst } from './grid.ts';
import { gridTrust } from './grid-trust.ts';
import { keysOf } from './key.ts';
import type { SoundingNote } from './key-path.ts';
import { endsOf } from './lengths.ts';
import { pitchAt } from './line-of-fifths.ts';
import { reduce } from './reduction.ts';
import type { ScoreTime } from './score-time.ts';
import { scoreTimeOf } from './score-time.ts';
import type { Spelling } from './spelling.ts';
import { spell } from './spelling.ts';
import { voicesOf } from './voices.ts';

interface TimedPart {
  readonly part: Part;
  readonly grid: PartGrid;
  readonly notes: readonly {
    readonly start: number;
    readonly end: number;
    readonly staff: number;
    readonly voice: number;
  }[];
}

function gridsOf(stage: Stage, time: ScoreTime): PartGrid[] {
  const first = stage.parts.map((part) => readFirst(part, stage.timeline, time));
  const counts: number[] = [];
  for (const reading of first) {
    for (const [kind, count] of reading.counts.entries()) counts[kind] = (counts[kind] ?? 0) + count;
  }
  return stage.parts.map((part, index) => {
    const reading = first[index];
    return reading === undefined
      ? { onsets: [], places: [], staves: [], chosen: [], doubtfulShare: 0 }
      : gridOf(part, reading, counts);
  });
}

function timed(part: Part, grid: PartGrid, stage: Stage, time: ScoreTime): TimedPart {
  const ends = endsOf({ part, grid, timeline: stage.timeline, time });
  const raw = part.notes.map((note, index) => ({
    start: grid.onsets[index] ?? 0,
    end: ends[index] ?? 0,
    midi: note.midi,
    staff: grid.staves[index] ?? 1,
  }));
  const voiced = voicesOf(raw);
  return {
    part,
    grid,
    notes: raw.map((note, index) => ({
      start: note.start,
      end: voiced[index]?.end ?? note.end,
      staff: note.staff,
      voice: voiced[index]?.voice ?? 1,
    })),
  };
}

/** All pitched notes for as long as they are heard, pedal included; sorted by start. */
function ringingSounds(stage: Stage, pitched: readonly TimedPart[], time: ScoreTime): SoundingNote[] {
  return pitched
    .flatMap(({ part, notes }) => {
      const ends = soundingEnds(part, stage.timeline, time);
      return notes.map((note, index): SoundingNote => {
        const played = part.notes[index];
        const isPedalled = played !== undefined && played.soundingEndSecond > played.endSecond;
        const end = isPedalled ? Math.max(note.end, ends[index] ?? 0) : note.end;
        return { midi: played?.midi ?? 60, start: note.start, end };
      });
    })
    .sort((a, b) => a.start - b.start || a.midi - b.midi);
}

function inSpelling(sounds: readonly SoundingNote[], spelling: Spelling): SpelledSound[] {
  return sounds.map((sound) => ({ ...sound, place: spelling.placeOf(sound.start, sound.midi) }));
}

function percent(share: number): string {
  return `${String(Math.round(share * 100))} %`;
}

function gridRemarks(
  stage: Stage,
  grids: readonly PartGrid[],
): { readonly onGrid: boolean; readonly remarks: string[] } {
  const trust = gridTrust(grids.flatMap((grid) => grid.places));
  const remarks: string[] = [];
  if (!trust.onGrid) {
    remarks.push(
      'The notes of this stage have nothing to do with the bar lines of the file (it seems to have been played without a click): written values are the nearest guess, and bars and beats count from the file, not from the music. Record to a click, or move the bar lines to the playing, to get a true score.',
    );
  } else if (trust.doubtful) {
    remarks.push(
      'The playing of this stage keeps only loosely to the beat of the file: check the written rhythm before relying on it.',
    );
  }
  for (const [index, part] of stage.parts.entries()) {
    const share = grids[index]?.doubtfulShare ?? 0;
    if (trust.onGrid && share > 0.1 && part.notes.length >= 10) {
      remarks.push(
        `In ${part.name}, ${percent(share)} of the notes were played more than 0.15 of a quarter away from where they are written: its rhythm is doubtful.`,
      );
    }
  }
  return { onGrid: trust.onGrid, remarks };
}

/**
 * Writes down a stage. Pure: the same stage gives the same score. Times are in divisions (480 to a quarter); pitches stay sounding.
 */
export function notateStage(stage: Stage): WrittenStage {
  const time = scoreTimeOf(stage.timeline.bars);
  if (time.bars.length === 0) {
    const parts = stage.parts.map((part) => ({ partId: part.id, notes: [], doubtfulShare: 0 }));
    const reduced = reduce({ stage, written: parts, keys: [], chords: [], time });
    return { stageId: stage.id, parts, keys: [], chords: [], reduced, onGrid: true, remarks: [] };
  }
  const grids = gridsOf(stage, time);
  const { onGrid, remarks } = gridRemarks(stage, grids);
  const parts = stage.parts.map((part, index) => timed(part, grids[index] as PartGrid, stage, time));
  const pitched = parts.filter(({ part }) => !part.unpitched);
  const sounds = pitched.flatMap(({ part, notes }) =>
    notes.map((note, index) => ({ midi: part.notes[index]?.midi ?? 60, start: note.start, end: note.end })),
  );
  const keyReading = keysOf(sounds, time, stage.sections, stage.statedKeys);
  const spelling = spell(sounds, keyReading.keys, time);
  const ringing = ringingSounds(stage, pitched, time);
  const runs = chordRuns(ringing, keyReading.keys, time);
  const chords = chordsOf(runs, inSpelling(ringing, spelling), keyReading.keys, time);
  const written = parts.map(({ part, grid, notes }): WrittenPart => {
    const list = notes.map((note, index): WrittenNote => {
      const midi = part.notes[index]?.midi ?? 60;
      return {
        midi,
        pitch: part.unpitched ? plainSpelling(midi) : pitchAt(midi, spelling.placeOf(note.start, midi)),
        start: note.start,
        length: note.end - note.start,
        staff: note.staff,
        voice: note.voice,
        played: index,
      };
    });
    list.sort((a, b) => a.start - b.start || a.midi - b.midi);
    return { partId: part.id, notes: list, doubtfulShare: grid.doubtfulShare };
  });
  return {
    stageId: stage.id,
    parts: written,
    keys: keyReading.keys,
    chords,
    reduced: reduce({ stage, written, keys: keyReading.keys, chords, time }),
    onGrid,
    remarks: [...remarks, ...keyReading.remarks],
  };
}
