/** The places of findings and notes, as they are marked in every score and chart of a stage. */
import type { Memo } from '../../model/music/arrangement.ts';
import { barSpanText } from '../../model/words/plain-words.ts';
import type { Finding } from '../../model/readings/readings.ts';
import { shorten } from '../ruler/wording.ts';
import type { PlaceMark } from './place-mark.ts';

const MOST_CHARACTERS = 90;

function titleOf(name: string, from: number, to: number, text: string): string {
  return `${name}, ${barSpanText(from, to)}${text === '' ? '' : `: ${shorten(text, MOST_CHARACTERS)}`}`;
}

function findingMark(finding: Finding, index: number): PlaceMark {
  const { from, to, partIds, level, accepted } = finding;
  const sign = String(index + 1);
  return {
    ...{ key: `f${sign}`, sign, href: `#finding-${sign}`, from, to, partIds },
    title: titleOf(`Finding ${sign}`, from, to, finding.message),
    kind: accepted !== undefined ? 'accepted' : level === 'fix' ? 'fix' : 'look',
  };
}

function memoMarks(memo: Memo, index: number): PlaceMark[] {
  if (memo.from === undefined) return [];
  const { from, to = from, partIds } = memo;
  const sign = `n${String(index + 1)}`;
  const href = `#note-${String(index + 1)}`;
  const title = titleOf(`Note ${sign}`, from, to, memo.heading);
  return [{ key: sign, sign, href, from, to, partIds, title, kind: 'note' }];
}

/**
 * Findings are numbered from 1 in the order given, so are notes (`n1`); a note without bars has no place. Links lead to `#finding-N` and
 * `#note-N`.
 */
export function placeMarks(findings: readonly Finding[], memos: readonly Memo[]): readonly PlaceMark[] {
  return [...findings.map(findingMark), ...memos.flatMap(memoMarks)];
}
