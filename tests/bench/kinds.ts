/** What is said of folders of many kinds, counted beside their truths (tests/kinds), each half apart. */
import { KINDS } from '../kinds/folders.ts';
import { KEPT_ASIDE } from '../kinds/kept-aside/folders.ts';
import type { KindFolder } from '../kinds/kind.ts';
import { chordReport } from '../kinds/judge/chord-report.ts';
import type { KindCount } from '../kinds/judge/count-kind.ts';
import { countKind } from '../kinds/judge/count-kind.ts';
import { judgeKind } from '../kinds/judge/judge-kind.ts';
import { halfReport } from '../kinds/judge/kind-report.ts';

/** Judges every folder and prints each half. */
export async function printKinds(): Promise<void> {
  const counts: KindCount[] = [];
  for (const folder of [...KINDS, ...KEPT_ASIDE]) counts.push(countKind(await judgeKind(folder)));
  const half = (wanted: KindFolder['half']): KindCount[] =>
    counts.filter(({ judged }) => judged.folder.half === wanted);
  const print = (title: string, own: readonly KindCount[]): void => {
    console.log(halfReport(title, own));
    console.log(chordReport(own.map(({ judged }) => judged)));
  };
  print('folders of many kinds, tuning half', half('tuning'));
  print('folders of many kinds, kept aside and written apart', half('kept-aside'));
}
