/**
 * A drum set in two voices: hands with stems up, feet with stems down (N. Weinberg, Guidelines for Drumset Notation, Percussive Notes 1994,
 * from memory). A stroke is written to the next one of its voice, at most to the end of its beat: what rings is no value.
 */
import type { TimedNote, VoicedNote } from '../voices/voices.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import { borderAfter } from './value-candidates.ts';

/** Keys of the General MIDI percussion map that feet play: both bass drums and the pedal of the hi-hat. */
const FEET: ReadonlySet<number> = new Set([35, 36, 44]);

/** Voice and end of each stroke; undefined where not both hands and feet play. */
export function drumVoices(notes: readonly TimedNote[], time: ScoreTime): VoicedNote[] | undefined {
  const feet = notes.filter(({ midi }) => FEET.has(midi)).length;
  if (feet === 0 || feet === notes.length) return undefined;
  const onsets = ([1, 2] as const).map((voice) =>
    [...new Set(notes.filter(({ midi }) => voiceOf(midi) === voice).map(({ start }) => start))].sort((a, b) => a - b),
  );
  const next = onsets.map((own) => new Map(own.map((onset, index) => [onset, own[index + 1] ?? Infinity])));
  return notes.map(({ start, midi }) => {
    const voice = voiceOf(midi);
    return { voice, end: Math.min(next[voice - 1]?.get(start) ?? Infinity, borderAfter(time, start, start)) };
  });
}

function voiceOf(midi: number): 1 | 2 {
  return FEET.has(midi) ? 2 : 1;
}
