/** The line of all bars that stays beside a score. */
import { drawOverview } from '../../../draw/finding-marks/overview.ts';
import { trustedMarkup, type TrustedMarkup } from '../../trusted-markup.ts';
import type { StageContext } from './stage-context.ts';

/** `hrefOf` is the address of a bar; '' where no score shows it. */
export function overviewOf({ published, marks }: StageContext, hrefOf: (bar: number) => string): TrustedMarkup {
  const { timeline, sections } = published.stage;
  const ordered = [...sections].sort((a, b) => a.from - b.from);
  const bars = timeline.bars.map(({ number }) => number);
  return trustedMarkup(
    published.score.systems.length < 2 ? '' : drawOverview({ bars, sections: ordered, marks, hrefOf }),
  );
}
