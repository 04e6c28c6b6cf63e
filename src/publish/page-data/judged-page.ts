/** How it was judged: every rule, whether or not it found anything, and the published sources of the limits. */
import { catalogue } from '../../model/catalogue.ts';
import { barSpanText, counted } from '../../model/plain-words.ts';
import type { FindingLevel } from '../../model/readings.ts';
import type { DossierInput, PublishedRule } from '../dossier-input.ts';
import { cell, type LinkedTable, type Run, type SheetSection } from './sheet.ts';

const LEVELS: Readonly<Record<FindingLevel, string>> = { fix: 'to fix', look: 'to look at', note: 'to note' };

function limitSentences(rule: PublishedRule, limits: Readonly<Record<string, number>>): readonly string[] {
  const own = limits[rule.name];
  const set = own === undefined ? [] : [`Set to ${String(own)} in the settings of this folder.`];
  return [...rule.limits, ...set];
}

function foundRuns(input: DossierInput, rule: PublishedRule): readonly Run[] {
  const current = input.stages.at(-1);
  const found =
    current?.findings.flatMap((finding, index) =>
      finding.rule === rule.name ? [{ finding, number: index + 1 }] : [],
    ) ?? [];
  if (found.length === 0) return cell('Nothing in the current stage.');
  return [
    { text: `${counted(found.length, 'finding')} in the current stage: `, href: '' },
    ...found.flatMap(({ finding, number }, index): readonly Run[] => [
      { text: index === 0 ? '' : ', ', href: '' },
      { text: barSpanText(finding.from, finding.to), href: `index.html#finding-${String(number)}` },
    ]),
  ];
}

function sourceTable(): LinkedTable {
  return {
    caption: 'Sources of the instrument catalogue',
    columns: ['Source', 'Year', 'Basis', 'Where'].map((label) => ({ label, isNumeric: false })),
    rows: Object.values(catalogue.sources).map((source) => [
      cell(source.title),
      cell(source.year === undefined ? '' : String(source.year)),
      cell(source.basis),
      cell(source.where ?? ''),
    ]),
    remark: '',
  };
}

/** The sections of the page "How it was judged". */
export function judgedSections(input: DossierInput): readonly SheetSection[] {
  return [
    {
      id: 'rules',
      heading: 'Rules',
      partial: 'rules.njk',
      downloads: [],
      body: {
        intro:
          'Each rule looks at one thing and says where it met it. A rule gives a reason to look again, no verdict: the arranger decides, and on what can be played the player does. Beats are counted as they are felt, dotted ones in 6/8, 9/8 and 12/8; a place between two of those is named by its eighth.',
        rules: input.rules.map((rule) => ({
          name: rule.name,
          title: rule.title,
          level: LEVELS[rule.level],
          looksAt: rule.looksAt,
          why: rule.why,
          limits: limitSentences(rule, input.arrangement.limits),
          source: rule.source,
          found: foundRuns(input, rule),
        })),
      },
    },
    {
      id: 'sources',
      heading: 'Sources',
      partial: 'linked-table.njk',
      downloads: [],
      body: {
        intro:
          'Ranges, registers, breath and sound power of the instruments come from these; “from memory” marks what was not read off a page.',
        table: sourceTable(),
      },
    },
  ];
}
