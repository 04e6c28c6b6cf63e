/** Turns written lines into played tracks: human onsets and lengths, shaped levels, pedal, controller curves. */
import type { TimedEvent, WrittenTrack } from './midi-writer.ts';
import { controllerEvent, noteEvents, programEvent, textEvent } from './midi-writer.ts';
import type { SampleBar, WrittenNote } from './notation.ts';
import { notesIn } from './notation.ts';

/** Bars, tempo and strength of a piece. Positions are in eighths from the start of the pickup. */
export interface PieceClock {
  readonly bars: readonly SampleBar[];
  readonly totalEighths: number;
  /** Quarter notes a minute. */
  readonly tempoAt: (eighths: number) => number;
  /** 0 softest to 1 loudest. */
  readonly strengthAt: (eighths: number) => number;
}

function barOf(clock: PieceClock, number: number): SampleBar {
  const bar = clock.bars[number];
  if (bar === undefined) throw new Error(`the piece has no bar ${number}`);
  return bar;
}

/** Numbers from 0 to 1 that are the same in every run (a 32-bit mixing generator of our own). */
type Chance = () => number;

function chanceFrom(seedText: string): Chance {
  let state = 0x9e3779b9;
  for (const letter of seedText) state = Math.imul(state ^ (letter.codePointAt(0) ?? 0), 0x85ebca6b) >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

/** About normally distributed with mean 0 and standard deviation 1, never beyond 2.4 (a sum of uniform numbers). */
function wobble(chance: Chance): number {
  let sum = 0;
  for (let index = 0; index < 6; index++) sum += chance() - 0.5;
  return Math.max(-2.4, Math.min(2.4, sum * Math.SQRT2));
}

/** A stretch of bars with its own controller settings. */
export interface LevelChange {
  readonly from: number;
  readonly to: number;
  readonly modulation?: number;
  readonly expression?: number;
  /** Takes the place of the strength curve, 0..1. */
  readonly strength?: number;
}

export interface TrackPlan {
  readonly name: string;
  /** Lines that sound together, in the shorthand of `notation.ts`. */
  readonly lines: readonly string[];
  readonly touch: 'piano' | 'struck' | 'plucked' | 'bowed' | 'blown';
  readonly channel: number;
  readonly program?: number;
  readonly volume: number;
  /** Added to controller 1, or to the velocity where the instrument is struck or plucked. */
  readonly lean: number;
  /** Bars whose entry grows from nothing. */
  readonly fromNothing?: readonly number[];
  readonly latenessMs?: number;
  readonly keySwitch?: { readonly midi: number; readonly beforeBars: readonly number[] };
  readonly changes?: readonly LevelChange[];
}

const EXPRESSION = 94;

function within(
  clock: PieceClock,
  changes: readonly LevelChange[] | undefined,
  eighths: number,
): LevelChange | undefined {
  return changes?.find(
    (change) =>
      eighths >= barOf(clock, change.from).start - 1e-9 &&
      eighths < barOf(clock, change.to).start + barOf(clock, change.to).length - 1e-9,
  );
}

function ticksOf(clock: PieceClock, eighths: number, milliseconds: number, ticksPerQuarter: number): number {
  const quarters = eighths / 2 + ((milliseconds / 1000) * clock.tempoAt(eighths)) / 60;
  return Math.max(0, Math.round(quarters * ticksPerQuarter));
}

function setting(amount: number): number {
  return Math.max(0, Math.min(127, Math.round(amount)));
}

interface Played {
  readonly midi: number;
  readonly velocity: number;
  readonly startTick: number;
  readonly endTick: number;
}

/** How long after its written end a key is let go, in ms. */
function releaseMs(plan: TrackPlan, note: WrittenNote, line: readonly WrittenNote[], chance: Chance): number {
  const follows = line.filter((other) => Math.abs(other.start - note.start - note.length) < 1e-9);
  if (plan.touch === 'plucked' || plan.touch === 'struck') return -60 - 40 * chance();
  if (follows.length === 0) return -45 - 30 * chance();
  if (follows.some((other) => other.midi === note.midi)) return -40 - 15 * chance();
  if (plan.touch === 'bowed') return 35 + 30 * chance();
  if (plan.touch === 'blown') return 8 + 14 * chance();
  return 5 + 25 * chance();
}

function velocityOf(clock: PieceClock, plan: TrackPlan, note: WrittenNote, lineIndex: number, chance: Chance): number {
  const strength = within(clock, plan.changes, note.start)?.strength ?? clock.strengthAt(note.start);
  const onBeat = (note.start - barOf(clock, note.bar).start) % 3 === 0 ? 3 : 0;
  if (plan.touch === 'piano') {
    // The tune stands in front of its own accompaniment.
    const middle = lineIndex === 0 ? 42 + 64 * strength : 28 + 42 * strength;
    return setting(middle + onBeat + 3 * wobble(chance));
  }
  if (plan.touch === 'struck' || plan.touch === 'plucked') {
    return setting(26 + 50 * strength + plan.lean + 3 * wobble(chance));
  }
  return setting(46 + 34 * strength + 3 * wobble(chance));
}

function play(clock: PieceClock, plan: TrackPlan, ticksPerQuarter: number, chance: Chance): Played[] {
  const played: Played[] = [];
  const all = plan.lines.flatMap((text, lineIndex) => notesIn(clock.bars, text).map((note) => ({ note, lineIndex })));
  plan.lines.forEach((text, lineIndex) => {
    const line = notesIn(clock.bars, text);
    for (const note of line) {
      const below = all.filter((other) => other.note.start === note.start && other.note.midi < note.midi).length;
      const spreadMs = plan.touch === 'piano' ? 7 * below - 4 : 0;
      const onsetMs = (plan.latenessMs ?? 0) + 9 * wobble(chance) + spreadMs;
      const startTick = ticksOf(clock, note.start, onsetMs, ticksPerQuarter);
      const endMs = (plan.latenessMs ?? 0) + releaseMs(plan, note, line, chance);
      const endTick = Math.max(startTick + 10, ticksOf(clock, note.start + note.length, endMs, ticksPerQuarter));
      played.push({ midi: note.midi, velocity: velocityOf(clock, plan, note, lineIndex, chance), startTick, endTick });
    }
  });
  played.sort((a, b) => a.startTick - b.startTick || a.midi - b.midi);
  // One key cannot go down twice: an earlier note of the same pitch is let go before.
  return played.map((note, index) => {
    const again = played.find((other, at) => at > index && other.midi === note.midi);
    return again !== undefined && again.startTick <= note.endTick
      ? { ...note, endTick: Math.max(note.startTick + 1, again.startTick - 4) }
      : note;
  });
}

/** Stretches of playing with less than a bar between their notes. */
function stretches(notes: readonly WrittenNote[]): { start: number; end: number; bar: number }[] {
  const found: { start: number; end: number; bar: number }[] = [];
  for (const note of notes) {
    const last = found.at(-1);
    const end = note.start + note.length;
    if (last !== undefined && note.start - last.end < 3) last.end = Math.max(last.end, end);
    else found.push({ start: note.start, end, bar: note.bar });
  }
  return found;
}

function curves(clock: PieceClock, plan: TrackPlan, ticksPerQuarter: number): TimedEvent[] {
  const events: TimedEvent[] = [];
  const notes = notesIn(clock.bars, plan.lines[0] ?? '');
  let lastModulation = -1;
  let lastExpression = -1;
  const put = (eighths: number, modulation: number, expression: number): void => {
    // What holds at the first entry is sent at the start of the track already, as exports do.
    const first = lastModulation < 0;
    const tick = first ? 0 : ticksOf(clock, eighths, (plan.latenessMs ?? 0) - 12, ticksPerQuarter);
    const one = setting(modulation);
    const eleven = setting(expression);
    if (one !== lastModulation) events.push(controllerEvent(tick, plan.channel, 1, one));
    if (eleven !== lastExpression) events.push(controllerEvent(tick, plan.channel, 11, eleven));
    lastModulation = one;
    lastExpression = eleven;
  };
  for (const stretch of stretches(notes)) {
    const grows = plan.fromNothing?.includes(stretch.bar) ?? false;
    for (let at = stretch.start; at < stretch.end - 1e-9; at += 0.5) {
      const note = notes.findLast((each) => each.start <= at + 1e-9);
      const phase = note === undefined ? 0 : (at - note.start) / note.length;
      const swell = note !== undefined && note.length >= 4 ? 5 * Math.sin(Math.PI * phase) : 0;
      const change = within(clock, plan.changes, at);
      const strength = change?.strength ?? clock.strengthAt(at);
      const modulation = (change?.modulation ?? 12 + 58 * strength + plan.lean) + swell;
      const rise = grows ? Math.min(1, (at - stretch.start + 0.25) / 2.5) : 1;
      const fall = Math.min(1, (stretch.end - at) / 2);
      const full = change?.expression ?? EXPRESSION;
      put(at, modulation, full * rise * (0.45 + 0.55 * fall));
    }
  }
  return events;
}

/** A stretch over which the pedal of a keyboard stays down, in eighths. */
interface PedalSpan {
  readonly start: number;
  readonly length: number;
}

function pedal(
  clock: PieceClock,
  plan: TrackPlan,
  chords: readonly PedalSpan[],
  ticksPerQuarter: number,
  chance: Chance,
): TimedEvent[] {
  const lastEnd = Math.max(
    ...plan.lines.flatMap((text) => notesIn(clock.bars, text)).map((note) => note.start + note.length),
  );
  const events: TimedEvent[] = [];
  for (const chord of chords.filter((each) => each.start < lastEnd)) {
    const down = ticksOf(clock, chord.start, 70 + 20 * chance(), ticksPerQuarter);
    const up = ticksOf(clock, Math.min(chord.start + chord.length, lastEnd), -15 + 20 * chance(), ticksPerQuarter);
    events.push(controllerEvent(down, plan.channel, 64, 127), controllerEvent(up, plan.channel, 64, 0));
  }
  return events;
}

/** One track as it would be exported. `offAsZero` writes key-ups as note-ons of velocity 0. */
export function performTrack(
  plan: TrackPlan,
  chords: readonly PedalSpan[],
  ticksPerQuarter: number,
  seed: string,
  offAsZero: boolean,
  clock: PieceClock,
): WrittenTrack {
  const chance = chanceFrom(`${seed}/${plan.name}`);
  const events: TimedEvent[] = [textEvent(0, 3, plan.name)];
  if (plan.program !== undefined) events.push(programEvent(0, plan.channel, plan.program));
  events.push(controllerEvent(0, plan.channel, 7, plan.volume));
  if (plan.touch === 'bowed' || plan.touch === 'blown') events.push(...curves(clock, plan, ticksPerQuarter));
  if (plan.touch === 'piano') events.push(...pedal(clock, plan, chords, ticksPerQuarter, chance));
  for (const bar of plan.keySwitch?.beforeBars ?? []) {
    const start = ticksOf(clock, barOf(clock, bar).start - 0.5, 0, ticksPerQuarter);
    const end = start + Math.round(ticksPerQuarter / 8);
    events.push(...noteEvents(plan.channel, plan.keySwitch?.midi ?? 12, 100, start, end, offAsZero));
  }
  for (const note of play(clock, plan, ticksPerQuarter, chance)) {
    events.push(...noteEvents(plan.channel, note.midi, note.velocity, note.startTick, note.endTick, offAsZero));
  }
  return { events, lastTick: (clock.totalEighths / 2) * ticksPerQuarter };
}
