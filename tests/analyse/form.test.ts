/** The form of small pieces whose form their writer knows. Names of forms: textbook usage (verse and chorus; A B A), no source needed. */
import { Note } from 'tonal';
import { describe, expect, it } from 'vitest';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import { formOf } from '../../src/analyse/form/form.ts';
import type { Section } from '../../src/model/music/arrangement.ts';
import { WHOLE_PIECE } from '../../src/model/music/arrangement.ts';
import type { FormReading } from '../../src/model/readings/form.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { formRuns } from '../../src/publish/page-data/charts/form-runs.ts';
import { ballad } from '../kinds/folders/ballad.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { stageOfKind } from '../support/kind-stage.ts';
import { writtenOf } from '../support/written.ts';

const A = [60, 64, 67, 72, 71, 67, 65, 62, 60, 62, 64, 65, 67, 67, 67, 67];
const B = [69, 65, 69, 72, 70, 67, 70, 74, 69, 69, 65, 62, 64, 61, 57, 57];
const C = [55, 59, 62, 66, 69, 66, 62, 59, 57, 61, 64, 68, 71, 68, 64, 61];

/** Quarters of a flute alone; its form. */
function formOfTune(midis: readonly number[], sections?: readonly Section[]): FormReading | undefined {
  const timeline = timelineOf(Math.ceil(midis.length / 4));
  const flute = partOf('flute', '', timeline);
  const notes = midis.map((midi, index) => ({
    midi,
    velocity: 80,
    startQuarters: index,
    endQuarters: index + 1,
    startSecond: index / 2,
    endSecond: (index + 1) / 2,
    soundingEndSecond: (index + 1) / 2,
    trackIndex: 0,
  }));
  const plain = stageOf([{ ...flute, notes }], timeline);
  const whole = [{ name: WHOLE_PIECE, from: 1, to: timeline.bars.length }];
  const stage = { ...plain, sections: sections ?? whole };
  const melody = midis.map((midi, index) => ({ startQuarters: index, lengthQuarters: 1, midi, partId: flute.id }));
  return formOf(stage, writtenOf(stage), melody);
}

function told(form: FormReading | undefined): string {
  return formRuns(form)
    .map(({ text }) => text)
    .join('')
    .replaceAll('\u00a0', ' ');
}

describe('a form that nobody gave', () => {
  it('what comes again has the same letter, and a stroke and its bars where it is changed', () => {
    const changed = [...A.slice(0, 12), 72, 74, 76, 79];
    const form = formOfTune([...A, ...A, ...B, ...changed]);
    expect(form?.by).toBe('estimate');
    expect(told(form)).toBe(
      'A 1–4; A 5–8 (as bars 1–4); B 9–12; A′ 13–16 (as bars 1–4, but bar 16). A proposal, by what returns; name sections to decide.',
    );
  });

  it('a repeat whose bass is gone is not as it was in those bars', () => {
    const timeline = timelineOf(16);
    const row = (midis: readonly number[], from: number): string =>
      midis.map((midi, index) => `${Note.fromMidi(midi)}:${String(4 * from + index)}:1`).join(' ');
    const flute = partOf('flute', [A, B, C, A].map((line, index) => row(line, 4 * index)).join(' '), timeline);
    const bass = (bars: readonly number[]) =>
      partOf('double-bass', bars.map((bar) => `C2:${String(4 * bar)}:4`).join(' '), timeline);
    const all = Array.from({ length: 16 }, (_, bar) => bar);
    const told = (bars: readonly number[]) => {
      const stage = stageOf([flute, bass(bars)], timeline, { sections: [{ name: WHOLE_PIECE, from: 1, to: 16 }] });
      const melody = flute.notes.map(({ startQuarters, midi }) => ({
        startQuarters,
        lengthQuarters: 1,
        midi,
        partId: flute.id,
      }));
      return formOf(stage, writtenOf(stage), melody)?.parts.at(-1)?.as?.but;
    };
    expect(told(all)).toEqual([]);
    expect(told(all.filter((bar) => bar !== 13 && bar !== 14))).toEqual([14, 15]);
  });

  it('what never stands apart is one section', () => {
    expect(formOfTune([...A, ...B, ...C, ...A, ...B])?.parts.map(({ name, from, to }) => [name, from, to])).toEqual([
      ['A', 1, 8],
      ['B', 9, 12],
      ['A', 13, 20],
    ]);
  });

  it('none is proposed where nothing returns, nor for a few bars', () => {
    const on = (by: number): number[] => [...A, ...B].map((midi, index) => midi + ((index * by) % 7));
    expect(formOfTune([...on(1), ...on(3), ...on(4)])).toBeUndefined();
    expect(formOfTune([...A, ...A])).toBeUndefined();
  });

  it('a song whose music comes again with other words has verses', async () => {
    const stage = await stageOfKind(ballad);
    const parts = analyseStage(stage, notateStage(stage)).form?.parts ?? [];
    // Introduction and verse come together twice, bars 1 and 21; the folder's text has the chorus once, from bar 13.
    expect(parts.map(({ name, from }) => [name, from])).toEqual([
      ['Verse 1', 1],
      ['B', 13],
      ['Verse 2', 21],
      ['C', 33],
    ]);
    expect(parts[2]?.as).toMatchObject({ from: 1, to: 12 });
  });
});

describe('sections that somebody gave', () => {
  const sections = [
    { name: 'Intro', from: 1, to: 4 },
    { name: 'Verse', from: 5, to: 8 },
    { name: 'Again', from: 9, to: 13 },
  ];

  it('stand, and are told as what they repeat, with what is different or more', () => {
    const form = formOfTune([...B, ...A, ...A, 60, 60, 60, 60], sections);
    expect(form?.parts.map(({ name }) => name)).toEqual(['Intro', 'Verse', 'Again']);
    expect(told(form)).toBe('Again 9–13 (as bars 5–8, but bar 13)');
  });

  it('that are all different are told without a word', () => {
    expect(told(formOfTune([...B, ...A, ...C, 60, 60, 60, 60], sections))).toBe('');
  });
});
