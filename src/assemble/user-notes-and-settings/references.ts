/** Names and bars in settings, checked against what the files hold. */
import type { AcceptedFinding } from '../../model/music/arrangement.ts';
import type { Problem } from '../../problems/problem.ts';
import { barSpanText } from '../../model/words/plain-words.ts';
import { quoted } from '../../read/clean-text.ts';
import type { RawFolder, RawSettings } from '../../read/raw.ts';
import { partsMeant } from './part-words.ts';
import { instrumentNamed } from '../instruments/recognise.ts';
import type { Known, Place } from './reference-words.ts';
import { allParts, barsProblem, problemAt, nearest, stageMeant, unknownPart, unknownStage } from './reference-words.ts';
import { namesOfTrack } from '../names/source-track.ts';
import { comparableName } from '../names/text.ts';
import { instruments } from '../../model/music/catalogue.ts';

function placeIn(settings: RawSettings, path: readonly (string | number)[]): Place {
  const file = settings.file ?? 'dossier.yaml';
  for (let length = path.length; length > 0; length--) {
    const place = settings.positions[JSON.stringify(path.slice(0, length))];
    if (place !== undefined) return { file, ...place };
  }
  return { file };
}

/**
 * Problems of kind `settings` in dossier.yaml that only show once the music is known. `isSilentInBars`: no note begins in the
 * bars that are said to be the piece.
 */
export function settingsProblems(folder: RawFolder, known: Known, isSilentInBars: boolean): readonly Problem[] {
  const { settings } = folder;
  const { content } = settings;
  const problems: Problem[] = [];
  if (content.bars !== undefined && isSilentInBars) {
    const { from, to } = content.bars;
    const message = `No note begins in ${barSpanText(from, to)}, which “bars” says the piece is: write the first and last bar of the piece.`;
    problems.push(problemAt(placeIn(settings, ['bars']), 'bars-out-of-span', message));
  }
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
