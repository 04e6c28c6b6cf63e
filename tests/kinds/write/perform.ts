/** Plays written lines as people do: scatter around the beat, habits of release, strength that wavers, curves drawn by hand. */
import type { TimedEvent, WrittenTrack } from '../../../sample-input/midi-writer.ts';
import { controllerEvent, noteEvents, programEvent, textEvent } from '../../../sample-input/midi-writer.ts';
import { gaussian, seeded } from '../../support/playing.ts';
import type { PieceBar } from './bars.ts';
import { barNumbered, endOf, strengthFrom } from './bars.ts';
import type { Written } from './shorthand.ts';
import { writtenIn } from './shorthand.ts';

export interface Clock {
  readonly bars: readonly PieceBar[];
  readonly ticksPerQuarter: number;
  /** Quarters a minute. */
  readonly tempoAt: (quarters: number) => number;
  /** Long to short of a pair of eighths. */
  readonly swing: number;
}

export type Touch = 'keys' | 'struck' | 'plucked' | 'bowed' | 'blown' | 'sung';

export interface Plan {
  readonly name: string;
  /** Lines that sound together, in the shorthand. */
  readonly lines: readonly string[];
  readonly touch: Touch;
  /** Words of `strengthFrom`. */
  readonly dynamics: string;
  /** Controllers that were drawn; none where velocity says it all. */
  readonly curves?: readonly (1 | 2 | 11)[];
  /** The same velocity for every note and no curve: a sketch. */
  readonly flat?: number;
  readonly channel: number;
  readonly program?: number;
  readonly volume?: number;
  readonly latenessMs?: number;
  /** Standard deviation of the onsets; 12 where not given. */
  readonly scatterMs?: number;
  /** Keys that choose an articulation, each shortly before the bar it is for. */
  readonly keySwitches?: readonly { readonly midi: number; readonly beforeBar: number }[];
  /** Bars through which the pedal is changed, each bar or half bar. */
  readonly pedal?: { readonly bars: readonly [number, number]; readonly everyQuarters: number };
  /** Sung to the notes of the first line in turn: words between blanks, syllables between hyphens, `_` for a note that goes on with the one before. */
  readonly words?: string;
  /** Put in whatever the plan says: controllers at places. */
  readonly drawn?: readonly { readonly controller: number; readonly bar: number; readonly setting: number }[];
}

const STRUCK: readonly Touch[] = ['keys', 'struck', 'plucked'];

function seedOf(text: string, seed: number): number {
  let state = seed * 7919 + 17;
  for (const letter of text) state = (Math.imul(state, 31) + (letter.codePointAt(0) ?? 0)) >>> 0;
  return state;
}

function setting(amount: number, lowest = 0): number {
  return Math.max(lowest, Math.min(127, Math.round(amount)));
}

/** Where a written place is played: the second eighth of a pair comes late in swing, triplets stay. */
function swung(quarters: number, swing: number): number {
  const beat = Math.floor(quarters + 1e-6);
  const within = quarters - beat;
  const third = (within * 3) % 1;
  if (swing === 1 || within < 1e-6 || third < 1e-3 || third > 1 - 1e-3) return quarters;
  const middle = swing / (1 + swing);
  return beat + (within < 0.5 ? within * 2 * middle : middle + (within - 0.5) * 2 * (1 - middle));
}

/** How long after its written end a note stops, in ms. */
function releaseMs(plan: Plan, note: Written, line: readonly Written[], next: () => number): number {
  const follows = line.filter((other) => Math.abs(other.start - note.start - note.length) < 1e-6);
  if (follows.some((other) => other.midi === note.midi)) return -35 - 25 * next();
  if (STRUCK.includes(plan.touch)) return -20 - 60 * next();
  if (follows.length === 0) return -60 - 60 * next();
  if (plan.touch === 'bowed') return 25 + 35 * next();
  return -5 + 25 * next();
}

interface Sounding {
  readonly midi: number;
  readonly velocity: number;
  readonly startTick: number;
  readonly endTick: number;
}

function soundsOf(plan: Plan, clock: Clock, seed: number): Sounding[] {
  const next = seeded(seedOf(plan.name, seed));
  const spread = gaussian(next);
  const wave = (): number => Math.max(-2.2, Math.min(2.2, spread()));
  const strengthAt = strengthFrom(clock.bars, plan.dynamics);
  const origin = clock.bars[0]?.start ?? 0;
  const tickAt = (quarters: number, ms: number): number => {
    const played = swung(quarters, clock.swing) - origin + (ms / 60_000) * clock.tempoAt(quarters);
    return Math.max(0, Math.round(played * clock.ticksPerQuarter));
  };
  const late = plan.latenessMs ?? 0;
  const sounds = plan.lines.flatMap((text) => {
    const line = writtenIn(clock.bars, text);
    return line.map((note): Sounding => {
      const bar = barNumbered(clock.bars, note.bar);
      const onBeat = Math.abs((note.start - bar.start) % 1) < 1e-6 ? 2 : -1;
      const startTick = tickAt(note.start, late + (plan.scatterMs ?? 12) * wave());
      const writtenEnd = note.short ? note.start + note.length * 0.5 : note.start + note.length;
      const endTick = tickAt(writtenEnd, late + (note.short ? 10 * wave() : releaseMs(plan, note, line, next)));
      const shaped = 22 + 96 * strengthAt(note.start) + (note.stressed ? 12 : 0) + onBeat + 3.5 * wave();
      // Where a curve says how loud, the keys are struck in the middle, as one does who watches the curve.
      const struck = (plan.curves ?? []).length > 0 ? 62 + 0.25 * (shaped - 62) : shaped;
      return {
        midi: note.midi,
        velocity: plan.flat ?? setting(struck, 1),
        startTick,
        endTick: Math.max(startTick + Math.ceil(clock.ticksPerQuarter / 24), endTick),
      };
    });
  });
  sounds.sort((a, b) => a.startTick - b.startTick || a.midi - b.midi);
  // One key cannot go down twice: an earlier note of the same pitch is let go before.
  return sounds.map((sound, index) => {
    const again = sounds.find((other, at) => at > index && other.midi === sound.midi);
    if (again === undefined || again.startTick > sound.endTick) return sound;
    return { ...sound, endTick: Math.max(sound.startTick + 1, again.startTick - 2) };
  });
}

/** A curve as a hand draws it: the strength, a swell on long notes, a slow wandering; only while something is written. */
function curveOf(plan: Plan, clock: Clock, controller: number, seed: number): TimedEvent[] {
  const next = seeded(seedOf(`${plan.name}/${String(controller)}`, seed));
  const spread = gaussian(next);
  const strengthAt = strengthFrom(clock.bars, plan.dynamics);
  const notes = plan.lines.flatMap((text) => writtenIn(clock.bars, text)).sort((a, b) => a.start - b.start);
  const origin = clock.bars[0]?.start ?? 0;
  const isAlone = plan.curves?.length === 1;
  const events: TimedEvent[] = [];
  let wander = 0;
  let last = -1;
  for (let at = origin; at < endOf(clock.bars); at += 0.25) {
    const note = notes.findLast((each) => each.start <= at + 1e-6 && each.start + each.length > at + 1e-6);
    if (note === undefined) continue;
    wander = 0.85 * wander + 0.9 * spread();
    const phase = (at - note.start) / note.length;
    const swell = note.length >= 2 ? 4 * Math.sin(Math.PI * phase) : 0;
    const strength = strengthAt(at);
    // A second controller is ridden in a narrow band near the top.
    const depth = controller === 11 && !isAlone ? 84 + 30 * strength : 14 + 100 * strength;
    const drawn = setting(depth + swell + wander, 1);
    if (drawn === last) continue;
    const tick = last < 0 ? 0 : Math.max(0, Math.round((at - origin - 0.02) * clock.ticksPerQuarter));
    events.push(controllerEvent(tick, plan.channel, controller, drawn));
    last = drawn;
  }
  return events;
}

function pedalEvents(plan: Plan, clock: Clock): TimedEvent[] {
  if (plan.pedal === undefined) return [];
  const origin = clock.bars[0]?.start ?? 0;
  const first = barNumbered(clock.bars, plan.pedal.bars[0]).start;
  const last = barNumbered(clock.bars, plan.pedal.bars[1]);
  const events: TimedEvent[] = [];
  const tick = (quarters: number): number => Math.max(0, Math.round((quarters - origin) * clock.ticksPerQuarter));
  for (let at = first; at < last.start + last.length - 1e-6; at += plan.pedal.everyQuarters) {
    const end = Math.min(at + plan.pedal.everyQuarters, last.start + last.length);
    events.push(controllerEvent(tick(at + 0.12), plan.channel, 64, 127));
    events.push(controllerEvent(tick(end - 0.03), plan.channel, 64, 0));
  }
  return events;
}

/** Lyric events where the notes are written, a hyphen after a syllable whose word goes on. */
function lyricEvents({ lines, words }: Plan, clock: Clock, tick: (quarters: number) => number): TimedEvent[] {
  if (words === undefined) return [];
  const syllables = words
    .trim()
    .split(/\s+/)
    .flatMap((word) => word.split(/(?<=-)/));
  const notes = writtenIn(clock.bars, lines[0] ?? '');
  if (syllables.length !== notes.length)
    throw new Error(`${String(syllables.length)} syllables for ${String(notes.length)} notes`);
  return notes.flatMap(({ start }, index) => {
    const text = syllables[index] ?? '_';
    return text === '_' ? [] : [textEvent(tick(start), 5, text)];
  });
}

/** One track as it would be exported. */
export function performed(plan: Plan, clock: Clock, seed: number, offAsZero: boolean): WrittenTrack {
  const origin = clock.bars[0]?.start ?? 0;
  const tick = (quarters: number): number => Math.round((quarters - origin) * clock.ticksPerQuarter);
  const events: TimedEvent[] = [textEvent(0, 3, plan.name)];
  if (plan.program !== undefined) events.push(programEvent(0, plan.channel, plan.program));
  if (plan.volume !== undefined) events.push(controllerEvent(0, plan.channel, 7, plan.volume));
  for (const controller of plan.curves ?? []) events.push(...curveOf(plan, clock, controller, seed));
  events.push(...pedalEvents(plan, clock), ...lyricEvents(plan, clock, tick));
  for (const { controller, bar, setting: drawn } of plan.drawn ?? []) {
    events.push(controllerEvent(tick(barNumbered(clock.bars, bar).start), plan.channel, controller, drawn));
  }
  for (const { midi, beforeBar } of plan.keySwitches ?? []) {
    const start = Math.max(0, tick(barNumbered(clock.bars, beforeBar).start - 0.25));
    const end = start + Math.ceil(clock.ticksPerQuarter / 8);
    events.push(...noteEvents(plan.channel, midi, 90, start, end, offAsZero));
  }
  for (const sound of soundsOf(plan, clock, seed)) {
    const { midi, velocity, startTick, endTick } = sound;
    events.push(...noteEvents(plan.channel, midi, velocity, startTick, endTick, offAsZero));
  }
  return { events, lastTick: tick(endOf(clock.bars)) };
}
