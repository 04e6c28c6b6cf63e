/** Runs of one chord in a stage: joined where the second only adds a tone, split where the bass moves and stays. */
import type { KeySpan } from '../model/written.ts';
import type { Frame } from './chord-frames.ts';
import { fill, framesOf, templatePath } from './chord-frames.ts';
import type { Template } from './chord-templates.ts';
import { TEMPLATES } from './chord-templates.ts';
import type { SoundingNote } from './key-path.ts';
import type { ScoreTime } from './score-time.ts';

export interface ChordRun {
  readonly template: Template;
  readonly frames: readonly Frame[];
}

function lengthOf(frames: readonly Frame[]): number {
  return frames.reduce((sum, frame) => sum + frame.length, 0);
}

/** Runs of one template; a silence of less than a quarter does not end a chord. */
function runsOf(frames: readonly Frame[], path: readonly number[]): ChordRun[] {
  const runs: { template: Template; state: number; frames: Frame[]; silence: Frame[] }[] = [];
  for (const [index, frame] of frames.entries()) {
    const state = path[index] ?? -1;
    const last = runs.at(-1);
    const template = TEMPLATES[state];
    if (template === undefined) {
      last?.silence.push(frame);
      continue;
    }
    const pause = last?.silence.reduce((sum, item) => sum + item.length, 0) ?? 0;
    if (last?.state === state && pause < 480) {
      last.frames.push(...last.silence, frame);
      last.silence = [];
    } else runs.push({ template, state, frames: [frame], silence: [] });
  }
  return runs;
}

/** A seventh that is heard for this share of a chord and still at its end belongs to it, however late it comes. */
const LATE_TONE = 0.45;

/** The template with the same root and one tone more, where that tone sounds long enough; else the template itself. */
function completed(template: Template, frames: readonly Frame[]): Template {
  const whole = lengthOf(frames);
  let best = template;
  let most = LATE_TONE;
  for (const fuller of TEMPLATES) {
    if (fuller.root !== template.root || fuller.quality.intervals.length !== template.quality.intervals.length + 1)
      continue;
    if (template.members.some((member, index) => member === 1 && fuller.members[index] === 0)) continue;
    const added = fuller.members.findIndex((member, index) => member === 1 && template.members[index] === 0);
    const heard = frames.filter((frame) => (frame.raw[added] ?? 0) >= 0.5);
    const share = lengthOf(heard) / whole;
    if (share >= most && heard.at(-1) === frames.at(-1)) {
      best = fuller;
      most = share;
    }
  }
  return best;
}

/** The run without what stands before its first bar line and is no chord yet: a pickup of single notes has no symbol. */
function withoutPickup(run: ChordRun): ChordRun {
  const firstBar = run.frames[0]?.barIndex;
  const from = run.frames.findIndex(
    (frame) => frame.barIndex !== firstBar || frame.weights.filter((weight) => weight > 0).length > 1,
  );
  return from > 0 && run.frames[from]?.barIndex !== firstBar ? { ...run, frames: run.frames.slice(from) } : run;
}

/** A bass that stays this long under a chord makes a new symbol; one that passes does not. */
const NEW_BASS = 960;

/** The run in two or more where its bass moves to another chord tone and stays there. */
function splitAtBass(run: ChordRun): ChordRun[] {
  const stretches: { bass: number; frames: Frame[] }[] = [];
  for (const frame of run.frames) {
    const last = stretches.at(-1);
    if (last !== undefined && (frame.bass === last.bass || frame.bass < 0)) last.frames.push(frame);
    else stretches.push({ bass: frame.bass, frames: [frame] });
  }
  const pieces: Frame[][] = [];
  for (const { bass, frames } of stretches) {
    const before = pieces.at(-1);
    const lasting = lengthOf(frames) >= NEW_BASS && run.template.members[bass] === 1;
    if (before === undefined || (lasting && lengthOf(before) >= NEW_BASS)) pieces.push([...frames]);
    else before.push(...frames);
  }
  return pieces.map((frames) => ({ template: run.template, frames }));
}

/** Runs of which the second only adds a tone to the first inside a bar are one chord, named by all its tones. */
function joinedRuns(runs: readonly ChordRun[]): ChordRun[] {
  const joined: ChordRun[] = [];
  for (const run of runs) {
    const before = joined.at(-1);
    const fits =
      before !== undefined &&
      before.template.root === run.template.root &&
      before.frames[0]?.barIndex === run.frames.at(-1)?.barIndex &&
      before.template.members.every((member, index) => member === 0 || run.template.members[index] === 1) &&
      bassOf(before.template, before.frames) === bassOf(run.template, run.frames) &&
      lengthOf(before.frames) <= 2 * lengthOf(run.frames);
    if (fits) joined[joined.length - 1] = { template: run.template, frames: [...before.frames, ...run.frames] };
    else joined.push(run);
  }
  return joined
    .map(withoutPickup)
    .flatMap((run) => splitAtBass({ ...run, template: completed(run.template, run.frames) }));
}

/**
 * Bass of a span: the first chord tone in the bass, unless it soon gives way to another that then stays (a chord is named by how it is
 * struck; a walk through its tones changes nothing). A foreign tone counts only where it lies under most of the chord (a pedal).
 */
export function bassOf(template: Template, frames: readonly Frame[]): number {
  const lengths = Array.from({ length: 12 }, () => 0);
  let whole = 0;
  for (const frame of frames) {
    if (frame.bass < 0) continue;
    lengths[frame.bass] = (lengths[frame.bass] ?? 0) + frame.length;
    whole += frame.length;
  }
  const longest = lengths.indexOf(Math.max(...lengths));
  const share = (pitchClass: number): number => (whole === 0 ? 0 : (lengths[pitchClass] ?? 0) / whole);
  if (share(longest) >= 0.75) return longest;
  const first = frames.find((frame) => frame.bass >= 0 && template.members[frame.bass] === 1)?.bass ?? template.root;
  return share(first) >= 0.25 || template.members[longest] !== 1 ? first : longest;
}

/** Chord runs of a stage. `notes` are all pitched notes with the time that they sound. */
export function chordRuns(notes: readonly SoundingNote[], keys: readonly KeySpan[], time: ScoreTime): ChordRun[] {
  if (notes.length === 0 || time.bars.length === 0) return [];
  const frames = framesOf(time);
  fill(frames, notes);
  return joinedRuns(runsOf(frames, templatePath(frames, keys, time)));
}
