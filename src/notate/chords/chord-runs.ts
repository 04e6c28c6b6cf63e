/** Runs of one chord in a stage: joined where the second only adds a tone, split where the bass moves and stays. */
import { pitchClassOf } from '../../model/music/pitch.ts';
import type { KeySpan } from '../../model/music/written.ts';
import type { Frame, TexturedNote } from './chord-frames.ts';
import { fill, framesOf, lengthOf } from './chord-frames.ts';
import { chordPath } from './chord-search.ts';
import type { FrameReading } from './chord-search.ts';
import type { Explain } from '../explain.ts';
import { withSixFours } from './chord-six-four.ts';
import type { Template } from './chord-templates.ts';
import type { ChordRules } from './chord-rules.ts';
import { TEMPLATES } from './chord-templates.ts';
import { kindOfRun } from './chord-lines.ts';
import { KEY_COUNT } from '../keys/key-profiles.ts';
import { keyAtBar } from '../keys/key.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import { withoutFalseBasses } from './false-bass.ts';
import { standOnGround } from './walking-bass.ts';
import type { ChordRun } from './chord-run.ts';
import { withoutAbsentRoots } from './absent-roots.ts';

/** Runs of one template; a silence of less than a quarter does not end a chord. */
function runsOf(frames: readonly Frame[], path: readonly FrameReading[]): ChordRun[] {
  const runs: { template: Template; state: number; key: number; frames: Frame[]; silence: Frame[] }[] = [];
  for (const [index, frame] of frames.entries()) {
    const { template: state, key } = path[index] ?? { template: -1, key: 0 };
    const last = runs.at(-1);
    const template = TEMPLATES[state];
    if (template === undefined) {
      last?.silence.push(frame);
      continue;
    }
    const pause = lengthOf(last?.silence ?? []);
    if (last?.state === state && pause < 480) {
      last.frames.push(...last.silence, frame);
      last.silence = [];
    } else runs.push({ template, state, key, frames: [frame], silence: [] });
  }
  return runs;
}

/** A seventh that is heard for this share of a chord and still at its end belongs to it, however late it comes. */
const LATE_TONE = 0.45;

/** The template with the same root and one tone more, where that tone sounds long enough; else the template itself. */
function completed(template: Template, frames: readonly Frame[], count: number): Template {
  const whole = lengthOf(frames);
  let best = template;
  let most = LATE_TONE;
  for (const fuller of TEMPLATES.slice(0, count)) {
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

function classesIn(frame: Frame): number {
  return frame.raw.reduce((count, weight) => count + (weight > 0 ? 1 : 0), 0);
}

/** The run without what stands before its first bar line and is no chord yet: a pickup of single notes has no symbol. */
function withoutPickup(run: ChordRun): ChordRun {
  const firstBar = run.frames[0]?.barIndex;
  const from = run.frames.findIndex((frame) => frame.barIndex !== firstBar || classesIn(frame) > 1);
  return from > 0 && run.frames[from]?.barIndex !== firstBar ? { ...run, frames: run.frames.slice(from) } : run;
}

/** A bass that stays this long under a chord makes a new symbol; one that passes does not. */
const NEW_BASS = 960;

/** Semitones. */
const FIFTH = 7;
/** A bass this much longer than the one before it no longer goes to and fro with it: it stays. */
const ALTERNATING = 1.25;

interface BassStretch {
  readonly bass: number;
  readonly frames: readonly Frame[];
}

/**
 * True where a bass goes to and fro between root and fifth of one chord: the fifth after a root of about its length, or the root again after that. So a
 * bass is played (march, waltz, country, polka), and it is no other chord.
 */
function alternatesIn({ root, members }: Template, stretches: readonly BassStretch[], index: number): boolean {
  const [first, before, own] = [stretches[index - 2], stretches[index - 1], stretches[index]];
  const fifth = (root + FIFTH) % 12;
  if (before === undefined || own === undefined || members[fifth] !== 1) return false;
  const isTo = before.bass === root && own.bass === fifth;
  const isFro = first?.bass === root && before.bass === fifth && own.bass === root;
  return (isTo || isFro) && lengthOf(own.frames) <= ALTERNATING * lengthOf(before.frames);
}

/** The run in two or more where its bass moves to another chord tone and stays there. */
function splitAtBass(run: ChordRun): ChordRun[] {
  const stretches: { bass: number; frames: Frame[] }[] = [];
  for (const frame of run.frames) {
    const last = stretches.at(-1);
    if (last !== undefined && (frame.bass < 0 || frame.bass === last.bass)) last.frames.push(frame);
    else stretches.push({ bass: frame.bass, frames: [frame] });
  }
  const pieces: Frame[][] = [];
  for (const [index, { bass, frames }] of stretches.entries()) {
    const before = pieces.at(-1);
    const alternates = alternatesIn(run.template, stretches, index);
    const lasting = !alternates && lengthOf(frames) >= NEW_BASS && run.template.members[bass] === 1;
    // A bass that comes back after a moment is the one that was there.
    const isNew =
      lasting && before !== undefined && lengthOf(before) >= NEW_BASS && bassOf(run.template, before) !== bass;
    if (before === undefined || isNew) pieces.push([...frames]);
    else before.push(...frames);
  }
  return pieces.map((frames) => ({ ...run, frames }));
}

/** A tone goes on where it sounds for so much of its frames, and in so many of them. */
const SOUNDS = 0.25;
const GOES_ON = 0.75;

/** True where the root, third and fifth of a chord sound on through what follows it in its bar, and only the bass has gone to its fifth. */
function goesOnOverFifth({ template, frames }: ChordRun, own: ChordRun): boolean {
  const { root, quality } = template;
  const bar = frames.at(-1)?.barIndex;
  const fifth = (root + FIFTH) % 12;
  if (!quality.intervals.includes(FIFTH) || own.template.root === root || own.isCadential === true) return false;
  if (bassOf(template, frames) !== root) return false;
  if (own.frames.some(({ barIndex }) => barIndex !== bar) || bassOf(own.template, own.frames) !== fifth) return false;
  const whole = lengthOf(own.frames);
  return quality.intervals.slice(0, 3).every((interval) => {
    const tone = (root + interval) % 12;
    return lengthOf(own.frames.filter(({ raw }) => (raw[tone] ?? 0) >= SOUNDS)) >= GOES_ON * whole;
  });
}

/**
 * The runs, a chord that all others go on with while the bass goes from its root to its fifth left whole: a bass is played so, and what stands over
 * the fifth is no chord on the third (common practice, no source).
 */
function overRootAndFifth(runs: readonly ChordRun[]): readonly ChordRun[] {
  const whole: ChordRun[] = [];
  for (const run of runs) {
    const before = whole.at(-1);
    if (before !== undefined && goesOnOverFifth(before, run))
      whole[whole.length - 1] = { ...before, frames: [...before.frames, ...run.frames] };
    else whole.push(run);
  }
  return whole;
}

/** Runs of which the second only adds a tone to the first inside a bar are one chord, named by all its tones. A line alone is none. */
function joinedRuns(runs: readonly ChordRun[], rules: ChordRules): ChordRun[] {
  const joined: ChordRun[] = [];
  for (const run of overRootAndFifth(runs)) {
    const before = joined.at(-1);
    const fits =
      before !== undefined &&
      before.isCadential === run.isCadential &&
      before.template.root === run.template.root &&
      before.frames[0]?.barIndex === run.frames.at(-1)?.barIndex &&
      before.template.members.every((member, index) => member === 0 || run.template.members[index] === 1) &&
      bassOf(before.template, before.frames) === bassOf(run.template, run.frames) &&
      lengthOf(before.frames) <= 2 * lengthOf(run.frames);
    if (fits) joined[joined.length - 1] = { ...run, frames: [...before.frames, ...run.frames] };
    else joined.push(run);
  }
  return joined
    .map(withoutPickup)
    .map((run) =>
      run.isCadential === true ? run : { ...run, template: completed(run.template, run.frames, rules.count) },
    )
    .flatMap((run) => {
      const kind = kindOfRun(run);
      if (kind === 'line') return [];
      return kind === 'broken-chord' || run.isCadential === true || rules.walking ? [run] : splitAtBass(run);
    });
}

/**
 * Bass of a span: the first chord tone in the bass, unless it soon gives way to another that then stays (a chord is named by how it is
 * struck; a walk through its tones changes nothing). A foreign tone counts only where it lies under most of the chord (a pedal). What is
 * only remembered is no bass: somewhere in the span it is the lowest note that sounds, and it was not struck before a chord that strikes its own.
 */
export function bassOf(template: Template, frames: readonly Frame[]): number {
  const lowest = new Set(frames.filter(({ lowestMidi }) => lowestMidi < 999).map(({ lowestMidi }) => lowestMidi % 12));
  const from = frames[0]?.start ?? 0;
  const basses = frames.flatMap(({ bass, bassStart, lowestMidi, length }) => {
    const isLeftOver = bassStart < from && lowestMidi < 999 && lowestMidi % 12 !== bass;
    if (lowest.has(bass) && !isLeftOver) return [{ bass, length }];
    return lowestMidi < 999 ? [{ bass: lowestMidi % 12, length }] : [];
  });
  const lengths = Array.from({ length: 12 }, () => 0);
  let whole = 0;
  for (const { bass, length } of basses) {
    lengths[bass] = (lengths[bass] ?? 0) + length;
    whole += length;
  }
  const longest = lengths.indexOf(Math.max(...lengths));
  const share = (pitchClass: number): number => (whole === 0 ? 0 : (lengths[pitchClass] ?? 0) / whole);
  if (share(longest) >= 0.75) return longest;
  const first = basses.find(({ bass }) => template.members[bass] === 1)?.bass ?? longest;
  return share(first) >= 0.25 || template.members[longest] !== 1 ? first : longest;
}

/** An upbeat lasts for half a beat; with the bass one line may begin, and on the beat so many pitch classes do. */
const MOST_IN_UPBEAT = 2;
const LEAST_ON_BEAT = 3;

/**
 * The path with chords that only an upbeat of the bass would begin put on the beat that it leads to, where the others strike them: a bass that goes
 * to its next root half a beat early begins no chord (common practice, no source).
 */
function onTheBeat(
  path: readonly FrameReading[],
  frames: readonly Frame[],
  notes: readonly TexturedNote[],
): FrameReading[] {
  const begun = frames.map(() => new Set<number>());
  const lowest = frames.map(() => Infinity);
  let at = 0;
  for (const { start, midi } of notes) {
    while (at + 1 < frames.length && (frames[at + 1]?.start ?? Infinity) <= start) at++;
    begun[at]?.add(midi % 12);
    lowest[at] = Math.min(lowest[at] ?? Infinity, midi);
  }
  return path.map((reading, index) => {
    const [before, next] = [path[index - 1], path[index + 1]];
    const [frame, beat] = [frames[index], frames[index + 1]];
    if (before === undefined || next === undefined || frame === undefined || beat === undefined) return reading;
    const isEarly = reading.template !== before.template && before.template >= 0 && reading.template === next.template;
    if (!isEarly || frame.strength <= beat.strength || frame.length > beat.length) return reading;
    const isOfBass = (lowest[index] ?? Infinity) <= frame.lowestMidi && frame.lowestMidi < 999;
    const isUpbeat = isOfBass && (begun[index]?.size ?? 0) <= MOST_IN_UPBEAT;
    return isUpbeat && (begun[index + 1]?.size ?? 0) >= LEAST_ON_BEAT ? before : reading;
  });
}

/** How much a stated key draws the search, per quarter. An estimated one does not: the search hears keys better by itself. */
const PULL = 0.3;

function keyPulls(keys: readonly KeySpan[], time: ScoreTime): (barIndex: number) => readonly number[] {
  const none = Array.from({ length: KEY_COUNT }, () => 0);
  const bySpan = new Map(
    keys.map((span) => {
      const pull = [...none];
      if (span.by !== 'estimate') pull[pitchClassOf(span.tonic) + (span.mode === 'minor' ? 12 : 0)] = PULL;
      return [span, pull] as const;
    }),
  );
  const byBar = time.bars.map((bar) => {
    const span = keyAtBar(keys, bar.number);
    return (span === undefined ? undefined : bySpan.get(span)) ?? none;
  });
  return (barIndex) => byBar[barIndex] ?? none;
}

/** Chord runs of a stage. `notes` are all pitched notes with the time that they sound. */
export function chordRuns(
  notes: readonly TexturedNote[],
  keys: readonly KeySpan[],
  time: ScoreTime,
  rules: ChordRules,
  explain?: Explain,
): ChordRun[] {
  if (notes.length === 0 || time.bars.length === 0) return [];
  let frames = framesOf(time);
  fill(frames, notes);
  const heard = withoutFalseBasses(frames, notes);
  if (heard !== notes) {
    frames = framesOf(time);
    fill(frames, heard);
  }
  if (rules.walking) standOnGround(frames, heard);
  const question = { frames, pullOf: keyPulls(keys, time), rules };
  explain?.chords?.(question);
  const path = onTheBeat(chordPath(frames, question.pullOf, rules), frames, notes);
  const runs = withSixFours(runsOf(frames, path));
  // Over a bass player chords without a root are played on purpose.
  return joinedRuns(rules.walking ? runs : withoutAbsentRoots(runs), rules);
}
