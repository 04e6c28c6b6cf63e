/** Exported scores as two independent ways of reading find them: a public MusicXML library, and the official schema. */
import { readFileSync } from 'node:fs';
import { parse } from 'musicxml-io';
import type { Measure, NoteEntry } from 'musicxml-io';
import { validateXML } from 'xmllint-wasm';
import { midiOf, pitchName, transpose } from '../../src/model/music/pitch.ts';
import type { SpelledPitch } from '../../src/model/music/pitch.ts';
import type { WrittenNote } from '../../src/model/music/written.ts';
import { openFile } from './open-data.ts';

/** Complaints of libxml2 about documents under the official schema of MusicXML 4.0 (W3C Music Notation Community Group); empty where all are valid. */
export async function schemaErrors(documents: readonly string[]): Promise<readonly string[]> {
  const read = (name: string): string => readFileSync(openFile('musicxml', name), 'utf8');
  const found = await validateXML({
    xml: documents.map((contents, index) => ({ fileName: `score-${String(index)}.xml`, contents })),
    // The schema names its imports by address; they are given by name instead.
    schema: [read('musicxml.xsd').replaceAll('http://www.musicxml.org/xsd/', '')],
    preload: ['xlink.xsd', 'xml.xsd'].map((fileName) => ({ fileName, contents: read(fileName) })),
    initialMemoryPages: 1024,
    maxMemoryPages: 8192,
  });
  return found.errors.map((error) => error.rawMessage);
}

export interface ReadNote {
  readonly written: SpelledPitch;
  readonly sounding: SpelledPitch;
  /** Divisions from the start of the first measure; tied notes are one. */
  readonly start: number;
  readonly length: number;
  readonly staff: number;
}

interface ReadMeasure {
  readonly number: string;
  readonly implicit: boolean;
  /** Length of every voice in divisions, `voice: sum`. */
  readonly voices: ReadonlyMap<string, number>;
  readonly length: number;
}

interface ReadPart {
  readonly name: string;
  readonly notes: readonly ReadNote[];
  readonly measures: readonly ReadMeasure[];
}

interface OpenNote {
  written: SpelledPitch;
  sounding: SpelledPitch;
  start: number;
  length: number;
  staff: number;
}

function voiceSums(measure: Measure): Map<string, number> {
  const sums = new Map<string, number>();
  for (const entry of measure.entries) {
    if (entry.type !== 'note' || entry.chord === true) continue;
    const voice = entry.voice ?? '1';
    sums.set(voice, (sums.get(voice) ?? 0) + entry.duration);
  }
  return sums;
}

function isTied(entry: NoteEntry, type: 'start' | 'stop'): boolean {
  return [...(entry.ties ?? []), ...(entry.tie === undefined ? [] : [entry.tie])].some((tie) => tie.type === type);
}

/** Parts of a score as the library reads them; transposed back and with ties joined here. */
export function readWithLibrary(xml: string): readonly ReadPart[] {
  const score = parse(xml);
  return score.parts.map((part): ReadPart => {
    const info = score.partList.find((item) => item.type === 'score-part' && item.id === part.id);
    const notes: OpenNote[] = [];
    const open = new Map<string, OpenNote>();
    const measures: ReadMeasure[] = [];
    let interval = { diatonic: 0, chromatic: 0, octaveChange: 0 };
    let barStart = 0;
    for (const measure of part.measures) {
      interval = { ...interval, ...(measure.attributes?.transpose ?? {}) };
      let position = 0;
      let chordStart = 0;
      let length = 0;
      for (const entry of measure.entries) {
        if (entry.type === 'backup') position -= entry.duration;
        if (entry.type === 'forward') position += entry.duration;
        if (entry.type !== 'note') continue;
        const start = entry.chord === true ? chordStart : position;
        if (entry.chord !== true) {
          chordStart = position;
          position += entry.duration;
        }
        length = Math.max(length, position);
        // Small notes take no time; `readOrnaments` finds them.
        if (entry.pitch === undefined || entry.grace !== undefined) continue;
        const written: SpelledPitch = { ...entry.pitch, alter: entry.pitch.alter ?? 0 };
        const octaves = interval.octaveChange;
        const sounding = transpose(written, interval.diatonic + 7 * octaves, interval.chromatic + 12 * octaves);
        const staff = entry.staff ?? 1;
        const key = `${String(staff)}:${String(midiOf(sounding))}:${String(barStart + start)}`;
        const held = isTied(entry, 'stop') ? open.get(key) : undefined;
        if (held === undefined) {
          notes.push({ written, sounding, start: barStart + start, length: entry.duration, staff });
        } else held.length += entry.duration;
        const current = held ?? notes.at(-1);
        if (current !== undefined && isTied(entry, 'start')) {
          const end = `${String(staff)}:${String(midiOf(sounding))}:${String(barStart + start + entry.duration)}`;
          open.set(end, current);
        }
      }
      measures.push({
        number: measure.number,
        implicit: measure.implicit === true,
        voices: voiceSums(measure),
        length,
      });
      barStart += length;
    }
    return { name: info?.type === 'score-part' ? (info.name ?? '') : '', notes, measures };
  });
}

/** `G4 0+480 staff 1`, sorted: what sounds, how it is spelled, when and how long. */
export function readLines(notes: readonly ReadNote[]): string[] {
  return notes.map((note) => line(note.sounding, note.start, note.length, note.staff)).sort();
}

/** The same of written notes; `origin` is the start of the first bar in divisions. */
export function writtenLines(notes: readonly WrittenNote[], origin: number): string[] {
  return notes.map((note) => line(note.pitch, note.start - origin, note.length, note.staff)).sort();
}

function line(pitch: SpelledPitch, start: number, length: number, staff: number): string {
  return `${pitchName(pitch)} ${String(start)}+${String(length)} staff ${String(staff)}`;
}

/** `bar.place sign` of dynamics, hairpins and words as the library reads them, by part; places in divisions from the start of the first measure. */
export function readDirections(xml: string): readonly (readonly string[])[] {
  return parse(xml).parts.map((part) => {
    const found: string[] = [];
    let barStart = 0;
    for (const measure of part.measures) {
      let position = 0;
      let length = 0;
      for (const entry of measure.entries) {
        if (entry.type === 'backup') position -= entry.duration;
        if (entry.type === 'forward') position += entry.duration;
        if (entry.type === 'note' && entry.chord !== true) position += entry.duration;
        length = Math.max(length, position);
        if (entry.type !== 'direction') continue;
        const place = barStart + position + (entry.offset ?? 0);
        for (const sign of entry.directionTypes) {
          const staff = String(entry.staff ?? 1);
          if (sign.kind === 'dynamics') found.push(`${String(place)} staff ${staff} ${sign.value ?? ''}`);
          if (sign.kind === 'wedge') found.push(`${String(place)} staff ${staff} ${sign.type}`);
          if (sign.kind === 'octave-shift') found.push(`${String(place)} staff ${staff} octave ${sign.type}`);
          if (sign.kind === 'words') found.push(`${String(place)} staff ${staff} ${sign.text}`);
        }
      }
      barStart += length;
    }
    return found;
  });
}

/** Small notes, trills, tremolos and rolled chords as the library reads them, in order: `small A4 eighth /`, `trill-mark B4`, `arpeggiate down G4`. */
export function readOrnaments(xml: string): readonly string[] {
  return parse(xml).parts.flatMap((part) =>
    part.measures.flatMap((measure) =>
      measure.entries.flatMap((entry): string[] => {
        if (entry.type !== 'note' || entry.pitch === undefined) return [];
        const name = pitchName({ ...entry.pitch, alter: entry.pitch.alter ?? 0 });
        if (entry.grace !== undefined)
          return [`small ${name} ${entry.noteType ?? ''}${entry.grace.slash === true ? ' /' : ''}`];
        return (entry.notations ?? []).flatMap((notation): string[] => {
          if (notation.type === 'ornament') {
            const strokes = notation.tremoloMarks === undefined ? '' : ` ${String(notation.tremoloMarks)}`;
            return [`${notation.ornament}${strokes} ${name}`];
          }
          if (notation.type === 'arpeggiate')
            return [`arpeggiate${notation.direction === undefined ? '' : ` ${notation.direction}`} ${name}`];
          return [];
        });
      }),
    ),
  );
}
