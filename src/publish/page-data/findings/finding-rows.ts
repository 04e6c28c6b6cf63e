/** Findings at length: a row for each check with its places on the bars of the piece, opening to the findings; and what they can be chosen by. */
import { familyName } from '../../../draw/chart/family-colours/families.ts';
import { element, round } from '../../../draw/svg.ts';
import type { Stage } from '../../../model/music/arrangement.ts';
import { barSpanText, counted } from '../../../model/words/plain-words.ts';
import type { Finding } from '../../../model/readings/readings.ts';
import { trustedMarkup, type TrustedMarkup } from '../../trusted-markup.ts';
import type { StageContext } from '../page-frame/stage-context.ts';

/** From more findings than this on they are told by check. */
const MOST_SINGLY = 20;
/** From so many on the page's script offers to choose among them. */
const FEWEST_TO_CHOOSE = 8;

const STRIP = { width: 600, height: 16 };
/** Least width of a tick, so that one bar of a thousand is seen. */
const LEAST_TICK = 2.4;

export interface FindingRow<Shown> {
  /** The check; '' where findings are told one by one. */
  readonly title: string;
  /** `5 places, bars 12 to 96`. */
  readonly places: string;
  readonly strip: TrustedMarkup;
  readonly findings: readonly Shown[];
}

/** The bars of the piece as a line, sections as strokes through it, a tick over the bars of each finding. */
function stripOf(stage: Stage, findings: readonly Finding[]): string {
  const { bars } = stage.timeline;
  const unit = STRIP.width / Math.max(1, bars.length);
  const x = (bar: number): number => (bar - (bars[0]?.number ?? 0)) * unit;
  const sections = stage.sections.slice(1).map(({ from }) => `M${round(x(from))} 1V${String(STRIP.height - 1)}`);
  const ticks = findings.map(({ from, to }) => {
    const width = Math.max(LEAST_TICK, (to - from + 1) * unit);
    return `M${round(Math.min(x(from), STRIP.width - width))} 3h${round(width)}v10h-${round(width)}z`;
  });
  const line = element('path', {
    class: 'check-line',
    d: `M0 ${String(STRIP.height / 2)}H${String(STRIP.width)}${sections.join('')}`,
  });
  return element(
    'svg',
    {
      class: 'check-strip',
      viewBox: `0 0 ${String(STRIP.width)} ${String(STRIP.height)}`,
      preserveAspectRatio: 'none',
      'aria-hidden': 'true',
      focusable: 'false',
    },
    line + element('path', { class: 'check-ticks', d: ticks.join('') }),
  );
}

function placesText(findings: readonly Finding[]): string {
  const [from, to] = [Math.min(...findings.map((one) => one.from)), Math.max(...findings.map((one) => one.to))];
  return `${counted(findings.length, 'place')}, ${barSpanText(from, to)}`;
}

/** Findings of one level in rows: one a check, in the order of their first places, where the stage has many; else one row without a title. */
export function findingRows<Shown extends { readonly title: string }>(
  context: StageContext,
  items: readonly { readonly finding: Finding; readonly shown: Shown }[],
): readonly FindingRow<Shown>[] {
  const standing = context.published.findings.filter(({ accepted }) => accepted === undefined);
  if (standing.length <= MOST_SINGLY) {
    return [{ title: '', places: '', strip: trustedMarkup(''), findings: items.map(({ shown }) => shown) }];
  }
  const rules = [...new Set(items.map(({ finding }) => finding.rule))];
  return rules.map((rule) => {
    const own = items.filter(({ finding }) => finding.rule === rule);
    const findings = own.map(({ finding }) => finding);
    return {
      title: own[0]?.shown.title ?? rule,
      places: placesText(findings),
      strip: trustedMarkup(stripOf(context.published.stage, findings)),
      findings: own.map(({ shown }) => shown),
    };
  });
}

/** What a finding is about, as words that the page's script compares; a finding about nobody is about everybody. */
export interface FindingSubject {
  readonly parts: string;
  readonly families: string;
  readonly sections: string;
}

/** Ids of parts and families, and numbers of sections counted from 1, with spaces between. */
export function subjectOf(stage: Stage, { partIds, from, to }: Finding): FindingSubject {
  const parts = partIds.length === 0 ? stage.parts : stage.parts.filter(({ id }) => partIds.includes(id));
  const sections = stage.sections.flatMap((section, index) =>
    section.from <= to && section.to >= from ? [String(index + 1)] : [],
  );
  return {
    parts: parts.map(({ id }) => id).join(' '),
    families: [...new Set(parts.map(({ family }) => family))].join(' '),
    sections: sections.join(' '),
  };
}

/** What can be chosen, as JSON for the page's script: `{part: [[value, label]…], …}`; '' where there is too little to choose from. */
export function choicesOf(
  stage: Stage,
  subjects: readonly FindingSubject[],
  levels: readonly (readonly [string, string])[],
): string {
  if (subjects.length < FEWEST_TO_CHOOSE) return '';
  const met = (key: keyof FindingSubject): ReadonlySet<string> =>
    new Set(subjects.flatMap((subject) => subject[key].split(' ')));
  const [parts, families, sections] = [met('parts'), met('families'), met('sections')];
  return JSON.stringify({
    part: stage.parts.filter(({ id }) => parts.has(id)).map(({ id, name }) => [id, name]),
    family: [...new Set(stage.parts.map(({ family }) => family))]
      .filter((family) => families.has(family))
      .map((family) => [family, familyName(family)]),
    section: stage.sections.flatMap(({ name }, index) =>
      sections.has(String(index + 1)) ? [[String(index + 1), name]] : [],
    ),
    level: levels,
  });
}
