/**
 * Style rules that mark a place without a script: all that belongs to the finding, note or bar that the address names. They stand in an element
 * of their own, which the script puts out of force and does the same by a class: whatever changes on a long page, a browser asks rules of this
 * kind about every element of it.
 */
import type { DossierInput } from '../dossier-input.ts';
import { MOST_MARKED_BARS } from '../page-data/score/shown-system.ts';

/** Of longer lists the rest is marked by the script alone: the rules stand in every page. */
const MOST_RULES = 400;

function keysOf(sign: string, count: number): readonly string[] {
  return Array.from({ length: Math.min(MOST_RULES, count) }, (_, index) => `${sign}${String(index + 1)}`);
}

function rulesFor(root: string, keys: readonly string[], declarations: string): string {
  return keys.length === 0
    ? ''
    : `${keys.map((key) => `${root}:has(.at-${key}:target) .${key}`).join(',\n')} { ${declarations} }`;
}

/** Bars of the longest system of all scores. */
function mostBarsInASystem(stages: DossierInput['stages']): number {
  const scores = stages.flatMap(({ score, fullScores }) => [score, ...fullScores.flatMap(({ pages }) => pages)]);
  return Math.max(0, ...scores.flatMap(({ systems }) => systems.map(({ bars }) => bars.length)));
}

/**
 * `at-f3` is the class of every place where a link to finding 3 arrives, `f3` of every place in scores and charts that it is about; `at-b5`
 * and `b5` are those of the sixth bar of a system, within that system.
 */
export function markStyle({ stages, arrangement }: DossierInput): string {
  const findings = Math.max(0, ...stages.map((stage) => stage.findings.length));
  const keys = [...keysOf('f', findings), ...keysOf('n', arrangement.memos.length)];
  const barCount = Math.min(MOST_MARKED_BARS, mostBarsInASystem(stages));
  const bars = Array.from({ length: barCount }, (_, index) => `b${String(index)}`);
  return [rulesFor('.sheet', keys, 'opacity: 1;'), rulesFor('.system', bars, 'fill-opacity: 0.15;')].join('\n');
}
