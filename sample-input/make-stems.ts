/**
 * Renders the current stage of a sample as a mock-up would be bounced, one WAV file a part, with one part much louder than its MIDI says:
 * `npm run stems -- FOLDER` copies the first sample into a new folder and puts the recordings beside it.
 */
import { cpSync, existsSync, mkdirSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { analyseStage } from '../src/analyse/analyse-stage.ts';
import { sketchOf } from '../src/analyse/played-sketch/sketch-of.ts';
import { assemble } from '../src/assemble/assemble.ts';
import type { Stage } from '../src/model/music/arrangement.ts';
import { nodeDisk } from '../src/node-effects.ts';
import { notateStage } from '../src/notate/notate-stage.ts';
import { readFolder } from '../src/read/read-folder.ts';
import { renderSketch } from '../src/sound/voice.ts';
import { wavBytes } from '../tests/support/sound-bytes.ts';

export interface RenderedStems {
  readonly rateHz: number;
  /** Silence before the music, seconds. */
  readonly leadSeconds: number;
  /** What is added to single parts, dB, by part id. */
  readonly louderDb: Readonly<Record<string, number>>;
}

/** The part that the mock-up has louder than its notes say. */
export const LOUDER = { name: 'Violin II', db: 10 };
/** How soft the parts are beside the sketch of the page, so that a part that is made louder is not cut off. */
const ROOM_DB = 12;
/** Sound goes on so long after the last bar. */
const ECHO_SECONDS = 1;

/** Bytes of one file a part, by the name of the part: levels are those of the estimate, and what is added. */
export function renderStems(stage: Stage, { rateHz, leadSeconds, louderDb }: RenderedStems): Map<string, Uint8Array> {
  const written = notateStage(stage);
  const sketch = sketchOf(stage, written, analyseStage(stage, written));
  const length = Math.ceil((leadSeconds + stage.seconds + ECHO_SECONDS) * rateHz);
  return new Map(
    stage.parts.map(({ id, name }) => {
      const span = { from: -leadSeconds, length, rate: rateHz };
      const loudestDb = sketch.loudestDb + ROOM_DB - (louderDb[id] ?? 0);
      const samples = renderSketch(sketch, { kind: 'alone', partId: id }, span, loudestDb);
      return [name, wavBytes([samples], { rateHz, bits: 16 })];
    }),
  );
}

async function write(target: string): Promise<void> {
  if (existsSync(target)) throw new Error(`${target} is there already`);
  const sample = fileURLToPath(new URL('ferry-lights', import.meta.url));
  const stage = assemble(await readFolder(sample, nodeDisk, { ignore: [] }), { folderName: 'ferry-lights' }).stages.at(
    -1,
  );
  const louder = stage?.parts.find(({ name }) => name === LOUDER.name);
  if (stage === undefined || louder === undefined) throw new Error(`the sample has no ${LOUDER.name}`);
  cpSync(sample, target, { recursive: true });
  mkdirSync(join(target, 'stems'));
  const stems = renderStems(stage, { rateHz: 44100, leadSeconds: 0.5, louderDb: { [louder.id]: LOUDER.db } });
  for (const [name, bytes] of stems) writeFileSync(join(target, 'stems', `${name}.wav`), bytes);
  console.log(`Wrote ${target}, with ${louder.name} ${String(LOUDER.db)} dB louder than its notes say`);
}

if (process.argv[1] !== undefined && pathToFileURL(resolve(process.argv[1])).href === import.meta.url)
  await write(resolve(process.argv[2] ?? 'stems-of-the-sample'));
