/** Findings grouped by how much they ask for; accepted ones are listed as accepted. */
import { agreeing, barSpanText, counted, listText } from '../../../model/words/plain-words.ts';
import type { Memo } from '../../../model/music/arrangement.ts';
import type { Finding } from '../../../model/readings/readings.ts';
import { differenceText, outcomeText, standingOfFinding, type Standing } from '../../answers/standing.ts';
import { choicesOf, findingRows, subjectOf, type FindingRow, type FindingSubject } from './finding-rows.ts';
import { noteLink, notesAbout, type NoteLink } from '../page-frame/notes-section.ts';
import { placeLinks } from '../page-frame/place-links.ts';
import { barLink, type Link, type Run, type SheetSection } from '../page-frame/sheet.ts';
import { downloadsOf, type StageContext } from '../page-frame/stage-context.ts';
import { trustedMarkup, type TrustedMarkup } from '../../trusted-markup.ts';

interface ShownFinding {
  readonly number: number;
  readonly title: string;
  /** What it is about, for the choice that the page's script offers. */
  readonly subject: FindingSubject;
  readonly rule: string;
  /** Ids of its parts with spaces between, for answers. */
  readonly partIds: string;
  readonly ruleHref: string;
  /** Leads to the reduced score, or to the bar where no score shows it. */
  readonly bars: Run;
  /** Numbers of its first and last bar. */
  readonly from: number;
  readonly to: number;
  readonly ways: readonly Link[];
  readonly parts: string;
  readonly message: string;
  readonly advice: string;
  readonly accepted: string;
  /** What became of what readers answered; '' where nobody did. */
  readonly answered: string;
  readonly notes: readonly NoteLink[];
  /** None, one of its bars, or those of its first, worst and last place. */
  readonly pictures: readonly { readonly svg: TrustedMarkup; readonly text: string }[];
}

interface FindingGroup {
  readonly id: string;
  readonly level: string;
  readonly heading: string;
  readonly intro: string;
  readonly count: number;
  readonly rows: readonly FindingRow<ShownFinding>[];
}

const GROUPS: readonly (Omit<FindingGroup, 'count' | 'rows'> & { readonly has: (finding: Finding) => boolean })[] = [
  {
    id: 'findings-fix',
    level: 'fix',
    heading: 'Must fix',
    intro: 'Unplayable or inaudible as written.',
    has: (finding) => finding.level === 'fix' && finding.accepted === undefined,
  },
  {
    id: 'findings-look',
    level: 'look',
    heading: 'To check',
    intro: 'Possibly intentional; please check.',
    has: (finding) => finding.level === 'look' && finding.accepted === undefined,
  },
  {
    id: 'findings-note',
    level: 'note',
    heading: 'For information',
    intro: 'No action needed; useful before rehearsal.',
    has: (finding) => finding.level === 'note' && finding.accepted === undefined,
  },
  {
    id: 'findings-accepted',
    level: 'accepted',
    heading: 'Accepted',
    intro: 'Reviewed and intentional.',
    has: (finding) => finding.accepted !== undefined,
  },
];

/** Parts that are named beside its title; its sentence may have more. */
const MOST_NAMED = 4;

/** A finding over more bars than this is about its parts, not about a place. */
const ONE_PLACE_BARS = 12;

/** Notes about the place of a finding and its parts; of one that is about a part all along, only those that name the part. */
function notesBeside(
  context: StageContext,
  { from, to, partIds }: Finding,
  answers: readonly Memo[],
): readonly NoteLink[] {
  const about = notesAbout(context, from, to, partIds, (memo) => memo.answer?.finding === undefined);
  const own = to - from < ONE_PLACE_BARS ? about : about.filter(({ namesParts }) => namesParts);
  return [...answers.map((memo) => noteLink(context, memo)), ...own];
}

/** What readers make of a finding, in sentences; '' where nobody answered. */
function answeredText(standing: Standing, findings: readonly Finding[]): string {
  const outcomes = standing.answers.map((memo) => outcomeText(memo, findings));
  const said = [differenceText(standing), ...new Set(outcomes)];
  return said.filter((text) => text !== '').join(' ');
}

/** The section "Findings". Findings are numbered in the order in which they came, so that charts can name them. */
export function findingsSection(context: StageContext): SheetSection {
  const { pictures = [] } = context.published;
  const titles = new Map(context.rules.map((rule) => [rule.name, rule.title]));
  const shown = context.published.findings.map((finding, index) => {
    const { ways, inScore } = placeLinks(context, `f${String(index + 1)}`);
    const barsText = barSpanText(finding.from, finding.to);
    const standing = standingOfFinding(finding, context.memos);
    const item = {
      number: index + 1,
      title: titles.get(finding.rule) ?? finding.rule,
      subject: subjectOf(context.published.stage, finding),
      rule: finding.rule,
      partIds: finding.partIds.join(' '),
      ruleHref: titles.has(finding.rule) ? `judged.html#rule-${finding.rule}` : '',
      from: finding.from,
      to: finding.to,
      bars: inScore === '' ? barLink(finding.from, barsText) : { text: barsText, href: inScore },
      ways,
      parts: listText(finding.partIds.map(context.partName), MOST_NAMED),
      message: finding.message,
      advice: finding.advice,
      accepted: finding.accepted ?? '',
      answered: answeredText(standing, context.published.findings),
      notes: notesBeside(context, finding, standing.answers),
      pictures: pictures
        .filter((picture) => picture.finding === index)
        .map(({ svg, text }) => ({ svg: trustedMarkup(svg), text })),
    } satisfies ShownFinding;
    return { finding, shown: item };
  });
  const groups = GROUPS.map(({ has, ...group }): FindingGroup => ({
    ...group,
    count: shown.filter(({ finding }) => has(finding)).length,
    rows: findingRows(
      context,
      shown.filter(({ finding }) => has(finding)),
    ),
  })).filter((group) => group.count > 0);
  const ruleCount = counted(context.rules.length, 'check');
  const ran = agreeing(context.rules.length, 'was', 'were');
  return {
    id: 'findings',
    heading: 'Findings',
    partial: 'findings.njk',
    downloads: downloadsOf(context, [{ name: 'findings', label: 'Findings as CSV' }]),
    body: {
      intro:
        groups.length === 0
          ? `Nothing was found: ${ruleCount} ${ran} run on this stage.`
          : `${ruleCount} ${ran} run on this stage. They advise; the arranger decides, and on playability the player has the last word.`,
      judgedHref: 'judged.html',
      groups,
      choices: choicesOf(
        context.published.stage,
        shown.map((item) => item.shown.subject),
        groups.map(({ level, heading }) => [level, heading]),
      ),
    },
  };
}
