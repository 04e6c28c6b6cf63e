import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Part, PlayedNote, Stage } from '../../src/model/music/arrangement.ts';
import { midiOf, pitchName } from '../../src/model/music/pitch.ts';
import type { Bar, Meter, Timeline } from '../../src/model/music/timeline.ts';
import { secondAt } from '../../src/model/music/timeline.ts';
import type { WrittenStage } from '../../src/model/music/written.ts';
import { checkScore } from '../../src/notate/note-values/check-score.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';

const METERS: readonly Meter[] = [
  { numerator: 4, denominator: 4 },
  { numerator: 3, denominator: 4 },
  { numerator: 2, denominator: 4 },
  { numerator: 5, denominator: 4 },
  { numerator: 2, denominator: 2 },
  { numerator: 3, denominator: 8 },
  { numerator: 5, denominator: 8 },
  { numerator: 6, denominator: 8 },
  { numerator: 7, denominator: 8 },
  { numerator: 9, denominator: 8 },
  { numerator: 12, denominator: 8 },
  { numerator: 6, denominator: 16 },
  { numerator: 1, denominator: 4 },
  { numerator: 7, denominator: 16 },
];

/** A timeline whose meter and tempo may change with every bar. */
function mixedTimeline(meters: readonly Meter[], tempi: readonly number[], pickupQuarters: number): Timeline {
  const bars: Bar[] = [];
  let quarters = -pickupQuarters;
  let second = 0;
  const tempo: { startQuarters: number; startSecond: number; secondsPerQuarter: number }[] = [];
  const push = (number: number, meter: Meter, lengthQuarters: number, beats: number): void => {
    const secondsPerQuarter = 60 / beats;
    tempo.push({ startQuarters: quarters, startSecond: second, secondsPerQuarter });
    const lengthSeconds = lengthQuarters * secondsPerQuarter;
    bars.push({
      number,
      startQuarters: quarters,
      lengthQuarters,
      startSecond: second,
      lengthSeconds,
      meter,
      tempo: beats,
    });
    quarters += lengthQuarters;
    second += lengthSeconds;
  };
  if (pickupQuarters > 0) push(0, meters[0]!, pickupQuarters, tempi[0]!);
  meters.forEach((meter, index) => {
    push(index + 1, meter, (meter.numerator * 4) / meter.denominator, tempi[index % tempi.length]!);
  });
  return { bars, tempo };
}

interface RandomNote {
  readonly midi: number;
  readonly at: number;
  readonly length: number;
}

function playedNotes(notes: readonly RandomNote[], timeline: Timeline): PlayedNote[] {
  return notes
    .map((note): PlayedNote => {
      const startQuarters = note.at;
      const endQuarters = note.at + note.length;
      return {
        midi: note.midi,
        velocity: 80,
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

const INSTRUMENTS = [
  'guitar',
  'violin',
  'viola',
  'cello',
  'double-bass',
  'flute',
  'horn-f',
  'piano',
  'harp',
  'percussion-unpitched',
];

const arbitraryStage: fc.Arbitrary<Stage> = fc
  .record({
    meters: fc.array(fc.constantFrom(...METERS), { minLength: 1, maxLength: 5 }),
    tempi: fc.array(fc.integer({ min: 30, max: 240 }), { minLength: 1, maxLength: 3 }),
    pickup: fc.constantFrom(0, 0, 0.25, 0.5, 1, 1.5),
    late: fc.integer({ min: -80, max: 120 }),
    leaders: fc.integer({ min: 1, max: 2 }),
    parts: fc.array(
      fc.record({
        instrument: fc.constantFrom(...INSTRUMENTS),
        notes: fc.array(
          fc.record({
            midi: fc.integer({ min: 21, max: 108 }),
            at: fc.oneof(
              fc.integer({ min: -8, max: 100 }).map((step) => step / 4),
              fc.integer({ min: -8, max: 100 }).map((step) => step / 6),
              fc.double({ min: -2, max: 25, noNaN: true }),
            ),
            length: fc.oneof(fc.constantFrom(0.01, 0.25, 0.5, 1, 2, 7), fc.double({ min: 0.001, max: 9, noNaN: true })),
          }),
          { maxLength: 30 },
        ),
      }),
      { maxLength: 6 },
    ),
  })
  .map(({ meters, tempi, pickup, late, leaders, parts }) => {
    const timeline = mixedTimeline(meters, tempi, pickup);
    const made = parts.map(({ instrument, notes }, index): Part => {
      const part = partOf(instrument, '', timeline, {
        name: `P${String(index)}`,
        abbreviation: `P${String(index)}`,
        latenessMs: { median: late, spread: 0 },
        role: index < leaders ? 'foreground' : 'background',
      });
      return { ...part, notes: playedNotes(notes, timeline) };
    });
    return stageOf(made, timeline);
  });

/** Written notes that stand neither on a staff nor in the list of what was collapsed or left out, in some bar they sound in. */
function unaccounted(stage: Stage, written: WrittenStage): string[] {
  const missing: string[] = [];
  for (const bar of written.reduced.bars) {
    const end = bar.startDivisions + bar.lengthDivisions;
    const onStaff = new Map<string, [number, number][]>();
    for (const staff of bar.staves) {
      for (const event of staff.voices.flat()) {
        for (const head of event.heads) {
          for (const id of head.partIds) {
            const key = `${id}:${String(midiOf(head.pitch) % 12)}`;
            onStaff.set(key, [...(onStaff.get(key) ?? []), [event.start, event.start + event.length]]);
          }
        }
      }
    }
    written.parts.forEach((part, index) => {
      const played = stage.parts[index]!;
      if (played.unpitched) return;
      if ([...bar.leftOut, ...bar.doublings].some((text) => text.includes(played.abbreviation))) return;
      for (const note of part.notes) {
        if (note.start >= end || note.start + note.length <= bar.startDivisions) continue;
        const spans = onStaff.get(`${part.partId}:${String(note.midi % 12)}`) ?? [];
        const from = Math.max(note.start, bar.startDivisions);
        const to = Math.min(note.start + note.length, end);
        // A border may have moved by a 32nd where triplets and straight values meet in one voice.
        if (!spans.some(([a, b]) => a < to + 60 && b > from - 60)) {
          missing.push(`bar ${String(bar.number)}: ${part.partId} ${pitchName(note.pitch)} at ${String(note.start)}`);
        }
      }
    });
  }
  return missing;
}

describe('any notes at all', () => {
  it('become a score whose voices fill their bars, with complete tuplets and ties that hold', () => {
    fc.assert(
      fc.property(arbitraryStage, (stage) => {
        const written = notateStage(stage);
        expect(checkScore(written.reduced)).toEqual([]);
        expect(unaccounted(stage, written)).toEqual([]);
        for (const [index, part] of written.parts.entries()) {
          // Every played note is there once: written, small before a note, or under a sign.
          const told = part.notes.flatMap(({ played, ornament }) => [
            played,
            ...(ornament === undefined ? [] : [...ornament.graces.map((grace) => grace.played), ...ornament.covers]),
          ]);
          expect(told.sort((a, b) => a - b)).toEqual(stage.parts[index]!.notes.map((_, note) => note));
          for (const note of part.notes) {
            expect(midiOf(note.pitch)).toBe(note.midi);
            expect(note.length).toBeGreaterThan(0);
            expect(Math.abs(note.pitch.alter)).toBeLessThanOrEqual(2);
          }
        }
      }),
      { numRuns: 300, seed: 20 },
    );
  });

  it('never overlap inside a voice of a part, unless they form a chord', () => {
    fc.assert(
      fc.property(arbitraryStage, (stage) => {
        for (const part of notateStage(stage).parts) {
          const ends = new Map<string, { start: number; end: number }>();
          for (const note of part.notes) {
            const key = `${String(note.staff)}:${String(note.voice)}`;
            const before = ends.get(key);
            const end = note.start + note.length;
            if (before !== undefined && note.start < before.end) {
              expect([note.start, end]).toEqual([before.start, before.end]);
            }
            ends.set(key, { start: note.start, end });
          }
        }
      }),
      { numRuns: 200, seed: 21 },
    );
  });
});

describe('the edges', () => {
  it('a stage without parts still has bars', () => {
    const written = notateStage(stageOf([], timelineOf(2)));
    expect(written.reduced.bars.map((bar) => bar.number)).toEqual([1, 2]);
    expect(checkScore(written.reduced)).toEqual([]);
  });

  it('a stage without bars gives an empty score', () => {
    const timeline: Timeline = { bars: [], tempo: [] };
    expect(notateStage(stageOf([], timeline)).reduced.bars).toEqual([]);
  });

  it('one note in one bar is written once', () => {
    const timeline = timelineOf(1);
    const written = notateStage(stageOf([partOf('flute', 'A4:0:4', timeline)], timeline));
    const events = written.reduced.bars[0]!.staves[0]!.voices.flat();
    expect(events.map((event) => event.figure)).toEqual([{ base: 1, dots: 0 }]);
  });

  it('a quarter before bar 1 stands in bar 0', () => {
    const timeline = timelineOf(2, { numerator: 3, denominator: 4 }, 90, 1);
    const written = notateStage(stageOf([partOf('flute', 'D5:-1:1 G5:0:3 A5:3:3', timeline)], timeline));
    expect(written.reduced.bars[0]!.number).toBe(0);
    expect(written.reduced.bars[0]!.startDivisions).toBe(-480);
    expect(written.parts[0]!.notes.map((note) => note.start)).toEqual([-480, 0, 1440]);
  });
});
