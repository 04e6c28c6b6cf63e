/**
 * A stage that was played without a click, with bars and a tempo map that fit its playing: a proposal, made where the beats that were heard fit
 * well enough, and never used for any reading.
 */
import type { ForegroundSpan, Part, Stage, StatedKey } from '../../model/music/arrangement.ts';
import { WHOLE_PIECE } from '../../model/music/arrangement.ts';
import type { Bar, Meter, TempoSegment, Timeline } from '../../model/music/timeline.ts';
import { barIndexAt, quartersAt, secondAt } from '../../model/music/timeline.ts';
import { barsByEar } from './bars-by-ear.ts';
import { trackBeats, type BeatPath } from './beat-tracking.ts';

export interface TempoProposal {
  /** The stage with bars that fit its playing; its seconds begin at the first beat. */
  readonly stage: Stage;
  /** Where that is on the clock of the export. */
  readonly originSecond: number;
  /** Beats a minute in the middle of all. */
  readonly tempo: number;
  /** The meter of most bars. */
  readonly meter: Meter;
  /** Share of the beats on which something begins, 0..1. */
  readonly struck: number;
}

/**
 * What beats may cost of what they would cost by chance: random onsets give 0.96 to 1.03 (15 draws of Poisson and gamma processes, 2 to 8 onsets a
 * second), songs that a seeded machine plays with rubato 0.55 to 0.85 where the beats are right.
 */
const MOST_OVER_CHANCE = 0.82;
const FEWEST_BEATS = 16;
const LEAST_STRUCK = 0.7;
/** A part with fewer notes is no witness by itself. */
const FEWEST_NOTES = 48;
/** Before the end of a bar, to be in it. */
const INSIDE_SECONDS = 0.05;
/** The first note may stand so far before the first beat and still be on it. */
const ON_FIRST_SECONDS = 0.15;

/** The beats carried on to before the first note and past the end of the last. */
function carriedOn(beats: readonly number[], period: number, first: number, end: number): readonly number[] {
  const all = [...beats];
  while ((all[0] ?? 0) - ON_FIRST_SECONDS > first) all.unshift((all[0] ?? 0) - period);
  // What begins with the first beat begins not before it.
  all[0] = Math.min(all[0] ?? first, first);
  while ((all.at(-1) ?? end) < end) all.push((all.at(-1) ?? 0) + period);
  return all;
}

/** How many beats each bar has, the first one shorter where the music begins before the first of a bar. */
function barLengths(firstBeats: readonly number[], beats: number, usual: number): readonly number[] {
  const lengths: number[] = [];
  const [first = 0] = firstBeats;
  const ahead = first % usual;
  if (ahead > 0) lengths.push(ahead);
  for (let index = ahead; index < first; index += usual) lengths.push(usual);
  for (const [index, from] of firstBeats.entries()) {
    const to = firstBeats[index + 1];
    if (to !== undefined) lengths.push(to - from);
  }
  const last = firstBeats.at(-1) ?? 0;
  for (let index = last; index < beats; index += usual) lengths.push(usual);
  return lengths;
}

function meterOf(beats: number, inThirds: boolean): Meter {
  return inThirds ? { numerator: 3 * beats, denominator: 8 } : { numerator: beats, denominator: 4 };
}

/** Bars and tempo from beats in seconds; the first beat is second 0. `quarters` are those of a beat. */
function timelineOf(
  beats: readonly number[],
  lengths: readonly number[],
  usual: number,
  quarters: number,
  inThirds: boolean,
): Timeline {
  const isPickup = (lengths[0] ?? usual) < usual && lengths.length > 1;
  const pickup = isPickup ? (lengths[0] ?? 0) * quarters : 0;
  const origin = beats[0] ?? 0;
  const tempo = beats.slice(0, -1).map((second, index): TempoSegment => ({
    startQuarters: index * quarters - pickup,
    startSecond: second - origin,
    secondsPerQuarter: ((beats[index + 1] ?? second) - second) / quarters,
  }));
  const secondOf = (beat: number): number => secondAt({ bars: [], tempo }, beat * quarters - pickup);
  const bars: Bar[] = [];
  let beat = 0;
  for (const [index, length] of lengths.entries()) {
    const startSecond = secondOf(beat);
    const lengthSeconds = secondOf(beat + length) - startSecond;
    bars.push({
      number: isPickup ? index : index + 1,
      startQuarters: beat * quarters - pickup,
      lengthQuarters: length * quarters,
      startSecond,
      lengthSeconds,
      meter: meterOf(isPickup && index === 0 ? usual : length, inThirds),
      tempo: (60 * length * quarters) / lengthSeconds,
    });
    beat += length;
  }
  return { bars, tempo };
}

/** The stage among other bar lines, its first beat at second `origin` of its own clock. */
function among(stage: Stage, timeline: Timeline, origin: number): Stage {
  const at = (second: number): number => quartersAt(timeline, second - origin);
  /** The new bar in which a bar of the export begins, or in which it ends. */
  const barAt = (number: number, edge: 'start' | 'end' = 'start'): number => {
    const bar = stage.timeline.bars.find((each) => each.number === number);
    if (bar === undefined) return timeline.bars[0]?.number ?? 1;
    const second = edge === 'start' ? bar.startSecond : bar.startSecond + bar.lengthSeconds - INSIDE_SECONDS;
    return timeline.bars[barIndexAt(timeline.bars, at(second))]?.number ?? 1;
  };
  const parts = stage.parts.map((part): Part => ({
    ...part,
    notes: part.notes.map((note) => ({
      ...note,
      startQuarters: at(note.startSecond),
      endQuarters: at(note.endSecond),
      startSecond: note.startSecond - origin,
      endSecond: note.endSecond - origin,
      soundingEndSecond: note.soundingEndSecond - origin,
    })),
  }));
  const foreground: ForegroundSpan[] = [];
  for (const { partId, from, to, certainty, weak } of stage.foreground) {
    const first = Math.max(barAt(from), (foreground.at(-1)?.to ?? -1) + 1);
    const end = barAt(to, 'end');
    if (end >= first) foreground.push({ partId, from: first, to: end, certainty, weak, shared: [] });
  }
  const last = timeline.bars.at(-1);
  return {
    ...stage,
    parts,
    timeline,
    foreground,
    sections: [{ name: WHOLE_PIECE, from: timeline.bars[0]?.number ?? 1, to: last?.number ?? 1 }],
    statedKeys: stage.statedKeys.map((key): StatedKey => ({ ...key, fromBar: barAt(key.fromBar) })),
    seconds: last === undefined ? 0 : last.startSecond + last.lengthSeconds,
  };
}

/** The beats that all parts keep to, or those of the one with most notes, whom the others follow: whichever are further from chance. */
function beatsOf(parts: readonly Part[]): BeatPath | undefined {
  const [fullest] = [...parts].sort((a, b) => b.notes.length - a.notes.length);
  const witnesses = [
    parts.flatMap(({ notes }) => notes),
    ...(parts.length > 1 && fullest !== undefined && fullest.notes.length >= FEWEST_NOTES ? [fullest.notes] : []),
  ];
  const paths = witnesses.flatMap((notes) => trackBeats(notes) ?? []);
  const fit = paths.filter(
    ({ overChance, struck, beats }) =>
      overChance <= MOST_OVER_CHANCE && struck >= LEAST_STRUCK && beats.length >= FEWEST_BEATS,
  );
  return fit.sort((a, b) => a.overChance - b.overChance)[0];
}

/** Bars and tempos that fit the playing of a stage without a click; undefined where no steady enough beat is heard. */
export function proposeTempo(stage: Stage): TempoProposal | undefined {
  const path = beatsOf(stage.parts);
  if (path === undefined) return undefined;
  const notes = stage.parts.flatMap((part) => part.notes);
  const pitched = stage.parts.filter(({ unpitched }) => !unpitched).flatMap((part) => part.notes);
  const first = notes.reduce((least, { startSecond }) => Math.min(least, startSecond), Number.POSITIVE_INFINITY);
  const end = notes.reduce((most, { endSecond }) => Math.max(most, endSecond), 0);
  const beats = carriedOn(path.beats, path.period, first, end);
  const { beatsInBar, firstBeats, inThirds } = barsByEar(pitched.length > 0 ? pitched : notes, beats);
  const quarters = inThirds ? 1.5 : 1;
  const lengths = barLengths(firstBeats, beats.length - 1, beatsInBar);
  const timeline = timelineOf(beats, lengths, beatsInBar, quarters, inThirds);
  return {
    stage: among(stage, timeline, beats[0] ?? 0),
    originSecond: beats[0] ?? 0,
    tempo: 60 / path.period,
    meter: meterOf(beatsInBar, inThirds),
    struck: path.struck,
  };
}
