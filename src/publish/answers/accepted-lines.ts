/** What readers accepted in their answers, as items of the setting `accepted`: offered, and put in force by nobody but the arranger. */
import { stringify } from 'yaml';
import type { Memo } from '../../model/music/arrangement.ts';
import type { Finding } from '../../model/readings/readings.ts';
import { cleanText } from '../../read/clean-text.ts';
import type { AcceptedSetting } from '../../read/settings/settings.ts';
import { standingOfFinding } from './standing.ts';

/** Longest reason that the setting takes, less the name. */
const LONGEST_REASON = 1900;

/** An item as it is written in YAML. */
export interface OfferedAcceptance extends Omit<AcceptedSetting, 'bars'> {
  readonly bars: string;
}

function offerOf({ rule, from, to, partIds }: Finding, { markdown, answer }: Memo): OfferedAcceptance {
  const words = cleanText(markdown, LONGEST_REASON);
  const by = answer?.from === undefined || answer.from === '' ? 'accepted by a reader' : `accepted by ${answer.from}`;
  return {
    rule,
    bars: from === to ? String(from) : `${String(from)}-${String(to)}`,
    ...(partIds.length === 0 ? {} : { parts: partIds }),
    reason: words === '' ? by : `${words} (${by})`,
  };
}

/** One item for each finding that all who answered it accept and the settings do not yet; `memos` are those of its stage. */
export function offeredAcceptances(findings: readonly Finding[], memos: readonly Memo[]): readonly OfferedAcceptance[] {
  return findings.flatMap((finding) => {
    if (finding.accepted !== undefined) return [];
    const { kind, answers } = standingOfFinding(finding, memos);
    const last = answers.findLast((memo) => memo.kind !== 'remark');
    return kind === 'answered' && last?.kind === 'accepted' ? [offerOf(finding, last)] : [];
  });
}

/** The same as lines of YAML that may stand under `accepted:`. */
export function acceptanceLines(offered: readonly OfferedAcceptance[]): readonly string[] {
  return offered.flatMap((item) =>
    stringify([item], { lineWidth: 0 })
      .trimEnd()
      .split('\n')
      .map((line) => `  ${line}`),
  );
}
