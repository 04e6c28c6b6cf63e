/** What a note is called, and what it is: the same on every page and in the terminal. */
import { parseBarHeading } from '../../read/settings/bar-span.ts';
import type { Memo } from '../../model/music/arrangement.ts';
import { barSpanText } from '../../model/words/plain-words.ts';

const MOST_CHARACTERS = 90;

const KINDS: Readonly<Record<Memo['kind'], string>> = {
  remark: 'Remark',
  decision: 'Decision',
  question: 'Open question',
  answer: 'Answer',
  accepted: 'Accepted',
  mended: 'Said to be mended',
};

/** `Decision`; of an answer with who gave it: `Decision by Mara`. */
export function kindText({ kind, answer }: Pick<Memo, 'kind' | 'answer'>): string {
  if (answer === undefined) return KINDS[kind];
  return `${KINDS[kind]}${answer.from === '' ? ', unsigned' : ` by ${answer.from}`}`;
}

function firstLine({ markdown }: Memo): string | undefined {
  return markdown.split('\n').find((line) => line.trim() !== '');
}

/** The beginning of a note that has no heading of its own, cut between words. */
function firstWords(memo: Memo): string {
  const { markdown } = memo;
  const line = firstLine(memo)?.trim() ?? '';
  if (line.length <= MOST_CHARACTERS && markdown.trim() === line) return line;
  const cut = line.length <= MOST_CHARACTERS ? line : line.slice(0, MOST_CHARACTERS).replace(/\s+\S*$/, '');
  return `${cut.replace(/[.,;:]$/, '')}…`;
}

/** What a note is called: its heading, or its beginning. */
export function noteHeading(memo: Memo): string {
  if (memo.heading !== '') return memo.heading;
  return firstLine(memo)?.slice(0, 80) ?? kindText(memo);
}

/** A heading that is the anchor itself says nothing more: then the beginning of the text. */
export function topicOf(memo: Memo): string {
  const heading = noteHeading(memo);
  const isAnchor = /^(bars?|measures?)\b/i.test(heading) || parseBarHeading(heading) !== undefined;
  return isAnchor ? firstWords(memo) : heading;
}

/** Where an answer was written, if it stands elsewhere now or nowhere, in a sentence; '' where it stands where it was written. */
export function movedText({ from, to, answer }: Memo): string {
  const was = answer?.was;
  if (was === undefined) return '';
  const stage = was.stage === '' ? '' : `stage “${was.stage}”`;
  const bars = was.from === undefined ? '' : barSpanText(was.from, was.to ?? was.from);
  const place = [bars, stage].filter((piece) => piece !== '').join(' of ');
  switch (was.fate) {
    case 'moved':
      return `Written about ${place}${from === undefined ? '' : `, now ${barSpanText(from, to ?? from)}`}.`;
    case 'cut':
      return `Written about ${place}; these bars have been cut since.`;
    case 'changed':
      return `Written about ${place} as it was; its music is another now, so where this belongs is not known.`;
    case 'lost':
      return `Written about ${place === '' ? 'a place' : place}, which this folder does not have, so it has no place here.`;
  }
}
