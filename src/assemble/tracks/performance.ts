/** Notes, pedal and controller curves of a part on the stage's two clocks. */
import type { ControllerCurve, DynamicsSource, PlayedNote, TrackRecord } from '../../model/music/arrangement.ts';
import type { Instrument } from '../../model/music/instrument.ts';
import type { TempoSegment } from '../../model/music/timeline.ts';
import type { RawController } from '../../read/raw.ts';
import type { PlacedNote, PlacedTrack } from './group-parts.ts';
import { secondsReader } from '../clock/stage-clock.ts';
import { firstReaching } from '../../model/sorted-search.ts';

export type TickPlace = (tick: number) => number;

/** Reset values: General MIDI 1 for volume and expression; controllers 1 and 2 rest at 0. */
const SETTING_BEFORE: Readonly<Record<number, number>> = { 1: 0, 2: 0, 7: 100, 11: 127 };
const PEDAL = 64;
const PEDAL_DOWN_FROM = 64;

/** Curves of controllers 1, 2, 7 and 11; settings that repeat the one before are dropped. */
export function curvesOf(controllers: readonly RawController[], place: TickPlace): readonly ControllerCurve[] {
  const curves = new Map<number, { quarters: number; setting: number }[]>();
  for (const { controller, tick, setting } of controllers) {
    if (SETTING_BEFORE[controller] === undefined) continue;
    const points = curves.get(controller) ?? [];
    const quarters = place(tick);
    const last = points.at(-1);
    if (last?.quarters === quarters) points.pop();
    if (points.at(-1)?.setting !== setting) points.push({ quarters, setting });
    curves.set(controller, points);
  }
  return [...curves]
    .sort(([a], [b]) => a - b)
    .map(([controller, points]) => ({ controller, points, settingBefore: SETTING_BEFORE[controller] ?? 0 }));
}

/** Whether the damper pedal prolongs this instrument: keyboards that only decay, harp, vibraphone. */
function hasPedal(instrument: Instrument | undefined): boolean {
  if (instrument === undefined || instrument.sustaining) return false;
  return instrument.family === 'keyboard' || instrument.id === 'harp' || instrument.id === 'vibraphone';
}

interface Span {
  readonly from: number;
  readonly to: number;
}

/** When the pedal is down, in quarter notes, over all tracks of a part. */
function pedalSpans(
  tracks: readonly PlacedTrack[],
  placeOf: (track: PlacedTrack) => TickPlace,
  endQuarters: number,
): readonly Span[] {
  const spans: Span[] = [];
  for (const track of tracks) {
    const place = placeOf(track);
    let downFrom: number | undefined;
    for (const { controller, tick, setting } of track.source.raw.controllers) {
      if (controller !== PEDAL) continue;
      const quarters = place(tick);
      if (setting >= PEDAL_DOWN_FROM) downFrom ??= quarters;
      else if (downFrom !== undefined) {
        spans.push({ from: downFrom, to: quarters });
        downFrom = undefined;
      }
    }
    if (downFrom !== undefined) spans.push({ from: downFrom, to: Math.max(downFrom, endQuarters) });
  }
  spans.sort((a, b) => a.from - b.from);
  const merged: Span[] = [];
  for (const span of spans) {
    const last = merged.at(-1);
    if (last !== undefined && span.from <= last.to)
      merged[merged.length - 1] = { from: last.from, to: Math.max(last.to, span.to) };
    else merged.push(span);
  }
  return merged;
}

function pedalUpAfter(spans: readonly Span[], quarters: number): number {
  const span = spans[firstReaching(spans, ({ to }) => to > quarters)];
  return span !== undefined && span.from <= quarters ? span.to : quarters;
}

/** Notes of all tracks in order of start, pitch, track, and from which track each is (undefined where there is only one). */
function mergedNotes(kept: readonly (readonly PlacedNote[])[]): {
  readonly merged: readonly PlacedNote[];
  readonly trackOf?: readonly number[];
} {
  const [only, ...others] = kept;
  if (others.length === 0) return { merged: only ?? [] };
  const all = kept.flatMap((notes, trackIndex) => notes.map((note) => ({ note, trackIndex })));
  all.sort(
    (a, b) => a.note.startQuarters - b.note.startQuarters || a.note.midi - b.note.midi || a.trackIndex - b.trackIndex,
  );
  return { merged: all.map(({ note }) => note), trackOf: all.map(({ trackIndex }) => trackIndex) };
}

/** Played notes of a part, sorted by start, then pitch. `kept` holds the notes of each track that are music. */
export function playedNotes(
  tracks: readonly PlacedTrack[],
  kept: readonly (readonly PlacedNote[])[],
  instrument: Instrument | undefined,
  tempo: readonly TempoSegment[],
  placeOf: (track: PlacedTrack) => TickPlace,
  endQuarters: number,
): readonly PlayedNote[] {
  const spans = hasPedal(instrument) ? pedalSpans(tracks, placeOf, endQuarters) : [];
  const startAt = secondsReader(tempo);
  const endAt = secondsReader(tempo);
  const soundingAt = secondsReader(tempo);
  const { merged, trackOf } = mergedNotes(kept);
  const soundingEnds = new Float64Array(merged.length);
  if (spans.length > 0) {
    // A string that is struck again stops sounding as it was.
    const nextStart = new Map<number, number>();
    for (let index = merged.length - 1; index >= 0; index--) {
      const note = merged[index];
      if (note === undefined) continue;
      const lifted = pedalUpAfter(spans, note.endQuarters);
      const again = nextStart.get(note.midi) ?? Number.POSITIVE_INFINITY;
      soundingEnds[index] = Math.max(note.endQuarters, Math.min(lifted, again));
      nextStart.set(note.midi, note.startQuarters);
    }
  }
  return merged.map((note, index): PlayedNote => {
    const endSecond = endAt(note.endQuarters);
    return {
      midi: note.midi,
      velocity: note.velocity,
      startQuarters: note.startQuarters,
      endQuarters: note.endQuarters,
      startSecond: startAt(note.startQuarters),
      endSecond,
      soundingEndSecond: spans.length === 0 ? endSecond : soundingAt(soundingEnds[index] ?? note.endQuarters),
      trackIndex: trackOf?.[index] ?? 0,
    };
  });
}

/** Smallest spread of settings from which a controller counts as moved by hand. */
const MOVES_FROM = 8;

function moves(records: readonly TrackRecord[], controller: number): boolean {
  let least = Number.POSITIVE_INFINITY;
  let most = Number.NEGATIVE_INFINITY;
  for (const record of records) {
    for (const curve of record.curves) {
      if (curve.controller !== controller) continue;
      for (const { setting } of curve.points) {
        least = Math.min(least, setting);
        most = Math.max(most, setting);
      }
    }
  }
  return most - least >= MOVES_FROM;
}

/**
 * What shapes the loudness of a part. Struck and plucked instruments: velocity. Sustaining ones: controller 1 where it moves, else 11, else 2,
 * else velocity.
 */
export function dynamicsSourceOf(instrument: Instrument | undefined, records: readonly TrackRecord[]): DynamicsSource {
  if (instrument !== undefined && !instrument.sustaining) return 'velocity';
  if (moves(records, 1)) return 'cc1';
  if (moves(records, 11)) return 'cc11';
  if (moves(records, 2)) return 'cc2';
  return 'velocity';
}
