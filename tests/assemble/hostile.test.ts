import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { assemble } from '../../src/assemble/assemble.ts';
import type { Arrangement } from '../../src/model/music/arrangement.ts';
import { InputError } from '../../src/problems/problem.ts';
import type { RawFolder } from '../../src/read/raw.ts';
import { rawFolder, rawStage } from './raw-folder.ts';

const NAMES = [
  'Violin I',
  'Vn',
  '',
  'Alto',
  'Bass',
  'Track 1',
  '<script>',
  '🎻🎻',
  'Horn',
  'Piano LH',
  'A',
  'x|y',
  '__proto__',
  'constructor',
  'Violin 999999999999',
  '1',
  '1+2+3',
  'Strings',
  'a'.repeat(500),
  '\u0301\u0301',
  'div. a',
  'In F',
];
const name = fc.oneof(fc.constantFrom(...NAMES), fc.string({ maxLength: 20 }));
const tick = fc.oneof(fc.nat(9999), fc.nat(2 ** 28));

const track = fc.record({
  name,
  channel: fc.nat(15),
  program: fc.nat(127),
  notes: fc
    .array(fc.tuple(fc.nat(127), tick, fc.integer({ min: 1, max: 2000 })), { maxLength: 20 })
    .map((notes) =>
      notes
        .map(([midi, startTick, length]) => ({ midi, velocity: 80, startTick, endTick: startTick + length }))
        .sort((a, b) => a.startTick - b.startTick || a.midi - b.midi),
    ),
});

const file = fc.record({
  tracks: fc.array(track, { minLength: 1, maxLength: 6 }),
  tempos: fc.array(fc.tuple(fc.nat(40), fc.constantFrom(1, 60, 133, 1e5, 1e-4)), { maxLength: 4 }),
  meters: fc.array(
    fc.tuple(
      fc.float({ min: 0, max: 40, noNaN: true }),
      fc.constantFrom('4/4', '3/4', '1/64', '64/1', '0/4', '7/8', '1/4'),
    ),
    { maxLength: 4 },
  ),
  markers: fc.array(fc.tuple(fc.nat(80), name), { maxLength: 3 }),
  ticksPerQuarter: fc.constantFrom(1, 24, 480, 32767),
});

const folder = fc
  .tuple(
    fc.array(fc.tuple(name, fc.array(file, { minLength: 1, maxLength: 2 })), { minLength: 1, maxLength: 3 }),
    fc.constantFrom({}, { pickup: 1 }, { pickup: 0 }),
  )
  .map(([stages, content]): RawFolder =>
    rawFolder(
      stages.map(([title, files], index) => rawStage(`${index} ${title}`, ...files)),
      content,
    ),
  );

function assembledOrRefused(raw: RawFolder): Arrangement | undefined {
  try {
    return assemble(raw, { folderName: 'x' });
  } catch (error) {
    if (error instanceof InputError) return undefined;
    throw error;
  }
}

describe('whatever the tracks hold', () => {
  it('the arrangement is sound: bars without gaps, finite times, unique safe ids, a foreground for every bar', () => {
    fc.assert(
      fc.property(folder, (raw) => {
        for (const { timeline, parts, foreground } of assembledOrRefused(raw)?.stages ?? []) {
          const { bars } = timeline;
          expect(bars.length).toBeLessThanOrEqual(4000);
          for (const [index, bar] of bars.entries()) {
            expect(bar.lengthQuarters).toBeGreaterThan(0);
            const before = bars[index - 1];
            if (before !== undefined)
              expect(bar.startQuarters).toBeCloseTo(before.startQuarters + before.lengthQuarters, 6);
          }
          expect(new Set(parts.map((part) => part.id)).size).toBe(parts.length);
          expect(foreground.reduce((sum, span) => sum + span.to - span.from + 1, 0)).toBe(
            parts.length === 0 ? 0 : bars.length,
          );
          for (const part of parts) {
            expect(part.id).toMatch(/^[a-z0-9-]+$/);
            for (const note of part.notes) {
              expect(note.startSecond).toBeGreaterThanOrEqual(0);
              expect(note.endSecond).toBeGreaterThan(note.startSecond);
              expect(note.soundingEndSecond).toBeGreaterThanOrEqual(note.endSecond);
              expect(Number.isFinite(note.soundingEndSecond)).toBe(true);
            }
          }
        }
      }),
      { numRuns: 150, seed: 20 },
    );
  });
});
