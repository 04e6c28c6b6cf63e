/**
 * Chords of the whole texture: every frame (half a beat) is scored against templates, and a price on each change keeps passing notes from
 * changing the chord (Viterbi). Score as B. Pardo and W. Birmingham have it ("Algorithms for chordal analysis", Computer Music Journal
 * 26(2), 2002, 27-49: tones inside minus tones outside minus tones absent), with weights measured on open analyses.
 */
import type { SpelledClass } from '../model/pitch.ts';
import { className } from '../model/pitch.ts';
import type { ChordSpan, KeySpan } from '../model/written.ts';
import type { Frame } from './chord-frames.ts';
import type { ChordRun } from './chord-runs.ts';
import { bassOf } from './chord-runs.ts';
import type { Template } from './chord-templates.ts';
import type { SoundingNote } from './key-path.ts';
import { keyAtBar } from './key.ts';
import { chromaticPlace, classAt, fifthsOf } from './line-of-fifths.ts';
import { romanNumeral } from './roman.ts';
import type { ScoreTime } from './score-time.ts';
import { barIndexAtDivision } from './score-time.ts';

/** Below this share of explained sound no label is printed. */
export const PRINTED_COVERAGE = 0.6;

export interface SpelledSound extends SoundingNote {
  /** Place on the line of fifths. */
  readonly place: number;
}

function coverageOf(
  template: Template,
  frames: readonly Frame[],
): { readonly coverage: number; readonly tones: number } {
  let inside = 0;
  let outside = 0;
  const heard = new Set<number>();
  for (const frame of frames) {
    for (let pitchClass = 0; pitchClass < 12; pitchClass++) {
      const weight = (frame.weights[pitchClass] ?? 0) * frame.length;
      if (weight === 0) continue;
      if (template.members[pitchClass] === 1) {
        inside += weight;
        heard.add(pitchClass);
      } else outside += weight;
    }
  }
  return { coverage: inside + outside === 0 ? 0 : inside / (inside + outside), tones: heard.size };
}

/** How the pitch classes of a stretch are spelled there, by sounding length. */
function spellingsIn(notes: readonly SpelledSound[], start: number, end: number, from: number): Map<number, number> {
  const weights = new Map<number, Map<number, number>>();
  for (let index = from; index < notes.length; index++) {
    const note = notes[index];
    if (note === undefined || note.start >= end) break;
    const overlap = Math.min(note.end, end) - Math.max(note.start, start);
    if (overlap <= 0) continue;
    const places = weights.get(note.midi % 12) ?? new Map<number, number>();
    places.set(note.place, (places.get(note.place) ?? 0) + overlap);
    weights.set(note.midi % 12, places);
  }
  const chosen = new Map<number, number>();
  for (const [pitchClass, places] of weights) {
    const best = [...places.entries()].sort((a, b) => b[1] - a[1])[0];
    if (best !== undefined) chosen.set(pitchClass, best[0]);
  }
  return chosen;
}

/** Third of a chord on the line of fifths above its root, to spell a root that does not sound. */
function placeOfRoot(template: Template, spellings: ReadonlyMap<number, number>, tonic: number): number {
  const root = spellings.get(template.root);
  if (root !== undefined) return root;
  const fifth = spellings.get((template.root + 7) % 12);
  if (fifth !== undefined && template.quality.intervals.includes(7)) return fifth - 1;
  return chromaticPlace(template.root, tonic);
}

/** Chord spans of a stage from their runs. `notes` are all pitched notes, sorted by start. */
export function chordsOf(
  runs: readonly ChordRun[],
  notes: readonly SpelledSound[],
  keys: readonly KeySpan[],
  time: ScoreTime,
): ChordSpan[] {
  const spans: ChordSpan[] = [];
  let from = 0;
  let reach = 0;
  const longest = notes.reduce((most, note) => Math.max(most, note.end - note.start), 0);
  for (const [index, run] of runs.entries()) {
    const first = run.frames[0];
    const last = run.frames.at(-1);
    if (first === undefined || last === undefined) continue;
    const { coverage, tones } = coverageOf(run.template, run.frames);
    const end = last.start + last.length;
    reach = Math.min(longest, 4 * 1920);
    while (from < notes.length && (notes[from]?.start ?? 0) < first.start - reach) from++;
    // One pitch class alone names no chord.
    if (tones < 2) continue;
    const bar = time.bars[barIndexAtDivision(time, first.start)];
    const key = keyAtBar(keys, bar?.number ?? 1);
    const tonic = key === undefined ? 0 : fifthsOf(key.tonic);
    const spellings = spellingsIn(notes, first.start, end, from);
    const root = classAt(placeOfRoot(run.template, spellings, tonic));
    const bassClass = bassOf(run.template, run.frames);
    const bass: SpelledClass =
      bassClass === run.template.root ? root : classAt(spellings.get(bassClass) ?? chromaticPlace(bassClass, tonic));
    const { quality } = run.template;
    const slash = bassClass === run.template.root ? '' : `/${className(bass)}`;
    const next = runs[index + 1];
    spans.push({
      start: first.start,
      length: end - first.start,
      bar: bar?.number ?? 1,
      symbol: className(root) + quality.suffix + slash,
      root,
      quality: quality.name,
      bass,
      roman: romanNumeral(root, quality, key, next?.template.root),
      tones: quality.intervals.map((interval) => (run.template.root + interval) % 12),
      coverage,
    });
  }
  return spans;
}

/** A symbol as it is printed, with signs for sharps and flats: `B♭m7`, `D/F♯`, `Am7♭5`. */
export function printedSymbol(symbol: string): string {
  return symbol.replaceAll('#', '♯').replaceAll(/(?<=[A-G♭])b|b(?=5)/g, '♭');
}
