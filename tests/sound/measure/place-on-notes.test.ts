/** Recordings whose place is known, as the voice of the sketch renders them: begun late, or cut at the beginning. */
import { describe, expect, it } from 'vitest';
import { placeOnNotes } from '../../../src/sound/measure/place-on-notes.ts';
import { soundMeter } from '../../../src/sound/measure/sound-meter.ts';
import type { SketchNote, Timbre } from '../../../src/sound/sketch.ts';
import { renderSketch } from '../../../src/sound/voice.ts';

const RATE = 16000;
const SECONDS = 30;
/** As `place-recordings` asks for it. */
const CLEAR = 1.4;

/** Numbers between 0 and 1 that look thrown and are always the same. */
function thrown(seed: number): () => number {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1103515245) + 12345) & 0x7fffffff;
    return state / 0x7fffffff;
  };
}

/** A line and some chords in mixed values, each note up to 10 ms beside its place. */
function tune(seed: number, tempo: number): SketchNote[] {
  const next = thrown(seed);
  const notes: SketchNote[] = [];
  for (let second = 0.4; second < SECONDS - 2;) {
    const length = ((60 / tempo) * (1 + Math.floor(next() * 3))) / 2;
    for (let voice = next() < 0.3 ? 3 : 1; voice > 0; voice--) {
      const start = second + (next() - 0.5) * 0.02;
      notes.push({
        start,
        end: second + length * 0.9,
        midi: 50 + Math.floor(next() * 30),
        levelDb: 80 + next() * 10,
        isFront: true,
      });
    }
    second += length;
  }
  return notes.sort((a, b) => a.start - b.start);
}

function heard(notes: readonly SketchNote[], timbre: Timbre, shift: number): Float32Array {
  const decayDbPerSecond = timbre === 'struck' || timbre === 'plucked' ? 15 : 0;
  const sketch = { parts: [{ id: 'a', name: '' }], lines: [{ part: 0, timbre, decayDbPerSecond, shape: [], notes }] };
  const span = { from: -shift, length: Math.round((SECONDS + shift) * RATE), rate: RATE };
  const meter = soundMeter(RATE, 1);
  meter.add([renderSketch(sketch, { kind: 'all' }, span, 95)]);
  return meter.end().onsets;
}

const onsetsOf = (notes: readonly SketchNote[]) =>
  notes.map(({ start, levelDb }) => ({ second: start, weight: 10 ** ((levelDb - 90) / 20) }));

describe('the place of a recording on its notes', () => {
  it.each<readonly [Timbre, number]>([
    ['bowed', -2],
    ['blown', -1.2],
    ['struck', 0],
    ['plucked', 0.137],
    ['brass', 2.5],
    ['sung', 6.6],
    ['bowed', 15],
    ['struck', 14.03],
  ])('is found within 15 ms (%s, begun %d s before the music)', (timbre, shift) => {
    const notes = tune(Math.round(shift * 1000) + 77, 66 + 7 * timbre.length);
    const place = placeOnNotes(heard(notes, timbre, shift), onsetsOf(notes));
    expect(place?.clearness).toBeGreaterThan(CLEAR);
    expect(Math.abs((place?.offsetSeconds ?? 99) - shift)).toBeLessThan(0.015);
    for (const late of place?.quarters() ?? []) expect(Math.abs(late ?? 0)).toBeLessThan(0.03);
  });

  it('is not clear for notes of another piece', () => {
    const rises = heard(tune(5, 96), 'struck', 1);
    for (let seed = 100; seed < 130; seed++) {
      const next = thrown(seed);
      const other = Array.from({ length: 60 }, () => ({ second: next() * SECONDS, weight: next() }));
      expect(placeOnNotes(rises, other)?.clearness ?? 0).toBeLessThan(CLEAR);
    }
  });

  it('drifts where the recording was played slower', () => {
    const notes = tune(9, 100);
    const slower = notes.map((note) => ({ ...note, start: note.start * 1.005, end: note.end * 1.005 }));
    const quarters = placeOnNotes(heard(slower, 'struck', 0), onsetsOf(notes))?.quarters() ?? [];
    // 0.5 % of 20 seconds between the middles of the first and the last quarter.
    const drift = (quarters.at(-1) ?? 0) - (quarters[0] ?? 0);
    expect(drift).toBeGreaterThan(0.05);
    expect(drift).toBeLessThan(0.11);
  });

  it('is asked for where there are too few notes, or no sound', () => {
    expect(placeOnNotes(new Float32Array(500), onsetsOf(tune(3, 90)))).toBeUndefined();
    expect(placeOnNotes(heard(tune(3, 90), 'struck', 0), onsetsOf(tune(3, 90).slice(0, 5)))).toBeUndefined();
  });
});
