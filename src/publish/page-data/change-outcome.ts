/** What came of a step from one stage to another: measures before and after, findings that came, went and stayed. */
import { pitchLabel, plainSpelling } from '../../model/pitch.ts';
import { agreeing, barSpanText, counted } from '../../model/plain-words.ts';
import type { Finding, StageMeasures } from '../../model/readings.ts';
import type { PublishedStage } from '../dossier-input.ts';
import { barCountText, decimalText, minutesText, signedDbText } from '../sentences.ts';
import { findingsText } from './at-a-glance.ts';
import type { Step } from './change-words.ts';
import type { Link } from './sheet.ts';

interface Comparison {
  readonly label: string;
  readonly before: string;
  readonly after: string;
}

interface FindingList {
  readonly heading: string;
  readonly items: readonly { readonly link: Link; readonly text: string }[];
  /** '' where all are listed. */
  readonly more: string;
}

const MOST_FINDINGS = 8;

function registerText({ low, high }: StageMeasures): string {
  if (low === undefined || high === undefined) return '–';
  return `${pitchLabel(plainSpelling(low))} to ${pitchLabel(plainSpelling(high))}`;
}

/** Rows of the table "before and after". */
export function comparisons({ change, before, after }: Step): readonly Comparison[] {
  const { measures } = change;
  const stages = (label: string, describe: (published: PublishedStage) => string): Comparison => ({
    label,
    before: describe(before),
    after: describe(after),
  });
  const numbers = (label: string, describe: (measured: StageMeasures) => string): Comparison => ({
    label,
    before: describe(measures.before),
    after: describe(measures.after),
  });
  return [
    stages('Parts', ({ stage }) => String(stage.parts.length)),
    stages('Length', ({ stage }) => `${barCountText(stage.timeline.bars)}, ${minutesText(stage.seconds)}`),
    numbers('Notes in a bar, mean', ({ notesPerBar }) => decimalText(notesPerBar)),
    numbers('Parts that sound in a bar, mean', ({ partsPerBar }) => decimalText(partsPerBar)),
    numbers('Sounding pitch', registerText),
    numbers('Median margin of the foreground (estimated)', ({ marginDb }) =>
      marginDb === undefined ? '–' : signedDbText(marginDb),
    ),
    stages('Findings that stand', ({ findings }) => findingsText(findings) || 'none'),
  ];
}

/** Findings that appeared and that went, each with its place on its own page. */
export function findingLists(step: Step, beforeFile: string, afterFile: string): readonly FindingList[] {
  const { appeared, went } = step.change.findings;
  const list = (
    heading: string,
    findings: readonly Finding[],
    indices: readonly number[],
    file: string,
  ): FindingList => ({
    heading: `${heading}: ${String(indices.length)}`,
    items: indices.slice(0, MOST_FINDINGS).flatMap((index) => {
      const finding = findings[index];
      if (finding === undefined) return [];
      const link = { href: `${file}#finding-${String(index + 1)}`, label: barSpanText(finding.from, finding.to) };
      return [{ link, text: finding.message }];
    }),
    more:
      indices.length > MOST_FINDINGS
        ? `${counted(indices.length - MOST_FINDINGS, 'more finding')} not listed here.`
        : '',
  });
  return [
    list('Findings that appeared', step.after.findings, appeared, afterFile),
    list('Findings that went', step.before.findings, went, beforeFile),
  ].filter(({ items }) => items.length > 0);
}

/** How many findings are still there. */
export function stayedText({ change, after }: Step): string {
  const count = change.findings.stayed.length;
  if (after.findings.length === 0 && change.findings.went.length === 0) return 'No findings before or after.';
  if (count === 0) return 'No finding of the earlier stage is still there.';
  return `${counted(count, 'finding')} of the earlier stage ${agreeing(count, 'is', 'are')} still there.`;
}
