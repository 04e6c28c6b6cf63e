/** Which stage a recording belongs to, and which parts it holds, by its folder and its name. */
import type { Part, Stage } from '../../model/music/arrangement.ts';
import type { RawStem } from '../../read/raw.ts';
import type { NameReader } from '../names/source-track.ts';
import { meansStage } from '../stage-order/stage-names.ts';
import { partsMeant } from '../user-notes-and-settings/part-words.ts';
import type { StageName } from '../user-notes-and-settings/reference-words.ts';

/** Words that say what the files are, and nothing of the music. */
const KIND_WORDS = /\b(stems?|audio|bounces?|bounced|recordings?|wavs?|export|spuren|parts?)\b/giu;

/** The stage whose name the folder has, with or without words for what lies in it; else the last one. */
export function stageOfFolder(
  folder: string,
  names: readonly StageName[],
  stages: readonly Stage[],
): Stage | undefined {
  const bare = folder.replaceAll(KIND_WORDS, ' ');
  const named = names.find((stage) => meansStage(folder, stage) || meansStage(bare, stage));
  return named === undefined ? stages.at(-1) : stages.find(({ id }) => id === named.id);
}

/** A name as it may stand in a file: whole, without a number before it, then what stands between dashes and underscores, the last first. */
function readings(name: string): readonly string[] {
  const bare = name.replace(/^\s*\d+[\s._-]*/, '');
  const pieces = name.split(/\s*[_–—]+\s*|\s+-+\s+|-+/).filter((piece) => piece.trim() !== '');
  return [name, bare, ...pieces.toReversed()];
}

export interface NamedStem {
  readonly raw: RawStem;
  /** Empty where no part is meant, or others hold all of them. */
  readonly partIds: readonly string[];
  /** True where the name means parts, but each has a recording of its own. */
  readonly isCovered: boolean;
}

/**
 * Parts of each recording. One that names fewer parts is more exact: a group has those that have no recording of their own.
 */
export function nameStems(stems: readonly RawStem[], parts: readonly Part[], read: NameReader): readonly NamedStem[] {
  const meant = stems.map((raw) => {
    const found = readings(raw.name).map((reading) => partsMeant(reading, parts, read));
    return { raw, ids: (found.find(({ length }) => length > 0) ?? []).map(({ id }) => id) };
  });
  return meant.map(({ raw, ids }) => {
    const exact = new Set(meant.filter((other) => other.ids.length < ids.length).flatMap((other) => other.ids));
    const partIds = ids.filter((id) => !exact.has(id));
    return { raw, partIds, isCovered: ids.length > 0 && partIds.length === 0 };
  });
}
