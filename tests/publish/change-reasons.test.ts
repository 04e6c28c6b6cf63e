/** Reasons beside what was done, from notes as people write them: in one file for all stages, in their language. Common practice, no source. */
import { JSDOM } from 'jsdom';
import { describe, expect, it } from 'vitest';
import { compareStages } from '../../src/analyse/compare-stages.ts';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import { nameReader } from '../../src/assemble/names/source-track.ts';
import { mattersOf } from '../../src/assemble/user-notes-and-settings/said-matters.ts';
import type { Memo, Part } from '../../src/model/music/arrangement.ts';
import type { PublishedStage } from '../../src/publish/dossier-input.ts';
import { renderPages } from '../../src/publish/render/render-pages.ts';
import { arrangementOf, partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { testEffects } from '../support/effects.ts';
import { publishedOf, smallDossier, writtenOf } from '../support/published.ts';

const eight = timelineOf(8);
function published(id: string, parts: readonly Part[], tempo = 60): PublishedStage {
  const stage = stageOf(parts, timelineOf(8, undefined, tempo), { id, title: id.slice(9) });
  return publishedOf(stage, { readings: analyseStage(stage, writtenOf(stage)) });
}

const tune = 'C5:0:4 D5:4:4 E5:8:4 F5:12:4 G5:16:4 A5:20:4 G5:24:4 C5:28:4';
const middle = 'C4:0:8 D4:8:8 E4:16:8 F4:24:8';
const low = 'C3:0:4 G2:4:4 C3:8:4 F2:12:4 E3:16:4 F3:20:4 G2:24:4 C3:28:4';
const one = published('stage-01-um', [
  partOf('flute', tune, eight),
  partOf('viola', middle, eight),
  partOf('cello', low, eight),
]);
const two = published('stage-02-dois', [
  partOf('flute', tune, eight),
  partOf('viola', 'C4:0:8 D4:8:8', eight),
  partOf('cello', low, eight),
]);
const three = published(
  'stage-03-tres',
  [
    partOf('flute', tune, timelineOf(8, undefined, 52)),
    partOf('viola', 'C4:0:8 D4:8:8', timelineOf(8, undefined, 52)),
    partOf('cello', low.replace('C3:8:4 F2:12:4', 'G3:8:2 E3:10:2 A2:12:2 D3:14:2'), timelineOf(8, undefined, 52)),
  ],
  52,
);

/** What stands beside the sentences of each step, as sentence and reason. */
async function whys(markdown: string, more: Partial<Memo> = {}): Promise<readonly string[]> {
  const stages = [one, two, three];
  const parts = one.stage.parts;
  const matters = mattersOf(markdown, parts, nameReader());
  const memo: Memo = { file: 'n.md', line: 1, heading: '', markdown, partIds: [], kind: 'remark', matters, ...more };
  const arrangement = arrangementOf(
    stages.map(({ stage }) => stage),
    { memos: [memo] },
  );
  const changes = stages.slice(1).map((after, index) => compareStages(stages[index]!, after));
  const pages = await renderPages(smallDossier({ arrangement, stages, changes }), { singleFile: false }, testEffects());
  const html = pages.find(({ fileName }) => fileName === 'changes.html')?.html ?? '';
  const { document } = new JSDOM(html).window;
  return [...document.querySelectorAll('.change-why')].map((why) => {
    const step = why.closest('section')?.id ?? '';
    const line = (why.closest('li') ?? why.parentElement)?.textContent.replaceAll(/\s+/gu, ' ').trim() ?? '';
    return `${step} ${line}`;
  });
}

describe('a note without headings, for all stages', () => {
  it('gives each of its sentences to what was done there, in whichever step that was', async () => {
    const found = await whys(
      'Compassos 5 a 8: a viola descansa, abafava a flauta.\n\nViolonc. à parte. Um pouco mais lento, cantam melhor.\n\nCello nos compassos 3-4 com outra linha, menos pesada.',
    );
    expect(found).toHaveLength(3);
    expect(found[0]).toMatch(/^change-1 .*Compassos 5 a 8: a viola descansa, abafava a flauta\./u);
    expect(found.some((text) => /^change-2 The tempo is slower.*mais lento, cantam melhor/u.test(text))).toBe(true);
    expect(found.some((text) => /^change-2 Cello.*bars 3–4.*Cello nos compassos 3-4/u.test(text))).toBe(true);
  });

  it.each([
    ['of bars in which nothing was done to whom it names', 'Takte 3-4: die Flöte klingt hier gut.'],
    ['of a tempo the other way', 'Un peu plus vite partout.'],
    ['that asks', 'Viola, Takte 5-8: soll sie ganz schweigen?'],
    ['of a part, without bars', 'Die Viola gefällt mir.'],
    ['of a part that is lower, where the whole is not', 'Cello eine Oktave tiefer?'],
  ])('gives none where it is %s', async (_, text) => {
    expect(await whys(text)).toEqual([]);
  });
});
