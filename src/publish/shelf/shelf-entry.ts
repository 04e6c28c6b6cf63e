/** What the index of a shelf shows of one folder, and the file that holds it for indexes of several shelves: read as text of unknown origin. */
import * as z from 'zod';
import { drawThumbnail } from '../../draw/chart/whole-piece/whole-piece-thumbnail.ts';
import { standingByLevel } from '../../model/readings/standing.ts';
import { compareNaturally } from '../../read/natural-order.ts';
import type { DossierInput } from '../dossier-input.ts';
import { standingOfNote, standingOfQuestion } from '../answers/standing.ts';
import { questionsOf } from '../questions.ts';

export const SHELF_FORMAT = 'arrangement-dossier-shelf/1';

const count = z.number().int().min(0);

const place = {
  /** Name of the folder of its dossier. */
  id: z.string().regex(/^(?:[a-z0-9]+-)*[0-9a-f]{12}$/),
  /** Where the piece lies below the root, with `/`. */
  path: z.string(),
};

const builtSchema = z.strictObject({
  kind: z.literal('built'),
  ...place,
  title: z.string(),
  /** Title of the newest stage; all that follows is about it. */
  stage: z.string(),
  stages: count,
  /** As a musician counts them: without a pickup. */
  bars: count,
  seconds: z.number().min(0),
  /** Names of the parts and of their instruments, in the order of the score. */
  parts: z.array(z.strictObject({ name: z.string(), instrument: z.string() })),
  /** Findings that stand, by level. */
  findings: z.strictObject({ fix: count, look: count, note: count }),
  /** What the notes and the folder ask and nobody has answered, or several in different ways. */
  questions: count,
  /** Answers of readers, and decisions in the notes. */
  answers: count,
  /** Markup of a small picture of the whole piece; '' where there is none. */
  picture: z.string(),
});

const failedSchema = z.strictObject({ kind: z.literal('failed'), ...place, sentence: z.string() });

export const shelfSchema = z.strictObject({
  format: z.literal(SHELF_FORMAT),
  /** Which share of a shelf this is; absent of a whole one. */
  share: z.strictObject({ number: z.number().int().min(1), of: z.number().int().min(1) }).optional(),
  /** Shares that were not there when the others were joined. */
  missing: z.array(z.number().int().min(1)).optional(),
  /** True while its first run has not come to its end. */
  isUnfinished: z.literal(true).optional(),
  entries: z.array(z.discriminatedUnion('kind', [builtSchema, failedSchema])),
});

export type BuiltEntry = z.infer<typeof builtSchema>;
export type FailedEntry = z.infer<typeof failedSchema>;
export type ShelfEntry = BuiltEntry | FailedEntry;
export type Shelf = z.infer<typeof shelfSchema>;
export type Share = NonNullable<Shelf['share']>;

/** `share 3 of 8`. */
export function shareText({ number, of }: Share): string {
  return `share ${String(number)} of ${String(of)}`;
}

/** For `sort`: entries and pieces as the index has them, the same on every machine. */
export function inOrder(one: Pick<ShelfEntry, 'id' | 'path'>, other: Pick<ShelfEntry, 'id' | 'path'>): number {
  return compareNaturally(one.path, other.path) || (one.id < other.id ? -1 : 1);
}

/** What the index shows of a dossier. Throws where it has no stage. */
export function builtEntry(
  { id, path }: Pick<ShelfEntry, 'id' | 'path'>,
  { arrangement, stages }: DossierInput,
): BuiltEntry {
  const current = stages.at(-1);
  if (current === undefined) throw new Error('a dossier without stages came out of a build');
  const { stage, readings, findings } = current;
  const { memos } = arrangement;
  const open = [
    ...questionsOf(current).map((question) => standingOfQuestion(question, memos)),
    ...memos.filter(({ kind }) => kind === 'question').map((memo) => standingOfNote(memo, memos)),
  ].filter(({ kind }) => kind !== 'answered');
  return {
    kind: 'built',
    id,
    path,
    title: arrangement.title,
    stage: stage.title,
    stages: stages.length,
    bars: stage.timeline.bars.filter(({ number }) => number > 0).length,
    seconds: Math.round(stage.seconds * 1000) / 1000,
    parts: stage.parts.map(({ name, instrumentName }) => ({ name, instrument: instrumentName })),
    findings: standingByLevel(findings),
    questions: open.length,
    answers: memos.filter(({ kind, answer }) => kind === 'decision' || answer !== undefined).length,
    picture: drawThumbnail(stage, readings),
  };
}
