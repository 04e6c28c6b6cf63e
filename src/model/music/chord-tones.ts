/** Names of the tones of a chord. */
import { Interval, Note } from 'tonal';
import type { SpelledClass } from './pitch.ts';
import { className, classNamed, pitchClassOf } from './pitch.ts';
import type { ChordSpan } from './written.ts';

/** A chord's tone spelled from its root: the flat fifth of a diminished chord is a fifth, not a raised fourth. */
export function toneOf(chord: Pick<ChordSpan, 'root' | 'quality'>, pitchClass: number): SpelledClass {
  const semitones = (((pitchClass - pitchClassOf(chord.root)) % 12) + 12) % 12;
  const interval =
    semitones === 9 && chord.quality.startsWith('diminished')
      ? '7d'
      : semitones === 8 && chord.quality.startsWith('augmented')
        ? '5A'
        : Interval.fromSemitones(semitones);
  return classNamed(Note.transpose(className(chord.root), interval));
}

/** `E♭`: the name of a pitch class as readers see it. */
export function classLabel({ step, alter }: SpelledClass): string {
  return step + (alter < 0 ? '♭'.repeat(-alter) : '♯'.repeat(alter));
}
