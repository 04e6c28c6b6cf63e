/**
 * What recordings of parts take to be read and measured: processor time, and by how much the greatest memory of the process grows. Ten WAV files of
 * five minutes, 16 bits, two channels at 44.1 kHz; `npm run bench:stems -- 4 2` for four of two minutes.
 */
import { appendFileSync, linkSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { NO_MEMORY } from '../../src/model/memory.ts';
import { nodeDisk } from '../../src/node-effects.ts';
import { readStems } from '../../src/read/audio/stems.ts';
import type { FoundFile } from '../../src/read/folder-survey.ts';
import type { Reading } from '../../src/read/load-file.ts';
import { wavBytes } from '../support/sound-bytes.ts';

const [count = 10, minutes = 5] = process.argv.slice(2).map(Number);
const RATE_HZ = 44_100;
const HEADER_BYTES = 44;
const SECONDS = minutes * 60;

/** A second of two channels: a tone that dies away, four times. */
const second = wavBytes(
  [440, 554].map((hertz) =>
    Float32Array.from(
      { length: RATE_HZ },
      (_, index) => 0.3 * Math.exp(-(index % (RATE_HZ / 4)) / 4000) * Math.sin((2 * Math.PI * hertz * index) / RATE_HZ),
    ),
  ),
  { rateHz: RATE_HZ, bits: 16 },
);

const folder = mkdtempSync(join(tmpdir(), 'dossier-bench-'));
const names = Array.from({ length: count }, (_, index) => `${String(index + 1)}.wav`);
const [first = ''] = names.map((name) => join(folder, name));
const data = second.subarray(HEADER_BYTES);
const header = Buffer.from(second.subarray(0, HEADER_BYTES));
header.writeUInt32LE(HEADER_BYTES - 8 + data.length * SECONDS, 4);
header.writeUInt32LE(data.length * SECONDS, HEADER_BYTES - 4);
writeFileSync(first, header);
for (let written = 0; written < SECONDS; written++) appendFileSync(first, data);
for (const name of names.slice(1)) linkSync(first, join(folder, name));

const files = names.map((name): FoundFile => ({
  path: `stems/${name}`,
  name,
  subfolder: 'stems',
  absolutePath: join(folder, name),
  use: 'audio',
}));
const reading: Reading = { disk: nodeDisk, problems: [], records: [], progress: () => undefined, memory: NO_MEMORY };
const peakMb = (): number => process.resourceUsage().maxRSS / 1024;
const [before, started] = [peakMb(), process.cpuUsage()];
const stems = await readStems(files, reading);
const { user, system } = process.cpuUsage(started);
rmSync(folder, { recursive: true });
const measured = stems.reduce((sum, { measure }) => sum + measure.seconds, 0);
const cpuSeconds = (user + system) / 1e6;
console.log(
  `${String(stems.length)} recordings, ${(measured / 60).toFixed(1)} minutes in all: ${cpuSeconds.toFixed(1)} s of processor (${(measured / cpuSeconds).toFixed(0)} times as fast as they play), ${(peakMb() - before).toFixed(0)} MB more at the most`,
);
