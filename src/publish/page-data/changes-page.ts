/** What changed from stage to stage, told in sentences. */
import type { StageChange } from '../../model/readings.ts';
import type { DossierInput, PublishedStage } from '../dossier-input.ts';
import { barCountText, barsText, countText, listText, minutesText, partNamer, signedDbText } from '../sentences.ts';
import { findingsText, medianMarginDb } from './at-a-glance.ts';
import type { Link, SheetSection } from './sheet.ts';
import { stageFileName } from './stage-context.ts';

interface Comparison {
  readonly label: string;
  readonly before: string;
  readonly after: string;
}

function soundingBars(published: PublishedStage, partId: string): string {
  const spans = published.readings.presence.filter((span) => span.partId === partId);
  if (spans.length === 0) return 'which does not play yet';
  const bars = spans.flatMap((span) =>
    Array.from({ length: span.to - span.from + 1 }, (_, index) => span.from + index),
  );
  return `which plays in ${barsText(bars)}`;
}

function sentences(change: StageChange, before: PublishedStage, after: PublishedStage): readonly string[] {
  const name = partNamer(before.stage, after.stage);
  const { added, removed, changed } = change.parts;
  const told = [
    ...added.map((partId) => `${name(partId)} is new, ${soundingBars(after, partId)}.`),
    ...(removed.length === 0 ? [] : [`${listText(removed.map(name))} ${removed.length === 1 ? 'is' : 'are'} gone.`]),
    ...changed.map((item) => `${name(item.partId)} differs in ${barsText(item.bars)}.`),
  ];
  if (told.length === 0 && change.bars.length === 0) return ['Nothing in the music differs.'];
  const total = after.stage.timeline.bars.length;
  return [
    ...told,
    `In all, ${String(change.bars.length)} of ${countText(total, 'bar')} differ: ${barsText(change.bars)}.`,
  ];
}

function comparisons(before: PublishedStage, after: PublishedStage): readonly Comparison[] {
  const row = (label: string, describe: (published: PublishedStage) => string): Comparison => ({
    label,
    before: describe(before),
    after: describe(after),
  });
  const margin = (published: PublishedStage): string => {
    const db = medianMarginDb({ published });
    return db === undefined ? '–' : signedDbText(db);
  };
  return [
    row('Parts', (published) => String(published.stage.parts.length)),
    row(
      'Length',
      (published) => `${barCountText(published.stage.timeline.bars)}, ${minutesText(published.stage.seconds)}`,
    ),
    row('Median margin (estimated)', margin),
    row('Findings', (published) => findingsText(published.findings) || 'none'),
  ];
}

/** A section for each step from one stage to the next. */
export function changesSections(input: DossierInput): readonly SheetSection[] {
  const indexOf = new Map(input.stages.map((published, index) => [published.stage.id, index]));
  const sections = input.changes.flatMap((change, step): SheetSection[] => {
    const beforeIndex = indexOf.get(change.before) ?? -1;
    const afterIndex = indexOf.get(change.after) ?? -1;
    const before = input.stages[beforeIndex];
    const after = input.stages[afterIndex];
    if (before === undefined || after === undefined) return [];
    const links: readonly Link[] = [
      { href: stageFileName(input.stages, beforeIndex), label: before.stage.title },
      { href: stageFileName(input.stages, afterIndex), label: after.stage.title },
    ];
    return [
      {
        id: `change-${String(step + 1)}`,
        heading: `From “${before.stage.title}” to “${after.stage.title}”`,
        partial: 'change.njk',
        downloads: [],
        body: {
          remark: after.stage.remark ?? '',
          sentences: sentences(change, before, after),
          comparisons: comparisons(before, after),
          beforeLink: links[0],
          afterLink: links[1],
        },
      },
    ];
  });
  if (sections.length > 0) return sections;
  return [
    {
      id: 'change-none',
      heading: 'One stage so far',
      partial: 'sentences.njk',
      downloads: [],
      body: { sentences: ['There is only one stage, so there is nothing to compare it with yet.'] },
    },
  ];
}
