/**
 * Writes the sample folder: `npm run sample`. The music, its players and its flaws are in the files beside this one;
 * the same bytes come out of every run.
 */
import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { keyEvent, meterEvent, midiFile, tempoEvent, textEvent } from './midi-writer.ts';
import type { TimedEvent, WrittenTrack } from './midi-writer.ts';
import { BARS, TOTAL_EIGHTHS, barOf } from './notation.ts';
import { performTrack } from './perform.ts';
import { TEMPI } from './shape.ts';
import { chordSpans } from './solo.ts';
import { STAGES } from './stages.ts';
import type { StageFile, StagePlan } from './stages.ts';
import { TEXTS } from './texts.ts';

export const SLUG = 'ferry-lights';

/** Sections as markers in the files, by first bar; the pickup belongs to the first. */
export const MARKERS: readonly { readonly bar: number; readonly name: string }[] = [
  { bar: 0, name: 'A' },
  { bar: 17, name: 'B' },
  { bar: 29, name: "A'" },
  { bar: 43, name: 'Coda' },
];

const KEYS: readonly { readonly bar: number; readonly fifths: number; readonly minor: boolean }[] = [
  { bar: 0, fifths: -2, minor: true },
  { bar: 17, fifths: -3, minor: false },
  { bar: 29, fifths: -2, minor: true },
];

function conductorTrack(name: string, ticksPerQuarter: number): WrittenTrack {
  const ticks = (eighths: number): number => (eighths / 2) * ticksPerQuarter;
  const events: TimedEvent[] = [textEvent(0, 3, name)];
  BARS.forEach((bar, index) => {
    const before = BARS[index - 1];
    if (before?.numerator !== bar.numerator || before.denominator !== bar.denominator) {
      events.push(meterEvent(ticks(bar.start), bar.numerator, bar.denominator));
    }
  });
  for (const key of KEYS) events.push(keyEvent(ticks(barOf(key.bar).start), key.fifths, key.minor));
  for (const point of TEMPI) events.push(tempoEvent(ticks(barOf(point.bar).start + point.eighth), point.tempo));
  for (const marker of MARKERS) events.push(textEvent(ticks(barOf(marker.bar).start), 6, marker.name));
  return { events, lastTick: ticks(TOTAL_EIGHTHS) };
}

function fileBytes(stage: StagePlan, file: StageFile): Uint8Array {
  const chords = chordSpans();
  const played = file.tracks.map((plan) =>
    performTrack(plan, chords, stage.ticksPerQuarter, stage.name, stage.offAsZero),
  );
  const empty = (file.empty ?? []).map((name) => ({ events: [textEvent(0, 3, name)], lastTick: 0 }));
  const conductor = file.conductor === undefined ? [] : [conductorTrack(file.conductor, stage.ticksPerQuarter)];
  return midiFile(stage.ticksPerQuarter, [...conductor, ...played, ...empty]);
}

/** Writes every file of the sample into a folder, which is emptied first. */
export function writeSample(folder: string): void {
  rmSync(folder, { recursive: true, force: true });
  for (const stage of STAGES) {
    for (const file of stage.files) {
      const path = join(folder, file.path);
      mkdirSync(dirname(path), { recursive: true });
      writeFileSync(path, fileBytes(stage, file));
    }
  }
  for (const [name, text] of Object.entries(TEXTS)) writeFileSync(join(folder, name), text);
}

if (process.argv[1] !== undefined && pathToFileURL(resolve(process.argv[1])).href === import.meta.url) {
  const folder = join(dirname(fileURLToPath(import.meta.url)), SLUG);
  writeSample(folder);
  console.log(`Wrote ${folder}`);
}
