/** Names and bars in settings and notes, checked against what the files hold. */
import type { AcceptedFinding, Memo, Part, Stage } from '../model/arrangement.ts';
import type { Problem } from '../problems/problem.ts';
import { quoted } from '../read/clean-text.ts';
import type { Located, RawFolder, RawMemo, RawSettings } from '../read/raw.ts';
import type { BarSpan } from '../read/settings.ts';
import { partsMeant } from './part-words.ts';
import { instrumentNamed } from './recognise.ts';
import type { NameReader, SourceTrack } from './source-track.ts';
import { namesOfTrack } from './source-track.ts';
import { meansStage } from './stage-names.ts';
import { nearestName } from '../problems/nearest-name.ts';
import { comparableName } from './text.ts';
import { instruments } from '../model/catalogue.ts';

interface StageName {
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
}

interface Place {
  readonly file: string;
  readonly line?: number;
  readonly column?: number;
}

function placeIn(settings: RawSettings, path: readonly (string | number)[]): Place {
  const file = settings.file ?? 'dossier.yaml';
  for (let length = path.length; length > 0; length--) {
    const place = settings.positions[JSON.stringify(path.slice(0, length))];
    if (place !== undefined) return { file, ...place };
  }
  return { file };
}

function nearest(word: string, names: readonly string[]): string {
  const name = nearestName(word, names, 1);
  return name === undefined ? '' : `; the nearest is ${quoted(name)}`;
}

const problemAt = (place: Place, code: string, message: string): Problem => ({
  kind: 'settings',
  code,
  ...place,
  message,
});

function allParts(stages: readonly Stage[]): readonly Part[] {
  return stages.flatMap((stage) => stage.parts);
}

function unknownPart(word: string, parts: readonly Part[], place: Place): Problem {
  return problemAt(
    place,
    'unknown-part',
    `There is no part called ${quoted(word)}${nearest(word, [...new Set(parts.map((part) => part.name))])}. Write the name as the track has it.`,
  );
}

function unknownStage(word: string, names: readonly StageName[], place: Place): Problem {
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

function barsProblem(bars: BarSpan, stages: readonly Stage[], place: Place): Problem | undefined {
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

function stageMeant(word: string, names: readonly StageName[]): StageName | undefined {
  return names.find((stage) => meansStage(word, stage) || stage.id === word);
}

/** Problems of kind `settings` in dossier.yaml that only show once the music is known. */
export function settingsProblems(folder: RawFolder, known: Known): readonly Problem[] {
  const { settings } = folder;
  const { content } = settings;
  const problems: Problem[] = [];
  const parts = allParts(known.stages);
  const trackNames = known.tracks.flatMap(({ track, isFolder }) => namesOfTrack(track, isFolder));
  const trackKeys = new Set(trackNames.map(comparableName));
  const shownNames = [
    ...new Set([
      ...known.tracks.map(({ track }) => track.name).filter((name) => name !== ''),
      ...parts.map((part) => part.name),
    ]),
  ];
  for (const [name, part] of Object.entries(content.parts ?? {})) {
    const place = placeIn(settings, ['parts', name]);
    if (!trackKeys.has(comparableName(name))) {
      problems.push(
        problemAt(
          place,
          'unknown-part',
          `There is no track called ${quoted(name)}${nearest(name, shownNames)}. Write the name as the track has it.`,
        ),
      );
    }
    if (part.instrument !== undefined && instrumentNamed(part.instrument, known.read) === undefined) {
      const names = instruments.map((instrument) => instrument.name);
      problems.push(
        problemAt(
          placeIn(settings, ['parts', name, 'instrument']),
          'unknown-instrument',
          `There is no instrument called ${quoted(part.instrument)}${nearest(part.instrument, names)}.`,
        ),
      );
    }
    if (
      part.join !== undefined &&
      !trackKeys.has(comparableName(part.join)) &&
      partsMeant(part.join, parts, known.read).length === 0
    ) {
      problems.push(unknownPart(part.join, parts, placeIn(settings, ['parts', name, 'join'])));
    }
  }
  for (const [name, stage] of Object.entries(content.stages ?? {})) {
    // A stage that is left out may be one that only the archive has.
    if (stage.ignore !== true && stageMeant(name, known.stageNames) === undefined)
      problems.push(unknownStage(name, known.stageNames, placeIn(settings, ['stages', name])));
  }
  (content.foreground ?? []).forEach((entry, index) => {
    if (partsMeant(entry.part, parts, known.read).length === 0)
      problems.push(unknownPart(entry.part, parts, placeIn(settings, ['foreground', index, 'part'])));
    if (entry.bars === undefined) return;
    const problem = barsProblem(entry.bars, known.stages, placeIn(settings, ['foreground', index, 'bars']));
    if (problem !== undefined) problems.push(problem);
  });
  (content.sections ?? []).forEach((section, index) => {
    const problem = barsProblem(section.bars, known.stages, placeIn(settings, ['sections', index, 'bars']));
    if (problem !== undefined) problems.push(problem);
  });
  const longest = Math.max(
    0,
    ...known.stages.map((stage) => stage.timeline.bars.find((bar) => bar.number >= 1)?.lengthQuarters ?? 4),
  );
  if (content.pickup !== undefined && content.pickup >= longest && longest > 0) {
    problems.push(
      problemAt(
        placeIn(settings, ['pickup']),
        'pickup-too-long',
        `A pickup of ${content.pickup} quarter notes is no shorter than the bar of ${longest}; give its length in quarter notes.`,
      ),
    );
  }
  (content.accepted ?? []).forEach((entry, index) => {
    for (const [place, word] of (entry.parts ?? []).entries()) {
      if (partsMeant(word, parts, known.read).length === 0)
        problems.push(unknownPart(word, parts, placeIn(settings, ['accepted', index, 'parts', place])));
    }
    const stage = entry.stage === undefined ? undefined : stageMeant(entry.stage, known.stageNames);
    if (entry.stage !== undefined && stage === undefined)
      problems.push(unknownStage(entry.stage, known.stageNames, placeIn(settings, ['accepted', index, 'stage'])));
    if (entry.bars === undefined) return;
    const problem = barsProblem(entry.bars, known.stages, placeIn(settings, ['accepted', index, 'bars']));
    if (problem !== undefined) problems.push(problem);
  });
  return problems;
}

/** Findings that the user accepted, with ids for names. */
export function acceptedFindings(settings: RawSettings, known: Known): readonly AcceptedFinding[] {
  const parts = allParts(known.stages);
  return (settings.content.accepted ?? []).map((entry) => {
    const stage = entry.stage === undefined ? undefined : stageMeant(entry.stage, known.stageNames);
    const partIds = entry.parts?.flatMap((word) => partsMeant(word, parts, known.read).map((part) => part.id));
    return {
      rule: entry.rule,
      ...(entry.bars === undefined ? {} : { from: entry.bars.from, to: entry.bars.to }),
      ...(partIds === undefined ? {} : { partIds: [...new Set(partIds)] }),
      ...(stage === undefined ? {} : { stageId: stage.id }),
      reason: entry.reason,
    };
  });
}

/** Parts that the words of a heading mean; words that mean none are ordinary words. */
function looseParts(text: string, parts: readonly Part[], read: NameReader): readonly Part[] {
  const whole = partsMeant(text, parts, read);
  if (whole.length > 0) return whole;
  const pieces = text.split(/\s*(?:[,;:+&/]|\band\b|\bund\b|\bet\b)\s*/i).filter((piece) => piece !== '');
  const found = pieces.flatMap((piece) => partsMeant(piece, parts, read));
  if (found.length > 0) return found;
  const words = text.split(/\s+/).filter((word) => word.length > 1);
  const runs = words.flatMap((word, index) => [`${word} ${words[index + 1] ?? ''}`.trim(), word]);
  return runs.flatMap((run) => partsMeant(run, parts, read));
}

function memoOf(raw: RawMemo, known: Known, problems: Problem[]): Memo {
  const at = (located: Located<unknown>): Place => ({ file: raw.file, line: located.line, column: located.column });
  const stage = raw.stage === undefined ? undefined : stageMeant(raw.stage.content, known.stageNames);
  if (raw.stage !== undefined && stage === undefined)
    problems.push(unknownStage(raw.stage.content, known.stageNames, at(raw.stage)));
  const own = known.stages.filter((candidate) => candidate.id === stage?.id);
  const stages = own.length > 0 ? own : known.stages;
  const parts = allParts(stages);
  const partIds = raw.parts.flatMap((word) => {
    // A heading comes at the memo's own line; front matter stands before it.
    const fromHeading = word.line >= raw.line;
    const meant = fromHeading
      ? looseParts(word.content, parts, known.read)
      : partsMeant(word.content, parts, known.read);
    if (!fromHeading && meant.length === 0) problems.push(unknownPart(word.content, parts, at(word)));
    return meant.map((part) => part.id);
  });
  if (raw.bars !== undefined) {
    const problem = barsProblem(raw.bars.content, stages, at(raw.bars));
    if (problem !== undefined) problems.push(problem);
  }
  return {
    file: raw.file,
    line: raw.line,
    heading: raw.heading,
    markdown: raw.markdown,
    ...(stage === undefined ? {} : { stageId: stage.id }),
    ...(raw.bars === undefined ? {} : { from: raw.bars.content.from, to: raw.bars.content.to }),
    partIds: [...new Set(partIds)],
    kind: raw.kind,
    ...(raw.date === undefined ? {} : { date: raw.date }),
  };
}

/** Notes with their stage, bars and parts resolved; what cannot be resolved is a problem of kind `settings`. */
export function memosOf(
  raw: readonly RawMemo[],
  known: Known,
): { readonly memos: readonly Memo[]; readonly problems: readonly Problem[] } {
  const problems: Problem[] = [];
  const memos = raw.map((memo) => memoOf(memo, known, problems));
  return { memos, problems };
}
