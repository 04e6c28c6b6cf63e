import tonejs from '@tonejs/midi';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { MARKERS, writeSample } from '../../sample-input/make-sample.ts';
import { LAST_BAR, TOTAL_EIGHTHS, barAt, barOf } from '../../sample-input/notation.ts';
import { tempoAt } from '../../sample-input/shape.ts';
import { STAGES } from '../../sample-input/stages.ts';
import type { StagePlan } from '../../sample-input/stages.ts';
import { inputFilesIn } from '../support/input-files.ts';
import { COMPLETE, SAMPLE, trackOf, tracksOf } from './sample-support.ts';

describe('the sample folder', () => {
  const fresh = mkdtempSync(join(tmpdir(), 'sample-'));
  afterAll(() => {
    rmSync(fresh, { recursive: true, force: true });
  });

  it('is what its script writes, byte for byte', () => {
    writeSample(fresh);
    expect(inputFilesIn(fresh)).toEqual(inputFilesIn(SAMPLE));
    for (const file of inputFilesIn(SAMPLE)) {
      expect(readFileSync(join(fresh, file)).equals(readFileSync(join(SAMPLE, file))), file).toBe(true);
    }
  });

  it('has one stage as a folder with one file a part, the others as single files, in two divisions', () => {
    expect(STAGES.map((stage) => stage.files.length)).toEqual([1, 7, 1, 1]);
    expect(new Set(STAGES.map((stage) => stage.ticksPerQuarter)).size).toBe(2);
  });

  it('grows from the solo to ten ensemble parts', () => {
    const names = STAGES.map(
      (stage) => new Set(tracksOf(stage).map((track) => track.name.replace(/ (legato|pizz)$/, ''))),
    );
    expect(names.map((set) => set.size)).toEqual([1, 6, 9, 11]);
  });
});

describe('bars, tempo and sections', () => {
  const conducted = STAGES.map((stage) => new tonejs.Midi(readFileSync(join(SAMPLE, stage.files[0]!.path))));

  it('a pickup of three eighths stands before 48 bars', () => {
    for (const midi of conducted) {
      const meters = midi.header.timeSignatures.map((change) => change.timeSignature.join('/'));
      expect(meters).toEqual(['3/8', '6/8', '9/8', '5/4', '6/8', '9/8', '6/8']);
      // 3/8, then 34 bars of 6/8, 2 of 9/8 and 12 of 5/4: in eighths.
      const eighths = 3 + 34 * 6 + 2 * 9 + 12 * 10;
      expect(34 + 2 + 12).toBe(LAST_BAR);
      expect(TOTAL_EIGHTHS).toBe(eighths);
      const last = Math.max(...midi.tracks.flatMap((track) => track.notes.map((note) => note.ticks)));
      expect((last * 2) / midi.header.ppq).toBeLessThan(eighths);
      expect((last * 2) / midi.header.ppq).toBeGreaterThan(eighths - 14);
    }
  });

  it('markers name the sections at the bars where they begin', () => {
    for (const midi of conducted) {
      const markers = midi.header.meta
        .filter((meta) => meta.type === 'marker')
        .map((meta) => ({ bar: barAt((meta.ticks * 2) / midi.header.ppq).number, name: meta.text }));
      expect(markers).toEqual(MARKERS);
    }
  });

  it('the middle section is slower and both ends of it slow down first', () => {
    expect(tempoAt(barOf(17).start)).toBeLessThan(tempoAt(barOf(14).start));
    expect(tempoAt(barOf(16).start + 6)).toBeLessThan(tempoAt(barOf(15).start));
    expect(tempoAt(barOf(28).start + 4)).toBeLessThan(tempoAt(barOf(26).start));
    expect(tempoAt(barOf(48).start)).toBeLessThan(tempoAt(barOf(43).start));
    for (const midi of conducted) expect(midi.header.tempos.length).toBeGreaterThan(15);
  });

  it('G minor and E flat major are stated by their signatures', () => {
    for (const midi of conducted) {
      expect(midi.header.keySignatures.map((key) => `${key.key} ${key.scale}`)).toEqual([
        'Bb minor',
        'Eb major',
        'Bb minor',
      ]);
    }
  });
});

describe('the plan of entries', () => {
  function firstBar(stage: StagePlan, name: string): number {
    return barAt(trackOf(stage, name).notes[0]!.start + 0.25).number;
  }

  it('the first phrase is the solo alone, the strings answer, the basses wait for the second half', () => {
    const strings = STAGES[1]!;
    expect(firstBar(strings, 'Piano solo')).toBe(0);
    for (const name of ['Violin I legato', 'Violin II', 'Vla.', 'Violoncello']) expect(firstBar(strings, name)).toBe(5);
    expect(firstBar(strings, 'Kontrabass')).toBe(9);
  });

  it('the flute waits for the reprise once its early idea is taken out', () => {
    expect(firstBar(STAGES[2]!, 'Flöte')).toBe(16);
    expect(firstBar(COMPLETE, 'Flöte')).toBe(29);
  });

  it('key switches stand outside the music, two octaves and more below the instrument', () => {
    expect(trackOf(COMPLETE, 'Violin I legato').switches).toBe(2);
    expect(trackOf(COMPLETE, 'Violin I pizz').switches).toBe(1);
    expect(trackOf(COMPLETE, 'Vla.').switches).toBe(1);
  });
});
