/** What is said of folders of many kinds, counted beside their truths (tests/kinds), each half apart. */
import { KINDS } from '../kinds/folders.ts';
import { KEPT_ASIDE } from '../kinds/kept-aside/folders.ts';
import type { KindFolder } from '../kinds/kind.ts';
import { chordReport } from '../kinds/judge/chord-report.ts';
import { countChords } from '../kinds/judge/count-chords.ts';
import type { KindCount } from '../kinds/judge/count-kind.ts';
import { countKind } from '../kinds/judge/count-kind.ts';
import { judgeKind } from '../kinds/judge/judge-kind.ts';
import { halfReport } from '../kinds/judge/kind-report.ts';
import type { BenchLine } from './kept-figures.ts';

/** Every folder judged, by half. */
async function judgedHalves(): Promise<(half: KindFolder['half']) => KindCount[]> {
  const counts: KindCount[] = [];
  for (const folder of [...KINDS, ...KEPT_ASIDE]) counts.push(countKind(await judgeKind(folder)));
  return (wanted) => counts.filter(({ judged }) => judged.folder.half === wanted);
}

function line(on: string, counts: readonly KindCount[]): BenchLine {
  const sum = (of: (count: KindCount) => number): number => counts.reduce((all, count) => all + of(count), 0);
  const said = (verdict: string): number =>
    sum(({ verdicts }) => verdicts.filter((each) => each.verdict === verdict).length);
  const chords = counts.map(({ judged }) => countChords(judged));
  const time = chords.reduce((all, each) => all + each.all, 0);
  const roots = chords.reduce((all, each) => all + each.roots, 0);
  const figures = {
    'bars with another leader': sum(({ wrongBars }) => wrongBars.length),
    'instruments not right': sum(({ instruments }) => instruments.filter(({ outcome }) => outcome !== 'right').length),
    'players not right': sum(({ players }) => players.filter(({ outcome }) => outcome !== 'right').length),
    'findings true': said('true'),
    'findings defensible': said('defensible'),
    'findings false': said('false'),
    'findings unread': said('unread'),
    'flaws found': sum(({ found }) => found.length),
  };
  const counted = Object.entries(figures).map(([name, figure]) => `${name} ${String(figure)}`);
  return { on, text: [...counted, ...(time === 0 ? [] : [`roots ${((100 * roots) / time).toFixed(1)} %`])].join(', ') };
}

/** A line a folder of the tuning half, and one each half: what was kept aside is compared as a sum. */
export async function kindLines(): Promise<readonly BenchLine[]> {
  const half = await judgedHalves();
  return [
    line('tuning half', half('tuning')),
    line('kept aside', half('kept-aside')),
    ...half('tuning').map((count) => line(count.judged.folder.id, [count])),
  ];
}

/** Judges every folder and prints each half. */
export async function printKinds(): Promise<void> {
  const half = await judgedHalves();
  const print = (title: string, own: readonly KindCount[]): void => {
    console.log(halfReport(title, own));
    console.log(chordReport(own.map(({ judged }) => judged)));
  };
  print('folders of many kinds, tuning half', half('tuning'));
  print('folders of many kinds, kept aside and written apart', half('kept-aside'));
}
