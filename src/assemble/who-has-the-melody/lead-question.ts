/** What is asked about the leader: where the guess is weak, both readings, and the line of the settings that settles it. */
import type { ForegroundSpan, Part, Question } from '../../model/music/arrangement.ts';
import { agreeing, barSpanText, barsText, listText, numbersIn, spanText } from '../../model/words/plain-words.ts';
import { singsIntoMicrophone, type EnsembleKind } from '../../model/music/ensemble.ts';
import { asYamlKey, quoted } from '../../read/clean-text.ts';

/** So many doubtful spans are named; more are counted. */
const MOST_SPANS = 6;

/** Asks about the level of leaders who sing before a band; empty where there is none, or the settings say it. */
export function microphoneQuestion(kind: EnsembleKind, parts: readonly Part[]): readonly Question[] {
  const singers = parts.filter((part) => part.role === 'foreground' && singsIntoMicrophone(part, kind, parts));
  const [first] = singers;
  if (first === undefined) return [];
  const names = listText(
    singers.map(({ name }) => quoted(name)),
    4,
  );
  return [
    {
      code: 'other',
      text: `${singers.length === 1 ? 'Does' : 'Do'} ${names} sing into a microphone? Before a band that is usual, and then notes do not tell how loud: who is louder is estimated and not judged there. Say how many dB it adds, or 0 for none, as parts: {${asYamlKey(first.name)}: {trim: 0}}.`,
      partId: first.id,
    },
  ];
}

/** The question, undefined where everything was said. */
export function leadQuestion(spans: readonly ForegroundSpan[], parts: readonly Part[]): Question | undefined {
  const guessed = spans.filter(({ certainty }) => certainty < 1);
  if (guessed.length === 0) return undefined;
  const rawName = (id: string): string => parts.find((part) => part.id === id)?.name ?? id;
  const nameOf = (id: string): string => quoted(rawName(id));
  const names = [...new Set(guessed.map(({ partId }) => partId))].map(nameOf);
  const open = guessed.length === spans.length ? '' : ` in ${barsText(guessed.flatMap(numbersIn), MOST_SPANS)}`;
  const nobody = open === '' ? 'No setting says' : 'No setting and no note that was understood says';
  const taken = `${nobody} who has the foreground${open}: ${listText(names, 4)} ${agreeing(names.length, 'is', 'are')} taken for the foreground, phrase by phrase, by line, height, strength and movement.`;
  const weak = guessed.filter((span) => span.weak);
  if (weak.length === 0)
    return { code: 'foreground-guessed', text: `${taken} Say who has it with foreground in dossier.yaml.` };
  const doubts = weak.map(({ partId, rivalId, from, to }) => {
    const readings = rivalId === undefined ? nameOf(partId) : `${nameOf(partId)} or ${nameOf(rivalId)}`;
    return `in ${barSpanText(from, to)} it may be ${readings}`;
  });
  const entries = weak
    .slice(0, MOST_SPANS)
    .map(
      ({ partId, from, to }) => `{part: ${asYamlKey(rawName(partId))}, bars: ${spanText(from, to).replace('–', '-')}}`,
    );
  return {
    code: 'foreground-guessed',
    text: `${taken} Not sure: ${listText(doubts, MOST_SPANS)}; what rests on that is not judged there. Settle it in dossier.yaml, as foreground: [${entries.join(', ')}].`,
  };
}
