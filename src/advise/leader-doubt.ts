/** What follows from a guessed leader carries the doubt: it is never to fix, and where the guess is weak it is asked, not said. */
import type { ForegroundSpan } from '../model/music/arrangement.ts';
import type { RuleName } from '../model/readings/rule-names.ts';
import type { DraftFinding } from './rule.ts';

/** Rules whose findings stand and fall with who leads. */
const REST_ON_LEADER: ReadonlySet<RuleName> = new Set([
  'background-as-loud',
  'background-covers',
  'background-above-melody',
  'far-from-foreground',
  'foreground-ends-first',
  'hollow-without-foreground',
  'support-over-lead',
  'entry-off-phrase',
]);

/** From this share of a finding's bars on, weak guesses make it one. */
const WEAK_SHARE = 0.5;

function barsOfIn({ from, to }: Pick<DraftFinding, 'from' | 'to'>, span: ForegroundSpan): number {
  return Math.max(0, Math.min(to, span.to) - Math.max(from, span.from) + 1);
}

/** The finding as the certainty of the leader allows; undefined where it is withheld. */
export function asSureAsLeader<Draft extends Pick<DraftFinding, 'from' | 'to' | 'level'>>(
  rule: RuleName,
  draft: Draft,
  foreground: readonly ForegroundSpan[],
): Draft | undefined {
  if (!REST_ON_LEADER.has(rule)) return draft;
  const guessed = foreground.filter((span) => span.certainty < 1 && barsOfIn(draft, span) > 0);
  if (guessed.length === 0) return draft;
  const weakBars = guessed.reduce((sum, span) => sum + (span.weak ? barsOfIn(draft, span) : 0), 0);
  if (weakBars >= WEAK_SHARE * (draft.to - draft.from + 1)) return undefined;
  return draft.level === 'fix' ? { ...draft, level: 'look' } : draft;
}
