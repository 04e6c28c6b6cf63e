/** What the sections of a stage's page have in common, worked out once. */
import type { Arrangement, Memo, Part } from '../../../model/music/arrangement.ts';
import { NO_MEMORY, type Memory } from '../../../model/memory.ts';
import type { PlaceMark } from '../../../draw/finding-marks/place-mark.ts';
import { placeMarks } from '../../../draw/finding-marks/place-marks.ts';
import type { StageChange } from '../../../model/readings/readings.ts';
import { memosOfStage } from '../../../model/readings/memos-of-stage.ts';
import { pitchLabel, plainSpelling, transpose, type SpelledPitch } from '../../../model/music/pitch.ts';
import type { PublishedAudio } from '../../audio/published-audio.ts';
import type { DossierInput, PublishedRule, PublishedStage } from '../../dossier-input.ts';
import { partNamer } from '../../numbers-and-names.ts';
import type { Link } from './sheet.ts';
import { tablePath } from '../../data/chart-names.ts';

export interface StageContext {
  readonly arrangement: Arrangement;
  readonly stages: readonly PublishedStage[];
  readonly rules: readonly PublishedRule[];
  /** From each stage to the next. */
  readonly changes: readonly StageChange[];
  readonly published: PublishedStage;
  /** Of the stage among all. */
  readonly index: number;
  readonly isCurrent: boolean;
  /** True where everything goes into one HTML file, which links to no other file. */
  readonly singleFile: boolean;
  readonly audio: PublishedAudio | undefined;
  /** Notes of its page, in the order in which they are numbered there. */
  readonly memos: readonly Memo[];
  /** Places of its findings and notes, in scores and charts. */
  readonly marks: readonly PlaceMark[];
  readonly partName: (partId: string) => string;
  readonly partById: ReadonlyMap<string, Part>;
  /** Sounding pitch of a part as it is spelled in the music, `B♭3`. */
  readonly soundingLabel: (partId: string, midi: number) => string;
  /** The same pitch as the player reads it. */
  readonly writtenLabel: (partId: string, midi: number) => string;
  /** What is known of the pages of an earlier build. */
  readonly memory: Memory;
}

/** File name of a stage's page; the current stage is the front page. Throws where an id is not fit for a file name: our own fault. */
export function stageFileName(stages: readonly { readonly stage: { readonly id: string } }[], index: number): string {
  const id = stages[index]?.stage.id ?? '';
  if (index === stages.length - 1) return 'index.html';
  if (!/^[a-z0-9-]+$/.test(id)) throw new Error(`a stage id is not fit for a file name: ${JSON.stringify(id)}`);
  return `${id}.html`;
}

/** Indices of the stages in the order of their pages: the current one, then the earlier ones. */
export function currentFirst(stages: readonly unknown[]): readonly number[] {
  return [stages.length - 1, ...stages.keys()].slice(0, stages.length);
}

/** The CSV files of a section, as links; none in a single file. */
export function downloadsOf(
  context: StageContext,
  names: readonly { readonly name: string; readonly label: string }[],
): readonly Link[] {
  if (context.singleFile) return [];
  return names.map(({ name, label }) => ({ href: tablePath(context.published.stage.id, name), label }));
}

/** Where all rows of a long table are, by the name of its CSV file; a single file has them in the data export only. */
export function wholeTable({ published, singleFile }: StageContext, name: string): string {
  return singleFile ? 'dossier.json' : tablePath(published.stage.id, name);
}

function spellings(published: PublishedStage): ReadonlyMap<string, ReadonlyMap<number, SpelledPitch>> {
  return new Map(
    published.written.parts.map((part) => {
      const byMidi = new Map<number, SpelledPitch>();
      for (const note of part.notes) if (!byMidi.has(note.midi)) byMidi.set(note.midi, note.pitch);
      return [part.partId, byMidi];
    }),
  );
}

/** The context of one stage's page. */
export function stageContext(
  input: DossierInput,
  index: number,
  singleFile: boolean,
  memory: Memory = NO_MEMORY,
): StageContext {
  const published = input.stages[index];
  if (published === undefined) throw new Error(`there is no stage ${String(index)}`);
  const partById = new Map(published.stage.parts.map((part) => [part.id, part]));
  const spelled = spellings(published);
  const pitchOf = (partId: string, midi: number): SpelledPitch => spelled.get(partId)?.get(midi) ?? plainSpelling(midi);
  const isCurrent = index === input.stages.length - 1;
  const memos = memosOfStage(input.arrangement.memos, published.stage.id, isCurrent);
  return {
    arrangement: input.arrangement,
    stages: input.stages,
    rules: input.rules,
    changes: input.changes,
    published,
    index,
    isCurrent,
    singleFile,
    audio: input.audio?.find(({ stageId }) => stageId === published.stage.id),
    memos,
    memory,
    marks: placeMarks(published.findings, memos),
    partName: partNamer(published.stage),
    partById,
    soundingLabel: (partId, midi) => pitchLabel(pitchOf(partId, midi)),
    writtenLabel: (partId, midi) => {
      const interval = partById.get(partId)?.transposition ?? { semitones: 0, diatonicSteps: 0 };
      return pitchLabel(transpose(pitchOf(partId, midi), -interval.diatonicSteps, -interval.semitones));
    },
  };
}
