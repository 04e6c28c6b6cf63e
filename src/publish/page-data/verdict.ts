/** How the piece stands, in sentences whose places are links: who is in the foreground, what must be fixed, what is to be decided. No decibels. */
import { agreeing, counted, listText, runsOf, spanText } from '../../model/plain-words.ts';
import type { Finding } from '../../model/readings.ts';
import { barLink, plain, type Run } from './sheet.ts';
import type { StageContext } from './stage-context.ts';

/** More places than these are counted. */
const MOST_PLACES = 6;

/** Items of a sentence with commas and an `and`, each a run of its own. */
function listed(items: readonly Run[], most: number, more: string): readonly Run[] {
  const shown = items.length > most ? [...items.slice(0, most - 1), plain(more)] : items;
  return shown.flatMap((item, index) => {
    const before = index === 0 ? [] : [plain(index === shown.length - 1 ? ' and ' : ', ')];
    return [...before, item];
  });
}

/** `bars 21–24 and 30`, each span a link to its first bar. */
function barRuns(bars: readonly number[]): readonly Run[] {
  const spans = runsOf(bars);
  const links = spans.map(({ from, to }) => barLink(from, spanText(from, to)));
  const isOne = bars.length === 1;
  return [
    plain(isOne ? 'bar ' : 'bars '),
    ...listed(links, MOST_PLACES, `${String(spans.length - MOST_PLACES + 1)} more places`),
  ];
}

/** Said where the estimate hangs on a level that no source gives. */
function assumedText(context: StageContext, names: readonly string[]): string {
  const { stage, readings } = context.published;
  const front = new Set(stage.foreground.map((span) => span.partId));
  const isAssumed = readings.levelAssumptions.some((item) => item.assumed && front.has(item.partId));
  const who = names.length === 1 ? (names[0] ?? '') : 'the foreground';
  return isAssumed ? ` (no published level of ${who} is at hand, so its own is assumed)` : '';
}

function foregroundSentence(context: StageContext, names: readonly string[]): readonly Run[] {
  const { stage, readings } = context.published;
  if (stage.parts.length === 0) return [plain('No part plays yet.')];
  if (names.length === 0) return [];
  const who = `The foreground (${listText(names, 3)}${stage.foregroundGuessed ? ', a guess' : ''})`;
  const estimate = `, as estimated from MIDI${assumedText(context, names)}`;
  const known = readings.balance.filter(({ marginDb }) => marginDb !== undefined);
  if (known.length === 0)
    return stage.parts.length === names.length
      ? [plain(`${listText(names, 4)} alone.`)]
      : [plain(`${who} was not weighed.`)];
  const under = known.flatMap(({ bar, marginDb = 0 }) => (marginDb < 0 ? [bar] : []));
  if (under.length === 0) return [plain(`${who} is louder than the background throughout${estimate}.`)];
  if (2 * under.length > known.length) {
    const share = `${String(under.length)} of ${counted(known.length, 'bar')}`;
    return [plain(`${who} is softer than the background in ${share}${estimate}.`)];
  }
  return [plain(`${who} is louder than the background except in `), ...barRuns(under), plain(`${estimate}.`)];
}

/** Where something must be fixed: each place leads to its finding. */
function fixSentence(findings: readonly Finding[]): readonly Run[] {
  const places = findings.flatMap((finding, index) =>
    finding.level === 'fix' && finding.accepted === undefined ? [{ finding, number: index + 1 }] : [],
  );
  if (places.length === 0) return [plain('Nothing must be fixed before parts are copied.')];
  const links = [...places]
    .sort((a, b) => a.finding.from - b.finding.from || a.number - b.number)
    .map(({ finding, number }): Run => ({
      text: spanText(finding.from, finding.to),
      href: `#finding-${String(number)}`,
    }));
  const [first] = places;
  const isOne = places.length === 1 && first?.finding.from === first?.finding.to;
  return [
    plain(`${counted(places.length, 'place')} must be fixed before parts are copied: ${isOne ? 'bar' : 'bars'} `),
    ...listed(links, MOST_PLACES, `${String(links.length - MOST_PLACES + 1)} more`),
    plain('.'),
  ];
}

function restSentence(findings: readonly Finding[]): readonly Run[] {
  const open = findings.filter(({ accepted }) => accepted === undefined);
  const count = (level: Finding['level']): number => open.filter((finding) => finding.level === level).length;
  const accepted = findings.length - open.length;
  const parts: readonly (readonly [number, string])[] = [
    [count('look'), 'to check'],
    [count('note'), 'for information'],
    [accepted, 'judged and accepted'],
  ];
  const words = parts.flatMap(([amount, word]) => (amount === 0 ? [] : [`${String(amount)} ${word}`]));
  if (words.length === 0) return [];
  return [plain('Other '), { text: 'findings', href: '#findings' }, plain(`: ${listText(words)}.`)];
}

function questionSentence(count: number): readonly Run[] {
  if (count === 0) return [];
  return [
    { text: counted(count, 'question'), href: '#open-questions' },
    plain(` ${agreeing(count, 'waits', 'wait')} for an answer.`),
  ];
}

/**
 * The sentences of the first screen, empty ones left out; where the foreground was guessed the questions come first, for all that is said of
 * balance hangs on them. `names`: the parts of the foreground; `questions`: how many are open.
 */
export function verdictOf(
  context: StageContext,
  names: readonly string[],
  questions: number,
): readonly (readonly Run[])[] {
  const { stage, findings } = context.published;
  const asked = questionSentence(questions);
  const sentences = [
    ...(stage.foregroundGuessed ? [asked] : []),
    foregroundSentence(context, names),
    ...(stage.parts.length === 0 ? [] : [fixSentence(findings), restSentence(findings)]),
    ...(stage.foregroundGuessed ? [] : [asked]),
  ];
  return sentences.filter((runs) => runs.length > 0);
}
