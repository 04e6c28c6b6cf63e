/**
 * Time and memory of engraving alone: a score of four staves with two voices, triplets, ties and chord symbols, for wide and
 * for narrow lines, each size in a process of its own. The time of the whole process holds the loading of the TypeScript sources too,
 * about half a second. `node --import tsx tests/bench/engraving.ts`
 */
import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { engraveScore } from '../../src/draw/engrave/score/engrave-score.ts';
import type { BarText } from '../support/score.ts';
import { scoreOf, staffInfo } from '../support/score.ts';

const STAVES = [
  staffInfo('foreground-upper', 'treble', { brace: 'a' }),
  staffInfo('foreground-lower', 'bass', { brace: 'a' }),
  staffInfo('background-upper', 'treble', { brace: 'b' }),
  staffInfo('background-lower', 'bass', { brace: 'b' }),
];
const TUNES = [
  'D5:8 E5:16 F#5:16 G5:8. A5:16 (3:2 B5:8 A5:8 G5:8 ) F#5:4',
  'r:4 D5:8 C5:8 B4:4 r:8 A4:8~',
  'C#5:2 r:4 D#5:8 E5:8',
];

function bar(index: number): BarText {
  return {
    ...(index === 0 ? { fifths: 2 } : {}),
    staves: [
      [TUNES[index % TUNES.length] ?? ''],
      ['D3:8 A3:8 D4:8 F#4:8 A4:8 F#4:8 D4:8 A3:8'],
      ['A4+D5:2 B4+D5:2', 'F#4:4 G4:4 E4:4 F4:4'],
      ['D3:2. A2:4', 'D2:1'],
    ],
    chords: ['0:D', '2:Em7/G'],
  };
}

function measure(bars: number): void {
  const score = scoreOf(
    STAVES,
    Array.from({ length: bars }, (_, index) => bar(index)),
  );
  const collect = (globalThis as { gc?: () => void }).gc;
  const heapMb = (): number => {
    collect?.();
    return process.memoryUsage().heapUsed / 2 ** 20;
  };
  const heapBefore = heapMb();
  const start = performance.now();
  const before = process.cpuUsage();
  const { systems } = engraveScore(score, { widthPx: 1100, narrowPx: 520, title: 'Bench' });
  const ms = performance.now() - start;
  const { user, system } = process.cpuUsage(before);
  const all = process.cpuUsage();
  const peakMb = process.resourceUsage().maxRSS / 1024;
  const keptMb = heapMb() - heapBefore;
  const size = systems.reduce((sum, one) => sum + one.svg.length, 0);
  console.log(
    `engraving ${String(bars).padStart(5)} bars of 4 staves, wide and narrow: ${(ms / bars).toFixed(2)} ms a bar ` +
      `(${((user + system) / 1000 / bars).toFixed(2)} ms of processor; whole process ${((all.user + all.system) / 1000 / bars).toFixed(2)}), ` +
      `${(size / bars).toFixed(0)} characters a bar wide, ${((keptMb * 1024) / bars).toFixed(1)} kB a bar kept after drawing, ` +
      `peak ${peakMb.toFixed(0)} MB`,
  );
}

/** Prints one line for each number of bars. */
export function printEngraving(sizes: readonly number[]): void {
  for (const bars of sizes) {
    const child = spawnSync(
      process.execPath,
      ['--expose-gc', '--import', 'tsx', fileURLToPath(import.meta.url), String(bars)],
      {
        encoding: 'utf8',
      },
    );
    if (child.status !== 0) throw new Error(child.stderr);
    process.stdout.write(child.stdout);
  }
}

const wanted = process.argv[1] === fileURLToPath(import.meta.url) ? Number(process.argv[2] ?? 0) : undefined;
if (wanted !== undefined) {
  if (wanted > 0) measure(wanted);
  else printEngraving([64, 256, 1024]);
}
