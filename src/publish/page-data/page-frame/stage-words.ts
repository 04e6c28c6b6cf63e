/** What is said of a stage in few words, in several places. */
import { median } from '../../../model/music/dynamics.ts';
import { counted, listText, minutesText } from '../../../model/words/plain-words.ts';
import type { Finding, FindingLevel } from '../../../model/readings/readings.ts';
import { standingByLevel } from '../../../model/readings/standing.ts';
import { barCountText } from '../../numbers-and-names.ts';
import { type StageContext } from './stage-context.ts';

/** What a level is called. */
export const LEVEL_WORDS: Readonly<Record<FindingLevel, string>> = {
  fix: 'must fix',
  look: 'to check',
  note: 'for information',
};

/** `3 to fix, 5 to check and 2 for information`; '' where none stands. */
export function findingsText(findings: readonly Finding[]): string {
  const words: readonly (readonly [FindingLevel, string])[] = [
    ['fix', 'to fix'],
    ['look', 'to check'],
    ['note', 'for information'],
  ];
  const standing = standingByLevel(findings);
  return listText(
    words.flatMap(([level, word]) => (standing[level] === 0 ? [] : [`${String(standing[level])} ${word}`])),
  );
}

/** Names of the parts that are in front, in the order in which they first are. */
export function foregroundNames(context: StageContext): readonly string[] {
  return [...new Set(context.published.stage.foreground.map((span) => span.partId))].map(context.partName);
}

/** Median of the bars' margins in dB; undefined where no bar has one. */
export function medianMarginDb(context: Pick<StageContext, 'published'>): number | undefined {
  return median(context.published.readings.balance.flatMap((bar) => bar.marginDb ?? []));
}

/** `48 bars and a pickup, 2:34; 11 parts, 18 players.` */
export function sizeText(context: StageContext): string {
  const { stage } = context.published;
  const size = `${barCountText(stage.timeline.bars)}, ${minutesText(stage.seconds)}`;
  if (stage.parts.length === 0) return `${size}.`;
  const players = stage.parts.reduce((sum, part) => sum + part.players, 0);
  return `${size}; ${counted(stage.parts.length, 'part')}, ${counted(players, 'player')}.`;
}
