/**
 * In which order findings stand: the gravest level first; within a level the worst of every rule before the second worst of any, rules in the order
 * of their list (`all-rules`). Above twenty findings the page of checks gathers them by check (`publish/page-data/findings/finding-rows`).
 */
import type { FindingLevel } from '../model/readings/readings.ts';
import { asSureAsLeader } from './leader-doubt.ts';
import type { DraftFinding, Rule, RuleContext } from './rule.ts';

const LEVEL_ORDER: Readonly<Record<FindingLevel, number>> = { fix: 0, look: 1, note: 2 };

export interface Judged {
  readonly draft: DraftFinding;
  readonly rule: Rule;
  /** 0 for the worst finding of its rule and level, 1 for the next ... */
  readonly place: number;
}

/** Findings of one rule, the worst of each level first. */
export function judgedBy(rule: Rule, context: RuleContext): readonly Judged[] {
  const counts = new Map<FindingLevel, number>();
  return rule
    .find(context)
    .flatMap((draft) => asSureAsLeader(rule.name, draft, context.stage.foreground) ?? [])
    .sort((a, b) => b.amount - a.amount || a.from - b.from)
    .map((draft) => {
      const place = counts.get(draft.level) ?? 0;
      counts.set(draft.level, place + 1);
      return { draft, rule, place };
    });
}

/** For `sort`, which leaves what is equal in the order of the rules. */
export function inOrder(a: Judged, b: Judged): number {
  return LEVEL_ORDER[a.draft.level] - LEVEL_ORDER[b.draft.level] || a.place - b.place;
}
