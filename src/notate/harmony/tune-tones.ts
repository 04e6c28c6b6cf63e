/**
 * Chords with a tone that nobody has but a tune on its way over the others, where these have a whole triad: D, F and A under a tune that goes
 * through C are D minor, C, E and G over their C under an A are C major and no A minor seventh (common practice, no source; shares are ours).
 */
import type { TexturedNote } from '../chords/chord-frames.ts';
import { kindOfRun } from '../chords/chord-lines.ts';
import type { ChordRun } from '../chords/chord-run.ts';
import { bassOf } from '../chords/chord-runs.ts';
import { TEMPLATES } from '../chords/chord-templates.ts';
import type { Template } from '../chords/chord-templates.ts';
import { firstReaching } from '../../model/sorted-search.ts';
import { onceEach } from '../../model/once-each.ts';

const TRIADS: readonly Template[] = TEMPLATES.filter(({ quality: { name } }) => name === 'major' || name === 'minor');
/** Those whose fourth tone a tune may lend them; the seventh of a dominant, and those of diminished chords, are meant wherever they are. */
const LENT: ReadonlySet<string> = new Set([
  'minor-seventh',
  'major-seventh',
  'half-diminished',
  'major-sixth',
  'minor-sixth',
  'minor-major-seventh',
]);
/** Each tone of the triad sounds among the others for so much of the chord; that of the tune for no more. */
const OTHERS_SHARE = 0.5;
const TUNE_SHARE = 0.5;

/** What one player sounds in a chord. */
interface Heard {
  /** Divisions by pitch class. */
  readonly classes: Float64Array;
  readonly pitches: Set<number>;
  highest: number;
  lowest: number;
  /** True where it has several notes at a time. */
  isThick: boolean;
  /** Pitch classes of notes that do not come and go by step. */
  readonly lasting: Set<number>;
  lastEnd: number;
}

const longestOf = onceEach((notes: readonly TexturedNote[]): number =>
  notes.reduce((most, { start, end }) => Math.max(most, end - start), 0),
);

/** The notes that sound from `start` to `end`, and some that end before; `notes` are sorted by start. */
function notesNear(notes: readonly TexturedNote[], start: number, end: number): readonly TexturedNote[] {
  const earliest = start - longestOf(notes);
  return notes.slice(
    firstReaching(notes, (note) => note.start >= earliest),
    firstReaching(notes, (note) => note.start >= end),
  );
}

/** By voice what sounds from `start` to `end`; `notes` are sorted by start. */
function heardIn(notes: readonly TexturedNote[], start: number, end: number): ReadonlyMap<number, Heard> {
  const byVoice = new Map<number, Heard>();
  for (const note of notesNear(notes, start, end)) {
    const length = Math.min(note.end, end) - Math.max(note.start, start);
    if (length <= 0) continue;
    const own: Heard = byVoice.get(note.voice) ?? {
      classes: new Float64Array(12),
      pitches: new Set<number>(),
      highest: 0,
      lowest: 999,
      isThick: false,
      lasting: new Set<number>(),
      lastEnd: 0,
    };
    if (note.start < own.lastEnd - OVERLAP) own.isThick = true;
    own.classes[note.midi % 12] = (own.classes[note.midi % 12] ?? 0) + length;
    own.pitches.add(note.midi);
    if (!note.comesByStep || !note.leavesByStep) own.lasting.add(note.midi % 12);
    own.highest = Math.max(own.highest, note.midi);
    own.lowest = Math.min(own.lowest, note.midi);
    own.lastEnd = Math.max(own.lastEnd, note.end);
    byVoice.set(note.voice, own);
  }
  return byVoice;
}
/** Notes that overlap by less follow one another. */
const OVERLAP = 60;

/** The triad that all others have whole where a tune alone has a further tone of the chord; undefined where it is as it is named. */
function triadOfOthers(
  run: ChordRun,
  besides: readonly (ChordRun | undefined)[],
  notes: readonly TexturedNote[],
): Template | undefined {
  const { template, frames } = run;
  const [first, last] = [frames[0], frames.at(-1)];
  if (!LENT.has(template.quality.name) || run.isCadential === true || first === undefined || last === undefined)
    return undefined;
  const bass = bassOf(template, frames);
  const triads = TRIADS.filter(
    ({ root, members }) =>
      (root === template.root || root === bass) &&
      members[bass] === 1 &&
      members.every((member, tone) => member === 0 || template.members[tone] === 1),
  );
  return triads.find((triad) => {
    const { members } = triad;
    // What parts a bar where the tune leaves the triad is one chord with it.
    const within = besides.flatMap((other) =>
      other?.template === triad && isInBar(other, first.barIndex) ? other.frames : [],
    );
    const start = Math.min(first.start, within[0]?.start ?? Infinity);
    const end = Math.max(last.start + last.length, (within.at(-1)?.start ?? 0) + (within.at(-1)?.length ?? 0));
    const heard = heardIn(notes, start, end);
    const further = template.members.findIndex((member, tone) => member === 1 && members[tone] !== 1);
    const having = [...heard.values()].filter(({ classes }) => (classes[further] ?? 0) > 0);
    const most = Math.max(...having.map(({ classes }) => classes[further] ?? 0));
    const isOnItsWay = ({ isThick, pitches, lasting }: Heard): boolean =>
      isThick ? !lasting.has(further) : pitches.size >= 2;
    if (having.length === 0 || !having.every(isOnItsWay)) return false;
    if (most > TUNE_SHARE * (end - start)) return false;
    const others = [...heard.values()].filter((own) => own.isThick || !having.includes(own));
    return members.every(
      (member, tone) =>
        member === 0 || others.some(({ classes }) => (classes[tone] ?? 0) >= OTHERS_SHARE * (end - start)),
    );
  });
}

function isInBar({ frames }: ChordRun, bar: number): boolean {
  return frames.every(({ barIndex }) => barIndex === bar);
}

/** True where a run goes on with the chord of the one before, at once and over its bass. */
function isOneWith(before: ChordRun, run: ChordRun): boolean {
  const last = before.frames.at(-1);
  return (
    before.template === run.template &&
    before.isCadential === run.isCadential &&
    last !== undefined &&
    Math.abs(last.start + last.length - (run.frames[0]?.start ?? Infinity)) < 1 &&
    bassOf(before.template, before.frames) === bassOf(run.template, run.frames)
  );
}

/** The runs without tones that only a tune lends them; neighbours that turn out alike become one. `notes` are sorted by start. */
export function withoutTuneTones(runs: readonly ChordRun[], notes: readonly TexturedNote[]): ChordRun[] {
  const plain: ChordRun[] = [];
  for (const [index, run] of runs.entries()) {
    const before = plain.at(-1);
    const template = triadOfOthers(run, [before, runs[index + 1]], notes);
    const own = template === undefined ? run : { ...run, template };
    const isOther = template !== undefined || before !== runs[index - 1];
    if (before !== undefined && isOther && isOneWith(before, own))
      plain[plain.length - 1] = { ...before, frames: [...before.frames, ...own.frames] };
    else plain.push(own);
  }
  return plain;
}

/**
 * The runs without those of a wind or a singer who is alone, or doubled at the octave: a tune has no chords where nobody plays any, whatever it spells
 * out. `alone` are the voices of such players.
 */
export function withoutLoneTunes(
  runs: readonly ChordRun[],
  notes: readonly TexturedNote[],
  alone: ReadonlySet<number>,
): readonly ChordRun[] {
  if (alone.size === 0) return runs;
  return runs.filter((run) => {
    const [first, last] = [run.frames[0], run.frames.at(-1)];
    if (first === undefined || last === undefined || kindOfRun(run) === 'texture') return true;
    const end = last.start + last.length;
    return notesNear(notes, first.start, end).some((note) => note.end > first.start && !alone.has(note.voice));
  });
}
