/** Chords on a root that nobody sounds, where a plain triad is complete: the triad is what is heard. */
import { lengthOf, soundOf } from './chord-frames.ts';
import type { ChordRun } from './chord-run.ts';
import { TEMPLATES } from './chord-templates.ts';
import type { Template } from './chord-templates.ts';

const WHOLE: ReadonlySet<string> = new Set(['major', 'minor', 'diminished']);
const TRIADS: readonly Template[] = TEMPLATES.filter(({ quality }) => WHOLE.has(quality.name));
/** Each tone of a complete triad sounds for at least this share of the chord: a passing tone completes none. Our convention. */
const LEAST_SHARE = 0.25;

/** The complete triad that explains most of what sounds, at least as much as the chord does; undefined where none is. */
function completeTriad({ template, frames }: ChordRun): Template | undefined {
  const sound = Array.from({ length: 12 }, (_, pitchClass) => soundOf(pitchClass, frames));
  const whole = lengthOf(frames);
  if ((sound[template.root] ?? 0) > 0) return undefined;
  const explained = ({ members }: Template): number =>
    sound.reduce((sum, length, pitchClass) => sum + (members[pitchClass] === 1 ? length : 0), 0);
  const complete = TRIADS.filter(({ members }) =>
    sound.every((length, pitchClass) => members[pitchClass] !== 1 || length >= LEAST_SHARE * whole),
  ).sort((a, b) => explained(b) - explained(a))[0];
  return complete !== undefined && explained(complete) >= explained(template) ? complete : undefined;
}

/**
 * The runs with complete triads in place of chords whose root nobody sounds: D, F sharp and A are D major and no B minor seventh without its B, B, D and F the
 * triad on the leading note and no dominant seventh without its root (common practice, no source; so have it the analyses named in `tests/outside`). Neighbours that turn out alike become one.
 */
export function withoutAbsentRoots(runs: readonly ChordRun[]): ChordRun[] {
  const plain: ChordRun[] = [];
  for (const run of runs) {
    const template = run.isCadential === true ? undefined : completeTriad(run);
    const before = plain.at(-1);
    if (template === undefined) plain.push(run);
    else if (before?.template === template && before.isCadential !== true)
      plain[plain.length - 1] = { ...before, frames: [...before.frames, ...run.frames] };
    else plain.push({ ...run, template });
  }
  return plain;
}
