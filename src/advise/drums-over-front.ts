/** Drums marked far over whoever leads. Their level is no part of the margin, as no figure holds for a stroke; what is marked is enough where it is plain. */
import { GRADE } from '../analyse/level/marked-dynamics.ts';
import { notesByBar } from '../analyse/placed-notes/placed-notes.ts';
import { mean, median } from '../model/music/dynamics.ts';
import { barSpanText } from '../model/words/plain-words.ts';
import { barRuns } from './bar-runs.ts';
import type { DraftFinding, RuleContext } from './rule.ts';
import { barsWithForeground } from './sounding-front.ts';
import { namesText, verb } from './words.ts';

/** So many grades over the foreground, and marked at least so loud: forte. Single strokes are accents. Our conventions. */
const GRADES_OVER = 2.25;
/** So many over are beyond any kind of music. */
const GRADES_FAR = 3;
const LOUD = 0.7;
const FEWEST_STROKES = 4;
const FEWEST_BARS = 2;

/** Passages of two bars and more; where levels are set at a desk, or a kit goes through the piece, only what stands out of its own marks by a grade. */
export function drumsOverFront(context: RuleContext): readonly DraftFinding[] {
  const { parts, stage, marks, front, partById, idiom } = context;
  const sounding = barsWithForeground(context);
  const { bars } = stage.timeline;
  return parts.flatMap(({ part, notes }): DraftFinding[] => {
    if (!part.unpitched || context.unshaped.has(part.id)) return [];
    const own = marks.flatMap((bar) => bar.get(part.id) ?? []);
    const usual = median(own) ?? 0;
    const byBar = notesByBar(notes, bars);
    const over = bars.flatMap((bar, index) => {
      const mark = marks[index]?.get(part.id);
      const fronts = [...(front[index] ?? [])].filter((id) => marks[index]?.has(id) === true);
      if (mark === undefined || mark < LOUD || fronts.length === 0 || !sounding.has(bar.number)) return [];
      if (fronts.some((id) => context.unshaped.has(id) || partById.get(id)?.part.unpitched === true)) return [];
      const strokes = byBar[index]?.length ?? 0;
      const byGrades = (mark - Math.max(...fronts.map((id) => marks[index]?.get(id) ?? 0))) / GRADE;
      const standsOut = mark - usual >= GRADE || (!idiom.amplified && own.length <= bars.length / 3);
      const isFar = !idiom.amplified && byGrades >= GRADES_FAR;
      return strokes >= FEWEST_STROKES && byGrades >= GRADES_OVER && (standsOut || isFar)
        ? [{ bar: bar.number, byGrades, fronts }]
        : [];
    });
    return barRuns(over, ({ bar }) => bar)
      .filter(({ from, to }) => to - from + 1 >= FEWEST_BARS)
      .map(({ from, to, items }) => {
        const ids = [...new Set(items.flatMap(({ fronts }) => fronts))];
        const leaders = ids.flatMap((id) => partById.get(id)?.part ?? []);
        const grades = mean(items.map(({ byGrades }) => byGrades));
        return {
          level: 'look' as const,
          from,
          to,
          partIds: [...ids, part.id],
          message: `${part.name} ${verb([part], 'is', 'are')} marked about ${String(Math.round(grades))} dynamic grades over ${namesText(leaders)} in ${barSpanText(from, to)}; drums have no level here, and at that distance they cover anything.`,
          advice: 'Mark the drums down to the foreground, thin the strokes out, or keep them for its rests.',
          amount: grades * (to - from + 1),
        };
      });
  });
}
