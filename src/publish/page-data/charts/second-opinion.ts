/**
 * What a second model of hearing makes of the balance. Its figures are lower throughout than the covered share (it lets every partial mask its
 * neighbours, and clean arrangements keep about a third of what the foreground has alone), so what is compared is which bars stand out.
 */
import { median } from '../../../model/music/dynamics.ts';
import { barsText, counted } from '../../../model/words/plain-words.ts';
import type { BarBalance } from '../../../model/readings/readings.ts';

/** Shares of the foreground that count as covered and as free; between them neither is said. */
const COVERED = 0.5;
const FREE = 0.25;
/** The pitches in front sink where they are less than this share as audible as in the median bar. */
const SINKING = 1 / 3;
/** Fewer bars have no median worth the name. */
const FEWEST_BARS = 4;

/** One sentence; none where too little can be compared. */
export function secondOpinion(balance: readonly BarBalance[]): readonly string[] {
  const compared = balance.flatMap(({ bar, maskedShare, audibleShare }) =>
    maskedShare === undefined || audibleShare === undefined ? [] : [{ bar, maskedShare, audibleShare }],
  );
  const middle = median(compared.map(({ audibleShare }) => audibleShare));
  if (middle === undefined || middle === 0 || compared.length < FEWEST_BARS) return [];
  const barsWhere = (is: (item: (typeof compared)[number]) => boolean): readonly number[] =>
    compared.flatMap((item) => (is(item) ? [item.bar] : []));
  const sinks = (share: number): boolean => share < middle * SINKING;
  const onlySecond = barsWhere((item) => sinks(item.audibleShare) && item.maskedShare < FREE);
  const onlyFirst = barsWhere((item) => !sinks(item.audibleShare) && item.maskedShare >= COVERED);
  const both = barsWhere((item) => sinks(item.audibleShare) && item.maskedShare >= FREE);
  const start =
    'A second model of hearing (R. Parncutt and H. Strasburger, 1994: how clearly the pitches of the foreground stand out beside everything else)';
  if (onlySecond.length === 0 && onlyFirst.length === 0) {
    return [
      both.length === 0
        ? `${start} finds no bar in which they sink far below the ${counted(compared.length, 'bar')} around it.`
        : `${start} agrees: they sink in ${barsText(both)}.`,
    ];
  }
  const told = [
    ...(onlySecond.length === 0
      ? []
      : [
          `hears them sink to less than a third of the usual in ${barsText(onlySecond)}, where little counts as masked`,
        ]),
    ...(onlyFirst.length === 0
      ? []
      : [`hears them as well as elsewhere in ${barsText(onlyFirst)}, where half or more counts as masked`]),
  ];
  return [`${start} ${told.join('; it ')}. Where the two disagree, the ear decides; both figures stand in the table.`];
}
