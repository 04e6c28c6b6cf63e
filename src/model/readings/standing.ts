/** How many findings stand, by level: those that were judged and accepted are no longer open. */
import type { Finding, FindingLevel } from './readings.ts';

export function standingByLevel(findings: readonly Finding[]): Readonly<Record<FindingLevel, number>> {
  const open = findings.filter(({ accepted }) => accepted === undefined);
  const count = (level: FindingLevel): number => open.filter((finding) => finding.level === level).length;
  return { fix: count('fix'), look: count('look'), note: count('note') };
}
