/** The audio that lies beside the stages of a page. */
import { all } from '../feature.ts';

export interface StageAudio {
  readonly address: string;
  /** Second of the file at which the stage's first bar begins. */
  readonly firstBarSecond: number;
}

/** By the id of the stage. */
export function readAudio(): ReadonlyMap<string, StageAudio> {
  return new Map(
    all<HTMLTemplateElement>(document, 'template.audio').map(({ dataset, content }) => [
      dataset['stage'] ?? '',
      { address: content.querySelector('a')?.href ?? '', firstBarSecond: Number(dataset['firstBar']) },
    ]),
  );
}
