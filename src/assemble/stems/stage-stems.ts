/** The recordings of parts that lie in the folder, each with its stage, its parts and its place on the notes. */
import { groupedBy } from '../../model/grouped.ts';
import type { Part, Question, Stage } from '../../model/music/arrangement.ts';
import { placedText } from '../../model/recordings/placed-by.ts';
import type { Stem } from '../../model/recordings/stems.ts';
import type { Problem } from '../../problems/problem.ts';
import { audioRemark } from '../../read/audio/audio-fault.ts';
import { quoted } from '../../read/clean-text.ts';
import type { RawStem } from '../../read/raw.ts';
import { integrated } from '../../sound/measure/loudness.ts';
import type { Known } from '../user-notes-and-settings/reference-words.ts';
import { beatsOfSound } from './beats-of-sound.ts';
import type { NamedStem } from './name-stems.ts';
import { nameStems, stageOfFolder } from './name-stems.ts';
import type { KnownPlace } from './place-recordings.ts';
import { clearPlace, placeOf, placeQuestion, risesTogether } from './place-recordings.ts';
import { driftRemarks, isSilent, nameRemarks, soundRemarks } from './stem-remarks.ts';

/** Recordings that begin within this of each other were exported together: attacks of instruments differ by half of it. */
const TOGETHER_SECONDS = 0.06;

export interface WithStems {
  readonly stages: readonly Stage[];
  readonly problems: readonly Problem[];
  /** Paths of recordings that hold no part. */
  readonly unused: readonly string[];
  readonly assumptions: readonly string[];
}

function partsOf(stage: Stage, named: readonly NamedStem[]): readonly Part[] {
  const ids = new Set(named.flatMap(({ partIds }) => partIds));
  return stage.parts.filter(({ id }) => ids.has(id));
}

/** True of one of several recordings of a part (its plucked notes, say) where another of them lasts longer. */
function goesOn({ raw, partIds }: NamedStem, all: readonly NamedStem[]): boolean {
  return all.some(
    (other) => other.raw.measure.seconds > raw.measure.seconds && other.partIds.some((id) => partIds.includes(id)),
  );
}

interface PlacedStems {
  readonly stems: readonly Stem[];
  readonly problems: readonly Problem[];
  readonly questions: readonly Question[];
  readonly assumptions: readonly string[];
}

function placed(stage: Stage, raws: readonly RawStem[], named: readonly NamedStem[], known: KnownPlace): PlacedStems {
  const sounding = named.filter(({ raw }) => !isSilent(raw.measure));
  const together = risesTogether(sounding.map(({ raw }) => raw.measure.onsets));
  const place = placeOf(together, partsOf(stage, sounding), known);
  const { offsetSeconds, by } = place;
  const folder = named[0]?.raw.folder ?? '';
  const problems: Problem[] = [
    ...driftRemarks(
      folder,
      place,
      'these recordings drift',
      'they were played at another tempo, and their bars are measured a little beside the bar lines',
    ),
  ];
  const stems = named.map((stem): Stem => {
    const { raw, partIds } = stem;
    const own = clearPlace(raw.measure.onsets, partsOf(stage, [stem]));
    const apart = own === undefined ? 0 : own.offsetSeconds - offsetSeconds;
    const isApart = by !== 'settings' && Math.abs(apart) > TOGETHER_SECONDS;
    if (isApart)
      problems.push(
        audioRemark(
          raw.path,
          'stem-out-of-place',
          `This recording lies ${Math.abs(apart).toFixed(2)} seconds ${apart > 0 ? 'later' : 'earlier'} than the others: it is measured where it lies, but is heard out of place beside them.`,
        ),
      );
    const at = isApart ? offsetSeconds + apart : offsetSeconds;
    const parts = goesOn(stem, named) ? [] : partsOf(stage, [stem]);
    problems.push(...soundRemarks(raw, at, raws, { parts, seconds: stage.seconds }));
    const integratedDb = integrated(raw.measure.stepPowers);
    return {
      file: raw.path,
      partIds,
      form: raw.form,
      rateHz: raw.rateHz,
      channelCount: raw.channelCount,
      seconds: raw.measure.seconds,
      offsetSeconds: Math.round(at * 1000) / 1000,
      ...(integratedDb === undefined ? {} : { integratedDb }),
      beats: beatsOfSound(raw.measure, stage.timeline, at),
    };
  });
  const isAsked = by === 'midi' && sounding.length > 0;
  return {
    stems,
    problems,
    questions: isAsked ? [placeQuestion(stage, `the recordings in ${quoted(folder)}`, 'Their', place)] : [],
    assumptions: [
      `The recordings in ${quoted(folder)} are taken for stage ${quoted(stage.title)}, and its first bar to begin ${offsetSeconds.toFixed(2)} seconds into them, ${placedText(by, 'their')}.`,
    ],
  };
}

/** The stages with the recordings of their parts; `places`: what is known of where the recordings of each stage begin. */
export function withStems(known: Known, raws: readonly RawStem[], places: readonly KnownPlace[]): WithStems {
  const problems: Problem[] = [];
  const assumptions: string[] = [];
  const unused: string[] = [];
  const byStage = groupedBy(raws, ({ folder }) => stageOfFolder(folder, known.stageNames, known.stages));
  const stages = known.stages.map((stage, index): Stage => {
    const own = byStage.get(stage);
    if (own === undefined) return stage;
    const named = nameStems(own, stage.parts, known.read);
    problems.push(...named.flatMap((stem) => nameRemarks(stem, stage)));
    const used = named.filter(({ partIds }) => partIds.length > 0);
    unused.push(...named.filter((stem) => !used.includes(stem)).map(({ raw }) => raw.path));
    if (used.length === 0) return stage;
    const result = placed(stage, own, used, places[index] ?? { stated: undefined, inMidi: 0 });
    problems.push(...result.problems);
    assumptions.push(...result.assumptions);
    return { ...stage, stems: result.stems, questions: [...stage.questions, ...result.questions] };
  });
  return { stages, problems, unused, assumptions };
}
