/** Chords of folders beside the harmony that was written down for them, as text. */
import type { JudgedKind } from './judge-kind.ts';
import type { ChordsOfKind } from './count-chords.ts';
import { countChords, unsoundedText } from './count-chords.ts';

function percent(right: number, all: number): string {
  return all === 0 ? '-' : `${((100 * right) / all).toFixed(1)} %`;
}

function row(title: string, { all, roots, basses, named, unsounded }: ChordsOfKind): string {
  return `    ${title.padEnd(20)} roots ${percent(roots, all)}, basses ${percent(basses, all)} of the time; ${String(unsounded.length)} of ${String(named)} symbols name a bass that does not sound`;
}

/** Roots and basses by time, folder by folder and over all; every symbol whose bass nobody plays. */
export function chordReport(judged: readonly JudgedKind[]): string {
  const counts = judged.map((each) => ({ id: each.folder.id, count: countChords(each) }));
  const sum = (of: (count: ChordsOfKind) => number): number => counts.reduce((all, { count }) => all + of(count), 0);
  const unsounded = counts.flatMap(({ count }) => count.unsounded);
  return [
    '  chords beside the written harmony',
    row('all', {
      all: sum((count) => count.all),
      roots: sum((count) => count.roots),
      basses: sum((count) => count.basses),
      named: sum((count) => count.named),
      unsounded,
    }),
    ...counts.map(({ id, count }) => row(id, count)),
    ...counts.flatMap(({ id, count }) => count.unsounded.map((chord) => `      ${id}, ${unsoundedText(chord)}`)),
  ].join('\n');
}
