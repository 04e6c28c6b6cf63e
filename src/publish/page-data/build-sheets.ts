/** All pages of a dossier as data. A new section is one file here, one template and one line in SECTIONS. */
import type { DossierInput } from '../dossier-input.ts';
import { atAGlanceSection } from './glance/at-a-glance.ts';
import { CLIENT_PAGE, clientSections } from './glance/client-sheet.ts';
import { changesSections, comparisonPages } from './changes/changes-page.ts';
import { balanceSection, entriesSection, registerSection } from './charts/chart-sections.ts';
import { filesSections, FILES_PAGE } from './files-page.ts';
import { findingsSection } from './findings/findings-section.ts';
import { fullScoreSheets } from './score/full-score-pages.ts';
import { harmonySection } from './charts/harmony-section.ts';
import { judgedSections } from './judging/judged-page.ts';
import { musicHash } from '../../model/hashes.ts';
import { NO_MEMORY, type Memory } from '../../model/memory.ts';
import { numberedTitle, sentenceStart } from '../../model/words/plain-words.ts';
import { numbersFileName, numbersSections } from './charts/numbers-page.ts';
import { notesSection } from './page-frame/notes-section.ts';
import { playabilitySection } from './judging/playability-section.ts';
import { rangeSection } from './judging/range-section.ts';
import { readingSection } from './judging/reading-section.ts';
import { scoreSection } from './score/score-section.ts';
import { NO_SKETCHES, pageSketches } from './page-frame/page-sketches.ts';
import type { NavigationLink, Sheet, SheetSection } from './page-frame/sheet.ts';
import { currentFirst, stageContext, stageFileName, type StageContext } from './page-frame/stage-context.ts';

/** The sections of a stage's page, in order. */
const SECTIONS: readonly ((context: StageContext) => SheetSection)[] = [
  atAGlanceSection,
  findingsSection,
  scoreSection,
  registerSection,
  entriesSection,
  balanceSection,
  harmonySection,
  rangeSection,
  playabilitySection,
  notesSection,
  readingSection,
];

function navigation(input: DossierInput, fileName: string): readonly NavigationLink[] {
  const links = [
    ...input.stages.map((published, index) => ({
      href: stageFileName(input.stages, index),
      label: numberedTitle(index + 1, published.stage.title),
    })),
    { href: CLIENT_PAGE, label: 'Client sheet' },
    { href: 'changes.html', label: 'What changed' },
    { href: 'judged.html', label: 'Checks and sources' },
    { href: FILES_PAGE, label: 'Files' },
  ];
  return links.map((link) => ({ ...link, isCurrent: link.href === fileName }));
}

function bylines(input: DossierInput): readonly string[] {
  const { arranger, for: destination, date } = input.arrangement;
  const credit = [
    arranger === undefined ? '' : `arranged by ${arranger}`,
    destination === undefined ? '' : `for ${destination}`,
  ]
    .filter((piece) => piece !== '')
    .join(' ');
  return [sentenceStart(credit), date ?? ''].filter((piece) => piece !== '');
}

function clientKicker({ stages }: DossierInput): string {
  const title = stages.at(-1)?.stage.title ?? '';
  return `Client sheet, stage ${String(stages.length)}: ${title}`;
}

/** The page of a stage, the pages of its full scores and the page of its numbers. */
function stageSheets(input: DossierInput, index: number, singleFile: boolean, memory: Memory): readonly Sheet[] {
  const context = stageContext(input, index, singleFile, memory);
  const { stage, score, pictures = [], proposal } = context.published;
  const fileName = stageFileName(input.stages, index);
  const place = `Stage ${String(index + 1)} of ${String(input.stages.length)}: ${stage.title}`;
  const own: Sheet = {
    fileName,
    kind: 'stage',
    isLandscape: false,
    running: `${input.arrangement.title}, stage ${String(index + 1)}: ${stage.title}`,
    windowTitle: context.isCurrent
      ? input.arrangement.title
      : `${stage.title} (stage ${String(index + 1)}) – ${input.arrangement.title}`,
    kicker: context.isCurrent ? `${place} (current)` : `${place} (earlier)`,
    heading: input.arrangement.title,
    subheading: input.arrangement.subtitle ?? '',
    bylines: bylines(input),
    navigation: navigation(input, fileName),
    sections: SECTIONS.map((section) => section(context)),
    stageId: stage.id,
    music: musicHash(stage, input.arrangement.files),
    sketches: pageSketches(input, index, singleFile),
    glyphs: [
      ...new Set([...score.glyphs, ...(proposal?.score.glyphs ?? []), ...pictures.flatMap(({ glyphs }) => glyphs)]),
    ].sort(),
  };
  // A single file has what it plays once.
  const further: Sheet = singleFile ? { ...own, sketches: NO_SKETCHES } : own;
  const numbers: Sheet = {
    ...further,
    fileName: numbersFileName(input.stages, index),
    kind: 'numbers',
    windowTitle: `Numbers (${stage.title}) – ${input.arrangement.title}`,
    kicker: `${stage.title}: the numbers behind the charts`,
    heading: 'Numbers',
    subheading: input.arrangement.title,
    bylines: [],
    sections: numbersSections(input, index, own.sections),
    glyphs: [],
  };
  return [own, ...fullScoreSheets(context, { ...further, subheading: stage.title }), numbers];
}

function sidePage(
  input: DossierInput,
  page: Pick<Sheet, 'fileName' | 'kind' | 'heading' | 'subheading' | 'sections'>,
  windowTitle = page.heading,
): Sheet {
  return {
    ...page,
    isLandscape: false,
    running: input.arrangement.title,
    windowTitle: `${windowTitle} – ${input.arrangement.title}`,
    kicker: input.arrangement.title,
    bylines: [],
    navigation: navigation(input, page.fileName),
    stageId: '',
    music: '',
    sketches: NO_SKETCHES,
    glyphs: [],
  };
}

/** The current stage first, then the earlier ones in order, then the client sheet, what changed, how it was judged, and the numbers last. `memory`: what is known of the pages of an earlier build. */
export function buildSheets(input: DossierInput, singleFile: boolean, memory: Memory = NO_MEMORY): readonly Sheet[] {
  const ofStages = currentFirst(input.stages).flatMap((index) => stageSheets(input, index, singleFile, memory));
  const sheets = [
    ...ofStages.filter(({ kind }) => kind !== 'numbers'),
    {
      ...sidePage(
        input,
        {
          fileName: CLIENT_PAGE,
          kind: 'client',
          heading: input.arrangement.title,
          subheading: input.arrangement.subtitle ?? '',
          sections: clientSections(input, singleFile),
        },
        'Client sheet',
      ),
      kicker: clientKicker(input),
      bylines: bylines(input),
    },
    sidePage(input, {
      fileName: 'changes.html',
      kind: 'changes',
      heading: 'What changed',
      subheading: 'From stage to stage',
      sections: changesSections(input, singleFile, memory),
    }),
    ...comparisonPages(input, singleFile, memory).map((page) =>
      // Its first section names the two stages, so that no two windows have one title.
      sidePage(input, { ...page, kind: 'changes', heading: 'What changed' }, page.sections[0]?.heading),
    ),
    sidePage(input, {
      fileName: 'judged.html',
      kind: 'judged',
      heading: 'Checks and sources',
      subheading: 'What was measured, by which limit, after whom',
      sections: judgedSections(input),
    }),
    sidePage(input, {
      fileName: FILES_PAGE,
      kind: 'files',
      heading: 'Files',
      subheading: 'What there is to take along, and what it is for',
      sections: filesSections(input, singleFile),
    }),
    ...ofStages.filter(({ kind }) => kind === 'numbers'),
  ];
  const names = new Set(sheets.map((sheet) => sheet.fileName));
  if (names.size !== sheets.length) throw new Error('two pages have one file name');
  return sheets;
}
