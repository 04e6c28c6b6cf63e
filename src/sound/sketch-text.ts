/** A sketch as text that stands in a page: about seven characters a note. */
import type { Sketch, SketchBar, SketchLine, SketchNote } from './sketch.ts';

/** Digits of 64, the lower half of which end a number: as base 64 VLQ in source maps (ECMA-426), with an alphabet that needs no escape in HTML. */
const DIGITS = '0123456789abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ-_';
/** Value of a digit by the code of its character. */
const VALUES = new Uint8Array(128);
for (let value = 0; value < DIGITS.length; value++) VALUES[DIGITS.charCodeAt(value)] = value;

const TIMES_A_SECOND = 200;
const LEVELS_A_DB = 2;

/** Whole numbers as text. */
export function packNumbers(numbers: readonly number[]): string {
  let text = '';
  for (const number of numbers) {
    let rest = number < 0 ? -2 * number - 1 : 2 * number;
    while (rest >= 32) {
      text += DIGITS.charAt(32 + (rest % 32));
      rest = Math.floor(rest / 32);
    }
    text += DIGITS.charAt(rest);
  }
  return text;
}

/** The numbers of a text that `packNumbers` made. */
export function unpackNumbers(text: string): readonly number[] {
  const numbers: number[] = [];
  let sum = 0;
  let worth = 1;
  for (let index = 0; index < text.length; index++) {
    const value = VALUES[text.charCodeAt(index)] ?? 0;
    sum += (value % 32) * worth;
    worth *= 32;
    if (value >= 32) continue;
    numbers.push(sum % 2 === 1 ? -(sum + 1) / 2 : sum / 2);
    [sum, worth] = [0, 1];
  }
  return numbers;
}

function packNotes(notes: readonly SketchNote[]): string {
  let [start, midi, level] = [0, 60, 0];
  return packNumbers(
    notes.flatMap((note) => {
      const next = Math.round(note.start * TIMES_A_SECOND);
      const nextLevel = Math.round(note.levelDb * LEVELS_A_DB);
      const length = Math.max(1, Math.round((note.end - note.start) * TIMES_A_SECOND));
      // Whether a note is in front is the sign of its length.
      const numbers = [next - start, note.isFront ? length : -length, note.midi - midi, nextLevel - level];
      [start, midi, level] = [next, note.midi, nextLevel];
      return numbers;
    }),
  );
}

function unpackNotes(text: string): readonly SketchNote[] {
  const numbers = unpackNumbers(text);
  const notes: SketchNote[] = [];
  let [start, midi, level] = [0, 60, 0];
  for (let index = 0; index + 3 < numbers.length; index += 4) {
    const length = numbers[index + 1] ?? 1;
    start += numbers[index] ?? 0;
    midi += numbers[index + 2] ?? 0;
    level += numbers[index + 3] ?? 0;
    notes.push({
      start: start / TIMES_A_SECOND,
      end: (start + Math.abs(length)) / TIMES_A_SECOND,
      midi,
      levelDb: level / LEVELS_A_DB,
      isFront: length > 0,
    });
  }
  return notes;
}

function packShape(shape: SketchLine['shape']): string {
  return packNumbers(
    shape.flatMap(({ second, db }) => [Math.round(second * TIMES_A_SECOND), Math.round(db * LEVELS_A_DB)]),
  );
}

function unpackShape(text: string): SketchLine['shape'] {
  const numbers = unpackNumbers(text);
  return Array.from({ length: numbers.length >> 1 }, (_, index) => ({
    second: (numbers[2 * index] ?? 0) / TIMES_A_SECOND,
    db: (numbers[2 * index + 1] ?? 0) / LEVELS_A_DB,
  }));
}

/** Bars follow one another, so their ends are enough. */
function packBars(bars: readonly SketchBar[]): string {
  const times = [bars[0]?.start ?? 0, ...bars.map(({ end }) => end)].map((second) => Math.round(second * 1000));
  return packNumbers([bars[0]?.number ?? 1, ...times.map((time, index) => time - (times[index - 1] ?? 0))]);
}

function unpackBars(text: string): readonly SketchBar[] {
  const [first = 1, start = 0, ...lengths] = unpackNumbers(text);
  let time = start;
  return lengths.map((length, index) => {
    const from = time;
    time += length;
    return { number: first + index, start: from / 1000, end: time / 1000 };
  });
}

interface PackedSketch extends Pick<Sketch, 'stageId' | 'title' | 'order' | 'loudestDb' | 'parts'> {
  readonly bars: string;
  readonly lines: readonly (readonly [
    part: number,
    timbre: SketchLine['timbre'],
    decay: number,
    shape: string,
    notes: string,
  ])[];
}

/** The text of a sketch: times to 5 ms (bar lines to 1 ms), levels to half a decibel. */
export function packSketch(sketch: Sketch): string {
  const packed: PackedSketch = {
    stageId: sketch.stageId,
    title: sketch.title,
    order: sketch.order,
    loudestDb: Math.round(sketch.loudestDb * 10) / 10,
    parts: sketch.parts,
    bars: packBars(sketch.bars),
    lines: sketch.lines.map(({ part, timbre, decayDbPerSecond, shape, notes }) => [
      part,
      timbre,
      decayDbPerSecond,
      packShape(shape),
      packNotes(notes),
    ]),
  };
  return JSON.stringify(packed);
}

/** The sketch of a text that `packSketch` made. */
export function unpackSketch(text: string): Sketch {
  const packed = JSON.parse(text) as PackedSketch;
  return {
    ...packed,
    bars: unpackBars(packed.bars),
    lines: packed.lines.map(([part, timbre, decayDbPerSecond, shape, notes]) => ({
      part,
      timbre,
      decayDbPerSecond,
      shape: unpackShape(shape),
      notes: unpackNotes(notes),
    })),
  };
}
