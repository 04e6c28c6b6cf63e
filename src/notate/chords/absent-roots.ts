/** Chords on a root that nobody sounds, where a plain triad is complete: the triad is what is heard. */
import { lengthOf, soundOf } from './chord-frames.ts';
import type { ChordRun } from './chord-run.ts';
import { TEMPLATES } from './chord-templates.ts';
import type { Template } from './chord-templates.ts';

const WHOLE: ReadonlySet<string> = new Set(['major', 'minor', 'diminished']);
const TRIADS: readonly Template[] = TEMPLATES.filter(({ quality }) => WHOLE.has(quality.name));
/** Each tone of a complete triad sounds for at least this share of the chord: a passing tone completes none. Our convention. */
const LEAST_SHARE = 0.25;

const THIRDS: ReadonlySet<number> = new Set([3, 4]);

/** The chord with the other third, where that sounds and its own hardly does; undefined where it is as it is named. */
function withOtherThird({ template, frames }: ChordRun): Template | undefined {
  const { root, quality } = template;
  const other = OTHER_THIRD[quality.name];
  if (other === undefined) return undefined;
  const [own = 0] = quality.intervals.slice(1);
  const lengthAt = (third: number): number => soundOf((root + third) % 12, frames);
  const isOther = lengthAt(7 - own) >= LEAST_SHARE * lengthOf(frames) && lengthAt(7 - own) >= OUTLASTS * lengthAt(own);
  return isOther ? TEMPLATES.find((one) => one.root === root && one.quality.name === other) : undefined;
}
const OTHER_THIRD: Readonly<Record<string, string>> = {
  major: 'minor',
  minor: 'major',
  'dominant-seventh': 'minor-seventh',
  'minor-seventh': 'dominant-seventh',
};
/** A third that sounds so many times as long as the other is the chord's. Our convention. */
const OUTLASTS = 2;

/** The chord of a neighbour on the same root, in its bar, that has a third, where the chord itself has none; undefined where it has. */
function asBeside({ template, frames }: ChordRun, besides: readonly (ChordRun | undefined)[]): Template | undefined {
  const [third = 0] = template.quality.intervals.slice(1);
  if (!THIRDS.has(third) || soundOf((template.root + third) % 12, frames) > 0) return undefined;
  const bar = frames[0]?.barIndex;
  return besides.find((other) => {
    const [own = 0] = other?.template.quality.intervals.slice(1) ?? [];
    const isNear = other?.frames.some(({ barIndex }) => barIndex === bar) === true;
    return (
      isNear &&
      other.template.root === template.root &&
      own !== third &&
      soundOf((template.root + own) % 12, other.frames) > 0
    );
  })?.template;
}

/** The complete triad that explains most of what sounds, at least as much as the chord does; undefined where none is. */
function completeTriad({ template, frames }: ChordRun): Template | undefined {
  const sound = Array.from({ length: 12 }, (_, pitchClass) => soundOf(pitchClass, frames));
  const whole = lengthOf(frames);
  const [third = 0] = template.quality.intervals.slice(1);
  const hasThird = !THIRDS.has(third) || (sound[(template.root + third) % 12] ?? 0) > 0;
  if ((sound[template.root] ?? 0) > 0 && hasThird) return undefined;
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
  for (const [index, run] of runs.entries()) {
    const template =
      run.isCadential === true
        ? undefined
        : (withOtherThird(run) ?? completeTriad(run) ?? asBeside(run, [plain.at(-1), runs[index + 1]]));
    const before = plain.at(-1);
    if (template === undefined) plain.push(run);
    else if (before?.template === template && before.isCadential !== true)
      plain[plain.length - 1] = { ...before, frames: [...before.frames, ...run.frames] };
    else plain.push({ ...run, template });
  }
  return plain;
}
