/** Names of the tones of a chord. */
import type { SpelledClass } from './pitch.ts';
import { pitchClassOf, transpose } from './pitch.ts';
import type { ChordSpan } from './written.ts';

/** Letters above the root for each distance in semitones, as chords are usually spelled. */
const STEPS_ABOVE_ROOT: readonly number[] = [0, 1, 1, 2, 2, 3, 4, 4, 5, 5, 6, 6];

/** A chord's tone spelled from its root: the flat fifth of a diminished chord is a fifth, not a raised fourth. */
export function toneOf(chord: Pick<ChordSpan, 'root' | 'quality'>, pitchClass: number): SpelledClass {
  const semitones = (((pitchClass - pitchClassOf(chord.root)) % 12) + 12) % 12;
  const steps =
    semitones === 9 && chord.quality.startsWith('diminished')
      ? 6
      : semitones === 8 && chord.quality.startsWith('augmented')
        ? 4
        : (STEPS_ABOVE_ROOT[semitones] ?? 0);
  const { step, alter } = transpose({ ...chord.root, octave: 4 }, steps, semitones);
  return { step, alter };
}

/** `E♭`: the name of a pitch class as readers see it. */
export function classLabel({ step, alter }: SpelledClass): string {
  return step + (alter < 0 ? '♭'.repeat(-alter) : '♯'.repeat(alter));
}
