/** The pacing of a stage, argued in sentences; bars are links. */
import type { PacingReading, SectionPacing } from '../../../model/readings/pacing.ts';
import { groupedBy } from '../../../model/grouped.ts';
import { agreeingWith } from '../../../model/words/part-grammar.ts';
import { agreeing, barSpanText, counted, listText, minutesText, fullStop } from '../../../model/words/plain-words.ts';
import { decimalText, signedDbText } from '../../numbers-and-names.ts';
import { barLink, plain, type Run } from '../page-frame/sheet.ts';
import type { StageContext } from '../page-frame/stage-context.ts';

type Sentence = readonly Run[];

const MOST_NAMED = 5;

function span(from: number, to: number): Run {
  return barLink(from, barSpanText(from, to));
}

function secondsText(seconds: number): string {
  return seconds < 9.95
    ? `${decimalText(seconds)} s`
    : seconds < 100
      ? `${decimalText(seconds, 0)} s`
      : `${minutesText(seconds)} min`;
}

function entriesSentence({ entries }: PacingReading, name: (partId: string) => string): readonly Sentence[] {
  // Who plays from the first bar on does not come in: the piece begins.
  const later = entries
    .filter(({ sinceBars }, index) => index > 0 && sinceBars !== undefined)
    .filter(({ bar }) => bar !== entries[0]?.bar);
  if (later.length === 0) return [[plain('Whoever plays, plays from the beginning: nobody comes in later.')]];
  const withSection = later.filter(({ comesWith }) => comesWith === 'section').length;
  const withPhrase = later.filter(({ comesWith }) => comesWith === 'phrase').length;
  const alone = later.filter(({ comesWith }) => comesWith === 'nothing');
  const kinds = [
    { count: withSection, text: 'with a section' },
    { count: withPhrase, text: 'with a phrase' },
    { count: alone.length, text: 'with neither' },
  ].filter(({ count }) => count > 0);
  const [ofAll] = kinds.length === 1 && later.length > 1 ? kinds : [];
  const how =
    ofAll === undefined
      ? `: ${listText(kinds.map(({ count, text }) => `${String(count)} ${text}`))}`
      : `, ${later.length === 2 ? 'both' : 'all'} ${ofAll.text}`;
  // Who comes in together is told together.
  const groups = [...groupedBy(alone, ({ bar }) => bar)];
  const shown = groups.slice(0, MOST_NAMED);
  const more = groups.slice(MOST_NAMED).reduce((sum, [, group]) => sum + group.length, 0);
  const named = shown.flatMap(([bar, group], index): Run[] => [
    plain(`${index === 0 ? ': ' : ', '}${listText(group.map(({ partId }) => name(partId)))} in `),
    barLink(bar, `bar ${String(bar)}`),
  ]);
  return [
    [
      plain(
        `After the beginning there ${agreeing(later.length, 'is', 'are')} ${counted(later.length, 'entry', 'entries')}${how}`,
      ),
      ...named,
      plain(`${more > 0 ? ` and ${String(more)} more` : ''}.`),
    ],
  ];
}

function longestWait({ entries }: PacingReading): readonly Sentence[] {
  const waits = entries.flatMap((entry, index) => {
    const before = entries[index - 1];
    return before === undefined || entry.sinceSeconds === undefined
      ? []
      : [{ before, entry, seconds: entry.sinceSeconds }];
  });
  const longest = waits.reduce<(typeof waits)[number] | undefined>(
    (most, wait) => (most === undefined || wait.seconds > most.seconds ? wait : most),
    undefined,
  );
  if (longest === undefined || longest.seconds <= 0) return [];
  return [
    [
      plain(`The longest time without an entry is ${secondsText(longest.seconds)}, from `),
      barLink(longest.before.bar, `bar ${String(longest.before.bar)}`),
      plain(' to '),
      barLink(longest.entry.bar, `bar ${String(longest.entry.bar)}`),
      plain('.'),
    ],
  ];
}

function longestStep({ steps }: PacingReading, name: (partId: string) => string): readonly Sentence[] {
  const sounding = steps.filter(({ partIds }) => partIds.length > 0);
  const longest = sounding.reduce<(typeof sounding)[number] | undefined>(
    (most, step) => (most === undefined || step.seconds > most.seconds ? step : most),
    undefined,
  );
  if (longest === undefined || sounding.length < 2) return [];
  const players =
    longest.partIds.length > MOST_NAMED ? counted(longest.partIds.length, 'part') : listText(longest.partIds.map(name));
  const lines = longest.lines < longest.partIds.length ? `, in ${counted(Math.round(longest.lines), 'line')}` : '';
  return [
    [
      plain(`The texture changes ${counted(sounding.length - 1, 'time')}; it stays the same longest in `),
      span(longest.from, longest.to),
      plain(
        ` (${counted(longest.to - longest.from + 1, 'bar')}, ${secondsText(longest.seconds)}): ${fullStop(`${players}${lines}`)}`,
      ),
    ],
  ];
}

function peakSentence({ peak }: PacingReading, name: (partId: string) => string): readonly Sentence[] {
  if (peak === undefined) return [];
  const share = `${String(Math.round(100 * peak.share))} % of the way through`;
  const entering =
    peak.entering.length > MOST_NAMED ? counted(peak.entering.length, 'part') : listText(peak.entering.map(name));
  const company =
    entering === ''
      ? 'nobody comes in on the way'
      : `${entering} ${agreeing(peak.entering.length, 'comes', 'come')} in on the way`;
  const bar = barLink(peak.bar, `bar ${String(peak.bar)}`);
  const start: readonly Run[] = [
    plain('The loudest bar by estimate is '),
    bar,
    plain(`, ${share}, with ${counted(peak.parts, 'part')}`),
  ];
  if (peak.risesFrom === peak.bar) return [[...start, plain('; nothing rises to it.')]];
  return [
    [
      ...start,
      plain(peak.isSudden ? '; it comes at once, with the low point before it in ' : '; the music rises to it from '),
      barLink(peak.risesFrom, `bar ${String(peak.risesFrom)}`),
      plain(
        peak.isSudden
          ? ` (${secondsText(peak.riseSeconds)} sooner, ${decimalText(peak.riseDb)} dB softer), and ${company}.`
          : ` by ${decimalText(peak.riseDb)} dB in ${secondsText(peak.riseSeconds)}, and ${company}.`,
      ),
    ],
  ];
}

function silenceSentence({ silences }: PacingReading): readonly Sentence[] {
  if (silences.length === 0) return [[plain('There is no silence of a beat or more in which everybody rests.')]];
  const shown = silences.slice(0, MOST_NAMED);
  const more = silences.length - shown.length;
  return [
    [
      plain('Everybody rests in '),
      ...shown.flatMap((silence, index): Run[] => [
        plain(index === 0 ? '' : ', '),
        span(silence.from, silence.to),
        plain(` (${secondsText(silence.seconds)})`),
      ]),
      plain(`${more > 0 ? ` and ${counted(more, 'more place')}` : ''}.`),
    ],
  ];
}

function restSentence({ rests }: PacingReading, name: (partId: string) => string): readonly Sentence[] {
  if (rests.length < 2) return [];
  const always = rests.filter(({ silentBars }) => silentBars === 0).map(({ partId }) => name(partId));
  const least = rests.reduce((fewest, rest) => (rest.soundingBars < fewest.soundingBars ? rest : fewest));
  const most = always.length === 0 ? '' : `${listText(always)} ${agreeingWith(always, 'has', 'have')} no bar of rest; `;
  const leastName = name(least.partId);
  const sentence = `${most}${leastName} ${agreeingWith([leastName], 'sounds', 'sound')} least, in ${counted(least.soundingBars, 'bar')}.`;
  return [[plain(sentence)]];
}

/** What a section has that the one before it has not, in words. */
export function contrastText({ contrast }: SectionPacing): string {
  if (contrast === undefined) return '–';
  const { partsChange, levelChangeDb, paceRatio, sharedParts } = contrast;
  const parts =
    Math.abs(partsChange) < 0.05
      ? ''
      : `${decimalText(Math.abs(partsChange))} parts ${partsChange > 0 ? 'more' : 'fewer'}`;
  const level = levelChangeDb === undefined ? '' : signedDbText(levelChangeDb);
  const pace = paceRatio === undefined ? '' : `${decimalText(paceRatio, 1)} times the notes a second`;
  const shared = `${String(Math.round(100 * sharedParts))} % of the players in common`;
  return [parts, level, pace, shared].filter((piece) => piece !== '').join('; ');
}

/** What can be said for and against the pacing, the whole first; empty where it was not measured. */
export function pacingSentences(context: StageContext): readonly Sentence[] {
  const { pacing } = context.published.readings;
  if (pacing === undefined || pacing.entries.length === 0) return [];
  const name = context.partName;
  return [
    ...entriesSentence(pacing, name),
    ...longestWait(pacing),
    ...longestStep(pacing, name),
    ...peakSentence(pacing, name),
    ...silenceSentence(pacing),
    ...restSentence(pacing, name),
  ];
}
