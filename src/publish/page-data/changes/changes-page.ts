/** The story from stage to stage: for each step a strip, what was done in sentences, what came of it, and why. */
import { commonBars, type CommonBars } from '../../../analyse/compare/bars/common-bars.ts';
import { drawChange } from '../../../draw/chart/changes/changes-chart.ts';
import { listText, minutesText, fullStop } from '../../../model/words/plain-words.ts';
import type { StageChange } from '../../../model/readings/readings.ts';
import { NO_MEMORY, type Memory } from '../../../model/memory.ts';
import type { DossierInput, PublishedStage } from '../../dossier-input.ts';
import { barCountText } from '../../numbers-and-names.ts';
import { trustedMarkup } from '../../trusted-markup.ts';
import { leadSentence } from './change-lead.ts';
import { comparisons, findingLists, stayedText } from './change-outcome.ts';
import { fitOf, memosAbout, namedIn, reasonsBeside, reasonsOf, withPieces, type ToldMemo } from './change-memos.ts';
import { changeSentences, type Step, type ToldChange } from './change-words.ts';
import { historySection } from './history-section.ts';
import type { SheetSection } from '../page-frame/sheet.ts';
import { stageFileName } from '../page-frame/stage-context.ts';

function startSection(input: DossierInput): readonly SheetSection[] {
  const [first] = input.stages;
  if (first === undefined) return [];
  const names = first.stage.parts.map((part) => part.name);
  const size = `${barCountText(first.stage.timeline.bars)}, ${minutesText(first.stage.seconds)}`;
  return [
    {
      id: 'change-start',
      heading: `Where it began: “${first.stage.title}”`,
      shortHeading: `1 ${first.stage.title}`,
      partial: 'change-start.njk',
      downloads: [],
      body: {
        lead: fullStop(`Stage 1: ${size}${names.length === 0 ? '' : `, for ${listText(names)}`}`),
        remark: first.stage.remark ?? '',
        memos: memosAbout(input, [first], 'change-start'),
        link: { href: stageFileName(input.stages, 0), label: first.stage.title },
      },
    },
  ];
}

/** By so much sentences of a note fit one step better than any other, of 3: parts, bars and deed. */
const CLEARLY = 0.5;

/**
 * Notes about no stage that give a reason for what one step did, by step. A note that fits several steps gives none: nobody knows which
 * of them it means. One whose heading names bars and nobody means the parts that its text names, and new bars and lines that were given
 * before what was done to one part there.
 */
function reasonsWithoutStage(input: DossierInput, steps: readonly Step[]): ReadonlyMap<Step, readonly ToldMemo[]> {
  const memos = memosAbout(input, [], 'change-notes');
  const told = memos.length === 0 ? [] : steps.map((step) => ({ step, sentences: changeSentences(step) }));
  const parts = input.stages.flatMap(({ stage }) => stage.parts);
  const stepsOfMemo = (memo: ToldMemo): readonly { readonly step: Step; readonly memo: ToldMemo }[] => {
    const meant = memo.matter === undefined && memo.memo.partIds.length === 0 ? namedIn(memo.memo.markdown, parts) : [];
    const isMeant = ({ partIds }: ToldChange): boolean =>
      meant.length === 0 || partIds.length === 0 || partIds.some((id) => meant.includes(id));
    const fits = told.flatMap(({ step, sentences }) => {
      const own = sentences.filter((one) => isMeant(one) && reasonsOf(one, [memo]).length > 0);
      if (own.length === 0) return [];
      const fit = Math.max(...own.map((one) => fitOf(one, memo)));
      return [{ step, isAlone: own.every((one) => one.isAlone === true), fit }];
    });
    if (memo.matter !== undefined) {
      const [best, next] = fits.toSorted((one, other) => other.fit - one.fit);
      const isClear = best !== undefined && best.fit - (next?.fit ?? 0) >= CLEARLY;
      return isClear ? [{ step: best.step, memo }] : [];
    }
    const ofAll = memo.memo.partIds.length === 0 ? fits.filter(({ isAlone }) => !isAlone) : [];
    const [only, other] = ofAll.length > 0 ? ofAll : fits;
    return only === undefined || other !== undefined ? [] : [{ step: only.step, memo }];
  };
  const found = withPieces(memos, (memo) => stepsOfMemo(memo).length > 0).flatMap(stepsOfMemo);
  return new Map(steps.map((step) => [step, found.flatMap((each) => (each.step === step ? [each.memo] : []))]));
}

/** What a section of a step is given besides the step itself, all of it plain data but the common bars. */
interface StepGiven {
  readonly id: string;
  /** Of the two stages among all. */
  readonly places: readonly [before: number, after: number];
  /** Their pages. */
  readonly files: readonly [before: string, after: string];
  readonly memos: readonly ToldMemo[];
  readonly reasons: readonly ToldMemo[];
}

/** Where the bars of a stage stand among the common ones. */
function columnsIn({ columnOf }: CommonBars, { stage }: PublishedStage): readonly unknown[] {
  return stage.timeline.bars.map(({ number }) => columnOf(stage.id, number) ?? '');
}

function stepSection(
  input: DossierInput,
  step: Step,
  id: string,
  common: CommonBars,
  memory: Memory,
  reasons: readonly ToldMemo[] = [],
): SheetSection {
  const { before, after, change } = step;
  const places = [input.stages.indexOf(before), input.stages.indexOf(after)] as const;
  const memos = memosAbout(input, input.stages.slice(places[0] + 1, places[1] + 1), id);
  const files = [stageFileName(input.stages, places[0]), stageFileName(input.stages, places[1])] as const;
  const given = { id, places, files, memos, reasons };
  const keys = (): readonly unknown[] => {
    const columns = [common.columns, columnsIn(common, before), columnsIn(common, after)];
    return [before, after, change, JSON.stringify({ given, columns })];
  };
  return memory.recall('told step', keys, () => tellStep(step, common, given));
}

/** The section of a step, from what is given here and from nothing else. */
function tellStep(step: Step, common: CommonBars, { id, places, files, memos, reasons }: StepGiven): SheetSection {
  const { before, after, change } = step;
  const [beforeIndex, afterIndex] = places;
  const isNext = afterIndex === beforeIndex + 1;
  const [beforeFile, afterFile] = files;
  const chart = drawChange(before, after, change, common);
  const sentences = changeSentences(step);
  const told = sentences.filter(({ isSum }) => isSum !== true);
  const whys = reasonsBeside(sentences, memos, reasons);
  const inLine = new Set(whys.flat().map((why) => why.id));
  const { rows, asBefore } = comparisons(step);
  return {
    id,
    heading: `From “${before.stage.title}” to “${after.stage.title}”`,
    ...(isNext ? { shortHeading: `${String(afterIndex + 1)} ${after.stage.title}` } : {}),
    partial: 'change.njk',
    downloads: [],
    body: {
      lead: leadSentence(step, afterIndex + 1, isNext ? undefined : beforeIndex + 1),
      remark: isNext ? (after.stage.remark ?? '') : '',
      memos: memos.filter((memo) => !inLine.has(memo.id)),
      chart: {
        title: chart.title,
        description: chart.description,
        svg: trustedMarkup(chart.svg),
        hasDrawing: chart.svg !== '',
        isShown: told.length > 0,
        legend: chart.legend.map((entry) => ({ sign: trustedMarkup(entry.sign), text: entry.text })),
        table: {
          caption: chart.table.caption,
          columns: chart.table.columns.map((column) => ({ label: column.label, isNumeric: column.numeric })),
          rows: chart.table.rows,
          remark: '',
        },
      },
      // One thing that was done is told in the sentence above.
      why: told.length === 1 ? whys.flat() : [],
      sentences: told.length > 1 ? sentences.map(({ text }, index) => ({ text, why: whys[index] ?? [] })) : [],
      comparisons: rows,
      asBefore,
      findings: findingLists(step, beforeFile, afterFile),
      stayed: stayedText(step),
      beforeLink: { href: beforeFile, label: before.stage.title },
      afterLink: { href: afterFile, label: after.stage.title },
    },
  };
}

function wholePieceSection(input: DossierInput): readonly SheetSection[] {
  const memos = memosAbout(input, [], 'change-notes');
  if (memos.length === 0) return [];
  return [
    {
      id: 'change-notes',
      heading: 'Notes on the whole piece',
      partial: 'change-notes.njk',
      downloads: [],
      body: { memos },
    },
  ];
}

function stepsOf(input: DossierInput, changes: readonly StageChange[]): readonly Step[] {
  const byId = new Map(input.stages.map((published) => [published.stage.id, published]));
  return changes.flatMap((change): Step[] => {
    const before = byId.get(change.before);
    const after = byId.get(change.after);
    return before === undefined || after === undefined ? [] : [{ change, before, after }];
  });
}

/** Comparisons that have a page: in a single file only those with the current stage, or it would grow with the square of the stages. */
function shownComparisons(input: DossierInput, singleFile: boolean): readonly Step[] {
  const current = input.stages.at(-1);
  return stepsOf(input, input.comparisons ?? []).filter(({ after }) => !singleFile || after === current);
}

/** File name of the page that compares two stages, by their indices. */
export function comparisonFileName(before: number, after: number): string {
  return `changes-${String(before + 1)}-to-${String(after + 1)}.html`;
}

function pairFileName({ stages }: DossierInput, { before, after }: Step): string {
  return comparisonFileName(stages.indexOf(before), stages.indexOf(after));
}

/** A list of every two stages, with the place where they are compared. */
function pairsSection(input: DossierInput, steps: readonly Step[], singleFile: boolean): readonly SheetSection[] {
  const distant = shownComparisons(input, singleFile);
  if (distant.length === 0) return [];
  const links = [
    ...steps.map((step, index) => ({ step, href: `changes.html#change-${String(index + 1)}` })),
    ...distant.map((step) => ({ step, href: pairFileName(input, step) })),
  ];
  const rows = input.stages.flatMap((published) => {
    const own = links.filter(({ step }) => step.before === published);
    if (own.length === 0) return [];
    const targets = own
      .sort((a, b) => input.stages.indexOf(a.step.after) - input.stages.indexOf(b.step.after))
      .map(({ step, href }) => ({ href, label: step.after.stage.title }));
    return [{ from: published.stage.title, targets }];
  });
  const isWhole = distant.length === (input.comparisons ?? []).length;
  const intro = isWhole
    ? 'Each stage can be read against any later one.'
    : 'Each stage can be read against the next and against the current one; the dossier as a folder has all pairs.';
  return [
    {
      id: 'change-pairs',
      heading: 'Any two stages',
      partial: 'change-pairs.njk',
      downloads: [],
      body: { intro, rows },
    },
  ];
}

/** A page for every two stages that do not follow one another. */
export function comparisonPages(
  input: DossierInput,
  singleFile: boolean,
  memory: Memory = NO_MEMORY,
): readonly { readonly fileName: string; readonly subheading: string; readonly sections: readonly SheetSection[] }[] {
  return shownComparisons(input, singleFile).map((step) => {
    const common = commonBars([step.before.stage, step.after.stage], [step.change]);
    return {
      fileName: pairFileName(input, step),
      subheading: 'Two stages that do not follow one another',
      sections: [
        stepSection(input, step, 'change-pair', common, memory),
        ...pairsSection(input, stepsOf(input, input.changes), singleFile),
      ],
    };
  });
}

/** Where it began, then a section for each step from one stage to the next, then the notes that belong to no stage. */
export function changesSections(
  input: DossierInput,
  singleFile: boolean,
  memory: Memory = NO_MEMORY,
): readonly SheetSection[] {
  const steps = stepsOf(input, input.changes);
  if (steps.length > 0) {
    const common = commonBars(
      input.stages.map(({ stage }) => stage),
      input.changes,
    );
    const reasons = reasonsWithoutStage(input, steps);
    return [
      ...startSection(input),
      ...steps.map((step, index) =>
        stepSection(input, step, `change-${String(index + 1)}`, common, memory, reasons.get(step)),
      ),
      ...wholePieceSection(input),
      ...pairsSection(input, steps, singleFile),
      ...historySection(input),
    ];
  }
  return [
    ...historySection(input),
    {
      id: 'change-none',
      heading: 'One stage so far',
      partial: 'sentences.njk',
      downloads: [],
      body: { sentences: ['There is only one stage, so there is nothing to compare it with yet.'] },
    },
  ];
}
