/** Passages of a part that stand a bar, a beat or half a beat beside where they stood: the same music, put down at another place. */
import type { MovedBy } from '../../../model/readings/readings.ts';
import type { Bar } from '../../../model/music/timeline.ts';
import { pulseQuarters } from '../../../model/music/timeline.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import type { BarNote, NotesByBar } from '../bars/bar-notes.ts';
import { KEYS } from '../bars/key-sets.ts';
import { TOLERANCE_DIVISIONS } from '../matches/match-notes.ts';
import { countIn, phraseOfRun, phrasesWithin, type MovedPhrase } from './moved-phrases.ts';

/** So many notes on so many pitches are no chance, nor so much of a passage. Our conventions. */
const LEAST_NOTES = 4;
/** Fewer notes are no chance where each is another pitch, and all of them stand a bar beside. */
const LEAST_NOTES_EACH = 3;
const LEAST_PITCHES = 2;
const LEAST_BARS = 2;
const MOVED_SHARE = 0.85;
/** Music that repeats itself stands where it stood as well: no more of it than this may. */
const STAYED_SHARE = 0.5;

/** By how much each name moves the notes about a bar, in divisions. */
function movesAt({ meter, lengthQuarters }: Bar): readonly (readonly [MovedBy, number])[] {
  const pulse = pulseQuarters(meter);
  const steps = [
    ['a bar', lengthQuarters],
    ['a beat', pulse],
    ['half a beat', pulse / 2],
  ] as const;
  return steps.flatMap(([name, quarters]) => [
    [`${name} later`, quarters * DIVISIONS_PER_QUARTER] as const,
    [`${name} earlier`, -quarters * DIVISIONS_PER_QUARTER] as const,
  ]);
}

/** How many notes of some bars at most could be the same, wherever they stand: by how often each pitch is there. */
function mostShared(run: readonly number[], before: NotesByBar, after: NotesByBar): number {
  const olds = new Int32Array(KEYS);
  const news = new Int32Array(KEYS);
  for (let at = 0; at < run.length; at++) {
    before.countPitches(run[at] ?? -1, olds);
    after.countPitches(run[at] ?? -1, news);
  }
  let shared = 0;
  for (let midi = 0; midi < KEYS; midi++) shared += Math.min(olds[midi] ?? 0, news[midi] ?? 0);
  return shared;
}

/** Starts of notes by pitch, ascending. */
function startsByPitch(notes: readonly BarNote[]): ReadonlyMap<number, readonly number[]> {
  const starts = new Map<number, number[]>();
  for (const { midi, start } of notes) {
    const own = starts.get(midi);
    if (own === undefined) starts.set(midi, [start]);
    else own.push(start);
  }
  for (const own of starts.values()) own.sort((a, b) => a - b);
  return starts;
}

type Starts = ReturnType<typeof startsByPitch>;

/** How many of some notes are among others, moved by so much; each of those once. */
function movedCount(olds: Starts, news: Starts, by: number): number {
  let count = 0;
  for (const [midi, starts] of olds) {
    const others = news.get(midi) ?? [];
    let at = 0;
    for (const start of starts) {
      while (at < others.length && (others[at] ?? 0) - start - by < -TOLERANCE_DIVISIONS) at++;
      if (at < others.length && (others[at] ?? 0) - start - by <= TOLERANCE_DIVISIONS) {
        count++;
        at++;
      }
    }
  }
  return count;
}

/** Neighbouring bars of a set, ascending. */
function runsIn(bars: ReadonlySet<number>): readonly (readonly number[])[] {
  const sorted = [...bars].sort((a, b) => a - b);
  const runs: number[][] = [];
  let run: number[] = [];
  for (let at = 0; at < sorted.length; at++) {
    const bar = sorted[at] ?? 0;
    if (at === 0 || bar !== (sorted[at - 1] ?? 0) + 1) runs.push((run = []));
    run.push(bar);
  }
  return runs;
}

/** A run of differing bars whose notes are mostly those that stood there, moved: the others may be slips of a take. */
function mostlyMoved(
  run: readonly number[],
  before: NotesByBar,
  after: NotesByBar,
  bars: readonly Bar[],
): MovedPhrase | undefined {
  const place = bars[run[0] ?? 0];
  if (place === undefined || run.length < LEAST_BARS) return undefined;
  const was = countIn(run, before);
  const is = countIn(run, after);
  const count = Math.min(was, is);
  const needed = MOVED_SHARE * Math.max(was, is);
  if (count < Math.max(LEAST_NOTES_EACH, needed) || mostShared(run, before, after) < needed) return undefined;
  const [olds, news] = [run.flatMap((bar) => before.in(bar)), run.flatMap((bar) => after.in(bar))];
  const pitches = new Set(news.map(({ midi }) => midi)).size;
  const isShort = count < LEAST_NOTES;
  if (news[0]?.part.unpitched === true || pitches < (isShort ? Math.max(was, is) : LEAST_PITCHES)) return undefined;
  const [oldStarts, newStarts] = [startsByPitch(olds), startsByPitch(news)];
  if (movedCount(oldStarts, newStarts, 0) > STAYED_SHARE * count) return undefined;
  const [best] = movesAt(place)
    .map(([moved, by]) => ({ moved, shared: movedCount(oldStarts, newStarts, by) }))
    .filter(({ moved, shared }) => shared >= needed && (!isShort || moved.startsWith('a bar')))
    .sort((a, b) => b.shared - a.shared);
  return best === undefined ? undefined : { bars: run, moved: best.moved, isInPart: false };
}

/** What was moved in bars that differ; `differing` by index, both of the same part in the later stage's bars. */
export function movedBars(
  differing: ReadonlySet<number>,
  before: NotesByBar,
  after: NotesByBar,
  bars: readonly Bar[],
): readonly MovedPhrase[] {
  return runsIn(differing).flatMap((run): readonly MovedPhrase[] => {
    const whole = phraseOfRun(run, before, after, bars) ?? mostlyMoved(run, before, after, bars);
    return whole === undefined ? phrasesWithin(run, before, after, bars) : [whole];
  });
}
