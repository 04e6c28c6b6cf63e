/** The pages of the full scores: one for each stage and way of reading, a long score in several. */
import { barSpanText, counted } from '../../../model/words/plain-words.ts';
import type { PlaceMark } from '../../../draw/finding-marks/place-mark.ts';
import type { EngravedScore } from '../../../model/drawing.ts';
import { overviewOf } from '../page-frame/overview.ts';
import type { PublishedFullScore } from '../../dossier-input.ts';
import { scoreFiles } from '../../musicxml/score-files.ts';
import { withShortLines } from './short-lines.ts';
import { shownSystems } from './shown-system.ts';
import type { Link, NavigationLink, Sheet, SheetSection } from '../page-frame/sheet.ts';
import { stageFileName, type StageContext } from '../page-frame/stage-context.ts';
import { fileName, shownScores, pageOfBar } from '../page-frame/full-score-places.ts';
import type { Reading } from '../page-frame/full-score-places.ts';

const NAMES: Readonly<Record<Reading, string>> = {
  concert: 'concert pitch',
  written: 'transposed',
};

const INTROS: Readonly<Record<Reading, string>> = {
  concert:
    'at sounding pitch; only what is written octaves away from its sound, such as double bass and piccolo, keeps those octaves.',
  written: 'with transposing instruments as their players read them.',
};

/** Number of systems from which on a browser lays out only those in sight. */
const MANY_SYSTEMS = 8;

/** Whether a file name is one that a full score of these stages may have, on however many pages. */
export function isFullScoreFileName(name: string, stages: readonly { readonly id: string }[]): boolean {
  const [, stage] = /^(.*?)full-score-(?:concert|written)(?:-\d+)?\.html$/.exec(name) ?? [];
  return stage === '' || stages.some(({ id }) => stage === `${id}-`);
}

/** Links to the full scores of a stage, `Full score, concert pitch`; empty where there are none. */
export function fullScoreLinks(context: StageContext): readonly Link[] {
  return shownScores(context).map(({ reading }) => ({
    href: fileName(context, reading, 0),
    label: `Full score, ${NAMES[reading]}`,
  }));
}

function spanOf({ systems }: EngravedScore): string {
  return barSpanText(systems[0]?.fromBar ?? 0, systems.at(-1)?.toBar ?? 0);
}

/** Marks whose flags lead back to the page of the stage. */
function marksIn(context: StageContext): readonly PlaceMark[] {
  const page = stageFileName(context.stages, context.index);
  return context.marks.map((mark) => ({ ...mark, href: `${page}${mark.href}` }));
}

/** Address of a bar in a full score, from one of its pages; '' where no page shows it. */
function placeOfBar(context: StageContext, score: PublishedFullScore, from: number, bar: number): string {
  const page = pageOfBar(score, bar);
  if (page < 0) return '';
  return `${page === from ? '' : fileName(context, score.reading, page)}#bar-${String(bar)}`;
}

function section(context: StageContext, score: PublishedFullScore, page: number): SheetSection {
  const { stage } = context.published;
  const engraved = score.pages[page] ?? { systems: [], glyphs: [] };
  const others = shownScores(context).filter((other) => other !== score);
  const pages = score.pages.map((one, index): NavigationLink => ({
    href: fileName(context, score.reading, index),
    label: spanOf(one),
    isCurrent: index === page,
  }));
  const marks = marksIn(context);
  const { systems } = context.memory.recall(
    'shown full score',
    () => [engraved, context.singleFile ? 'wide' : 'narrow', JSON.stringify(marks)],
    () => {
      const own = context.singleFile ? engraved.systems.map((one) => ({ ...one, narrow: [] })) : engraved.systems;
      return shownSystems(withShortLines(own, 'system'), 'Full score', marks);
    },
  );
  const full = scoreFiles(context.arrangement, context.published).filter(({ path }) => path.endsWith('-full.musicxml'));
  return {
    id: 'full-score',
    heading: `Full score, ${NAMES[score.reading]}`,
    partial: 'full-score.njk',
    downloads: context.singleFile ? [] : full.map(({ path, label }) => ({ href: path, label })),
    body: {
      intro: `${counted(stage.parts.length, 'part', 'parts')}, ${INTROS[score.reading]} After the first system, staves that rest throughout a system are left out of it.`,
      links: [
        ...others.map(({ reading }) => ({
          href: fileName(context, reading, page),
          label: `The same, ${NAMES[reading]}`,
        })),
        {
          href: `${stageFileName(context.stages, context.index)}#score`,
          label: 'Reduced score',
        },
      ],
      pages: pages.length > 1 ? pages : [],
      overview: overviewOf(context, (bar) => placeOfBar(context, score, page, bar)),
      systems,
      isLong: systems.length > MANY_SYSTEMS,
    },
  };
}

/** The sheets of all full scores of a stage; `frame` is what they share with the stage's own page. */
export function fullScoreSheets(
  context: StageContext,
  frame: Pick<
    Sheet,
    'running' | 'heading' | 'subheading' | 'bylines' | 'navigation' | 'stageId' | 'music' | 'sketches'
  >,
): readonly Sheet[] {
  const { stage } = context.published;
  return shownScores(context).flatMap((score) =>
    score.pages.map((engraved, page): Sheet => ({
      ...frame,
      fileName: fileName(context, score.reading, page),
      kind: 'score',
      isLandscape: engraved.isLandscape === true,
      windowTitle: `Full score, ${NAMES[score.reading]}${score.pages.length > 1 ? `, ${spanOf(engraved)}` : ''} (${stage.title}) – ${context.arrangement.title}`,
      kicker: `${stage.title}: full score`,
      sections: [section(context, score, page)],
      glyphs: engraved.glyphs,
    })),
  );
}
