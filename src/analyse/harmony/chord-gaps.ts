/** What a chord lacks, with and without the foreground. */
import type { ChordCoverage } from '../../model/readings/readings.ts';
import type { ChordSpan } from '../../model/music/written.ts';

export type NeededTone = 'root' | 'third';

/** Qualities whose root is a matter of spelling, or whose third is replaced. */
const ROOTLESS = ['diminished-seventh', 'augmented', 'suspended-fourth', 'suspended-second'];
const THIRDLESS = ['suspended-fourth', 'suspended-seventh', 'suspended-second', 'cadential-six-four'];

/** Pitch classes that a chord cannot do without: its root and third (the fifth may go). */
function neededTones({
  quality,
  tones,
}: ChordSpan): readonly { readonly tone: NeededTone; readonly pitchClass: number }[] {
  const [root, third] = tones;
  return [
    ...(root === undefined || ROOTLESS.includes(quality) ? [] : [{ tone: 'root' as const, pitchClass: root }]),
    ...(third === undefined || THIRDLESS.includes(quality) ? [] : [{ tone: 'third' as const, pitchClass: third }]),
  ];
}

/** Needed tones that nobody sounds, those of `leaving` not counted. */
export function lackingTones(
  chord: ChordSpan,
  { covered }: ChordCoverage,
  leaving: ReadonlySet<string>,
): readonly { readonly tone: NeededTone; readonly pitchClass: number }[] {
  return neededTones(chord).filter(
    ({ pitchClass }) => !(covered[String(pitchClass)] ?? []).some((partId) => !leaving.has(partId)),
  );
}

/** Ids of the parts that sound any tone of the chord. */
export function partsIn({ covered }: ChordCoverage): ReadonlySet<string> {
  return new Set(Object.values(covered).flat());
}
