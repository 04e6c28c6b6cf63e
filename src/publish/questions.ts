/** What is asked about a stage: what was met in putting it together, then keys that the notes leave open. */
import { barSpanText, listText } from '../model/words/plain-words.ts';
import type { Question } from '../model/music/arrangement.ts';
import type { KeySpan, WrittenNotes } from '../model/music/written.ts';
import type { PublishedStage } from './dossier-input.ts';
import { keyText } from './numbers-and-names.ts';

/** Of a question told in a line. */
const MOST_CHARACTERS = 110;
/** At most this many spans are named. */
const MOST_SPANS = 4;

function doubtText({ from, to, tonic, mode, rival }: KeySpan): readonly string[] {
  if (rival === undefined) return [];
  return [`${barSpanText(from, to)} (${keyText({ tonic, mode })} or ${keyText(rival)})`];
}

function keyQuestions(keys: readonly KeySpan[]): readonly Question[] {
  const doubts = keys.flatMap(doubtText);
  if (doubts.length === 0) return [];
  const more = doubts.length > MOST_SPANS ? [`${String(doubts.length - MOST_SPANS)} more`] : [];
  const where = listText([...doubts.slice(0, MOST_SPANS), ...more]);
  return [
    {
      code: 'key-doubtful',
      text: `Which key is it in ${where}? Notes and chords speak for both, and the score is spelled in the first. Say “key” in the settings where it is one for the whole piece, or put key signatures into the MIDI.`,
    },
  ];
}

type QuestionedStage = Pick<PublishedStage, 'stage'> & { readonly written: Pick<WrittenNotes, 'keys'> };

/** All open questions of a stage in order. */
export function questionsOf({ stage, written }: QuestionedStage): readonly Question[] {
  return [...stage.questions, ...keyQuestions(written.keys)];
}

/** The first clause of a question, names in quotes left whole. */
export function shortText({ text }: Pick<Question, 'text'>): string {
  const [sentence = text] = /^(?:"[^"]*"|“[^”]*”|[^;:?"“.]|\.(?! ))+\??/.exec(text) ?? [];
  if (sentence.length <= MOST_CHARACTERS) return sentence.replace(/[.,]$/, '');
  return `${sentence.slice(0, MOST_CHARACTERS).replace(/\s+\S*$/, '')}…`;
}
