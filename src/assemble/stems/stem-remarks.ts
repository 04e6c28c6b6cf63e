/** What is odd about a recording of a part, one sentence each. */
import type { Stage } from '../../model/music/arrangement.ts';
import { counted } from '../../model/words/plain-words.ts';
import type { Problem } from '../../problems/problem.ts';
import { quoted } from '../../read/clean-text.ts';
import type { RawStem } from '../../read/raw.ts';
import type { NamedStem } from './name-stems.ts';

/** 80 dB under full scale: nothing that a mock-up has on purpose. */
const SILENT_PEAK = 1e-4;
/** A recording that ends this long before the music is cut; one that goes on so long after it has more than an echo. */
const CUT_SECONDS = 1;
const ECHO_SECONDS = 15;

function remark({ path }: RawStem, code: string, message: string): Problem {
  return { kind: 'remark', code, file: path, message };
}

/** That a recording is named after nobody, or only after parts that have recordings of their own. */
export function nameRemarks({ raw, partIds, isCovered }: NamedStem, stage: Stage): readonly Problem[] {
  if (partIds.length > 0) return [];
  return isCovered
    ? [
        remark(
          raw,
          'stem-covered',
          'All parts that this recording is named after have recordings of their own, so it is not measured.',
        ),
      ]
    : [
        remark(
          raw,
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

function lengthRemark(raw: RawStem, offsetSeconds: number, { parts, seconds }: Stage): readonly Problem[] {
  const heard = raw.measure.seconds - offsetSeconds;
  const lastNote = Math.max(0, ...parts.flatMap(({ notes }) => notes.map(({ endSecond }) => endSecond)));
  const [missing, over] = [lastNote - heard, heard - seconds];
  if (missing > CUT_SECONDS)
    return [
      remark(
        raw,
        'stem-short',
        `This recording ends ${missing.toFixed(0)} seconds before the music: what is missing is estimated; export it again in full length.`,
      ),
    ];
  return over > ECHO_SECONDS
    ? [
        remark(
          raw,
          'stem-long',
          `This recording goes on for ${over.toFixed(0)} seconds after the music: is it of this stage?`,
        ),
      ]
    : [];
}

/** Silence, cut tops, channels and rates unlike the others', and a length unlike the music's. */
export function soundRemarks(
  raw: RawStem,
  offsetSeconds: number,
  all: readonly RawStem[],
  stage: Stage,
): readonly Problem[] {
  const { peak, cutPlaces } = raw.measure;
  if (peak < SILENT_PEAK)
    return [
      remark(raw, 'stem-silent', 'This recording is silent: was the part muted when it was exported? Export it again.'),
    ];
  const rateHz = usual(all.map((other) => other.rateHz));
  const channels = usual(all.map((other) => other.channelCount));
  return [
    ...(cutPlaces > 0
      ? [
          remark(
            raw,
            'stem-clipped',
            `The top of the sound is cut off in ${counted(cutPlaces, 'place')}, where its level is shown too low: export it softer.`,
          ),
        ]
      : []),
    ...(raw.channelCount === 1 && channels !== 1
      ? [
          remark(
            raw,
            'stem-one-channel',
            'This recording has one channel where most have more: it is measured as if both loudspeakers played it.',
          ),
        ]
      : []),
    ...(rateHz !== undefined && raw.rateHz !== rateHz
      ? [
          remark(
            raw,
            'stem-rate',
            `This recording has ${String(raw.rateHz)} samples a second where most have ${String(rateHz)}: it is measured all the same, but check that it plays at the right pitch.`,
          ),
        ]
      : []),
    ...lengthRemark(raw, offsetSeconds, stage),
  ];
}
