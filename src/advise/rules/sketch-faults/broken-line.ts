import { brokenLines } from '../../../analyse/misplaced/broken-lines.ts';
import type { BrokenLine } from '../../../analyse/misplaced/broken-lines.ts';
import { barSpanText, counted } from '../../../model/words/plain-words.ts';
import { COMMON_PRACTICE, defineRule } from '../../rule.ts';
import { namesText, playsOrSings, verb } from '../../words.ts';

const LATE: readonly BrokenLine['kind'][] = ['late', 'after-others'];

/** Whoever has the ground in so much of the piece leaves it nowhere else: more than a remark. Our convention. */
const EVERYWHERE = 0.9;

/** What happens in the silent bars, after the name of the part. */
function says(
  { part, from, to, kind, withDrums = false, withOthers = [] }: BrokenLine,
  here: string,
  there: string,
): string {
  const bars = counted(to - from + 1, 'bar');
  if (kind === 'late') {
    return `${verb([part], 'comes', 'come')} in ${bars} later than in the same music at ${there}: silent in ${here}.`;
  }
  if (kind === 'early-end') {
    return `${verb([part], 'stops', 'stop')} ${bars} earlier than in the same music at ${there}: silent in ${here}.`;
  }
  if (kind === 'gap') {
    return `${verb([part], 'is', 'are')} silent in ${here}, in the middle of what ${verb([part], 'it', 'they')} ${playsOrSings([part])} at ${there}, where all others have the same music.`;
  }
  if (kind === 'after-others') {
    return `${verb([part], 'comes', 'come')} in a bar after ${namesText(withOthers)}, with whom ${verb([part], 'it goes', 'they go')} on: silent in ${here}, where the phrase begins.`;
  }
  if (kind === 'tune') {
    return `${verb([part], 'breaks', 'break')} off before ${here} and ${verb([part], 'goes', 'go')} on after it; nobody else takes the tune there.`;
  }
  const where = withDrums ? 'while all others go on, drums too' : 'in the middle of a phrase, while all others go on';
  return `${verb([part], 'is', 'are')} silent in ${here}, ${where}: nobody has the ground there.`;
}

export const brokenLine = defineRule(
  {
    name: 'broken-line',
    title: 'A line with a hole',
    looksAt:
      'One to four bars in which a part with pitch is silent although the same music of at least two and of most other parts has it at another place of the piece, with the same notes on both sides (or on one, where it comes in or stops one or two bars beside that); and bars that do not lie between two phrases in which the part that is the lowest elsewhere leaves three others and more without a ground, or, while drums play on, a whole phrase with more than an octave between it and whoever is left. A phrase left out as a whole, a part with more than two such holes, and one that two parts share, is taken for meant. An entry a bar after others of the same family, who came in with the phrase and with whom it goes on, is such a hole too; so is a tune that runs to a bar line in short notes, is gone for a bar or two and goes on, while nobody else does more.',
    why: 'Music that was copied for a repeat loses bars easily, and a line that stops in its middle sounds as if a page had not been turned.',
    source: COMMON_PRACTICE,
    level: 'look',
    followsFromPlace: true,
  },
  ({ parts, stage: { timeline }, readings, leads }) => {
    const playsEverywhere = (id: string): boolean => {
      const sounding = new Set(readings.register.flatMap(({ partId, bar }) => (partId === id ? [bar] : [])));
      return sounding.size >= EVERYWHERE * timeline.bars.length;
    };
    const numberOf = (bar: number): number => timeline.bars[bar]?.number ?? 0;
    return brokenLines(parts, timeline.bars, readings.pacing?.phrases ?? [], (bar) => leads[bar]?.partId).map(
      (hole) => {
        const { part, like } = hole;
        const [from, to] = [numberOf(hole.from), numberOf(hole.to)];
        const isSure =
          like !== undefined ||
          hole.kind === 'after-others' ||
          (hole.kind === 'bass' && (hole.withDrums === true || playsEverywhere(part.id)));
        const there = like === undefined ? '' : barSpanText(numberOf(like), numberOf(like + hole.to - hole.from));
        return {
          level: isSure ? ('look' as const) : ('note' as const),
          from,
          // Who comes in late does so in the bar after.
          to: LATE.includes(hole.kind) ? to + 1 : to,
          partIds: [part.id],
          message: `${part.name} ${says(hole, barSpanText(from, to), there)}`,
          advice:
            'Look whether the bars were lost when the passage was copied; leave them empty where the rest is meant.',
          amount: to - from + 1,
          // Whose music stands a bar late is silent where it should have begun.
          yieldsBeside: ['displaced-part'] as const,
        };
      },
    );
  },
);
