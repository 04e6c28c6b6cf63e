/** What `publish` is given: everything that the steps before it have found out. */
import type { ChartDrawing, EngravedScore, FindingPicture } from '../model/drawing.ts';
import type { KeptBuild } from '../model/readings/archive.ts';
import type { Arrangement, Stage } from '../model/music/arrangement.ts';
import type { Finding, FindingLevel, StageChange, StageReadings } from '../model/readings/readings.ts';
import type { WrittenStage } from '../model/music/written.ts';
import type { TempoProposal } from '../notate/free-time/tempo-proposal.ts';
import type { ScoreReading } from '../notate/clefs-and-signatures/allowed-clefs.ts';
import type { PublishedAudio } from './audio/published-audio.ts';

/** The long texts of a stage: of files that are its own by their paths, under `dossier.json` what that has of it. */
export type StageTexts = ReadonlyMap<string, string>;

/** The full score in one reading; a long one is cut into pages. */
export interface PublishedFullScore {
  readonly reading: ScoreReading;
  readonly pages: readonly EngravedScore[];
}

export interface PublishedStage {
  readonly stage: Stage;
  readonly written: WrittenStage;
  readonly readings: StageReadings;
  readonly findings: readonly Finding[];
  readonly score: EngravedScore;
  /** One for each way of reading it; none of a stage of one part, nor of an early one too long to be worth its room. */
  readonly fullScores: readonly PublishedFullScore[];
  readonly charts: readonly ChartDrawing[];
  /** Of the findings that stand; absent or fewer where they are too many for an earlier stage. */
  readonly pictures?: readonly FindingPicture[];
  /** Bars and tempos that would fit the playing of the current stage, where it was played without a click and they were found. */
  readonly proposal?: PublishedProposal;
  /** The stage as it is played in the page, packed; absent where no part has a note. */
  readonly sketch?: string;
}

/** All of a stage that goes into the data export. */
export type ExportedStage = Pick<PublishedStage, 'stage' | 'written' | 'readings' | 'findings' | 'score' | 'proposal'>;

/** A proposal of bars and tempos, with the score that it would give. */
export interface PublishedProposal extends TempoProposal {
  readonly score: EngravedScore;
}

/** What a rule says about itself. */
export interface PublishedRule {
  readonly name: string;
  readonly title: string;
  readonly looksAt: string;
  readonly why: string;
  /** The limit in words, `3 dB: …`; empty where the rule has none. */
  readonly limits: readonly string[];
  readonly source: string;
  /** The gravest level it gives. */
  readonly level: FindingLevel;
}

export interface DossierInput {
  readonly arrangement: Arrangement;
  /** In the order of the arrangement's stages; the last one is the current stage. */
  readonly stages: readonly PublishedStage[];
  /** From each stage to the next. */
  readonly changes: readonly StageChange[];
  /** Of stages that do not follow one another, the earlier one first. */
  readonly comparisons?: readonly StageChange[];
  readonly rules: readonly PublishedRule[];
  /** Of the stages that have some. */
  readonly audio?: readonly PublishedAudio[];
  /** Texts of the stages that another thread makes, in the order of the stages. */
  readonly texts?: Promise<readonly (StageTexts | undefined)[]>;
  /** Builds that an archive keeps, oldest first, this one included; missing where none is kept. */
  readonly history?: readonly KeptBuild[];
}
