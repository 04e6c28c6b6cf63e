/** The whole piece as one picture, with a caption that says no more than it shows. */
import { basisText, toldBalance } from '../../../analyse/level/measured/judged-balance.ts';
import { shownInLane } from '../../../draw/chart/whole-piece/whole-piece-findings.ts';
import type { PublishedStage } from '../../dossier-input.ts';
import { trustedMarkup, type TrustedMarkup } from '../../trusted-markup.ts';
import { chartNamed } from '../../data/chart-names.ts';

export interface PiecePicture {
  readonly svg: TrustedMarkup;
  /** '' where there is nothing to draw. */
  readonly caption: string;
}

const FINDINGS = {
  nothing: '',
  numbers: ' Numbers lead to the findings; filled ones must be fixed.',
  columns: ' The columns at the top are as high as a bar has findings.',
};

function captionOf({ findings, readings, stage }: PublishedStage): string {
  const told = toldBalance(stage, readings);
  const isWeighed = told.some(({ foregroundDb }) => foregroundDb !== undefined);
  const judged = told.filter(({ marginDb }) => marginDb !== undefined);
  const basis = judged.some(({ isMeasured }) => isMeasured)
    ? `This is ${basisText(judged)}; how loud a band is, estimated from MIDI.`
    : 'All estimated from MIDI.';
  const balance = isWeighed
    ? ` Above the line the foreground is louder, below it the background; pale where the foreground is alone. ${basis}`
    : '';
  return `The whole piece, a band for each part: thicker where it is louder, in ink where it has the foreground.${balance}${FINDINGS[shownInLane(findings)]}`;
}

/** The picture of a stage; its links lead into `page`, '' for the page on which it stands. */
export function piecePicture(published: PublishedStage, page = ''): PiecePicture {
  const svg = chartNamed(published, 'piece')?.svg ?? '';
  return {
    svg: trustedMarkup(page === '' ? svg : svg.replaceAll(' href="#', ` href="${page}#`)),
    caption: svg === '' ? '' : captionOf(published),
  };
}
