/** What was done to the music between two builds that an archive keeps, in a few of the sentences of the page of changes. */
import { counted } from '../../model/words/plain-words.ts';
import { changeSentences, type ToldStep } from '../page-data/changes/change-words.ts';

/** A reader of an archive looks for the build in which something was done, not for every bar of it. */
const MOST_SENTENCES = 5;

/** Sentences for the current stage of a build against that of the build before it. */
export function doneSince(step: ToldStep): readonly string[] {
  const [one, other] = [step.before.stage.title, step.after.stage.title];
  const told = changeSentences(step).map(({ text }) => text);
  const more = told.length - MOST_SENTENCES;
  return [
    ...(one === other ? [] : [`The current stage is “${other}”; it was “${one}”.`]),
    ...(more > 1 ? told.slice(0, MOST_SENTENCES) : told),
    ...(more > 1 ? [`${counted(more, 'more change')} in the page “What changed” of the build.`] : []),
  ];
}
