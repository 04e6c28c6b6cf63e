/** What is odd about a recording, of a part or of the whole, one sentence each. */
import type { Stage } from '../../model/music/arrangement.ts';
import { counted } from '../../model/words/plain-words.ts';
import type { Problem } from '../../problems/problem.ts';
import { audioRemark } from '../../read/audio/audio-fault.ts';
import { quoted } from '../../read/clean-text.ts';
import type { RawStem } from '../../read/raw.ts';
import type { SoundMeasure } from '../../sound/measure/sound-meter.ts';
import type { NamedStem } from './name-stems.ts';
import type { RecordingPlace } from './place-recordings.ts';

/** 80 dB under full scale: nothing that a mock-up has on purpose. */
const SILENT_PEAK = 1e-4;
/** A recording that ends this long before the music is cut; one that goes on so long after it has more than an echo. */
const CUT_SECONDS = 1;
const ECHO_SECONDS = 15;

/** That a recording is named after nobody, or only after parts that have recordings of their own. */
export function nameRemarks({ raw, partIds, isCovered }: NamedStem, stage: Stage): readonly Problem[] {
  if (partIds.length > 0) return [];
  return isCovered
    ? [
        audioRemark(
          raw.path,
          'stem-covered',
          'All parts that this recording is named after have recordings of their own, so it is not measured.',
        ),
      ]
    : [
        audioRemark(
          raw.path,
          'stem-unknown',
          `No part of ${quoted(stage.title)} is called ${quoted(raw.name)}, so this recording is not measured: name it after a part or a group of parts.`,
        ),
      ];
}

/** The number that most have. */
function usual(numbers: readonly number[]): number | undefined {
  const counts = new Map<number, number>();
  for (const number of numbers) counts.set(number, (counts.get(number) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1])[0]?.[0];
}

/** True where nothing was recorded on purpose. */
export function isSilent({ peak }: SoundMeasure): boolean {
  return peak < SILENT_PEAK;
}

/** That recordings were not played at the tempo of the notes. */
export function driftRemarks(
  file: string,
  { driftSeconds }: RecordingPlace,
  who: string,
  consequence: string,
): readonly Problem[] {
  if (driftSeconds === undefined) return [];
  const message = `Against the notes ${who} by ${(driftSeconds * 1000).toFixed(0)} ms from one quarter of the piece to another: ${consequence}.`;
  return [audioRemark(file, 'recording-drifts', message)];
}

interface Recorded {
  readonly file: string;
  readonly what: 'recording' | 'audio';
  readonly measure: SoundMeasure;
}

/**
 * That a recording is over before the music of `parts`, or goes on long after the stage of `seconds`; `missing`: what becomes of music that is
 * not there.
 */
export function lengthRemarks(
  { file, what, measure }: Recorded,
  offsetSeconds: number,
  { parts, seconds }: Pick<Stage, 'parts' | 'seconds'>,
  missing: string,
): readonly Problem[] {
  const heard = measure.seconds - offsetSeconds;
  const lastNote = Math.max(0, ...parts.flatMap(({ notes }) => notes.map(({ endSecond }) => endSecond)));
  const [lacking, over] = [lastNote - heard, heard - seconds];
  if (lacking > CUT_SECONDS) {
    const message = `This ${what} ends ${lacking.toFixed(0)} seconds before the music: ${missing}; export it again in full length.`;
    return [audioRemark(file, 'recording-short', message)];
  }
  if (over <= ECHO_SECONDS) return [];
  const message = `This ${what} goes on for ${over.toFixed(0)} seconds after the music: is it of this stage?`;
  return [audioRemark(file, 'recording-long', message)];
}

/** Silence, cut tops, channels and rates unlike the others', and a length unlike that of the music that it holds to the end. */
export function soundRemarks(
  raw: RawStem,
  offsetSeconds: number,
  all: readonly RawStem[],
  held: Pick<Stage, 'parts' | 'seconds'>,
): readonly Problem[] {
  const { path: file, measure } = raw;
  const { cutPlaces } = measure;
  if (isSilent(measure))
    return [
      audioRemark(
        file,
        'stem-silent',
        'This recording is silent: was the part muted when it was exported? Export it again.',
      ),
    ];
  const rateHz = usual(all.map((other) => other.rateHz));
  const channels = usual(all.map((other) => other.channelCount));
  return [
    ...(cutPlaces > 0
      ? [
          audioRemark(
            file,
            'stem-clipped',
            `The top of the sound is cut off in ${counted(cutPlaces, 'place')}, where its level is shown too low: export it softer.`,
          ),
        ]
      : []),
    ...(raw.channelCount === 1 && channels !== 1
      ? [
          audioRemark(
            file,
            'stem-one-channel',
            'This recording has one channel where most have more: it is measured as if both loudspeakers played it.',
          ),
        ]
      : []),
    ...(rateHz !== undefined && raw.rateHz !== rateHz
      ? [
          audioRemark(
            file,
            'stem-rate',
            `This recording has ${String(raw.rateHz)} samples a second where most have ${String(rateHz)}: it is measured all the same, but check that it plays at the right pitch.`,
          ),
        ]
      : []),
    ...lengthRemarks({ file, what: 'recording', measure }, offsetSeconds, held, 'what is missing is estimated'),
  ];
}
