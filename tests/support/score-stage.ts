/** A stage made of a printed score from open data: flat dynamics, a steady tempo, every note as written. */
import type { PlayedNote, Stage } from '../../src/model/music/arrangement.ts';
import type { WrittenStage } from '../../src/model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../src/model/music/written.ts';
import { secondAt } from '../../src/model/music/timeline.ts';
import { partOf, stageOf } from './arrangement.ts';
import type { ReadScore, ScorePart } from './musicxml-score.ts';
import { timelineOfScore } from './musicxml-score.ts';
import { TEXTBOOK_STYLE } from './textbook-style.ts';

/** Catalogue id by the first word of a part's name that says what it is. */
const INSTRUMENTS: readonly (readonly [RegExp, string])[] = [
  [/violin/i, 'violin'],
  [/viola/i, 'viola'],
  [/violoncello|continuo/i, 'cello'],
  [/contrabass|violone/i, 'double-bass'],
  [/flute/i, 'flute'],
  [/oboe/i, 'oboe'],
  [/clarinet/i, 'clarinet-bflat'],
  [/bassoon/i, 'bassoon'],
  [/horn/i, 'horn-f'],
  [/trumpet/i, 'trumpet-c'],
  [/timpani/i, 'timpani'],
  [/piano/i, 'piano'],
];

export function instrumentOf(name: string): string {
  return INSTRUMENTS.find(([pattern]) => pattern.test(name))?.[1] ?? 'unknown';
}

function sortedNotes(part: ScorePart): ScorePart['notes'] {
  return [...part.notes].filter((note) => note.length > 0).sort((a, b) => a.start - b.start || a.midi - b.midi);
}

export interface ScoreStageOptions {
  /** Name of the part in front. */
  readonly foreground: string;
  readonly velocity?: number;
  readonly foregroundVelocity?: number;
  readonly tempo?: number;
  /** Players of a part of strings. */
  readonly sectionPlayers?: number;
}

interface ScoreStage {
  readonly stage: Stage;
  readonly written: WrittenStage;
}

const stagesOf = new WeakMap<ReadScore, Map<string, ScoreStage>>();

/** The stage and its written notes, the same objects for the same score and options. */
export function stageOfScore(score: ReadScore, options: ScoreStageOptions): ScoreStage {
  const known = stagesOf.get(score) ?? new Map<string, ScoreStage>();
  stagesOf.set(score, known);
  const key = JSON.stringify(Object.entries(options).sort());
  const made = known.get(key) ?? stageAnew(score, options);
  known.set(key, made);
  return made;
}

function stageAnew(score: ReadScore, options: ScoreStageOptions): ScoreStage {
  const { velocity = 60, foregroundVelocity = 90, tempo = 100, sectionPlayers = 1 } = options;
  const timeline = timelineOfScore(score, tempo);
  const kept = score.parts.filter((part) => part.notes.length > 0);
  const parts = kept.map((part) => {
    const inFront = part.name === options.foreground;
    const notes = sortedNotes(part).map((note): PlayedNote => ({
      midi: note.midi,
      velocity: inFront ? foregroundVelocity : velocity,
      startQuarters: note.start,
      endQuarters: note.start + note.length,
      startSecond: secondAt(timeline, note.start),
      endSecond: secondAt(timeline, note.start + note.length),
      soundingEndSecond: secondAt(timeline, note.start + note.length),
      trackIndex: 0,
    }));
    const instrument = instrumentOf(part.name);
    const number = /\d+$/.exec(part.name)?.[0];
    const isSection = ['violin', 'viola', 'cello', 'double-bass'].includes(instrument);
    return partOf(instrument, '', timeline, {
      name: part.name,
      notes,
      role: inFront ? 'foreground' : 'background',
      players: isSection ? sectionPlayers : 1,
      ...(number === undefined ? {} : { number: Number(number) }),
    });
  });
  const stage = stageOf(parts, timeline);
  const written: WrittenStage = {
    stageId: stage.id,
    parts: kept.map((part, index) => ({
      partId: stage.parts[index]?.id ?? '',
      doubtfulShare: 0,
      notes: sortedNotes(part).map((note, played) => ({
        midi: note.midi,
        pitch: note.pitch,
        start: Math.round(note.start * DIVISIONS_PER_QUARTER),
        length: Math.max(1, Math.round(note.length * DIVISIONS_PER_QUARTER)),
        staff: note.staff,
        voice: 1,
        played,
      })),
    })),
    keys: [],
    chords: [],
    style: TEXTBOOK_STYLE,
    reduced: { staves: [], bars: [] },
    onGrid: true,
    remarks: [],
  };
  return { stage, written };
}
