/** A picture under every finding: the bars concerned of the part and of what it is judged against, or their balance. */
import { judgedBalance } from '../../analyse/level/measured/judged-balance.ts';
import type { Part, Stage } from '../../model/music/arrangement.ts';
import type { FindingPicture } from '../../model/drawing.ts';
import { barSpanText, closed, counted, listText, sentenceStart } from '../../model/words/plain-words.ts';
import type { Finding, StageReadings } from '../../model/readings/readings.ts';
import { barIndexAt } from '../../model/music/timeline.ts';
import type { ReducedScore, WrittenNotes } from '../../model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/music/written.ts';
import { concertIntervalOf, intervalOf } from '../../notate/keys/written-pitch.ts';
import type { Excerpt } from '../engrave/score/engrave-excerpt.ts';
import { engraveExcerpt } from '../engrave/score/engrave-excerpt.ts';
import { marginPicture, MOST_MARGIN_DB } from './margin-picture.ts';
import { markedHeads, namedNotes } from './marked-heads.ts';
import type { PictureBars } from './picture-bars.ts';
import { pictureViews, type PicturePlace } from './picture-bars.ts';
import { excerptOf, pictureParts, pictureStaves } from './picture-staves.ts';

/** Rules about the margin itself. */
const OF_BALANCE: readonly string[] = ['background-as-loud', 'background-covers'];

/** As wide as half a page holds at the size in which it is shown. */
const MOST_WIDTH_PX = 960;
/** Characters: where four bars take more, fewer are shown. */
const MOST_CHARACTERS = 7000;

export interface PictureInput {
  readonly stage: Stage;
  readonly written: WrittenNotes;
  readonly readings: StageReadings;
  readonly findings: readonly Finding[];
  /** The full score at concert pitch, as it is shown, and the part of each of its staves. */
  readonly score: ReducedScore;
  readonly staffPartIds: readonly string[];
}

interface Drawn {
  readonly excerpt: Excerpt;
  readonly bars: PictureBars;
  readonly partIds: readonly string[];
  readonly notes: number;
  /** Heads that are ringed; a tied note has several. */
  readonly rings: number;
}

/** One bar less, never the worst one. */
function fewer({ from, to, worst }: PictureBars): PictureBars {
  return to > worst ? { from, to: to - 1, worst } : { from: from + 1, to, worst };
}

function draw(
  finding: Finding,
  bars: PictureBars,
  input: PictureInput,
  partById: ReadonlyMap<string, Part>,
): Drawn | undefined {
  const { stage, written, score, staffPartIds } = input;
  const named = namedNotes(finding.notes ?? [], written);
  const window = { staves: score.staves, bars: score.bars.slice(bars.from, bars.to + 1) };
  const marked = markedHeads(window, staffPartIds, named, partById);
  const noteStaves = new Set(
    window.bars.flatMap(({ staves }) =>
      staves.flatMap(({ voices }, staff) =>
        voices.flat().some(({ heads }) => heads.some((head) => marked.has(head))) ? [staff] : [],
      ),
    ),
  );
  const staves = pictureStaves(pictureParts(finding, bars, stage), staffPartIds, noteStaves);
  const cut = excerptOf(score, staves, bars);
  const excerpt = engraveExcerpt(cut.score, marked, cut.next);
  if (excerpt === undefined) return undefined;
  const isTooMuch = excerpt.widthPx > MOST_WIDTH_PX || excerpt.svg.length > MOST_CHARACTERS;
  if (isTooMuch && bars.to > bars.from) return draw(finding, fewer(bars), input, partById);
  const partIds = [...new Set(staves.map((index) => staffPartIds[index] ?? ''))];
  const firstStart = window.bars[0]?.startDivisions ?? 0;
  const last = window.bars.at(-1);
  const end = last === undefined ? 0 : last.startDivisions + last.lengthDivisions;
  const notes = named.filter(
    (note) => note.written.start < end && note.written.start + note.written.length > firstStart,
  ).length;
  return { excerpt, bars, partIds, notes: marked.size === 0 ? 0 : notes, rings: marked.size };
}

const PLACES: Readonly<Record<PicturePlace, string>> = {
  '': '',
  first: ', the first place',
  worst: ', the worst place',
  last: ', the last place',
};

function musicText(
  finding: Finding,
  { bars, partIds, notes, rings }: Drawn,
  place: PicturePlace,
  stage: Stage,
  partById: ReadonlyMap<string, Part>,
): string {
  const number = (index: number): number => stage.timeline.bars[index]?.number ?? 0;
  const [from, to] = [number(bars.from), number(bars.to)];
  const parts = partIds.flatMap((id) => partById.get(id) ?? []);
  const isCut = to - from < finding.to - finding.from;
  const of = isCut ? ` of ${barSpanText(finding.from, finding.to).replace(/^bars? /, '')}` : '';
  const isMoved = parts.some((part) => intervalOf(part).chromatic !== concertIntervalOf(part).chromatic);
  const ringed = notes === 0 ? '' : `; ${counted(notes, 'note')} ringed${rings > notes ? ', ties included' : ''}`;
  const names = listText(parts.map(({ name }) => name));
  return closed(
    `${sentenceStart(barSpanText(from, to))}${of}${PLACES[place]}: ${names}${isMoved ? ' at concert pitch' : ''}${ringed}`,
  );
}

/** The pictures of the findings by their index, a long one its first, worst and last place; of one that nothing can be drawn for there is none. */
export function findingPictures(input: PictureInput): readonly FindingPicture[] {
  const { stage, written, readings, findings } = input;
  const { bars } = stage.timeline;
  const partById = new Map(stage.parts.map((part) => [part.id, part]));
  const balance = judgedBalance(readings);
  return findings.flatMap((finding, index): FindingPicture[] => {
    const margin = OF_BALANCE.includes(finding.rule) ? marginPicture(finding, stage, balance) : undefined;
    if (margin !== undefined) {
      const text = `${sentenceStart(barSpanText(margin.from, margin.to))}, ${margin.basis}: columns above the line where the foreground is louder, below it where the background is${margin.isCut ? `; cut off at ${String(MOST_MARGIN_DB)} dB` : ''}.`;
      return [{ finding: index, svg: margin.svg, text, glyphs: [] }];
    }
    const noteBars = namedNotes(finding.notes ?? [], written).map(({ written: { start } }) =>
      barIndexAt(bars, start / DIVISIONS_PER_QUARTER),
    );
    return pictureViews(finding, noteBars, bars).flatMap(({ place, ...shown }): FindingPicture[] => {
      const drawn = draw(finding, shown, input, partById);
      if (drawn === undefined) return [];
      const { svg, glyphs } = drawn.excerpt;
      return [{ finding: index, svg, text: musicText(finding, drawn, place, stage, partById), glyphs }];
    });
  });
}
