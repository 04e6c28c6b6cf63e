/** Findings of a small stage, as the tests of the rules read them. */
import { adviseStage } from '../../src/advise/advise-stage.ts';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import type { AcceptedFinding, ControllerCurve, Stage } from '../../src/model/music/arrangement.ts';
import type { Finding } from '../../src/model/readings/readings.ts';
import type { ChordSpan } from '../../src/model/music/written.ts';
import { writtenOf } from '../support/written.ts';

export function findingsOf(
  stage: Stage,
  limits: Readonly<Record<string, number>> = {},
  accepted: readonly AcceptedFinding[] = [],
  chords: readonly ChordSpan[] = [],
): readonly Finding[] {
  const written = writtenOf(stage, chords);
  return adviseStage({ stage, written, readings: analyseStage(stage, written), limits, accepted });
}

/** Level and bars of the findings of one rule. */
export function barsOf(findings: readonly Finding[], rule: string): readonly (readonly [string, number, number])[] {
  return findings.filter((finding) => finding.rule === rule).map(({ level, from, to }) => [level, from, to] as const);
}

/** What the first finding of a rule says. */
export function messageOf(findings: readonly Finding[], rule: string): string {
  return findings.find((finding) => finding.rule === rule)?.message ?? '';
}

/** A controller that is set at these places and holds in between. */
export function steps(
  controller: number,
  settingBefore: number,
  ...points: (readonly [number, number])[]
): ControllerCurve {
  return {
    controller,
    settingBefore,
    points: points.map(([quarters, setting]) => ({ quarters, setting })),
  };
}

/** The same pitches over and over, each so long in quarters, through bars `from` to `to` of four quarters. */
export function figure(pitches: string, length: number, from: number, to: number, velocity = 60): string {
  const names = pitches.split(' ');
  const count = Math.round(((to - from + 1) * 4) / length);
  return Array.from(
    { length: count },
    (_, index) => `${names[index % names.length]}:${(from - 1) * 4 + index * length}:${length}:${velocity}`,
  ).join(' ');
}
