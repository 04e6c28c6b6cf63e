/** A listener that keeps what the searches of one stage were asked. */
import type {
  ChordQuestion,
  Explain,
  OnsetQuestion,
  SpellingQuestion,
  ValueQuestion,
} from '../../../src/notate/explain.ts';

export interface Heard {
  /** By part id. */
  readonly onsets: ReadonlyMap<string, OnsetQuestion>;
  readonly valueOf: (partId: string, note: number) => ValueQuestion | undefined;
  /** Votes for each letter, A first. */
  readonly votesFor: (start: number, midi: number) => readonly number[] | undefined;
  readonly chords: () => ChordQuestion | undefined;
  readonly spelling: () => SpellingQuestion | undefined;
}

/** The listener, and what it has heard once the stage is notated. */
export function listening(): { readonly explain: Explain; readonly heard: Heard } {
  const onsets = new Map<string, OnsetQuestion>();
  const values = new Map<string, ValueQuestion>();
  const votes = new Map<string, readonly number[]>();
  let chords: ChordQuestion | undefined;
  let spelling: SpellingQuestion | undefined;
  const pitchKey = (start: number, midi: number): string => `${String(start)}:${String(midi % 12)}`;
  return {
    explain: {
      onsets: (question) => void onsets.set(question.parts.part.id, question),
      values: (question) => {
        for (const note of question.notes) values.set(`${question.part.id}:${String(note)}`, question);
      },
      chords: (question) => (chords = question),
      votes: ({ start, midi }, own) => void votes.set(pitchKey(start, midi), [...own]),
      spelling: (question) => (spelling = question),
    },
    heard: {
      onsets,
      valueOf: (partId, note) => values.get(`${partId}:${String(note)}`),
      votesFor: (start, midi) => votes.get(pitchKey(start, midi)),
      chords: () => chords,
      spelling: () => spelling,
    },
  };
}
