/** From the folder as read to one Arrangement. */
import type { Arrangement, FileRecord } from '../model/music/arrangement.ts';
import { musicHash } from '../model/hashes.ts';
import type { Memory } from '../model/memory.ts';
import { NO_MEMORY } from '../model/memory.ts';
import type { Problem } from '../problems/problem.ts';
import { InputError } from '../problems/problem.ts';
import type { RawFolder, RawMemo } from '../read/raw.ts';
import { assumptionsOf } from './assumptions.ts';
import type { FinishedStage } from './finish-stage.ts';
import { finishStage, firstBarSecondOf } from './finish-stage.ts';
import { identifyParts } from './tracks/part-identity.ts';
import { memosHeardIn } from './who-has-the-melody/told-leads.ts';
import { notesByStage } from './user-notes-and-settings/notes-by-stage.ts';
import { memosOf } from './user-notes-and-settings/memo-references.ts';
import { toldTracks } from './user-notes-and-settings/told-tracks.ts';
import { acceptedFindings, settingsProblems } from './user-notes-and-settings/references.ts';
import { withToldPlayers } from './tracks/told-players.ts';
import { withToldStrings } from './tracks/told-strings.ts';
import { nameReader } from './names/source-track.ts';
import type { StageMusic } from './stage-music.ts';
import { readStage } from './stage-music.ts';
import { sharedMusic } from './shared-music.ts';
import { withStageAudio } from './stems/stage-audio.ts';
import { withStems } from './stems/stage-stems.ts';
import type { NamedStage } from './stage-order/stage-names.ts';
import { chosenStages, nameStages, stageCalled } from './stage-order/stage-names.ts';

/** Why there is no dossier: each skipped file has said its reason already, so one sentence says what was looked for. */
function nothingUsable(raw: RawFolder, silent: readonly Problem[]): InputError {
  const met = [...raw.problems, ...silent];
  const alreadySaid = met.some((problem) => problem.code === 'nothing-found');
  const message =
    'No music was found: a stage is a .mid, .midi or .smf file with notes at the top of the folder, or a subfolder of such files.';
  return new InputError(alreadySaid ? met : [...met, { kind: 'refused', code: 'nothing-usable', file: '', message }]);
}

export interface AssembleOptions {
  readonly folderName: string;
  /** What is known of the stages of an earlier build; without it all is worked out. */
  readonly memory?: Memory;
}

/** The Arrangement of a folder. Throws InputError where names or bars in settings or notes fit nothing, or where there is no music. */
export function assemble(raw: RawFolder, options: AssembleOptions): Arrangement {
  const { memory = NO_MEMORY } = options;
  const { content } = raw.settings;
  const read = nameReader();
  const { kept, ignored } = chosenStages(raw.stages, content);
  const named = nameStages(kept, content);
  const silent: Problem[] = [];
  const unused = new Set<string>(ignored.flatMap(({ files }) => files.map(({ path }) => path)));
  const music: StageMusic[] = [];
  // Stages without notes take no place in the order.
  const sounding = named.filter((stage) => {
    const hasNotes = stage.raw.files.some((file) => file.tracks.some((track) => track.notes.length > 0));
    if (hasNotes) return true;
    const file = stage.raw.files[0]?.path ?? stage.raw.name;
    for (const each of stage.raw.files) unused.add(each.path);
    silent.push({
      kind: 'refused',
      code: 'no-notes',
      file,
      message: 'There are no notes in it, so it is not shown as a stage.',
    });
    return false;
  });
  if (sounding.length === 0) throw nothingUsable(raw, silent);
  const renamed =
    silent.length === 0
      ? named
      : nameStages(
          sounding.map((stage) => stage.raw),
          content,
        );
  const notes = notesByStage(raw.memos, renamed, read);
  const tellOf = toldTracks(notes, renamed, read);
  const isAfter =
    ({ order }: NamedStage) =>
    (memo: RawMemo): boolean =>
      memo.stage !== undefined && (stageCalled(memo.stage.content, renamed)?.order ?? order) > order;
  const places = renamed.map(({ id, title, order }) => [id, title, order]);
  for (const stage of renamed) {
    const own = memory.renew('tracks', stage.id, [stage, content, notes, places], () => {
      const found = readStage(stage, content, read, tellOf(stage));
      return found === undefined
        ? undefined
        : {
            ...found,
            drafts: withToldStrings(withToldPlayers(found.drafts, notes, read, isAfter(stage)), notes, read),
          };
    });
    if (own !== undefined) music.push(own);
  }
  const identities = identifyParts(music.map((stage) => stage.drafts));
  const first = music[0];
  const only = first?.drafts.length === 1 ? identities[0]?.[0]?.id : undefined;
  const heardIn = memosHeardIn(notes, renamed);
  const finished: FinishedStage[] = [];
  for (const [index, stage] of music.entries()) {
    const before = finished.at(-1)?.stage;
    const identity = identities[index] ?? [];
    const heard = heardIn(stage.named);
    const done = memory.renew('finished stage', stage.named.id, [stage, identity, content, only, before, heard], () => {
      const own = finishStage(stage, identity, content, only, before, heard, read);
      return { ...own, stage: sharedMusic(own.stage, before) };
    });
    finished.push(done);
  }
  const stages = finished.map((done) => done.stage);
  const idOf = (name: string): string => stages[music.findIndex((stage) => stage.named.raw.name === name)]?.id ?? '';
  const known = {
    stages,
    stageNames: [
      ...named.map((stage) => ({ id: idOf(stage.raw.name), name: stage.raw.name, title: stage.title })),
      ...nameStages(ignored, content).map(({ raw: { name }, title }) => ({ id: '', name, title })),
    ],
    tracks: music.flatMap((stage) => stage.allTracks.map((track) => ({ track, isFolder: stage.named.raw.isFolder }))),
    read,
    musicOf: (id: string): string | undefined => {
      const stage = stages.find((candidate) => candidate.id === id);
      return stage === undefined ? undefined : musicHash(stage, raw.files);
    },
  };
  const recordings = music.map((own) => ({
    audio: own.named.raw.audio,
    place: { stated: own.named.settings.offset, inMidi: firstBarSecondOf(own) },
  }));
  const recorded = withStems(
    known,
    raw.stems ?? [],
    recordings.map(({ place }) => place),
  );
  const heard = withStageAudio(recorded.stages, recordings);
  const { memos, problems: memoProblems } = memosOf(notes, known);
  const wrong = [
    ...settingsProblems(
      raw,
      known,
      music.every(({ isSilentInBars }) => isSilentInBars),
    ),
    ...memoProblems.filter(({ kind }) => kind === 'settings'),
  ];
  if (wrong.length > 0) throw new InputError(wrong);
  for (const path of recorded.unused) unused.add(path);
  const files: FileRecord[] = raw.files.map(({ path, sha256, use }) => ({
    path,
    sha256,
    use: unused.has(path) ? 'not used' : use,
  }));
  // Where the archive has a stage from is no matter for one that is left out.
  const met = raw.problems.filter(({ code, file }) => code !== 'from-archive' || !unused.has(file));
  const { subtitle, arranger, date } = content;
  return {
    title: content.title ?? options.folderName,
    ...(subtitle === undefined ? {} : { subtitle }),
    ...(arranger === undefined ? {} : { arranger }),
    ...(content.for === undefined ? {} : { for: content.for }),
    ...(date === undefined ? {} : { date }),
    paper: content.paper ?? 'a4',
    stages: heard.stages,
    memos,
    files,
    ...(heard.audio.length === 0 ? {} : { audio: heard.audio }),
    limits: content.limits ?? {},
    accepted: acceptedFindings(raw.settings, known),
    problems: [
      ...met,
      ...silent,
      ...memoProblems,
      ...music.flatMap((stage) => stage.problems),
      ...recorded.problems,
      ...heard.problems,
    ],
    assumptions: [...assumptionsOf(raw, options.folderName, music, finished), ...recorded.assumptions],
  };
}
