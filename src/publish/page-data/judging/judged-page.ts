/** How it was judged: every rule, whether or not it found anything, and the published sources of the limits. */
import { catalogue } from '../../../model/music/catalogue.ts';
import { agreeing, barSpanText, counted } from '../../../model/words/plain-words.ts';
import { RULE_SUBJECTS } from '../../../model/readings/rule-names.ts';
import type { DossierInput, PublishedRule } from '../../dossier-input.ts';
import { cell, type LinkedTable, type Run, type SheetSection } from '../page-frame/sheet.ts';
import { LEVEL_WORDS } from '../page-frame/stage-words.ts';

function limitSentences(rule: PublishedRule, limits: Readonly<Record<string, number>>): readonly string[] {
  const own = limits[rule.name];
  const set = own === undefined ? [] : [`Set to ${String(own)} in the settings of this folder.`];
  return [...rule.limits, ...set].map((limit) => limit.replace(/\.$/, ''));
}

function foundRuns(input: DossierInput, rule: PublishedRule): readonly Run[] {
  const current = input.stages.at(-1);
  const found =
    current?.findings.flatMap((finding, index) =>
      finding.rule === rule.name ? [{ finding, number: index + 1 }] : [],
    ) ?? [];
  return found.flatMap(({ finding, number }, index): readonly Run[] => [
    { text: index === 0 ? '' : ', ', href: '' },
    {
      text: `${barSpanText(finding.from, finding.to)}${finding.accepted === undefined ? '' : ' (accepted)'}`,
      href: `index.html#finding-${String(number)}`,
    },
  ]);
}

/** The source of a rule, then those that its findings name besides: of the ranges of an instrument, say. */
function sourceTexts({ stages }: DossierInput, rule: PublishedRule): readonly string[] {
  const named = stages.flatMap(({ findings }) =>
    findings.flatMap(({ rule: name, source }) => (name === rule.name ? [source] : [])),
  );
  return [...new Set([rule.source, ...named])];
}

/** The gravest level that a rule gave in the current stage. */
function gravestFound(input: DossierInput, rule: PublishedRule): string {
  const levels = input.stages.at(-1)?.findings.flatMap(({ rule: name, level }) => (name === rule.name ? [level] : []));
  return LEVEL_WORDS[(['fix', 'look'] as const).find((level) => levels?.includes(level) === true) ?? 'note'];
}

/** Rules that found something in the current stage, in the order of the list, and how many found nothing. */
function overviewSection(input: DossierInput): SheetSection {
  const rows = input.rules.flatMap((rule) => {
    const found = foundRuns(input, rule);
    return found.length === 0
      ? []
      : [[[{ text: rule.title, href: `#rule-${rule.name}` }], cell(gravestFound(input, rule)), found]];
  });
  const silent = input.rules.length - rows.length;
  const table: LinkedTable = {
    caption: 'Checks that found something in the current stage',
    columns: ['What was met', 'Level', 'Where'].map((label) => ({ label, isNumeric: false })),
    rows,
    remark: '',
  };
  return {
    id: 'overview',
    heading: 'In short',
    partial: rows.length === 0 ? 'sentences.njk' : 'linked-table.njk',
    downloads: [],
    body:
      rows.length === 0
        ? {
            sentences: [
              `${counted(silent, 'check')} ${agreeing(silent, 'was', 'were')} run on the current stage and found nothing.`,
            ],
          }
        : {
            intro: `${counted(input.rules.length, 'check')} ${agreeing(input.rules.length, 'was', 'were')} run on the current stage; ${String(silent)} found nothing. “Must fix” is unplayable or inaudible as written; “to check” is possibly intentional; “for information” asks for nothing. A check gives a reason to look again, no verdict: the arranger decides, and on what can be played the player does.`,
            table,
          },
  };
}

interface Subject {
  readonly id: string;
  readonly heading: string;
  readonly intro: string;
  readonly rules: readonly PublishedRule[];
}

/** The rules by what they are about; whatever stands in no subject comes last. */
function subjectsOf(rules: readonly PublishedRule[]): readonly Subject[] {
  const byName = new Map(rules.map((rule) => [rule.name, rule]));
  const named = new Set<string>(RULE_SUBJECTS.flatMap((subject) => subject.rules));
  const others = rules.filter(({ name }) => !named.has(name));
  return [
    ...RULE_SUBJECTS.map((subject) => ({ ...subject, rules: subject.rules.flatMap((name) => byName.get(name) ?? []) })),
    { id: 'other', heading: 'Other checks', intro: '', rules: others },
  ].filter((subject) => subject.rules.length > 0);
}

function subjectSection(input: DossierInput, { id, heading, intro, rules }: Subject): SheetSection {
  return {
    id: `rules-${id}`,
    heading,
    partial: 'rules.njk',
    downloads: [],
    body: {
      intro,
      rules: rules.map((rule) => {
        const found = foundRuns(input, rule);
        return {
          name: rule.name,
          title: rule.title,
          level: LEVEL_WORDS[rule.level],
          looksAt: rule.looksAt,
          why: rule.why,
          limits: limitSentences(rule, input.arrangement.limits),
          sources: sourceTexts(input, rule),
          found: found.length === 0 ? cell('Nothing in the current stage.') : found,
        };
      }),
    },
  };
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

/** The sections of the page "Checks and sources". */
export function judgedSections(input: DossierInput): readonly SheetSection[] {
  return [
    overviewSection(input),
    ...subjectsOf(input.rules).map((subject) => subjectSection(input, subject)),
    {
      id: 'sources',
      heading: 'Sources',
      partial: 'linked-table.njk',
      downloads: [],
      body: {
        intro:
          'Beats in the checks are counted as they are felt, dotted ones in 6/8, 9/8 and 12/8; a place between two of those is named by its eighth. Ranges, registers, breath and sound power of the instruments come from these; “from memory” marks what was not read off a page.',
        table: sourceTable(),
      },
    },
  ];
}
