/** The reduced score, system by system, with what was put together and what was left out. */
import { round } from '../../draw/svg.ts';
import { barSpanText, barsText, counted } from '../../model/plain-words.ts';
import { scoreFiles } from '../musicxml/score-files.ts';
import { trustedMarkup, type TrustedMarkup } from '../trusted-markup.ts';
import type { SheetSection } from './sheet.ts';
import type { StageContext } from './stage-context.ts';

interface ShownSystem {
  readonly label: string;
  readonly caption: string;
  /** Place of every bar over the engraved system: links lead to these. */
  readonly bars: readonly { readonly number: number; readonly x: string; readonly width: string }[];
  readonly viewBox: string;
  readonly height: string;
  readonly svg: TrustedMarkup;
  readonly doublings: readonly string[];
  readonly leftOut: readonly string[];
}

/** The section "Reduced score". */
export function scoreSection(context: StageContext): SheetSection {
  const { stage, written, score } = context.published;
  const placed = new Set<number>();
  const systems = score.systems.map((system): ShownSystem => {
    const bars = system.bars
      .filter((bar) => !placed.has(bar.number))
      .map((bar) => ({ number: bar.number, x: round(bar.xPx), width: round(bar.widthPx) }));
    for (const bar of bars) placed.add(bar.number);
    const caption = barSpanText(system.fromBar, system.toBar);
    return {
      label: system.label === '' ? `Reduced score, ${caption}` : system.label,
      caption,
      bars,
      viewBox: /viewBox="([^"]*)"/.exec(system.svg)?.[1] ?? `0 0 1000 ${round(system.heightPx)}`,
      height: round(system.heightPx),
      svg: trustedMarkup(system.svg),
      doublings: [...new Set(system.doublings)],
      leftOut: [...new Set(system.leftOut)],
    };
  });
  const unplaced = stage.timeline.bars.map((bar) => bar.number).filter((number) => !placed.has(number));
  const doubtful = written.parts
    .filter((part) => part.doubtfulShare > 0.1)
    .map((part) => context.partName(part.partId));
  return {
    id: 'score',
    heading: 'Reduced score',
    partial: 'score.njk',
    downloads: context.singleFile
      ? []
      : scoreFiles(context.arrangement, context.published).map(({ path, label }) => ({ href: path, label })),
    body: {
      intro:
        systems.length === 0
          ? 'There is no score to show: no part has a note.'
          : `All parts on ${counted(written.reduced.staves.length, 'staff', 'staves')}, at sounding pitch. Doublings at the unison and the octave are written once and named under the system.`,
      unsure: [
        ...(written.onGrid
          ? []
          : ['The notes do not follow the bar lines of the file, so the rhythm is only a sketch.']),
        ...(doubtful.length === 0 ? [] : [`The written rhythm is doubtful in: ${doubtful.join(', ')}.`]),
        ...(systems.length > 0 && unplaced.length > 0 ? [`Not engraved: ${barsText(unplaced)}.`] : []),
      ],
      unplaced,
      systems,
    },
  };
}
