import { Note } from 'tonal';
import { describe, expect, it } from 'vitest';
import { FLAWS } from '../../sample-input/flaws.ts';
import { BARS, barAt, barOf } from '../../sample-input/notation.ts';
import { STAGES } from '../../sample-input/stages.ts';
import type { StagePlan } from '../../sample-input/stages.ts';
import { COMPLETE, EARLIER, trackOf, tracksOf } from './sample-support.ts';

describe('the deliberate flaws are in the last stage and not before', () => {
  const expression = (name: string, from: number, to: number): number[] =>
    (trackOf(COMPLETE, name).controllers[11] ?? [])
      .filter(
        (point) => point.eighths >= barOf(from).start - 0.1 && point.eighths < barOf(to).start + barOf(to).length - 2,
      )
      .map((point) => point.setting);

  /** Mean setting of controller 1 over bars, or NaN where it is not there. */
  function modulation(stage: StagePlan, name: string, from: number, to: number): number {
    const points = (trackOf(stage, name).controllers[1] ?? []).filter(
      (point) => point.eighths >= barOf(from).start && point.eighths < barOf(to).start + barOf(to).length,
    );
    return points.reduce((sum, point) => sum + point.setting, 0) / points.length;
  }

  it('F sharp 3 for second violins, a semitone under the open string, and B flat 3 for a flute', () => {
    const lowest = (stage: StagePlan, name: string): number =>
      Math.min(...trackOf(stage, name).notes.map((note) => note.midi));
    expect(lowest(COMPLETE, 'Violin II')).toBe(Note.midi('F#3'));
    expect(lowest(COMPLETE, 'Flöte')).toBe(Note.midi('Bb3'));
    expect(lowest(STAGES[2]!, 'Violin II')).toBeGreaterThanOrEqual(Note.midi('G3')!);
    expect(lowest(STAGES[2]!, 'Flöte')).toBeGreaterThanOrEqual(Note.midi('C4')!);
  });

  it('second violins over firsts in bars 9-12', () => {
    expect(modulation(COMPLETE, 'Violin II', 9, 12)).toBeGreaterThan(
      modulation(COMPLETE, 'Violin I legato', 9, 12) + 30,
    );
    expect(modulation(STAGES[2]!, 'Violin II', 9, 12)).toBeLessThan(modulation(STAGES[2]!, 'Violin I legato', 9, 12));
  });

  it('strings that swell four bars early over a soft solo in bars 21-24', () => {
    const before = STAGES[2]!;
    const meanVelocity = (stage: StagePlan): number => {
      const tune = trackOf(stage, 'Piano solo').notes.filter((note) => {
        const bar = barAt(note.start + 0.2).number;
        return bar >= 21 && bar <= 24;
      });
      return tune.reduce((sum, note) => sum + note.velocity, 0) / tune.length;
    };
    for (const name of ['Violin I legato', 'Violin II', 'Vla.', 'Violoncello', 'Kontrabass']) {
      expect(modulation(COMPLETE, name, 21, 24)).toBeGreaterThan(modulation(before, name, 21, 24) + 15);
      expect(Math.max(...expression(name, 21, 24))).toBeGreaterThan(110);
    }
    expect(meanVelocity(COMPLETE)).toBeLessThan(meanVelocity(before) - 5);
  });

  it('a horn at expression zero in bars 25-28 that is heard from bar 37 on', () => {
    expect((trackOf(COMPLETE, 'Horn in F').controllers[11] ?? [])[0]?.setting).toBe(0);
    expect(Math.max(0, ...expression('Horn in F', 25, 28))).toBe(0);
    expect(Math.max(...expression('Horn in F', 37, 40))).toBeGreaterThan(80);
  });

  it('two notes at once for one bassoon in bar 42 and nowhere else', () => {
    const notes = trackOf(COMPLETE, 'Fagott').notes;
    const together = notes.filter((note, index) =>
      notes.some(
        (other, at) => at !== index && Math.min(note.end, other.end) - Math.max(note.start, other.start) > 0.5,
      ),
    );
    expect([...new Set(together.map((note) => barAt(note.start + 0.2).number))]).toEqual([42]);
  });

  it('the soloist stops before the strings in the last stage and together with them before', () => {
    const end = (stage: StagePlan, name: string): number =>
      Math.max(...trackOf(stage, name).notes.map((note) => note.end));
    expect(end(COMPLETE, 'Violoncello') - end(COMPLETE, 'Piano solo')).toBeGreaterThan(6);
    for (const stage of EARLIER.slice(1))
      expect(end(stage, 'Piano solo')).toBeGreaterThanOrEqual(end(stage, 'Violoncello'));
    const pedal = trackOf(COMPLETE, 'Piano solo').controllers[64] ?? [];
    expect(pedal.at(-1)?.setting).toBe(0);
    expect(pedal.at(-1)!.eighths).toBeLessThan(barOf(47).start + 3);
  });

  it('every bar that is named exists, and every part is a track of the last stage', () => {
    const names = new Set(tracksOf(COMPLETE).map((track) => track.name));
    for (const flaw of FLAWS) {
      expect(flaw.from).toBeLessThanOrEqual(flaw.to);
      expect(BARS.at(-1)!.number).toBeGreaterThanOrEqual(flaw.to);
      for (const part of flaw.parts) expect(names).toContain(part);
    }
  });
});
