/** The audio beside the stages, each with its place on the notes. */
import type { Question, Stage, StageAudio } from '../../model/music/arrangement.ts';
import type { Problem } from '../../problems/problem.ts';
import { audioRemark } from '../../read/audio/audio-fault.ts';
import { quoted } from '../../read/clean-text.ts';
import type { RawAudio } from '../../read/raw.ts';
import type { KnownPlace } from './place-recordings.ts';
import { placeOf, placeQuestion } from './place-recordings.ts';
import { driftRemarks, isSilent, lengthRemarks } from './stem-remarks.ts';

export interface RecordedStage {
  readonly audio: RawAudio | undefined;
  readonly place: KnownPlace;
}

export interface WithAudio {
  readonly stages: readonly Stage[];
  readonly audio: readonly StageAudio[];
  readonly problems: readonly Problem[];
}

interface PlacedAudio {
  readonly audio: StageAudio;
  readonly problems: readonly Problem[];
  readonly questions: readonly Question[];
}

function placed(stage: Stage, raw: RawAudio, known: KnownPlace): PlacedAudio {
  const { path: file, sha256, kind, bytes, measure } = raw;
  const place = placeOf(measure?.onsets ?? new Float32Array(), stage.parts, known);
  const { offsetSeconds: firstBarSecond, by: placedBy } = place;
  const audio = { stageId: stage.id, file, sha256, kind, bytes, firstBarSecond, placedBy };
  if (measure === undefined) return { audio, problems: [], questions: [] };
  if (isSilent(measure)) {
    const message = 'This audio is silent: was everything muted when it was exported? Export it again.';
    return { audio, problems: [audioRemark(file, 'audio-silent', message)], questions: [] };
  }
  return {
    audio,
    problems: [
      ...driftRemarks(
        file,
        place,
        'this audio drifts',
        'it was played at another tempo, and runs a little beside the bar lines',
      ),
      ...lengthRemarks({ file, what: 'audio', measure }, firstBarSecond, stage, 'what is missing is not heard'),
    ],
    questions: placedBy === 'midi' ? [placeQuestion(stage, quoted(file), 'Its', place)] : [],
  };
}

/** The stages with what is to be asked of their audio; `recorded` in the order of the stages. */
export function withStageAudio(stages: readonly Stage[], recorded: readonly RecordedStage[]): WithAudio {
  const all = stages.map((stage, index): PlacedAudio | undefined => {
    const { audio, place } = recorded[index] ?? {};
    return audio === undefined || place === undefined ? undefined : placed(stage, audio, place);
  });
  return {
    stages: stages.map((stage, index) => {
      const questions = all[index]?.questions ?? [];
      return questions.length === 0 ? stage : { ...stage, questions: [...stage.questions, ...questions] };
    }),
    audio: all.flatMap((one) => one?.audio ?? []),
    problems: all.flatMap((one) => one?.problems ?? []),
  };
}
