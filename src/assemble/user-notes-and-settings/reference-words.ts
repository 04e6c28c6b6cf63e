/** Parts, stages and bars by the words of settings and notes, and the sentences where a word means none. */
import type { Part, Stage } from '../../model/music/arrangement.ts';
import { nearestName } from '../../problems/nearest-name.ts';
import type { Problem } from '../../problems/problem.ts';
import { quoted } from '../../read/clean-text.ts';
import type { BarSpan } from '../../read/settings/settings.ts';
import type { NameReader, SourceTrack } from '../names/source-track.ts';
import { meansStage } from '../stage-order/stage-names.ts';

export interface StageName {
  readonly id: string;
  readonly name: string;
  readonly title: string;
}

export interface Known {
  readonly stages: readonly Stage[];
  /** Of every stage of the folder, also those that have no notes. */
  readonly stageNames: readonly StageName[];
  readonly tracks: readonly { readonly track: SourceTrack; readonly isFolder: boolean }[];
  readonly read: NameReader;
  /** Hash of the music of a stage, by its id. */
  readonly musicOf: (stageId: string) => string | undefined;
}

export interface Place {
  readonly file: string;
  readonly line?: number;
  readonly column?: number;
}

/** `; the nearest is "…"`, or nothing. */
export function nearest(word: string, names: readonly string[]): string {
  const name = nearestName(word, names, 1);
  return name === undefined ? '' : `; the nearest is ${quoted(name)}`;
}

/** A problem of the settings at a place. */
export const problemAt = (place: Place, code: string, message: string): Problem => ({
  kind: 'settings',
  code,
  ...place,
  message,
});

/** Parts of all stages, one after another. */
export function allParts(stages: readonly Stage[]): readonly Part[] {
  return stages.flatMap((stage) => stage.parts);
}

/** That no part is called so, with the nearest name. */
export function unknownPart(word: string, parts: readonly Part[], place: Place): Problem {
  return problemAt(
    place,
    'unknown-part',
    `There is no part called ${quoted(word)}${nearest(word, [...new Set(parts.map((part) => part.name))])}. Write the name as the track has it.`,
  );
}

/** That no stage is called so, with the nearest name. */
export function unknownStage(word: string, names: readonly StageName[], place: Place): Problem {
  return problemAt(
    place,
    'unknown-stage',
    `There is no stage called ${quoted(word)}${nearest(
      word,
      names.map((stage) => stage.name),
    )}. Write the name of its file or folder.`,
  );
}

/** The span of bars of some stages together. */
function spanOf(stages: readonly Stage[]): BarSpan {
  let from = Number.POSITIVE_INFINITY;
  let to = Number.NEGATIVE_INFINITY;
  for (const { timeline } of stages) {
    from = Math.min(from, timeline.bars[0]?.number ?? 1);
    to = Math.max(to, timeline.bars.at(-1)?.number ?? 1);
  }
  return from > to ? { from: 1, to: 1 } : { from, to };
}

/** That bars run backwards or lie outside the music; undefined where they fit. */
export function barsProblem(bars: BarSpan, stages: readonly Stage[], place: Place): Problem | undefined {
  const span = spanOf(stages);
  if (bars.from > bars.to) {
    return problemAt(
      place,
      'bars-out-of-span',
      `Bars ${bars.from}-${bars.to} run backwards; write the first bar first.`,
    );
  }
  if (bars.from >= span.from && bars.to <= span.to) return undefined;
  const stated = bars.from === bars.to ? `Bar ${bars.from} is` : `Bars ${bars.from}-${bars.to} are`;
  return problemAt(
    place,
    'bars-out-of-span',
    `${stated} outside the music, which has bars ${span.from} to ${span.to}.`,
  );
}

/** The stage that a word means by its file, folder, title or id. */
export function stageMeant(word: string, names: readonly StageName[]): StageName | undefined {
  return names.find((stage) => meansStage(word, stage) || stage.id === word);
}
