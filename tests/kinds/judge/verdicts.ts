/**
 * What a reader said of each finding, kept by folder in `tests/kinds/verdicts`, so that the next run needs a reader for what is new alone.
 * Where no reader was, a finding that tells a planted flaw is true and one that the truth rules out is false.
 */
import { existsSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import type { FindingLevel } from '../../../src/model/readings/readings.ts';
import type { Bars, CleanPoint, KindFolder, PlantedFlaw } from '../kind.ts';
import type { JudgedKind, SaidFinding } from './judge-kind.ts';

export type Verdict = 'true' | 'defensible' | 'false' | 'unread';

export interface ReadVerdict {
  readonly rule: string;
  readonly level: FindingLevel;
  readonly bars: Bars;
  /** Tracks of its parts, in alphabetical order. */
  readonly parts: readonly string[];
  readonly verdict: Exclude<Verdict, 'unread'>;
  readonly why: string;
}

export interface FindingVerdict {
  readonly finding: SaidFinding;
  readonly verdict: Verdict;
  readonly why: string;
  readonly by: 'reader' | 'near' | 'flaw' | 'clean' | 'nobody';
}

/** A verdict is carried over to a finding of the same rule, level and parts whose bars are shared to this extent. */
const SAME_BARS = 0.6;

function verdictFile(id: string): string {
  return join(resolve('tests/kinds/verdicts'), `${id}.json`);
}

function verdictsOf(id: string): readonly ReadVerdict[] {
  const path = verdictFile(id);
  return existsSync(path) ? (JSON.parse(readFileSync(path, 'utf8')) as ReadVerdict[]) : [];
}

function sharedBars(a: Bars, b: Bars): number {
  return Math.max(0, Math.min(a[1], b[1]) - Math.max(a[0], b[0]) + 1);
}

const barCount = ([from, to]: Bars): number => to - from + 1;

/** A sweep over half the piece says nothing of a passage in it: too long for a flaw of these bars. */
function isSweep(bars: Bars, flaw: PlantedFlaw, pieceBars: number): boolean {
  return barCount(bars) > pieceBars / 2 && barCount(bars) > 1.5 * barCount(flaw.bars);
}

/** True where the finding is of a fitting rule, stands in the bars of the flaw and names its part. */
export function tellsFlaw(finding: SaidFinding, flaw: PlantedFlaw, pieceBars: number): boolean {
  const bars: Bars = [finding.from, finding.to];
  return (
    flaw.rules.includes(finding.rule) &&
    sharedBars(bars, flaw.bars) > 0 &&
    !isSweep(bars, flaw, pieceBars) &&
    (flaw.parts.length === 0 || flaw.parts.some((part) => finding.tracks.includes(part)))
  );
}

/** True where the truth of the folder says that this must not be said. */
function isRuledOut(finding: SaidFinding, point: CleanPoint): boolean {
  return (
    (point.rules === 'any' || point.rules.includes(finding.rule)) &&
    (point.parts === undefined || point.parts.some((part) => finding.tracks.includes(part))) &&
    (point.bars === undefined || (finding.from >= point.bars[0] && finding.to <= point.bars[1]))
  );
}

function readBy(finding: SaidFinding, verdicts: readonly ReadVerdict[]): FindingVerdict | undefined {
  const bars: Bars = [finding.from, finding.to];
  const alike = verdicts.filter(
    (each) =>
      each.rule === finding.rule && each.level === finding.level && each.parts.join('|') === finding.tracks.join('|'),
  );
  const exact = alike.find((each) => each.bars[0] === bars[0] && each.bars[1] === bars[1]);
  if (exact !== undefined) return { finding, verdict: exact.verdict, why: exact.why, by: 'reader' };
  const near = alike.find((each) => {
    const shared = sharedBars(each.bars, bars);
    return shared / (barCount(each.bars) + barCount(bars) - shared) >= SAME_BARS;
  });
  return near === undefined ? undefined : { finding, verdict: near.verdict, why: near.why, by: 'near' };
}

function verdictOn(
  finding: SaidFinding,
  folder: KindFolder,
  pieceBars: number,
  verdicts: readonly ReadVerdict[],
): FindingVerdict {
  const read = readBy(finding, verdicts);
  if (read !== undefined) return read;
  const flaw = folder.truth.flaws.find((each) => tellsFlaw(finding, each, pieceBars));
  if (flaw !== undefined) return { finding, verdict: 'true', why: `planted: ${flaw.say}`, by: 'flaw' };
  const point = folder.truth.clean.find((each) => isRuledOut(finding, each));
  if (point !== undefined) return { finding, verdict: 'false', why: point.say, by: 'clean' };
  return { finding, verdict: 'unread', why: '', by: 'nobody' };
}

/** A verdict on every finding of the folder. */
export function verdictsOn({ folder, findings, bars }: JudgedKind): readonly FindingVerdict[] {
  const read = verdictsOf(folder.id);
  return findings.map((finding) => verdictOn(finding, folder, bars.length, read));
}
