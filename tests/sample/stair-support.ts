/** The second sample as committed: read, and its script beside it. */
import { resolve } from 'node:path';
import { notesIn } from '../../sample-input/notation.ts';
import type { WrittenNote } from '../../sample-input/notation.ts';
import type { TrackPlan } from '../../sample-input/perform.ts';
import { STAIR, STAIR_CLOCK } from '../../sample-input/stair.ts';
import { STAIR_FLAWS } from '../../sample-input/stair-flaws.ts';
import { STAIR_STAGES } from '../../sample-input/stair-stages.ts';
import type { StagePlan } from '../../sample-input/stages.ts';
import type { Arrangement } from '../../src/model/music/arrangement.ts';
import { arrangementIn } from '../support/read-stages.ts';

export const STAIR_FOLDER = resolve('sample-input', STAIR.slug);

/** The stage that has the flaws, and the last one, which has one of them left. */
const FLAWED = STAIR_STAGES[2]!;
export const MENDED = STAIR_STAGES[3]!;

/** Catalogue id of each track, as a musician reads the Italian names. */
export const STAIR_INSTRUMENTS: Readonly<Record<string, string>> = {
  'Clarinetto in La': 'clarinet-a',
  Arpa: 'harp',
  'Violino I': 'violin',
  'Violino II': 'violin',
  Viola: 'viola',
  Violoncello: 'cello',
};

export function plansOf(stage: StagePlan): readonly TrackPlan[] {
  return stage.files.flatMap((file) => file.tracks);
}

/** The notes of a track as its script has them. */
export function scriptOf(stage: StagePlan, name: string): WrittenNote[] {
  const plan = plansOf(stage).find((track) => track.name === name);
  return (plan?.lines ?? []).flatMap((line) => notesIn(STAIR_CLOCK.bars, line));
}

/** Who has the tune in a bar. */
export function leaderIn(bar: number): string {
  return bar >= 17 && bar <= 24 ? 'Viola' : 'Clarinetto in La';
}

export function isFlawed(stage: StagePlan, bar: number, rule?: string): boolean {
  return (
    stage === FLAWED &&
    STAIR_FLAWS.some((flaw) => (rule === undefined || flaw.rule === rule) && bar >= flaw.from && bar <= flaw.to)
  );
}

export function stairArrangement(): Promise<Arrangement> {
  return arrangementIn(STAIR_FOLDER);
}
