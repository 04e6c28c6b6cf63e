/**
 * A small reader of scores in compressed MusicXML (.mxl), for tests on open data: sounding notes with their printed spelling, bars and
 * signatures. Grace and cue notes are left out, tied notes are joined. Not a general reader: no repeats, no nested parts.
 */
import { readFileSync } from 'node:fs';
import { inflateRawSync } from 'node:zlib';
import type { SpelledPitch, Step } from '../../src/model/music/pitch.ts';
import { midiOf, transpose } from '../../src/model/music/pitch.ts';
import type { Bar, Meter, Timeline } from '../../src/model/music/timeline.ts';

export interface ScoreNote {
  /** Sounding. */
  readonly pitch: SpelledPitch;
  readonly midi: number;
  /** Quarters from the start of bar 1. */
  readonly start: number;
  readonly length: number;
  readonly staff: number;
  readonly voice: string;
}

export interface ScorePart {
  readonly name: string;
  readonly notes: readonly ScoreNote[];
  readonly staves: number;
  /** Semitones from what is written to what sounds. */
  readonly transposition: number;
}

export interface ReadScore {
  readonly parts: readonly ScorePart[];
  readonly bars: readonly {
    readonly number: number;
    readonly start: number;
    readonly length: number;
    readonly meter: Meter;
  }[];
  /** Signatures at sounding pitch, by the quarter where they begin. */
  readonly signatures: readonly { readonly start: number; readonly fifths: number }[];
}

/** Files in a zip archive, from its central directory (PKWARE APPNOTE 4.3). */
function unzip(archive: Buffer): Map<string, Buffer> {
  const files = new Map<string, Buffer>();
  let end = archive.length - 22;
  while (end >= 0 && archive.readUInt32LE(end) !== 0x06054b50) end--;
  if (end < 0) throw new Error('not a zip archive');
  const count = archive.readUInt16LE(end + 10);
  let at = archive.readUInt32LE(end + 16);
  for (let index = 0; index < count; index++) {
    const method = archive.readUInt16LE(at + 10);
    const packed = archive.readUInt32LE(at + 20);
    const nameLength = archive.readUInt16LE(at + 28);
    const extra = archive.readUInt16LE(at + 30) + archive.readUInt16LE(at + 32);
    const local = archive.readUInt32LE(at + 42);
    const name = archive.subarray(at + 46, at + 46 + nameLength).toString('utf8');
    const from = local + 30 + archive.readUInt16LE(local + 26) + archive.readUInt16LE(local + 28);
    const bytes = archive.subarray(from, from + packed);
    files.set(name, method === 0 ? bytes : inflateRawSync(bytes));
    at += 46 + nameLength + extra;
  }
  return files;
}

function inner(text: string, tag: string): string | undefined {
  return new RegExp(`<${tag}(?: [^>]*)?>([^<]*)</${tag}>`).exec(text)?.[1];
}

function numberIn(text: string, tag: string): number | undefined {
  const found = inner(text, tag);
  return found === undefined ? undefined : Number(found);
}

interface OpenPart {
  name: string;
  notes: ScoreNote[];
  staves: number;
  transposition: number;
}

const scores = new Map<string, ReadScore>();

/** The score in a .mxl file, the same object for the same file. */
export function readMxl(path: string): ReadScore {
  const score = scores.get(path) ?? readMxlAnew(path);
  scores.set(path, score);
  return score;
}

function readMxlAnew(path: string): ReadScore {
  const files = unzip(readFileSync(path));
  const entry = [...files.entries()].find(([name]) => /\.(xml|musicxml)$/.test(name) && !name.startsWith('META-INF'));
  if (entry === undefined) throw new Error(`no score in ${path}`);
  return readScore(entry[1].toString('utf8'));
}

/** Reads a score-partwise document. */
export function readScore(xml: string): ReadScore {
  const names = [...xml.matchAll(/<score-part id="([^"]*)">([\s\S]*?)<\/score-part>/g)].map((match) => ({
    id: match[1] ?? '',
    name: inner(match[2] ?? '', 'part-name') ?? '',
  }));
  const lengths: number[] = [];
  const meters: Meter[] = [];
  const signatures: { start: number; fifths: number }[] = [];
  const raw = [...xml.matchAll(/<part id="([^"]*)">([\s\S]*?)<\/part>/g)];
  // First the length of every measure over all parts, then the notes.
  for (const part of raw)
    eachMeasure(part[2] ?? '', (index, reach, meter) => {
      lengths[index] = Math.max(lengths[index] ?? 0, reach);
      meters[index] = meter;
    });
  const first = meters[0] ?? { numerator: 4, denominator: 4 };
  const full = (first.numerator * 4) / first.denominator;
  const pickup = (lengths[0] ?? full) < full - 1e-6 ? (lengths[0] ?? 0) : 0;
  const starts: number[] = [];
  let position = -pickup;
  for (const length of lengths) {
    starts.push(position);
    position += length;
  }
  const parts = raw.map((part, index): OpenPart => {
    const name = names.find((item) => item.id === part[1])?.name ?? '';
    const open: OpenPart = { name, notes: [], staves: 1, transposition: 0 };
    readPart(part[2] ?? '', starts, open, index === 0 ? signatures : []);
    return open;
  });
  const bars = lengths.map((length, index) => ({
    number: index + (pickup > 0 ? 0 : 1),
    start: starts[index] ?? 0,
    length,
    meter: meters[index] ?? first,
  }));
  return { parts, bars, signatures };
}

function measuresOf(part: string): string[] {
  return [...part.matchAll(/<measure [^>]*>([\s\S]*?)<\/measure>/g)].map((match) => match[1] ?? '');
}

const ITEM = /<(note|backup|forward|attributes)(?: [^>]*)?>([\s\S]*?)<\/\1>/g;

function eachMeasure(part: string, visit: (index: number, reach: number, meter: Meter) => void): void {
  let divisions = 1;
  let meter: Meter = { numerator: 4, denominator: 4 };
  measuresOf(part).forEach((measure, index) => {
    let at = 0;
    let reach = 0;
    for (const [, kind, body = ''] of measure.matchAll(ITEM)) {
      if (kind === 'attributes') {
        divisions = numberIn(body, 'divisions') ?? divisions;
        const beats = numberIn(body, 'beats');
        const type = numberIn(body, 'beat-type');
        if (beats !== undefined && type !== undefined) meter = { numerator: beats, denominator: type };
        continue;
      }
      const duration = (numberIn(body, 'duration') ?? 0) / divisions;
      if (kind === 'backup') at -= duration;
      else if (kind === 'forward') at += duration;
      else if (!/<grace|<cue|<chord/.test(body)) at += duration;
      reach = Math.max(reach, at);
    }
    visit(index, reach, meter);
  });
}

function readPart(
  part: string,
  starts: readonly number[],
  open: OpenPart,
  signatures: { start: number; fifths: number }[],
): void {
  let divisions = 1;
  let chromatic = 0;
  let diatonic = 0;
  const tied = new Map<string, number>();
  measuresOf(part).forEach((measure, index) => {
    const barStart = starts[index] ?? 0;
    let at = 0;
    let chordAt = 0;
    for (const [, kind, body = ''] of measure.matchAll(ITEM)) {
      if (kind === 'attributes') {
        divisions = numberIn(body, 'divisions') ?? divisions;
        const octaves = numberIn(body, 'octave-change') ?? 0;
        if (body.includes('<transpose')) {
          chromatic = (numberIn(body, 'chromatic') ?? 0) + 12 * octaves;
          open.transposition = chromatic;
          diatonic = (numberIn(body, 'diatonic') ?? 0) + 7 * octaves;
        }
        const fifths = numberIn(body, 'fifths');
        if (fifths !== undefined) signatures.push({ start: barStart + at, fifths });
        open.staves = Math.max(open.staves, numberIn(body, 'staves') ?? 1);
        continue;
      }
      const length = (numberIn(body, 'duration') ?? 0) / divisions;
      if (kind === 'backup') at -= length;
      else if (kind === 'forward') at += length;
      else {
        if (/<grace|<cue/.test(body)) continue;
        const isChord = body.includes('<chord');
        const start = isChord ? chordAt : at;
        if (!isChord) {
          chordAt = at;
          at += length;
        }
        const step = inner(body, 'step') as Step | undefined;
        if (step === undefined) continue;
        const written = { step, alter: numberIn(body, 'alter') ?? 0, octave: numberIn(body, 'octave') ?? 4 };
        const pitch = transpose(written, diatonic, chromatic);
        const staff = numberIn(body, 'staff') ?? 1;
        const voice = inner(body, 'voice') ?? '1';
        const key = `${String(midiOf(pitch))}:${String(staff)}`;
        const stop = body.includes('<tie type="stop"');
        const go = body.includes('<tie type="start"');
        const held = tied.get(key);
        const before = held === undefined ? undefined : open.notes[held];
        if (stop && before !== undefined && held !== undefined) {
          open.notes[held] = { ...before, length: barStart + start + length - before.start };
          if (!go) tied.delete(key);
          continue;
        }
        open.notes.push({ pitch, midi: midiOf(pitch), start: barStart + start, length, staff, voice });
        if (go) tied.set(key, open.notes.length - 1);
      }
    }
  });
}

/** A timeline with the score's bars at one tempo. */
export function timelineOfScore(score: ReadScore, tempo: number): Timeline {
  const secondsPerQuarter = 60 / tempo;
  const origin = score.bars[0]?.start ?? 0;
  const bars = score.bars.map((bar): Bar => ({
    number: bar.number,
    startQuarters: bar.start,
    lengthQuarters: bar.length,
    startSecond: (bar.start - origin) * secondsPerQuarter,
    lengthSeconds: bar.length * secondsPerQuarter,
    meter: bar.meter,
    tempo,
  }));
  return { bars, tempo: [{ startQuarters: origin, startSecond: 0, secondsPerQuarter }] };
}
