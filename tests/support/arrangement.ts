/**
 * Small arrangements on plain objects, for tests of everything after `assemble`. Music is written down as
 * `pitch:start:length[:velocity]` in quarter notes from bar 1, e.g. `G4:0:1 A4:1:0.5`.
 */
import { ensembleOf } from '../../src/assemble/instruments/ensemble-kind.ts';
import catalogue from '../../shared/instruments.json' with { type: 'json' };
import type {
  Arrangement,
  ControllerCurve,
  ForegroundSpan,
  Part,
  PlayedNote,
  Stage,
} from '../../src/model/music/arrangement.ts';
import type { InstrumentCatalogue } from '../../src/model/music/instrument.ts';
import { midiOf, parsePitch } from '../../src/model/music/pitch.ts';
import type { Bar, Meter, Timeline } from '../../src/model/music/timeline.ts';
import { secondAt } from '../../src/model/music/timeline.ts';

const instruments = (catalogue as unknown as InstrumentCatalogue).instruments;

/** Bars of one meter at one tempo; `pickupQuarters` puts a bar 0 before bar 1. */
export function timelineOf(
  barCount: number,
  meter: Meter = { numerator: 4, denominator: 4 },
  tempo = 60,
  pickupQuarters = 0,
): Timeline {
  const secondsPerQuarter = 60 / tempo;
  const lengthQuarters = (meter.numerator * 4) / meter.denominator;
  const bars: Bar[] = [];
  if (pickupQuarters > 0) {
    bars.push({
      number: 0,
      startQuarters: -pickupQuarters,
      lengthQuarters: pickupQuarters,
      startSecond: 0,
      lengthSeconds: pickupQuarters * secondsPerQuarter,
      meter,
      tempo,
    });
  }
  for (let index = 0; index < barCount; index++) {
    bars.push({
      number: index + 1,
      startQuarters: index * lengthQuarters,
      lengthQuarters,
      startSecond: (pickupQuarters + index * lengthQuarters) * secondsPerQuarter,
      lengthSeconds: lengthQuarters * secondsPerQuarter,
      meter,
      tempo,
    });
  }
  return { bars, tempo: [{ startQuarters: -pickupQuarters, startSecond: 0, secondsPerQuarter }] };
}

/** Notes from `pitch:start:length[:velocity]` words. */
function notesOf(text: string, timeline: Timeline): PlayedNote[] {
  return text
    .trim()
    .split(/\s+/)
    .filter((word) => word !== '')
    .map((word): PlayedNote => {
      const [name = '', start = '0', length = '1', velocity = '80'] = word.split(':');
      const pitch = parsePitch(name);
      if (pitch === undefined) throw new Error(`not a pitch: ${name}`);
      const startQuarters = Number(start);
      const endQuarters = startQuarters + Number(length);
      return {
        midi: midiOf(pitch),
        velocity: Number(velocity),
        startQuarters,
        endQuarters,
        startSecond: secondAt(timeline, startQuarters),
        endSecond: secondAt(timeline, endQuarters),
        soundingEndSecond: secondAt(timeline, endQuarters),
        trackIndex: 0,
      };
    })
    .sort((a, b) => a.startQuarters - b.startQuarters || a.midi - b.midi);
}

/** A part with everything at its default; `music` as `notesOf` reads it. */
export function partOf(
  instrumentId: string,
  music: string,
  timeline: Timeline,
  changes: Partial<Part> & { readonly curves?: readonly ControllerCurve[] } = {},
): Part {
  const instrument = instruments.find((candidate) => candidate.id === instrumentId);
  const { curves, ...rest } = changes;
  const name = rest.name ?? instrument?.name ?? instrumentId;
  return {
    id: name.toLowerCase().replaceAll(/[^a-z0-9]+/g, '-'),
    name,
    abbreviation: instrument?.abbreviation ?? name.slice(0, 4),
    instrument: instrument?.id ?? 'unknown',
    instrumentName: instrument?.name ?? 'unknown instrument',
    recognisedBy: instrument === undefined ? 'none' : 'name',
    family: instrument?.family ?? 'unknown',
    role: 'background',
    players: 1,
    playersBy: 'default',
    transposition: {
      semitones: instrument?.transposition.semitones ?? 0,
      diatonicSteps: instrument?.transposition.diatonicSteps ?? 0,
    },
    unpitched: instrument?.polyphony.kind === 'unpitched',
    tracks: [{ file: 'test.mid', track: 1, channel: 0, name, articulation: '', curves: curves ?? [] }],
    notes: notesOf(music, timeline),
    controlNotes: [],
    latenessMs: { median: 0, spread: 0 },
    trimDb: 0,
    dynamics: 'velocity',
    ...rest,
  };
}

/** A part in front over some bars, as settings would say it. */
export function leadSpan(
  partId: string,
  from: number,
  to: number,
  changes: Partial<ForegroundSpan> = {},
): ForegroundSpan {
  return { partId, from, to, certainty: 1, weak: false, shared: [], ...changes };
}

/** A stage; the parts with role `foreground` are in front throughout, or the first part where none is. */
export function stageOf(parts: readonly Part[], timeline: Timeline, changes: Partial<Stage> = {}): Stage {
  const last = timeline.bars.at(-1);
  const first = timeline.bars[0];
  const front = parts.filter((part) => part.role === 'foreground');
  const chosen = front.length > 0 ? front : parts.slice(0, 1);
  return {
    id: 'stage-01-test',
    order: 1,
    title: 'Test',
    seconds: last === undefined ? 0 : last.startSecond + last.lengthSeconds,
    timeline,
    sections: [{ name: 'Whole', from: first?.number ?? 1, to: last?.number ?? 1 }],
    parts: parts.map((part) => (chosen.includes(part) ? { ...part, role: 'foreground' as const } : part)),
    foreground: chosen.map((part) => leadSpan(part.id, first?.number ?? 1, last?.number ?? 1)),
    foregroundGuessed: false,
    ensemble: ensembleOf(
      parts.map(({ instrument, players }) => ({
        instrument,
        stated: players,
        section: players > 2,
        solo: false,
        kit: false,
      })),
    ),
    statedKeys: [],
    questions: [],
    ...changes,
  };
}

/** An arrangement of stages with everything else at its default. */
export function arrangementOf(stages: readonly Stage[], changes: Partial<Arrangement> = {}): Arrangement {
  return {
    title: 'Test piece',
    paper: 'a4',
    stages,
    memos: [],
    files: [{ path: 'test.mid', sha256: '0'.repeat(64), use: 'stage' }],
    limits: {},
    accepted: [],
    problems: [],
    assumptions: [],
    ...changes,
  };
}
