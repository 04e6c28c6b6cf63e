/** What was done with the audio of a stage, in words. */
import { placedText } from '../../model/recordings/placed-by.ts';
import { sizeWords } from '../../model/words/plain-words.ts';
import { decimalText } from '../numbers-and-names.ts';
import { MOST_IN_SINGLE_FILE_BYTES, type PublishedAudio } from './published-audio.ts';

function tooLarge({ bytes, path }: PublishedAudio): string {
  const most = sizeWords(MOST_IN_SINGLE_FILE_BYTES);
  return `${sizeWords(bytes)} large and therefore not in this file, which takes along at most ${most} of audio, the newest stages first; it stands beside it as ${path}`;
}

/** Sentences for the page of the stage. */
export function audioSentences(audio: PublishedAudio, singleFile: boolean): readonly string[] {
  const { original, form, fitsSingleFile } = audio;
  const { file, firstBarSecond, placedBy } = original;
  if (singleFile && !fitsSingleFile) return [`What is played of “${file}” is ${tooLarge(audio)}.`];
  return [
    `“${file}” is played ${form}; the file itself was only read.`,
    `The first bar is taken to begin at second ${decimalText(firstBarSecond, 2)} of it, ${placedText(placedBy, 'its')}${placedBy === 'settings' ? '' : '; “offset” of the stage in dossier.yaml says otherwise'}.`,
  ];
}

/** What it is, for the list of all files. */
export function audioUse(audio: PublishedAudio, singleFile: boolean): string {
  if (!singleFile) return `what “Listen” plays, ${audio.form}`;
  return audio.fitsSingleFile ? `what “Listen” plays, ${audio.form}; it is in this file` : tooLarge(audio);
}
