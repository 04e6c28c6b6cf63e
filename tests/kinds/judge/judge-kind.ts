/** A folder built in memory as a user would have it checked, and what is said of it in terms of its tracks. */
import { checkFolder } from '../../../src/build.ts';
import type { ForegroundSpan, Part, Question, Stage } from '../../../src/model/music/arrangement.ts';
import type { FindingLevel } from '../../../src/model/readings/readings.ts';
import type { Problem } from '../../../src/problems/problem.ts';
import { diskOfFolder, noRuns } from '../../support/memory-disk.ts';
import type { KindFolder } from '../kind.ts';

/** A finding with the names of the tracks of its parts, in alphabetical order. */
export interface SaidFinding {
  readonly rule: string;
  readonly level: FindingLevel;
  readonly from: number;
  readonly to: number;
  readonly tracks: readonly string[];
  readonly message: string;
}

export interface JudgedKind {
  readonly folder: KindFolder;
  readonly stage: Stage;
  readonly parts: readonly Part[];
  readonly bars: readonly number[];
  readonly foreground: readonly ForegroundSpan[];
  readonly questions: readonly Question[];
  readonly problems: readonly Problem[];
  readonly findings: readonly SaidFinding[];
}

/** Reads and judges the last stage of the folder, its timing drawn from this seed. */
export async function judgeKind(folder: KindFolder, seed = 1): Promise<JudgedKind> {
  const { checked, problems } = await checkFolder(
    { folder: `/${folder.id}` },
    {
      disk: diskOfFolder(`/${folder.id}`, folder.files(seed)),
      terminal: { out: () => undefined, err: () => undefined, isInteractive: false },
      packageRoot: '/',
      clientScript: '',
      runs: noRuns,
      withoutInterruption: (work) => work(() => false),
      standingIn: (_folder, work) => work(),
    },
  );
  const { stage } = checked;
  const tracksOf = new Map(stage.parts.map((part) => [part.id, part.tracks.map((track) => track.name)]));
  return {
    folder,
    stage,
    parts: stage.parts,
    bars: stage.timeline.bars.map((bar) => bar.number),
    foreground: stage.foreground,
    questions: stage.questions,
    problems,
    findings: checked.findings.map(({ rule, level, from, to, partIds, message }) => ({
      rule,
      level,
      from,
      to,
      tracks: [...new Set(partIds.flatMap((id) => tracksOf.get(id) ?? []))].sort(),
      message,
    })),
  };
}

/** The part that holds the track of this name; undefined where none does. */
export function partOfTrack(judged: JudgedKind, track: string): Part | undefined {
  return judged.parts.find((part) => part.tracks.some((each) => each.name === track));
}
