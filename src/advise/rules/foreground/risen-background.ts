/** Parts of the background that are marked far louder in a passage than where they go behind somebody else: a cause of its own, and its own cure. */
import { GRADE, GRADE_DB } from '../../../analyse/level/marked-dynamics.ts';
import { isLevelLeftOut } from '../../../analyse/level/left-out.ts';
import type { JudgedBar } from '../../../analyse/level/measured/judged-balance.ts';
import type { Part } from '../../../model/music/arrangement.ts';
import { median } from '../../../model/music/dynamics.ts';
import { onceEach } from '../../../model/once-each.ts';
import { counted } from '../../../model/words/plain-words.ts';
import { leadKey } from '../../leads.ts';
import type { RuleContext } from '../../rule.ts';
import { namesText, verb } from '../../words.ts';

/** Marked up by so many grades against the other bars in which they go behind, of which there are so many at least. Our conventions. */
const MUCH_LOUDER = 2;
const FEWEST_BARS_ELSEWHERE = 4;

/** Who came up, and by how many grades the one in the middle. */
export interface Risen {
  readonly parts: readonly Part[];
  readonly grades: number;
  /** True where further parts came up with them. */
  readonly withOthers: boolean;
  /** By how much less the whole background would have of its level with their marks of elsewhere, dB. */
  readonly gainDb: number;
}

/** Marks of a part where it goes behind somebody else, by bar, and the softest of them. */
interface MarksBehind {
  readonly byBar: Map<number, number>;
  softest: number;
}

const marksBehind = onceEach(({ front, marks, stage }: RuleContext): ReadonlyMap<string, MarksBehind> => {
  const first = stage.timeline.bars[0]?.number ?? 1;
  const byPart = new Map<string, MarksBehind>();
  for (const [index, marked] of marks.entries()) {
    for (const [id, mark] of marked) {
      if (front[index]?.has(id) === true) continue;
      const own = byPart.get(id) ?? { byBar: new Map<number, number>(), softest: mark };
      own.byBar.set(index + first, mark);
      own.softest = Math.min(own.softest, mark);
      byPart.set(id, own);
    }
  }
  return byPart;
});

/**
 * By how many grades a part is marked over its usual in other bars in which it is behind: behind the same foreground where there are enough of them, else
 * behind whomever. Undefined where there are too few, or where it is not much louder.
 */
function gradesUp(id: string, bars: readonly JudgedBar[], context: RuleContext): number | undefined {
  const behind = marksBehind(context).get(id);
  if (behind === undefined) return undefined;
  const here = new Set(bars.map(({ bar }) => bar));
  const now = median([...here].flatMap((bar) => behind.byBar.get(bar) ?? []));
  // Its usual is no softer than the softest: most parts need no look at all other bars.
  if (now === undefined || (now - behind.softest) / GRADE < MUCH_LOUDER) return undefined;
  const lead = leadKey(context, bars[0]?.bar ?? context.stage.timeline.bars[0]?.number ?? 1);
  const elsewhere = [...behind.byBar].filter(([bar]) => !here.has(bar));
  const same = elsewhere.filter(([bar]) => leadKey(context, bar) === lead);
  const compared = same.length >= FEWEST_BARS_ELSEWHERE ? same : elsewhere;
  const usual = median(compared.map(([, mark]) => mark));
  if (usual === undefined || compared.length < FEWEST_BARS_ELSEWHERE) return undefined;
  const grades = (now - usual) / GRADE;
  return grades < MUCH_LOUDER ? undefined : grades;
}

/** Ids of all parts that sound in these bars; `gradesUp` leaves out the foreground. */
function backIdsOf(bars: readonly JudgedBar[], { partById }: RuleContext): readonly string[] {
  const ids = new Set(bars.flatMap(({ partsDb }) => Object.keys(partsDb)));
  return [...ids].filter((id) => {
    const part = partById.get(id)?.part;
    return part !== undefined && !isLevelLeftOut(part);
  });
}

/** Those of some background parts that are marked up in these bars, and what they do with all others that are; undefined where none of them is. */
export function risenOf(
  backIds: readonly string[],
  bars: readonly JudgedBar[],
  context: RuleContext,
): Risen | undefined {
  const up = new Map(
    backIdsOf(bars, context).flatMap((id) => {
      const grades = gradesUp(id, bars, context);
      return grades === undefined ? [] : [[id, grades] as const];
    }),
  );
  const named = backIds.filter((id) => up.has(id));
  const grades = median(named.flatMap((id) => up.get(id) ?? []));
  if (grades === undefined) return undefined;
  const gains = bars.flatMap(({ backgroundDb, partsDb }) => {
    if (backgroundDb === undefined) return [];
    const all = 10 ** (backgroundDb / 10);
    const less = [...up].reduce((sum, [id, own]) => {
      const power = partsDb[id] === undefined ? 0 : 10 ** (partsDb[id] / 10);
      return sum + power * (1 - 10 ** ((-own * GRADE_DB) / 10));
    }, 0);
    return less >= all ? [] : [-10 * Math.log10(1 - less / all)];
  });
  return {
    parts: named.flatMap((id) => context.partById.get(id)?.part ?? []),
    withOthers: up.size > named.length,
    grades: Math.round(grades),
    gainDb: median(gains) ?? 0,
  };
}

/** `; Choir S and Choir A are marked about 4 dynamic grades louder there than elsewhere in the background`; '' where nobody is. */
export function risenText(risen: Risen | undefined): string {
  if (risen === undefined) return '';
  const { parts, grades } = risen;
  return `; ${namesText(parts)} ${verb(parts, 'is', 'are')} marked about ${counted(grades, 'dynamic grade')} louder there than elsewhere in the background`;
}
