/**
 * Printed scores of the repertoire as a measure: what has been played for two hundred years is playable, so the rules have to
 * be silent about it, and to find what is planted in it. Scores: OpenScore string quartets and the Hauptstimme corpus, CC0.
 */
import { existsSync, readdirSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { adviseStage } from '../../src/advise/advise-stage.ts';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import type { Stage } from '../../src/model/arrangement.ts';
import type { Finding } from '../../src/model/readings.ts';
import { barIndexAt } from '../../src/model/timeline.ts';
import type { WrittenStage } from '../../src/model/written.ts';
import { readMxl } from '../support/musicxml-score.ts';
import type { ScoreStageOptions } from '../support/score-stage.ts';
import { stageOfScore } from '../support/score-stage.ts';

const DATA = resolve('../shared/data');
const filesIn = (folder: string): string[] => (existsSync(join(DATA, folder)) ? readdirSync(join(DATA, folder)) : []);
const QUARTETS = filesIn('openscore-quartets');
const ORCHESTRA = filesIn('openscore-orchestra');

function stageOfFile(folder: string, file: string, options: Partial<ScoreStageOptions> = {}) {
  return stageOfScore(readMxl(join(DATA, folder, file)), { foreground: 'Violin 1', ...options });
}

function judge({ stage, written }: { stage: Stage; written: WrittenStage }): readonly Finding[] {
  return adviseStage({ stage, written, readings: analyseStage(stage, written), limits: {}, accepted: [] });
}

/** One grade of six is 21 of 127 velocity steps. */
const GRADE = 21;

describe.skipIf(QUARTETS.length === 0)('printed string quartets (skipped without the open scores)', () => {
  it.each(QUARTETS)('%s asks nobody for what the instrument does not have', (file) => {
    const rules = judge(stageOfFile('openscore-quartets', file)).map(({ rule }) => rule);
    for (const rule of ['outside-range', 'too-many-notes', 'inaudible-entry', 'support-over-lead', 'late-part']) {
      expect(rules).not.toContain(rule);
    }
  });

  it.each(QUARTETS)('%s with the accompaniment two grades under the first violin is nowhere as loud', (file) => {
    const stage = stageOfFile('openscore-quartets', file, { foregroundVelocity: 90, velocity: 90 - 2 * GRADE });
    expect(judge(stage).filter(({ rule }) => rule === 'background-as-loud')).toEqual([]);
  });

  it.each(QUARTETS)('%s with the accompaniment a grade over it is so in most bars', (file) => {
    const input = stageOfFile('openscore-quartets', file, { foregroundVelocity: 69, velocity: 69 + GRADE });
    const bars = judge(input)
      .filter(({ rule }) => rule === 'background-as-loud')
      .reduce((sum, { from, to }) => sum + to - from + 1, 0);
    expect(bars / input.stage.timeline.bars.length).toBeGreaterThan(0.5);
  });

  it.each(QUARTETS)(
    '%s with the second violin an octave lower breaks its range exactly where the print is under G4',
    (file) => {
      const { stage, written } = stageOfFile('openscore-quartets', file);
      const second = stage.parts.findIndex(({ name }) => name === 'Violin 2');
      const lowered: Stage = {
        ...stage,
        parts: stage.parts.map((part, index) =>
          index === second ? { ...part, notes: part.notes.map((note) => ({ ...note, midi: note.midi - 12 })) } : part,
        ),
      };
      const loweredWritten: WrittenStage = {
        ...written,
        parts: written.parts.map((part, index) =>
          index === second
            ? {
                ...part,
                notes: part.notes.map((note) => ({
                  ...note,
                  midi: note.midi - 12,
                  pitch: { ...note.pitch, octave: note.pitch.octave - 1 },
                })),
              }
            : part,
        ),
      };
      // G4 less an octave is G3, the open string: everything printed under it is lost.
      const { bars } = stage.timeline;
      const expected = new Set(
        (stage.parts[second]?.notes ?? [])
          .filter(({ midi }) => midi < 67)
          .map(({ startQuarters }) => bars[barIndexAt(bars, startQuarters)]?.number),
      );
      expect(expected.size).toBeGreaterThan(5);
      const found = judge({ stage: lowered, written: loweredWritten })
        .filter(({ rule }) => rule === 'outside-range')
        .flatMap(({ from, to }) => Array.from({ length: to - from + 1 }, (_, offset) => from + offset));
      expect(new Set(found)).toEqual(expected);
    },
  );
});

describe.skipIf(ORCHESTRA.length === 0)('printed orchestral movements (skipped without the open scores)', () => {
  const options = { sectionPlayers: 8 };

  it.each(ORCHESTRA)('%s leaves nobody outside the instrument; only low Ds of the basses want an extension', (file) => {
    const outside = judge(stageOfFile('openscore-orchestra', file, options)).filter(
      ({ rule }) => rule === 'outside-range',
    );
    expect(outside.filter(({ level }) => level === 'fix')).toEqual([]);
    for (const { partIds } of outside) expect(partIds[0]).toMatch(/contrabass|violone/);
  });

  it.each(ORCHESTRA.filter((file) => !file.startsWith('Bach')))(
    '%s has the double basses an octave under the cellos in most bars where both play (Rimsky-Korsakov, ch. II)',
    (file) => {
      const { stage, written } = stageOfFile('openscore-orchestra', file, options);
      const { doublings, register } = analyseStage(stage, written);
      const barsOfPart = (id: string): Set<number> =>
        new Set(register.filter(({ partId }) => partId === id).map(({ bar }) => bar));
      const basses = barsOfPart('contrabass');
      const both = [...barsOfPart('violoncello')].filter((bar) => basses.has(bar));
      const doubled = doublings.filter(
        ({ partIds, semitones }) => partIds[0] === 'violoncello' && partIds[1] === 'contrabass' && semitones === -12,
      );
      const inOctaves = both.filter((bar) => doubled.some(({ from, to }) => bar >= from && bar <= to));
      expect(inOctaves.length / both.length).toBeGreaterThan(0.5);
    },
  );
});
