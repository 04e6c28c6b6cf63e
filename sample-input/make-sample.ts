/**
 * Writes the sample folders: `npm run sample`. The music, its players and its flaws are in the files beside this one;
 * the same bytes come out of every run.
 */
import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { keyEvent, meterEvent, midiFile, tempoEvent, textEvent } from './midi-writer.ts';
import type { TimedEvent, WrittenTrack } from './midi-writer.ts';
import type { PieceClock } from './perform.ts';
import { performTrack } from './perform.ts';
import { CLOCK, TEMPI } from './shape.ts';
import { chordSpans } from './solo.ts';
import { STAGES } from './stages.ts';
import type { StageFile, StagePlan } from './stages.ts';
import { STAIR } from './stair.ts';
import { TEXTS } from './texts.ts';

export const SLUG = 'ferry-lights';

/** Sections as markers in the files, by first bar; the pickup belongs to the first. */
export const MARKERS: readonly { readonly bar: number; readonly name: string }[] = [
  { bar: 0, name: 'A' },
  { bar: 17, name: 'B' },
  { bar: 29, name: "A'" },
  { bar: 43, name: 'Coda' },
];

/** A piece as its script has it. Positions are in eighths from the start of the pickup. */
export interface SamplePiece {
  /** Name of its folder. */
  readonly slug: string;
  readonly clock: PieceClock;
  readonly tempi: readonly { readonly bar: number; readonly eighth: number; readonly tempo: number }[];
  readonly keys: readonly { readonly bar: number; readonly fifths: number; readonly minor: boolean }[];
  readonly markers: readonly { readonly bar: number; readonly name: string }[];
  readonly chords: readonly { readonly start: number; readonly length: number }[];
  readonly stages: readonly StagePlan[];
  /** Settings and notes by file name. */
  readonly texts: Readonly<Record<string, string>>;
}

const FERRY_LIGHTS: SamplePiece = {
  slug: SLUG,
  clock: CLOCK,
  tempi: TEMPI,
  keys: [
    { bar: 0, fifths: -2, minor: true },
    { bar: 17, fifths: -3, minor: false },
    { bar: 29, fifths: -2, minor: true },
  ],
  markers: MARKERS,
  chords: chordSpans(),
  stages: STAGES,
  texts: TEXTS,
};

function conductorTrack(piece: SamplePiece, name: string, ticksPerQuarter: number): WrittenTrack {
  const { bars, totalEighths } = piece.clock;
  const ticks = (eighths: number): number => (eighths / 2) * ticksPerQuarter;
  const startOf = (bar: number): number => bars[bar]?.start ?? 0;
  const events: TimedEvent[] = [textEvent(0, 3, name)];
  bars.forEach((bar, index) => {
    const before = bars[index - 1];
    if (before?.numerator !== bar.numerator || before.denominator !== bar.denominator) {
      events.push(meterEvent(ticks(bar.start), bar.numerator, bar.denominator));
    }
  });
  for (const key of piece.keys) events.push(keyEvent(ticks(startOf(key.bar)), key.fifths, key.minor));
  for (const point of piece.tempi) events.push(tempoEvent(ticks(startOf(point.bar) + point.eighth), point.tempo));
  for (const marker of piece.markers) events.push(textEvent(ticks(startOf(marker.bar)), 6, marker.name));
  return { events, lastTick: ticks(totalEighths) };
}

function fileBytes(piece: SamplePiece, stage: StagePlan, file: StageFile): Uint8Array {
  const played = file.tracks.map((plan) =>
    performTrack(plan, piece.chords, stage.ticksPerQuarter, stage.name, stage.offAsZero, piece.clock),
  );
  const empty = (file.empty ?? []).map((name) => ({ events: [textEvent(0, 3, name)], lastTick: 0 }));
  const conductor = file.conductor === undefined ? [] : [conductorTrack(piece, file.conductor, stage.ticksPerQuarter)];
  return midiFile(stage.ticksPerQuarter, [...conductor, ...played, ...empty]);
}

/** Writes every file of a sample into a folder, which is emptied first. */
export function writeSample(folder: string, piece: SamplePiece = FERRY_LIGHTS): void {
  rmSync(folder, { recursive: true, force: true });
  for (const stage of piece.stages) {
    for (const file of stage.files) {
      const path = join(folder, file.path);
      mkdirSync(dirname(path), { recursive: true });
      writeFileSync(path, fileBytes(piece, stage, file));
    }
  }
  for (const [name, text] of Object.entries(piece.texts)) writeFileSync(join(folder, name), text);
}

if (process.argv[1] !== undefined && pathToFileURL(resolve(process.argv[1])).href === import.meta.url) {
  for (const piece of [FERRY_LIGHTS, STAIR]) {
    const folder = join(dirname(fileURLToPath(import.meta.url)), piece.slug);
    writeSample(folder, piece);
    console.log(`Wrote ${folder}`);
  }
}
