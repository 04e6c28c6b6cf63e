/**
 * How often the notation is right, beside published figures: scores that people set (OpenScore, CC0, ../shared/data/LICENCES.md) are replayed
 * by a seeded machine and compared with their printed form; the chords of the sample are compared with its composer's plan.
 *
 * `npm run bench:accuracy` prints everything; `npm run bench:accuracy -- onsets spelling` some methods only.
 */
import { existsSync, readdirSync } from 'node:fs';
import { basename, join, resolve } from 'node:path';
import { SLUG } from '../../sample-input/make-sample.ts';
import { flow, nodeEffects } from '../../src/library.ts';
import type { WrittenStage } from '../../src/model/written.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { chordsAgainstPlan } from '../support/chord-plan.ts';
import { stageOf } from '../support/arrangement.ts';
import { linkScore } from '../support/links.ts';
import type { ReadScore, ScoreNote } from '../support/musicxml-score.ts';
import { readMxl, timelineOfScore } from '../support/musicxml-score.ts';
import type { PlayedScore } from '../support/playing.ts';
import { play } from '../support/playing.ts';

interface Piece {
  readonly name: string;
  readonly score: ReadScore;
}

interface Row {
  readonly method: string;
  readonly music: string;
  readonly figure: string;
  readonly published: string;
}

const SETS = ['openscore-quartets', 'openscore-lieder', 'openscore-orchestra'] as const;

function piecesOf(set: string): Piece[] {
  const folder = join(resolve('../shared/data'), set);
  if (!existsSync(folder)) return [];
  return readdirSync(folder)
    .filter((name) => name.endsWith('.mxl'))
    .sort()
    .map((name) => ({ name: basename(name, '.mxl'), score: readMxl(join(folder, name)) }));
}

interface Replay {
  readonly played: readonly PlayedScore[];
  readonly written: WrittenStage;
}

function replay(score: ReadScore, tempo: number, jitterMs: number): Replay {
  const timeline = timelineOfScore(score, tempo);
  const played = score.parts.map((part, index) =>
    play(part.staves > 1 ? 'piano' : 'violin', part.notes, timeline, jitterMs, index + 1 + tempo, {
      name: `P${String(index)}`,
    }),
  );
  const stage = stageOf(
    played.map((item) => item.part),
    timeline,
  );
  return { played, written: notateStage(stage) };
}

class Share {
  right = 0;
  all = 0;
  add(isRight: boolean): void {
    this.all++;
    if (isRight) this.right++;
  }
  get text(): string {
    return this.all === 0 ? '-' : `${((100 * this.right) / this.all).toFixed(2)} % of ${String(this.all)}`;
  }
}
