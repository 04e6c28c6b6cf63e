/** Sheets as stages of a folder, compared, and what the page of changes says of each step. */
import { compareStages, type ComparedStage } from '../../src/analyse/compare-stages.ts';
import { flow } from '../../src/library.ts';
import type { Arrangement } from '../../src/model/music/arrangement.ts';
import { describe } from '../../src/draw/chart/changes/changes-sentence.ts';
import { changeSentences } from '../../src/publish/page-data/changes/change-words.ts';
import { leadSentence } from '../../src/publish/page-data/changes/change-lead.ts';
import { diskOfFolder } from '../support/memory-disk.ts';
import { publishedOf } from '../support/published.ts';
import { arrangementIn } from '../support/read-stages.ts';
import { bytesOf, type Sheet } from './sheet.ts';

export function comparedStages({ stages }: Arrangement): readonly ComparedStage[] {
  return stages.map((stage): ComparedStage => {
    const written = flow.notateStage(stage);
    return { stage, written, readings: flow.analyseStage(stage, written) };
  });
}

/** The sentence that sums each step up, the one over its strip, the sentences of its list, and the bars of what was done to parts. */
export async function toldSteps(stages: readonly Sheet[]): Promise<
  readonly {
    readonly lead: string;
    readonly sentences: readonly string[];
    readonly strip: string;
    readonly bars: readonly number[];
  }[]
> {
  const files = new Map(stages.map((one, index) => [`0${String(index + 1)} Stage.mid`, bytesOf(one, 960)]));
  const compared = comparedStages(await arrangementIn('/story', diskOfFolder('/story', files)));
  return compared.slice(1).map((after, index) => {
    const before = compared[index]!;
    const step = {
      before: publishedOf(before.stage, before.readings === undefined ? {} : { readings: before.readings }),
      after: publishedOf(after.stage, after.readings === undefined ? {} : { readings: after.readings }),
      change: compareStages(before, after),
    };
    const bars = step.change.edits.flatMap((edit) => edit.bars);
    return {
      lead: leadSentence(step, index + 2),
      sentences: changeSentences(step).map(({ text }) => text),
      strip: describe(step.change, step.before, step.after),
      bars,
    };
  });
}

/** The sentences of the list of each step. */
export async function told(stages: readonly Sheet[]): Promise<readonly (readonly string[])[]> {
  return (await toldSteps(stages)).map(({ sentences }) => sentences);
}

/** The sentence over the strip of each step. */
export async function strips(stages: readonly Sheet[]): Promise<readonly string[]> {
  return (await toldSteps(stages)).map(({ strip }) => strip);
}
