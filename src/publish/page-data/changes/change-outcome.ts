/** What came of a step from one stage to another: measures before and after, findings that came, went and stayed. */
import { pitchLabel, plainSpelling } from '../../../model/music/pitch.ts';
import { agreeing, barSpanText, counted, inSentence, listText, minutesText } from '../../../model/words/plain-words.ts';
import type { Finding, FindingCause, StageMeasures } from '../../../model/readings/readings.ts';
import type { PublishedStage } from '../../dossier-input.ts';
import { agreeingWith } from '../../../model/words/part-grammar.ts';
import { barCountText, decimalText, partNamer, signedDbText } from '../../numbers-and-names.ts';
import { findingsText, LEVEL_WORDS } from '../page-frame/stage-words.ts';
import type { Step } from './change-words.ts';
import type { Link } from '../page-frame/sheet.ts';

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

/** What differs before and after, a row each, and in one sentence what does not ('' for nothing). */
export function comparisons(step: Step): { readonly rows: readonly Comparison[]; readonly asBefore: string } {
  const all = measured(step);
  const same = all.filter(({ before, after }) => before === after && after !== '–');
  const texts = same.map(({ label, after }) => `${inSentence(label)}: ${after}`);
  return {
    rows: all.filter(({ before, after }) => before !== after),
    asBefore: texts.length === 0 ? '' : `As before: ${texts.join('; ')}.`,
  };
}

function measured({ change, before, after }: Step): readonly Comparison[] {
  const { measures, parts } = change;
  // Of a part that is two now one may lead and the other stand behind it, the sound being the same.
  const isRegrouped = parts.split.length + parts.joined.length > 0;
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
    ...(isRegrouped
      ? []
      : [
          numbers('Median margin of the foreground (estimated)', ({ marginDb }) =>
            marginDb === undefined ? '–' : signedDbText(marginDb),
          ),
        ]),
    stages('Findings that stand', ({ findings }) => findingsText(findings) || 'none'),
  ];
}

/** More causes than that are no explanation. */
const MOST_CAUSES = 2;

/** ` Cause: the slower tempo.`, ` Cause: what was done to Orgel.`: what let a finding appear or go, with a space before it; '' where nobody can say. */
function causeText(causes: readonly FindingCause[], { change, before, after }: Step): string {
  if (causes.length === 0 || causes.length > MOST_CAUSES) return '';
  const [was, is] = [partNamer(before.stage), partNamer(before.stage, after.stage)];
  const slower = change.tempo.every((one) => one.after < one.before);
  const faster = change.tempo.every((one) => one.after > one.before);
  const texts = causes.map((cause) => {
    switch (cause.kind) {
      case 'tempo':
        return `the ${slower ? 'slower' : faster ? 'faster' : 'other'} tempo`;
      case 'pitch':
        return 'the new pitch';
      case 'meter':
        return 'the other bar lines';
      case 'bars':
        return 'bars that came, went or moved';
      case 'added':
        return `the new part ${is(cause.partId)}`;
      case 'removed':
        return `${was(cause.partId)}, which ${agreeingWith([was(cause.partId)], 'is', 'are')} gone`;
      case 'part':
        return `what was done to ${is(cause.partId)}`;
    }
  });
  // Each of two would do so alone.
  return ` Cause: ${texts.length === 1 ? listText(texts) : `${texts.join(', ')}, or both`}.`;
}

/**
 * Findings that appeared, that weigh otherwise and that went, each with its place on its own page. Of one that is there or not there for nothing that
 * was done nothing is said: it is read otherwise, and the page of the stage has it.
 */
export function findingLists(step: Step, beforeFile: string, afterFile: string): readonly FindingList[] {
  const { appeared, went, unexplained, stayed } = step.change.findings;
  const { causes } = step.change;
  const { findings: before } = step.before;
  const { findings: after } = step.after;
  const list = (
    heading: string,
    findings: readonly Finding[],
    indices: readonly number[],
    file: string,
    lead: (index: number) => string = () => '',
    causesOf?: ReadonlyMap<number, readonly FindingCause[]>,
  ): FindingList => ({
    heading: `${heading}: ${String(indices.length)}`,
    items: indices.slice(0, MOST_FINDINGS).flatMap((index) => {
      const finding = findings[index];
      if (finding === undefined) return [];
      const link = { href: `${file}#finding-${String(index + 1)}`, label: barSpanText(finding.from, finding.to) };
      return [{ link, text: `${lead(index)}${finding.message}${causeText(causesOf?.get(index) ?? [], step)}` }];
    }),
    more:
      indices.length > MOST_FINDINGS
        ? `${counted(indices.length - MOST_FINDINGS, 'more finding')} not listed here.`
        : '',
  });
  const weighed = new Map(
    stayed.flatMap(([then, now]): (readonly [number, string])[] => {
      const old = before[then]?.level;
      const fresh = after[now]?.level;
      if (old === undefined || fresh === undefined || old === fresh) return [];
      return [[now, `${LEVEL_WORDS[fresh]}, before ${LEVEL_WORDS[old]}. `]];
    }),
  );
  const except = (all: readonly number[], some: readonly number[]): readonly number[] =>
    all.filter((index) => !some.includes(index));
  return [
    list(
      'Findings that appeared',
      after,
      except(appeared, unexplained.appeared),
      afterFile,
      undefined,
      causes?.appeared,
    ),
    list(
      'Findings that weigh more or less than before',
      after,
      [...weighed.keys()],
      afterFile,
      (index) => weighed.get(index) ?? '',
    ),
    list(
      'Findings that went where something was done',
      before,
      except(went, unexplained.went),
      beforeFile,
      undefined,
      causes?.went,
    ),
  ].filter(({ items }) => items.length > 0);
}

/** How many findings are still there, and how many came or went of themselves, so that the numbers add up. */
export function stayedText({ change, after }: Step): string {
  const { stayed, appeared, went, unexplained } = change.findings;
  const count = new Set(stayed.map(([then]) => then)).size;
  if (after.findings.length === 0 && went.length === 0) return 'No findings before or after.';
  const ofItself = (indices: readonly number[], what: string): string =>
    indices.length === 0
      ? ''
      : `${counted(indices.length, 'finding')} ${what}, though nothing was done to what ${agreeing(indices.length, 'it speaks', 'they speak')} of.`;
  const still =
    count === 0
      ? unexplained.went.length > 0
        ? ''
        : 'No finding of the earlier stage is still there.'
      : `${counted(count, 'finding')} of the earlier stage ${agreeing(count, 'is', 'are')} still there.`;
  const isAre = agreeing(unexplained.went.length, 'is', 'are');
  return [
    still,
    ofItself(
      unexplained.went.filter((index) => went.includes(index)),
      `of the earlier stage ${isAre} not told again`,
    ),
    ofItself(
      unexplained.appeared.filter((index) => appeared.includes(index)),
      `${agreeing(unexplained.appeared.length, 'is', 'are')} told for the first time`,
    ),
  ]
    .filter((text) => text !== '')
    .join(' ');
}
