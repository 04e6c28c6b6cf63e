/** The second sample: its files, and the findings as the flaws that were put in by hand. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { writeSample } from '../../sample-input/make-sample.ts';
import { STAIR } from '../../sample-input/stair.ts';
import { STAIR_FLAWS, STAIR_LEFT } from '../../sample-input/stair-flaws.ts';
import type { Flaw } from '../../sample-input/flaws.ts';
import { STAIR_STAGES } from '../../sample-input/stair-stages.ts';
import { adviseStage } from '../../src/advise/advise-stage.ts';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import { compareStages } from '../../src/analyse/compare-stages.ts';
import type { Arrangement, Stage } from '../../src/model/music/arrangement.ts';
import type { Finding } from '../../src/model/readings/readings.ts';
import { inputFilesIn } from '../support/input-files.ts';
import { STAIR_FOLDER, STAIR_INSTRUMENTS, stairArrangement } from './stair-support.ts';
import { notated } from '../support/notated.ts';

describe('the second sample folder', () => {
  const fresh = mkdtempSync(join(tmpdir(), 'stair-'));
  afterAll(() => {
    rmSync(fresh, { recursive: true, force: true });
  });

  it('is what its script writes, byte for byte', () => {
    writeSample(fresh, STAIR);
    expect(inputFilesIn(STAIR_FOLDER)).toEqual(inputFilesIn(fresh));
    for (const file of inputFilesIn(fresh)) {
      expect(readFileSync(join(fresh, file)).equals(readFileSync(join(STAIR_FOLDER, file))), file).toBe(true);
    }
  });

  it('has four stages, each a folder with one file a part', () => {
    expect(STAIR_STAGES.map((stage) => stage.files.length)).toEqual([3, 6, 6, 6]);
    for (const stage of STAIR_STAGES) for (const file of stage.files) expect(file.tracks).toHaveLength(1);
  });
});

interface Judged {
  readonly stage: Stage;
  readonly findings: readonly Finding[];
}

describe('what is found', () => {
  let arrangement: Arrangement;
  let judged: readonly (Judged & Parameters<typeof compareStages>[0])[] = [];

  beforeAll(async () => {
    arrangement = await stairArrangement();
    const { limits, accepted } = arrangement;
    judged = arrangement.stages.map((stage) => {
      const written = notated(stage);
      const readings = analyseStage(stage, written);
      return { stage, written, readings, findings: adviseStage({ stage, written, readings, limits, accepted }) };
    });
  });

  function standsIn({ stage, findings }: Judged, flaw: Flaw): boolean {
    return findings.some(
      (finding) =>
        finding.rule === flaw.rule &&
        finding.from === flaw.from &&
        finding.to === flaw.to &&
        flaw.parts.every((name) =>
          stage.parts.some(
            (part) => finding.partIds.includes(part.id) && part.tracks.some((track) => track.name === name),
          ),
        ),
    );
  }

  it.each(STAIR_FLAWS)('$rule in bars $from-$to: found in the third stage, gone from the fourth', (flaw) => {
    expect(standsIn(judged[2]!, flaw)).toBe(true);
    expect(judged[3]!.findings.filter((finding) => finding.rule === flaw.rule)).toEqual([]);
  });

  it('the harp is late in the third stage and in the fourth, and that is what the fourth has left to look at', () => {
    expect(standsIn(judged[2]!, STAIR_LEFT)).toBe(true);
    const serious = judged[3]!.findings.filter((finding) => finding.level !== 'note');
    expect(serious.map(({ rule, from, to }) => ({ rule, from, to }))).toEqual([
      { rule: STAIR_LEFT.rule, from: STAIR_LEFT.from, to: STAIR_LEFT.to },
    ]);
  });

  it.each([0, 1])('stage %i (counted from 0) has nothing to fix or to look at', (index) => {
    const serious = judged[index]!.findings.filter((finding) => finding.level !== 'note');
    expect(serious.map((finding) => finding.message)).toEqual([]);
  });

  it('the changes from the third to the fourth stage say which findings went and which one stays', () => {
    const { findings } = compareStages(judged[2]!, judged[3]!);
    const went = findings.went.map((index) => judged[2]!.findings[index]!.rule);
    expect(went).toEqual(expect.arrayContaining(STAIR_FLAWS.map((flaw) => flaw.rule)));
    expect(findings.stayed.map(([, after]) => judged[3]!.findings[after]!.rule)).toContain(STAIR_LEFT.rule);
    expect(findings.appeared.filter((index) => judged[3]!.findings[index]!.level !== 'note')).toEqual([]);
  });

  it('reads the Italian names, a clarinet in A among them, and who is in front in which bars', () => {
    for (const stage of arrangement.stages) {
      for (const part of stage.parts) {
        expect(part.instrument).toBe(STAIR_INSTRUMENTS[part.tracks[0]!.name]);
        expect(part.players).toBe(1);
      }
      expect(stage.questions).toEqual([]);
    }
    const current = arrangement.stages.at(-1)!;
    const clarinet = current.parts.find((part) => part.instrument === 'clarinet-a')!;
    // A clarinet in A sounds a minor third lower than written.
    expect(clarinet.transposition.semitones).toBe(-3);
    const nameOf = (id: string): string => current.parts.find((part) => part.id === id)!.name;
    expect(current.foreground.map(({ partId, from, to }) => [nameOf(partId), from, to])).toEqual([
      ['Clarinet in A', 0, 16],
      ['Viola', 17, 24],
      ['Clarinet in A', 25, 40],
    ]);
  });

  it('has decisions and questions in the notes, and a remark for every stage', () => {
    const kinds = arrangement.memos.map((memo) => memo.kind);
    for (const kind of ['remark', 'decision', 'question'] as const) expect(kinds).toContain(kind);
    for (const stage of arrangement.stages) expect(stage.remark).toBeDefined();
  });
});
