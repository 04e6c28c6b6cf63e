import { describe, expect, it } from 'vitest';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { listening } from '../bench/why/listening.ts';
import { chordOptionsOf } from '../bench/why/other-chords.ts';
import type { PlaceOption } from '../bench/why/other-places.ts';
import { placeOptions } from '../bench/why/other-places.ts';
import { whySheet } from '../bench/why/sheet.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';

const BARS = 4;
/** Eighths of a scale over tonic and dominant. */
const SCALE = Array.from({ length: 8 * BARS }, (_, at) => `${'CDEFGFED'.charAt(at % 8)}5:${String(at / 2)}:0.5`);
const GROUND = ['C3,E4,G4', 'F3,A4,C5', 'G3,B4,D5', 'C3,E4,G4'].flatMap((chord, bar) =>
  chord.split(',').map((pitch) => `${pitch}:${String(4 * bar)}:4`),
);

function stageWith(scale: readonly string[] = SCALE) {
  const timeline = timelineOf(BARS);
  return stageOf(
    [partOf('flute', scale.join(' '), timeline), partOf('piano', GROUND.join(' '), timeline, { name: 'Piano' })],
    timeline,
  );
}

function optionsFor(scale: readonly string[], note: number): readonly PlaceOption[] {
  const { explain, heard } = listening();
  notateStage(stageWith(scale), explain);
  return placeOptions(heard.onsets.get('flute')!, note)!;
}

/** The scale with its tenth note, the second eighth of bar 2, played late by a part of a quarter. */
function lateBy(quarters: number): readonly string[] {
  return SCALE.map((word, at) => (at === 9 ? word.replace(':4.5:', `:${String(4.5 + quarters)}:`) : word));
}

describe('why a note is written as it is', () => {
  it('is told without changing what is written', () => {
    const stage = stageWith();
    expect(notateStage(stage, listening().explain)).toEqual(notateStage(stage));
  });

  it('an eighth stands on the half of the beat, and every other place would have been dearer', () => {
    const [chosen, ...others] = optionsFor(SCALE, 9);
    expect(chosen?.position).toBe(4.5 * 480);
    expect(chosen?.lostBy).toBe(0);
    expect(others.length).toBeGreaterThan(0);
    expect(others.every(({ lostBy }) => lostBy > 0)).toBe(true);
  });

  it('the later an eighth is played, the nearer the next best place comes', () => {
    const margins = [0, 0.02, 0.04].map((late) =>
      Math.min(
        ...optionsFor(lateBy(late), 9)
          .slice(1)
          .map((one) => one.lostBy),
      ),
    );
    expect(margins[1]).toBeLessThan(margins[0]!);
    expect(margins[2]).toBeLessThan(margins[1]!);
  });

  it('a plain triad on the tonic beats its neighbours, its own seventh chord before foreign roots', () => {
    const { explain, heard } = listening();
    notateStage(stageWith(), explain);
    const [found, ...others] = chordOptionsOf(heard.chords()!)(12 * 480)!.options;
    expect(found?.symbol).toBe('C');
    expect(others.every(({ lostBy }) => lostBy > 0)).toBe(true);
    expect(others[0]?.symbol).toMatch(/^C/);
  });

  it('tells every step of a note, in the order of the flow', () => {
    const lines = whySheet(stageWith(), { bar: 2, part: 'flute' });
    const steps = lines.slice(3, 15).map((line) =>
      line
        .slice(3, 19)
        .trim()
        .replace(/ {2}.*/, ''),
    );
    expect(lines[0]).toContain('Flute, bar 2');
    expect(steps).toEqual([
      'played',
      'place',
      'hand and voice',
      'value',
      'ornament',
      'spelling',
      'key',
      'chord',
      'reduced score',
      'leader',
      'level',
      '',
    ]);
  });

  it('answers an unknown part and a bar out of span in one sentence', () => {
    expect(() => whySheet(stageWith(), { bar: 2, part: 'harp' })).toThrow(/no part “harp”/);
    expect(() => whySheet(stageWith(), { bar: 9, part: 'flute' })).toThrow(/no bar 9 .* 1 to 4/);
  });
});
